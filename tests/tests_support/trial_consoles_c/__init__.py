"""Six more consoles to develop the learner with, each of another imagined maker. They share no code with it."""

from __future__ import annotations

from tests_support.other_consoles.stating import StatingConsole
from tests_support.trial_consoles_c.ambrell import Ambrell
from tests_support.trial_consoles_c.lindrick import Lindrick
from tests_support.trial_consoles_c.pardoe import Pardoe
from tests_support.trial_consoles_c.quappe import Quappe
from tests_support.trial_consoles_c.skelgate import Skelgate
from tests_support.trial_consoles_c.wharram import Wharram

TRIAL_C: tuple[type[StatingConsole], ...] = (Wharram, Skelgate, Ambrell, Pardoe, Quappe, Lindrick)
