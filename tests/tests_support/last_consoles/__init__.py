"""The consoles of the last of all examinations: nobody who tunes the learner reads them. They share no code with it."""

from __future__ import annotations

from tests_support.last_consoles.alcaravan import Alcaravan
from tests_support.last_consoles.kettlebrae import Kettlebrae
from tests_support.last_consoles.nantwen import Nantwen
from tests_support.last_consoles.strandskata import Strandskata
from tests_support.last_consoles.windlestraw import Windlestraw
from tests_support.other_consoles.stating import StatingConsole

LAST: tuple[type[StatingConsole], ...] = (Nantwen, Strandskata, Alcaravan, Kettlebrae, Windlestraw)
