"""Moving a layout from one grid to another, as a pilot would.

What was at an edge stays at that edge, at the same distance; what was centred stays centred; the rest moves in
proportion. Columns and rows are decided each on their own.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import NamedTuple

from propsoff.craft.model import OverlayElement
from propsoff.exceptions import LayoutError
from propsoff.overlay.layout import Layout, is_placed, is_shown, width_of
from propsoff.overlay.settle import Wish, settle
from propsoff.overlay.size import GridLike, Size, checked

EDGE_COLUMNS = 3
EDGE_ROWS = 2
"""How far from an edge an element still belongs to it: a safe margin of one cell, and room for what stands there."""


def fit_layout(
    elements: Iterable[OverlayElement], from_grid: GridLike, to_grid: GridLike
) -> tuple[OverlayElement, ...]:
    """The same elements, in the same order, at their places on another grid.

    No shown element leaves the grid or lies on another one. Where two would meet, one gives way, as little as possible
    and along its edge where it can. Hidden elements move as well and push nobody; a hidden one that is too wide for the
    grid begins at column 0. An element whose place was not read stays as it is. A layout without faults does not change
    on an equal grid, and the order of the elements does not matter.

    Raises LayoutError, saying which, for elements that do not fit, and for a grid that cannot be.
    """
    before, after = checked(from_grid), checked(to_grid)
    listed = list(elements)
    too_wide = [element for element in listed if _counts(element) and width_of(element) > after.columns]
    if too_wide:
        raise LayoutError(f"wider than the {after.columns} columns of {after}: {_with_widths(too_wide)}")
    placed = [_carried(element, before, after) if is_placed(element) else element for element in listed]
    wishes = [
        _wish(at, moved, listed[at], before)
        for at, moved in enumerate(placed)
        if _counts(moved)
    ]  # fmt: skip
    settled, left_over = settle(wishes, after)
    if left_over:
        raise LayoutError(
            f"no room on {after} ({after.columns * after.rows} cells) for "
            f"{_with_widths([placed[at] for at in left_over])}, beside the others; hide some, or take a larger grid"
        )
    for at, (column, row) in settled.items():
        placed[at] = replace(placed[at], column=column, row=row)
    return tuple(placed)


def layout_source(layout: Layout, to_grid: GridLike) -> Size:
    """The grid that a layout was made for, when it is to be moved to another one.

    Its own grid, or a known smaller one that it was never stretched from; where it reaches beyond its own grid and fits
    the other one, it was made for that.
    """
    target = Size.of(to_grid)
    reached = layout.reach
    if layout.outside and reached is not None and target.holds(reached) and not Layout(layout.elements, target).outside:
        return target
    return layout.made_for or layout.size


class _Axis(NamedTuple):
    """One way across the grid: how many places an element has before and after, and how wide an edge is."""

    free: int
    room: int
    edge: int

    def carried(self, at: int) -> int:
        """Where it goes, from 0 to `room`."""
        at = min(max(at, 0), self.free)
        off_centre = 2 * at - self.free
        if abs(off_centre) <= 1:  # one of two middle places, where there are two
            return (self.room + (off_centre == 1)) // 2
        edge = min(self.edge, self.free // 2, self.room // 2)
        if at <= edge:
            return at
        if self.free - at <= edge:
            return self.room - (self.free - at)
        # Between the edges in proportion to the distance from the centre, so that a mirrored layout stays mirrored.
        inner, inner_after = self.free - 2 * edge, self.room - 2 * edge
        near = (inner * self.room - abs(off_centre) * inner_after + inner) // (2 * inner)
        return near if off_centre < 0 else self.room - near

    def holds_on(self, at: int) -> bool:
        """Whether it was at an edge or centred, so that this way it should not give way."""
        return at <= self.edge or self.free - at <= self.edge or abs(2 * at - self.free) <= 1


def _axes(element: OverlayElement, before: Size, after: Size) -> tuple[_Axis, _Axis]:
    width = width_of(element)
    columns = _Axis(max(0, before.columns - width), max(0, after.columns - width), EDGE_COLUMNS)
    return columns, _Axis(before.rows - 1, after.rows - 1, EDGE_ROWS)


def _carried(element: OverlayElement, before: Size, after: Size) -> OverlayElement:
    columns, rows = _axes(element, before, after)
    return replace(element, column=columns.carried(element.column or 0), row=rows.carried(element.row or 0))


def _wish(at: int, moved: OverlayElement, original: OverlayElement, before: Size) -> Wish:
    columns, rows = _axes(original, before, before)
    return Wish(
        at,
        moved.column or 0,
        moved.row or 0,
        width_of(moved),
        columns.holds_on(original.column or 0),
        rows.holds_on(original.row or 0),
        repr(original),
    )


def _counts(element: OverlayElement) -> bool:
    return is_shown(element) and is_placed(element)


def _with_widths(elements: list[OverlayElement]) -> str:
    named = [f"{(element.name or 'unnamed element')[:40]} ({width_of(element)} wide)" for element in elements[:6]]
    more = [f"{len(elements) - 6} more"] if len(elements) > 6 else []
    return ", ".join([*named, *more])
