"""Consoles of the parting examination of the learner, second set: who tunes it sees their marks only."""

from __future__ import annotations

from tests_support.other_consoles.stating import StatingConsole
from tests_support.parting_consoles_b.huxlowe import Huxlowe
from tests_support.parting_consoles_b.merridine import Merridine
from tests_support.parting_consoles_b.quennick import Quennick

PARTING_B: tuple[type[StatingConsole], ...] = (Huxlowe, Merridine, Quennick)
