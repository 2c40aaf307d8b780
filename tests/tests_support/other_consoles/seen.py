"""The consoles that the learner was developed with. A result on them proves less than one on consoles it never saw."""

from __future__ import annotations

from tests_support.other_consoles.brachvogel import Brachvogel
from tests_support.other_consoles.marrick import Marrick
from tests_support.other_consoles.pellow import Pellow
from tests_support.other_consoles.quillon import Quillon
from tests_support.other_consoles.sorrel import Sorrel
from tests_support.other_consoles.stating import StatingConsole
from tests_support.other_consoles.tarnhow import Tarnhow

SEEN: tuple[type[StatingConsole], ...] = (Pellow, Marrick, Quillon, Sorrel, Brachvogel, Tarnhow)
