"""Who gives way, and where to: held against every place there is."""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import permutations

import pytest

from propsoff import Size
from propsoff.overlay.settle import Wish, settle

SIZE = Size(16, 5)
BLOCK = 5
CELL = (12, 18)
"""Pixels of a character: MAX7456 data sheet 19-0576 Rev 0."""


def wish(at: int, column: int, row: int, width: int, keeps: str = "", tie: str = "") -> Wish:
    return Wish(at, column, row, width, "column" in keeps, "row" in keeps, tie or str(at))


def cheapest(mover: Wish, others: Sequence[Wish], size: Size) -> tuple[int, int]:
    """The free place that costs least, found by trying all: a held edge before all, then the way in pixels."""
    taken = {(one.column + by, one.row) for one in others for by in range(one.width)}

    def cost(place: tuple[int, int]) -> tuple[float, ...]:
        column, row = place
        across, down = abs(column - mover.column), abs(row - mover.row)
        let_go = (mover.keeps_column and across > 0) + (mover.keeps_row and down > 0)
        beside = ((column - 1, row) in taken) + ((column + mover.width, row) in taken) if across or down else 0
        # Without a gap two values read as one: worth one column of way (12 pixels), and not one row (18).
        return let_go, CELL[0] * across + CELL[1] * down + CELL[1] * beside, down, across, row, column

    places = ((column, row) for column in range(size.columns - mover.width + 1) for row in range(size.rows))
    free = [place for place in places if not {(place[0] + by, place[1]) for by in range(mover.width)} & taken]
    return min(free, key=cost)


@pytest.mark.parametrize("keeps", ["", "column", "row", "column row"])
@pytest.mark.parametrize("seed", range(6))
def test_who_gives_way_takes_the_free_place_that_costs_least(seed: int, keeps: str) -> None:
    """One moves; the others hold both their edges and are wider, and so stay where they are."""
    chance = random.Random(seed)
    others = [
        wish(row, chance.randint(0, SIZE.columns - BLOCK), row, BLOCK, "column row")
        for row in chance.sample(range(SIZE.rows), 4)
    ]
    others += [  # and some rows have two
        wish(9 + one.row, one.column - BLOCK if one.column >= BLOCK else one.column + 6, one.row, BLOCK, "column row")
        for one in others[:2]
        if one.column >= BLOCK or one.column + 6 + BLOCK <= SIZE.columns
    ]
    for width in (1, 2, 4):
        for row in range(SIZE.rows):
            for column in range(SIZE.columns - width + 1):
                mover = wish(7, column, row, width, keeps)
                places, left_over = settle([mover, *others], SIZE)
                assert left_over == []
                assert places[7] == cheapest(mover, others, SIZE), (mover, others)
                assert all(places[one.at] == (one.column, one.row) for one in others)


@pytest.mark.parametrize(
    ("stays", "moves"),
    [
        (wish(0, 4, 2, 2, "column row"), wish(1, 4, 2, 6, "column")),  # it holds more edges
        (wish(0, 4, 2, 2, "row"), wish(1, 4, 2, 6)),
        (wish(0, 4, 2, 2, "column"), wish(1, 4, 2, 6)),
        (wish(0, 5, 2, 4, "row"), wish(1, 4, 2, 3, "column")),  # of equals the wider
        (wish(0, 4, 2, 3), wish(1, 5, 2, 3)),  # then the one further left
        (wish(0, 4, 2, 3, tie="a"), wish(1, 4, 2, 3, tie="b")),  # then the one that sorts first
    ],
)
def test_of_two_on_the_same_cells_one_stays_whatever_their_order(stays: Wish, moves: Wish) -> None:
    for order in ([stays, moves], [moves, stays]):
        places, left_over = settle(order, SIZE)
        assert left_over == []
        assert places[stays.at] == (stays.column, stays.row)
        assert places[moves.at] == cheapest(moves, [stays], SIZE) != (moves.column, moves.row)


def test_the_upper_of_two_equals_chooses_first() -> None:
    """Both pairs push one out, and between the rows there is one gap that both would take."""
    size = Size(3, 3)
    upper, lower = wish(1, 0, 0, 3, tie="z"), wish(3, 0, 2, 3, tie="y")
    held = [wish(0, 0, 0, 3, "column row"), wish(2, 0, 2, 3, "column row")]
    places, left_over = settle([lower, *held, upper], size)
    assert (places[1], left_over) == ((0, 1), [3])


