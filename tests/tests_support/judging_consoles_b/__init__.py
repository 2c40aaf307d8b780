"""Consoles by which the learner is judged: who tunes it reads their marks only. They share no code with it."""

from __future__ import annotations

from tests_support.judging_consoles_b.garsdyke import Garsdyke
from tests_support.judging_consoles_b.hessleby import Hessleby
from tests_support.judging_consoles_b.morwick import Morwick
from tests_support.judging_consoles_b.pellitory import Pellitory
from tests_support.other_consoles.stating import StatingConsole

JUDGING_B: tuple[type[StatingConsole], ...] = (Garsdyke, Morwick, Pellitory, Hessleby)
