"""Receiver protocols on a UART: what the line must be set to, and where that is written.

Where no public source is at hand the source says `common practice`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Line:
    """One protocol's line: its name, whether the signal is inverted, rates in baud (the source's first), the source."""

    name: str
    inverted: bool
    bauds: tuple[int, ...]
    source: str


LINES: Mapping[str, Line] = MappingProxyType(
    {
        # The specification says 416666; 420000 and 400000 are what boards and receivers round it to (common practice).
        "crsf": Line(
            "CRSF", False, (416666, 420000, 400000), "CRSF protocol specification: 416666 baud 8N1, not inverted"
        ),
        "sbus": Line("SBUS", True, (100000,), "Zephyr's input_sbus.c: SBUS is 100000 baud 8E2, inverted"),
        "ibus": Line("IBUS", False, (115200,), "IBUS is 115200 baud 8N1, not inverted: common practice"),
    }
)
