"""Consoles of the last examination of the learner: whoever tunes it reads their marks only; no code is shared."""

from __future__ import annotations

from tests_support.other_consoles.stating import StatingConsole
from tests_support.verdict_consoles_a.ackerwinde import Ackerwinde
from tests_support.verdict_consoles_a.kestering import Kestering
from tests_support.verdict_consoles_a.tolverne import Tolverne
from tests_support.verdict_consoles_a.wimberry import Wimberry

VERDICT_A: tuple[type[StatingConsole], ...] = (Wimberry, Tolverne, Kestering, Ackerwinde)
