"""Five more consoles to develop the learner with. They share no code with it."""

from __future__ import annotations

from tests_support.other_consoles.stating import StatingConsole
from tests_support.trial_consoles_b.fennick import Fennick
from tests_support.trial_consoles_b.ghiandaia import Ghiandaia
from tests_support.trial_consoles_b.hallaton import Hallaton
from tests_support.trial_consoles_b.kelderby import Kelderby
from tests_support.trial_consoles_b.norrick import Norrick

TRIAL_B: tuple[type[StatingConsole], ...] = (Fennick, Hallaton, Ghiandaia, Kelderby, Norrick)
