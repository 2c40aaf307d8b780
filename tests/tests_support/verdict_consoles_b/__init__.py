"""Four consoles of the final examination of the learner: who tunes it sees their marks only."""

from __future__ import annotations

from tests_support.other_consoles.stating import StatingConsole
from tests_support.verdict_consoles_b.brockhurst import Brockhurst
from tests_support.verdict_consoles_b.lantry import Lantry
from tests_support.verdict_consoles_b.stonewick import Stonewick
from tests_support.verdict_consoles_b.tolleby import Tolleby

VERDICT_B: tuple[type[StatingConsole], ...] = (Tolleby, Lantry, Stonewick, Brockhurst)
