"""Sizes of character grids, and which of them the trade knows."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple, Protocol

from propsoff.exceptions import LayoutError


class GridLike(Protocol):
    """Anything with a number of columns and of rows: a `Size`, a build sheet's `Grid`."""

    @property
    def columns(self) -> int:
        """Width of the grid."""

    @property
    def rows(self) -> int:
        """Height of the grid."""


class Size(NamedTuple):
    """Columns x rows."""

    columns: int
    rows: int

    @classmethod
    def of(cls, grid: GridLike) -> Size:
        """The size of a grid."""
        return cls(grid.columns, grid.rows)

    def __str__(self) -> str:
        return f"{self.columns}x{self.rows}"

    def holds(self, other: Size) -> bool:
        """Whether a grid of the other size lies within this one."""
        return other.columns <= self.columns and other.rows <= self.rows


# MAX7456 data sheet 19-0576 Rev 0: 30 columns, 13 rows at 525 lines, 16 rows at 625 lines.
NTSC, PAL = Size(30, 13), Size(30, 16)
BY_STANDARD: Mapping[str, Size] = MappingProxyType({"ntsc": NTSC, "pal": PAL})
# Common practice of the trade; 60x22 from memory.
DIGITAL = (Size(50, 18), Size(53, 20), Size(60, 22))
KNOWN = (NTSC, PAL, *DIGITAL)
"""The grids that the trade knows, the smallest first."""
MOST = 240
"""Columns, and rows, of the largest grid that is laid out or drawn at all: four times what any display has."""


def checked(grid: GridLike) -> Size:
    """The size of a grid that can be laid out. Raises LayoutError for one that cannot be."""
    size = Size.of(grid)
    if not (0 < size.columns <= MOST and 0 < size.rows <= MOST):
        raise LayoutError(f"a grid of {size} cannot be laid out: it needs 1 to {MOST} columns and 1 to {MOST} rows")
    return size
