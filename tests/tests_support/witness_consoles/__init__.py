"""Consoles that bear witness: four more of the kind small makers write. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import StatingConsole
from tests_support.witness_consoles.ibbrook import Ibbrook
from tests_support.witness_consoles.skarrow import Skarrow
from tests_support.witness_consoles.tolvane import Tolvane
from tests_support.witness_consoles.wexcombe import Wexcombe

WITNESS: tuple[type[StatingConsole], ...] = (Tolvane, Skarrow, Wexcombe, Ibbrook)
