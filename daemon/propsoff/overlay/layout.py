"""A layout: overlay elements on a grid, and what is to be seen of them there.

Columns and rows count from 0 at the upper left. An element is one row high and `width` columns wide. One that is not
said to be hidden counts as shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from propsoff.craft.model import Overlay, OverlayElement
from propsoff.overlay.size import BY_STANDARD, KNOWN, PAL, GridLike, Size

_MOST_OVERLAPS = 200


class Overlap(NamedTuple):
    """Two elements that share the cells `first_column` to `last_column` of a row."""

    one: OverlayElement
    other: OverlayElement
    row: int
    first_column: int
    last_column: int


def overlay_grid(overlay: Overlay) -> Size | None:
    """The grid that a board lays its overlay out on: as stated, else the largest that its video standard has.

    None where neither was read, and of a digital overlay whose grid was not.
    """
    if overlay.columns is not None and overlay.rows is not None:
        return Size(overlay.columns, overlay.rows)
    return PAL if overlay.system == "auto" else BY_STANDARD.get(overlay.system or "")


def width_of(element: OverlayElement) -> int:
    """How many columns it takes; 1 at least."""
    return max(1, element.width or 1)


def is_shown(element: OverlayElement) -> bool:
    """Whether it is drawn, or may be: it is not said to be hidden."""
    return element.shown is not False


def is_placed(element: OverlayElement) -> bool:
    """Whether its place was read."""
    return element.column is not None and element.row is not None


def is_outside(element: OverlayElement, grid: GridLike) -> bool:
    """Whether any of it lies beyond the grid."""
    column, row = element.column or 0, element.row or 0
    return column < 0 or row < 0 or column + width_of(element) > grid.columns or row >= grid.rows


@dataclass(frozen=True)
class Layout:
    """Elements on a grid."""

    elements: tuple[OverlayElement, ...]
    size: Size

    @classmethod
    def of(cls, elements: Iterable[OverlayElement], grid: GridLike) -> Layout:
        """Elements on any kind of grid."""
        return cls(tuple(elements), Size.of(grid))

    @cached_property
    def shown(self) -> tuple[OverlayElement, ...]:
        """The elements that are drawn, or may be."""
        return tuple(element for element in self.elements if is_shown(element))

    @cached_property
    def drawn(self) -> tuple[OverlayElement, ...]:
        """The elements that are shown at a place that was read."""
        return tuple(element for element in self.shown if is_placed(element))

    @property
    def unplaced(self) -> tuple[OverlayElement, ...]:
        """The elements that are shown nobody knows where."""
        return tuple(element for element in self.shown if not is_placed(element))

    @property
    def outside(self) -> tuple[OverlayElement, ...]:
        """The elements that are shown and lie beyond the grid, in part or whole."""
        return tuple(element for element in self.drawn if is_outside(element, self.size))

    @property
    def overlaps(self) -> tuple[Overlap, ...]:
        """Pairs of shown elements that lie on each other, row by row (at most 200)."""
        found: list[Overlap] = []
        for row in self._by_row():
            running: list[OverlayElement] = []
            for element in row:
                column = element.column or 0
                running = [one for one in running if (one.column or 0) + width_of(one) > column]
                found += [_shared(one, element) for one in running]
                if len(found) >= _MOST_OVERLAPS:
                    return tuple(found[:_MOST_OVERLAPS])
                running.append(element)
        return tuple(found)

    @property
    def reach(self) -> Size | None:
        """The smallest grid, from the upper left, that holds every shown element; None when nothing is shown."""
        return _reach(self.drawn)

    @property
    def made_for(self) -> Size | None:
        """The smaller grid that the shown elements were laid out for, None when they use this one or it is not clear.

        They lie within a known smaller grid, and leave unused on the far side what the larger grid has more. One
        element alone proves no layout.
        """
        drawn = self.drawn
        reached = _reach(drawn)
        if reached is None or len(drawn) < 2:
            return None
        first = Size(min(one.column or 0 for one in drawn), min(one.row or 0 for one in drawn))
        return next((grid for grid in KNOWN if self._leans_to(grid, first, reached)), None)

    def _leans_to(self, grid: Size, first: Size, reached: Size) -> bool:
        if grid == self.size or not self.size.holds(grid) or not grid.holds(reached):
            return False
        wide = _leans(self.size.columns - grid.columns, first.columns, self.size.columns - reached.columns)
        high = _leans(self.size.rows - grid.rows, first.rows, self.size.rows - reached.rows)
        # Between two digital grids a few cells decide: both ways must say the same. From 30 columns there is no doubt.
        decided = [wide] if grid.columns <= PAL.columns < self.size.columns else [wide, high]
        return False not in decided and True in decided

    def _by_row(self) -> list[list[OverlayElement]]:
        rows: dict[int, list[OverlayElement]] = {}
        for element in self.drawn:
            rows.setdefault(element.row or 0, []).append(element)
        return [sorted(rows[row], key=_reading_order) for row in sorted(rows)]


def _leans(more: int, before: int, after: int) -> bool | None:
    """Whether the far side has more room than the near one by at least half of what the grid has more; None: no more"""
    return None if more == 0 else 2 * (after - before) >= more


def _reach(elements: Sequence[OverlayElement]) -> Size | None:
    if not elements:
        return None
    return Size(
        max((element.column or 0) + width_of(element) for element in elements),
        max((element.row or 0) + 1 for element in elements),
    )


def _reading_order(element: OverlayElement) -> tuple[int, int, str]:
    return (element.column or 0, width_of(element), element.name or "")


def _shared(one: OverlayElement, other: OverlayElement) -> Overlap:
    last = min((each.column or 0) + width_of(each) for each in (one, other)) - 1
    return Overlap(one, other, one.row or 0, other.column or 0, last)
