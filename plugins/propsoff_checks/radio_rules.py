"""What this tool knows of the rules for radio: the frequencies and the power of the regions that a sheet may name.

They are here to be compared with, not to be relied on: local rules decide.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Rule:
    """One region: in words, centres in MHz from `low` to `high`, power in mW where there is a limit, the source."""

    words: str
    low_mhz: int
    high_mhz: int
    power_mw: float | None
    source: str


def field_power_mw(volts_per_m: float, distance_m: float) -> float:
    """The radiated power that makes this field at this distance: (E d)^2 / 30, in mW."""
    return (volts_per_m * distance_m) ** 2 / 30 * 1000


RULES: Mapping[str, Rule] = MappingProxyType(
    {
        "eu": Rule(
            "the European Union's rules for short range devices",
            5725,
            5875,
            25.0,
            "Debian wireless-regdb 2026.05.30, rows DE FR AT NL ES SE (EN 300 440): 5725 to 5875 MHz, 25 mW",
        ),
        "us-unlicensed": Rule(
            "the rules of the United States without a licence",
            5725,
            5875,
            field_power_mw(0.050, 3.0),
            "47 CFR 15.249: 50 mV/m at 3 m, which is 0.75 mW (computed); 5725 to 5875 MHz from memory",
        ),
        "us-amateur": Rule(
            "the rules of the United States for licensed amateurs",
            5650,
            5925,
            None,
            "47 CFR 97.301, Region 2: 5650 to 5925 MHz, for licensed amateurs",
        ),
    }
)
