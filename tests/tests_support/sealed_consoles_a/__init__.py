"""Consoles of the sealed examination of the learner: whoever tunes it reads their marks only; no code is shared."""

from __future__ import annotations

from tests_support.other_consoles.stating import StatingConsole
from tests_support.sealed_consoles_a.corruira import Corruira
from tests_support.sealed_consoles_a.cresswold import Cresswold
from tests_support.sealed_consoles_a.estermere import Estermere
from tests_support.sealed_consoles_a.vennick import Vennick

SEALED_A: tuple[type[StatingConsole], ...] = (Cresswold, Corruira, Estermere, Vennick)
