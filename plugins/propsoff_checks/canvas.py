"""Character grids: their sizes, and what the pilot sees when two of them do not agree. No rules here, only geometry."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from propsoff import OverlayElement
from propsoff_checks.words import cut, listed


class Size(NamedTuple):
    """Columns x rows."""

    columns: int
    rows: int

    def __str__(self) -> str:
        return f"{self.columns}x{self.rows}"


# MAX7456 data sheet 19-0576 Rev 0: 30 columns, 13 rows at 525 lines, 16 rows at 625 lines.
NTSC, PAL = Size(30, 13), Size(30, 16)
BY_STANDARD = {"ntsc": NTSC, "pal": PAL}
# Common practice of the trade; 60x22 from memory.
DIGITAL = (Size(50, 18), Size(53, 20), Size(60, 22))
LARGEST = 100
"""More columns or rows than any display draws; only a build sheet may know better."""


def nearest(found: Size, allowed: Sequence[Size]) -> Size:
    """Of the allowed grids, the one that differs least."""
    return min(allowed, key=lambda size: abs(size.columns - found.columns) + abs(size.rows - found.rows))


def seen(found: Size, drawn: Size) -> str:
    """What the pilot sees when the board lays out `found` and the display draws `drawn`."""
    parts = []
    if found.columns <= PAL.columns < drawn.columns and found.rows < drawn.rows:
        parts.append("the overlay sits clustered in the upper left")
    parts += [_short(drawn.columns - found.columns, found.columns, drawn.columns, "column", "width", "right edge")]
    parts += [_short(drawn.rows - found.rows, found.rows, drawn.rows, "row", "height", "bottom")]
    return "; ".join(part for part in parts if part)


def _short(spare: int, found: int, drawn: int, unit: str, way: str, edge: str) -> str:
    if spare > 0:
        units = unit if spare == 1 else f"{unit}s"
        return f"{spare} {units} unused at the {edge}: it reaches {found}/{drawn} of the {way} ({found / drawn:.0%})"
    if spare == -1:
        return f"the last {unit} of {found} lies beyond the {edge} and is not drawn"
    return f"the last {-spare} {unit}s of {found} lie beyond the {edge} and are not drawn" if spare else ""


def shown(elements: Iterable[OverlayElement]) -> list[OverlayElement]:
    """The elements that are drawn, or may be: those not said to be hidden."""
    return [element for element in elements if element.shown is not False]


def names(elements: Sequence[OverlayElement]) -> str:
    """Element names in words."""
    return listed(cut(element.name or "unnamed element") for element in elements)


def placed(element: OverlayElement) -> bool:
    """Whether its place was read."""
    return element.column is not None and element.row is not None


def width_of(element: OverlayElement) -> int:
    """How many columns it takes; 1 at least."""
    return max(1, element.width or 1)


def outside(element: OverlayElement, grid: Size) -> bool:
    """Whether any of it lies beyond the grid."""
    column, row = element.column or 0, element.row or 0
    return column < 0 or row < 0 or column + width_of(element) > grid.columns or row >= grid.rows


def reach(elements: Sequence[OverlayElement]) -> Size:
    """The smallest grid, from the upper left, that holds them all."""
    return Size(
        max((element.column or 0) + width_of(element) for element in elements),
        max((element.row or 0) + 1 for element in elements),
    )
