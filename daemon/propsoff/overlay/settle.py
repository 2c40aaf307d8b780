"""Finding a place for every element: where two want the same cells, one gives way as little as possible."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from propsoff.overlay.size import Size

# A character is 12 pixels wide and 18 high (MAX7456 data sheet 19-0576): a row counts for one and a half columns.
_COLUMN, _ROW = 2, 3
_TOUCHING = 3
"""Beside another one without a gap two values read as one: a column more is worth it, a row more is not."""
_LETS_GO = 10_000
"""More than any way across a grid: an edge is only let go where it has no room."""


class Wish(NamedTuple):
    """Where an element wants to be. `at` tells whose wish it is, `tie` decides between equals.

    An edge or a centre that it keeps is held where it can be.
    """

    at: int
    column: int
    row: int
    width: int
    keeps_column: bool
    keeps_row: bool
    tie: str


Places = dict[int, tuple[int, int]]


def settle(wishes: Sequence[Wish], size: Size) -> tuple[Places, list[int]]:
    """A place (column, row) for each wish by its `at`, and those for which there was none.

    Every wish lies within the grid. Who is on nobody stays; the others give way in an order that does not depend on the
    order of the wishes. Only where that leaves one without a place are the rest moved too, the widest first, and in the
    end row by row from the upper left.
    """
    crowded = _crowded(wishes)
    alone = [wish for wish in wishes if wish.at not in crowded]
    others = [wish for wish in wishes if wish.at in crowded]
    attempts: tuple[tuple[Iterable[Wish], Iterable[Wish]], ...] = (
        (alone, sorted(others, key=_firmest)),
        (alone, sorted(others, key=_widest)),
        ((), sorted(wishes, key=_widest)),
    )
    for fixed, moving in attempts:
        places, left_over = _placed(fixed, moving, size, _nearest)
        if not left_over:
            return places, []
    return _placed((), sorted(wishes, key=_widest), size, _first)


def _firmest(wish: Wish) -> tuple[object, ...]:
    return (-(wish.keeps_column + wish.keeps_row), *_widest(wish))


def _widest(wish: Wish) -> tuple[object, ...]:
    return (-wish.width, wish.row, wish.column, wish.tie)


def _crowded(wishes: Iterable[Wish]) -> set[int]:
    """Those whose wishes share a cell."""
    found: set[int] = set()
    furthest: Wish | None = None
    for wish in sorted(wishes, key=lambda one: (one.row, one.column)):
        if furthest is not None and furthest.row == wish.row and wish.column < furthest.column + furthest.width:
            found |= {furthest.at, wish.at}
            if wish.column + wish.width <= furthest.column + furthest.width:
                continue
        furthest = wish
    return found


class _Board:
    """Which cells are taken, a bit for each column of a row."""

    def __init__(self, size: Size) -> None:
        self.size = size
        self._rows = [0] * size.rows

    def take(self, column: int, row: int, width: int) -> None:
        self._rows[row] |= ((1 << width) - 1) << column

    def is_free(self, column: int, row: int, width: int) -> bool:
        return not self._rows[row] & ((1 << width) - 1) << column

    def touching(self, column: int, row: int, width: int) -> int:
        """How many sides have a neighbour without a gap."""
        left = column > 0 and self._rows[row] >> (column - 1) & 1
        return int(left) + (self._rows[row] >> (column + width) & 1)


def _placed(
    fixed: Iterable[Wish],
    moving: Iterable[Wish],
    size: Size,
    find: Callable[[Wish, _Board], tuple[int, int] | None],
) -> tuple[Places, list[int]]:
    board, places, left_over = _Board(size), Places(), list[int]()
    for wish in fixed:
        board.take(wish.column, wish.row, wish.width)
        places[wish.at] = (wish.column, wish.row)
    for wish in moving:
        place = find(wish, board)
        if place is None:
            left_over.append(wish.at)
        else:
            board.take(*place, wish.width)
            places[wish.at] = place
    return places, left_over


def _first(wish: Wish, board: _Board) -> tuple[int, int] | None:
    """The first free place, row by row."""
    for row in range(board.size.rows):
        for column in range(board.size.columns - wish.width + 1):
            if board.is_free(column, row, wish.width):
                return column, row
    return None


def _nearest(wish: Wish, board: _Board) -> tuple[int, int] | None:
    """The free place that costs least; of equal ones the nearer row, then the upper, then the left."""
    best: tuple[int, ...] | None = None
    for row in sorted(range(board.size.rows), key=lambda row: (abs(row - wish.row), row)):
        by_row = _ROW * abs(row - wish.row) + _LETS_GO * (wish.keeps_row and row != wish.row)
        if best is not None and by_row > best[0]:
            break
        found = _nearest_in(row, by_row, wish, board)
        if found is not None and (best is None or found < best):
            best = found
    return None if best is None else (best[-1], best[-2])


def _nearest_in(row: int, by_row: int, wish: Wish, board: _Board) -> tuple[int, ...] | None:
    best: tuple[int, ...] | None = None
    last = board.size.columns - wish.width
    for away in range(max(wish.column, last - wish.column) + 1):
        by_column = _COLUMN * away + _LETS_GO * (wish.keeps_column and away > 0)
        if best is not None and by_row + by_column > best[0]:
            break
        for column in (wish.column - away, wish.column + away):
            if 0 <= column <= last and board.is_free(column, row, wish.width):
                moved = row != wish.row or away > 0
                touching = _TOUCHING * board.touching(column, row, wish.width) if moved else 0
                found = (by_row + by_column + touching, abs(row - wish.row), away, row, column)
                best = found if best is None else min(best, found)
    return best
