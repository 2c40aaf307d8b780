"""Consoles of the parting examination of the learner: whoever tunes it reads their marks only; no code is shared."""

from __future__ import annotations

from tests_support.other_consoles.stating import StatingConsole
from tests_support.parting_consoles_a.abubilla import Abubilla
from tests_support.parting_consoles_a.hollinweir import Hollinweir
from tests_support.parting_consoles_a.pinderfell import Pinderfell

PARTING_A: tuple[type[StatingConsole], ...] = (Hollinweir, Pinderfell, Abubilla)