@pytest.mark.parametrize("order", list(permutations(range(3))))
def test_everyone_on_a_wide_one_counts_as_crowded_and_who_touches_it_does_not(order: tuple[int, ...]) -> None:
    wide, inside, at_its_end = wish(0, 2, 2, 9), wish(1, 3, 2, 2), wish(2, 9, 2, 3)
    beside, above = wish(3, 12, 2, 2), wish(4, 3, 1, 2)
    trio = [wide, inside, at_its_end]
    places, left_over = settle([beside, *(trio[at] for at in order), above], SIZE)
    assert left_over == []
    assert (places[0], places[3], places[4]) == ((2, 2), (12, 2), (3, 1))
    assert cells(places, [wide, inside, at_its_end, beside, above])


def cells(places: dict[int, tuple[int, int]], wishes: Sequence[Wish]) -> set[tuple[int, int]]:
    """The cells that are taken; nobody on another's, nobody outside."""
    taken = [(places[one.at][0] + by, places[one.at][1]) for one in wishes for by in range(one.width)]
    assert len(set(taken)) == len(taken)
    return set(taken)


def test_who_is_on_nobody_once_another_has_given_way_stays_even_beside_a_third() -> None:
    heap = [wish(0, 0, 2, 4), wish(1, 2, 2, 4), wish(2, 4, 2, 4)]
    places, _ = settle(heap, SIZE)
    assert places == {0: (0, 2), 1: (2, 1), 2: (4, 2)}


def test_the_wide_one_between_two_stays_and_both_give_way() -> None:
    left, wide, right = wish(0, 0, 2, 3), wish(1, 2, 2, 9), wish(2, 10, 2, 3)
    places, _ = settle([left, wide, right], SIZE)
    assert places == {0: (0, 1), 1: (2, 2), 2: (10, 1)}


def test_who_only_touches_a_heap_is_not_pushed_aside_by_it() -> None:
    stays, pushed, beside = wish(0, 10, 0, 8, "column row"), wish(1, 12, 0, 6), wish(2, 18, 0, 2)
    places, _ = settle([stays, pushed, beside], Size(40, 1))
    assert (places[0], places[2]) == ((10, 0), (18, 0))
    assert places[1] == cheapest(pushed, [stays, beside], Size(40, 1))


def test_a_gap_is_left_beside_what_stands_in_the_first_column() -> None:
    assert settle([wish(0, 0, 0, 1, "column row"), wish(1, 0, 0, 1)], Size(6, 1))[0] == {0: (0, 0), 1: (2, 0)}


def test_a_narrow_one_that_holds_its_place_is_moved_when_a_wide_one_has_no_room_otherwise() -> None:
    narrow, wide = wish(0, 2, 0, 2, "column row"), wish(1, 0, 0, 4)
    assert settle([narrow, wide], Size(6, 1)) == ({1: (0, 0), 0: (4, 0)}, [])


def test_who_stood_alone_is_moved_only_when_there_is_no_room_otherwise() -> None:
    alone, wide, narrow = wish(0, 1, 0, 1, "column row"), wish(1, 3, 0, 4), wish(2, 3, 0, 2)
    assert settle([alone, wide, narrow], Size(7, 1)) == ({1: (3, 0), 2: (0, 0), 0: (2, 0)}, [])
    places, _ = settle([alone, wide, narrow], Size(7, 2))
    assert places[0] == (1, 0)


def test_where_nothing_else_helps_they_are_packed_row_by_row_from_the_upper_left() -> None:
    heap = [wish(0, 1, 0, 2, tie="a"), wish(1, 1, 0, 2, tie="b"), wish(2, 1, 0, 2, tie="c")]
    assert settle(heap, Size(6, 1)) == ({0: (0, 0), 1: (2, 0), 2: (4, 0)}, [])
    heap = [wish(at, 1, 1, 3) for at in range(4)]
    assert settle(heap, Size(6, 2)) == ({0: (0, 0), 1: (3, 0), 2: (0, 1), 3: (3, 1)}, [])


def test_who_has_no_room_is_named_and_the_others_are_placed() -> None:
    heap = [wish(0, 0, 0, 4), wish(1, 0, 0, 3), wish(2, 0, 0, 2)]
    assert settle(heap, Size(5, 1)) == ({0: (0, 0)}, [1, 2])
    assert settle([], Size(5, 1)) == ({}, [])


def test_a_gap_is_worth_a_column_and_not_a_row() -> None:
    battery, timer = wish(0, 2, 2, 5, "column row"), wish(1, 4, 2, 6)
    assert settle([battery, timer], Size(53, 3))[0][1] == (4, 1)  # a row up is less far than four columns
    assert settle([battery, timer], Size(53, 5))[0][1] == (4, 1)
    held = timer._replace(keeps_row=True)
    assert settle([battery, held], Size(53, 5))[0][1] == (8, 2)  # and not (7, 2), where the two would read as one
