"""Consoles for the last examination of the learner: who tunes it reads their marks only. They share no code with it."""

from __future__ import annotations

from tests_support.final_consoles.brindlemoor import Brindlemoor
from tests_support.final_consoles.cawthwaite import Cawthwaite
from tests_support.final_consoles.ullscar import Ullscar
from tests_support.final_consoles.vuurdoorn import Vuurdoorn
from tests_support.other_consoles.stating import StatingConsole

FINAL: tuple[type[StatingConsole], ...] = (Cawthwaite, Ullscar, Vuurdoorn, Brindlemoor)
