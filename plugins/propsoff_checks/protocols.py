"""Receiver protocols on a UART: what the line must be set to, and where that is written.

Where no public source is at hand the source says `common practice`: such a rule asks for a look, it does not fail a craft alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Line:
    """One protocol's line: usual name, signal inverted or not, rates in baud, framing, and the source."""

    name: str
    inverted: bool
    bauds: tuple[int, ...]
    framing: str
    source: str
    published: bool


LINES: Mapping[str, Line] = MappingProxyType(
    {
        # The specification says 416666; 420000 and 400000 are what boards and receivers round it to (common practice).
        "crsf": Line("CRSF", False, (416666, 420000, 400000), "8N1", "CRSF protocol specification: 416666 baud 8N1, not inverted", True),
        "sbus": Line("SBUS", True, (100000,), "8E2", "SBUS as read by Zephyr's input_sbus.c: 100000 baud 8E2, inverted", True),
        "ibus": Line("IBUS", False, (115200,), "8N1", "IBUS at 115200 baud 8N1, not inverted: common practice", False),
    }
)
