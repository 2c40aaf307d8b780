"""Lithium cells: what a cell stands, how many a voltage may be, and how far a divider lets a board measure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

REFERENCE_V = 3.3
"""What most processors measure against (the divider of 10k to 1k then gives 36.3 V full scale); from memory."""
USB_V = 5.25
"""The highest voltage that a USB socket supplies (USB 2.0, from memory)."""
MOST_CELLS, USUAL_CELLS = 24, 14
"""More than 14 cells in series are unusual on a multirotor, more than 24 none has; from memory."""
_COUNTS = range(1, MOST_CELLS + 1)
_HALF_A_MILLIVOLT = 0.0005


@dataclass(frozen=True)
class Chemistry:
    """One kind of lithium cell, in V a cell.

    Never below `floor`; charged to `full`, or in makes of their own up to `highest`; `nominal` and the usual range of
    the warning are None where no source names them.
    """

    name: str
    floor: float
    full: float
    highest: float
    nominal: float | None = None
    warning: tuple[float, float] | None = None


CHEMISTRIES: Mapping[str, Chemistry] = MappingProxyType(
    {
        # Floors: charger manual 1209050, p. 44. Nominal and limit of a polymer cell: pouch cell sheet 721235.
        # Charge ends up to 4.50 V: MCP73831 data sheet DS20001984. Warning: common practice.
        "lipo": Chemistry("lithium-polymer", 3.0, 4.2, 4.5, 3.7, (3.3, 3.5)),
        "li-ion": Chemistry("lithium-ion", 2.5, 4.2, 4.5),
        # 3.6 V: PyBaMM's parameter set Prada2013; 3.65 V from memory.
        "life": Chemistry("lithium-iron-phosphate", 2.0, 3.6, 3.65),
    }
)
LOWEST_FLOOR = min(chemistry.floor for chemistry in CHEMISTRIES.values())


def over(first: float, second: float) -> bool:
    """Whether one voltage is above another by more than its writing: half a millivolt."""
    return first - second > _HALF_A_MILLIVOLT


def possible_counts(volts: float, low: float, full: float) -> tuple[int, ...]:
    """The numbers of cells in series that a pack of this voltage may have, each cell between low and full.

    16.8 V between 3.3 and 4.2 may be four cells (4.20 V) or five (3.36 V).
    """
    return tuple(count for count in _COUNTS if not over(volts / count, full) and not over(low, volts / count))


def divider(upper_ohm: float, lower_ohm: float) -> float:
    """The ratio of a divider, (R1 + R2) / R2; never below 1."""
    return (upper_ohm + lower_ohm) / lower_ohm


def full_scale_v(scale: float, reference_v: float = REFERENCE_V) -> float:
    """The highest voltage that a board with this divider can tell."""
    return scale * reference_v
