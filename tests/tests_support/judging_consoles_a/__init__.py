"""Consoles that judge the learner: whoever tunes it reads their marks only. They share no code with it."""

from __future__ import annotations

from tests_support.judging_consoles_a.fellgate import Fellgate
from tests_support.judging_consoles_a.jorvale import Jorvale
from tests_support.judging_consoles_a.pennock import Pennock
from tests_support.judging_consoles_a.ronciere import Ronciere
from tests_support.other_consoles.stating import StatingConsole

JUDGING_A: tuple[type[StatingConsole], ...] = (Fellgate, Pennock, Jorvale, Ronciere)
