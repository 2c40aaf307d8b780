"""Consoles to develop the learner with, written by somebody who has not read it. They share no code with it."""

from __future__ import annotations

from tests_support.other_consoles.stating import StatingConsole
from tests_support.trial_consoles_a.dunmallow import Dunmallow
from tests_support.trial_consoles_a.ostrel import Ostrel
from tests_support.trial_consoles_a.pinchwell import Pinchwell
from tests_support.trial_consoles_a.tamlock import Tamlock
from tests_support.trial_consoles_a.wrenlock import Wrenlock

TRIAL_A: tuple[type[StatingConsole], ...] = (Ostrel, Pinchwell, Tamlock, Dunmallow, Wrenlock)
