"""What the checks of the overlay have in common: which grids there are, and what the pilot sees when two disagree."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from propsoff import GRIDS, OverlayElement, Size
from propsoff_checks.words import cut, listed

NTSC, PAL = Size.of(GRIDS["ntsc"]), Size.of(GRIDS["pal"])
BY_STANDARD = {"ntsc": NTSC, "pal": PAL}
DIGITAL = tuple(Size.of(grid) for name, grid in GRIDS.items() if name.startswith("hd-"))
LARGEST = 100
"""More columns or rows than any display draws; only a build sheet may know better."""
LOOK = (
    "Look into the goggles: the outermost elements must touch the edges. "
    "The video transmitter needs its antenna and, on a bench, a fan."
)


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
        units = f"{unit} is" if spare == 1 else f"{unit}s are"
        return f"{spare} {units} unused at the {edge} (it reaches {found}/{drawn} of the {way}, {found / drawn:.0%})"
    if spare == -1:
        return f"the last {unit} of {found} lies beyond the {edge} and is not drawn"
    return f"the last {-spare} {unit}s of {found} lie beyond the {edge} and are not drawn" if spare else ""


def names(elements: Iterable[OverlayElement]) -> str:
    """Element names in words."""
    return listed(name_of(element) for element in elements)


def name_of(element: OverlayElement) -> str:
    """The element's name, short enough to quote."""
    return cut(element.name or "unnamed element")
