"""What is to be seen of elements on a grid: how far they reach, what lies outside, on what, and made for which grid."""

from __future__ import annotations

import timeit
from itertools import combinations

import pytest

from propsoff import Grid, LayoutError, OverlayElement, Size
from propsoff.craft.model import Overlay
from propsoff.overlay.layout import Layout, Overlap, is_outside, is_placed, is_shown, overlay_grid, width_of
from propsoff.overlay.size import DIGITAL, KNOWN, MOST, NTSC, PAL, checked
from tests_support.overlays import element

HD50, HD53, HD60 = Size(50, 18), Size(53, 20), Size(60, 22)


@pytest.mark.parametrize(
    ("overlay", "grid"),
    [
        (Overlay(system="pal", columns=53, rows=20), HD53),  # as stated
        (Overlay(columns=53, rows=20), HD53),
        # MAX7456 data sheet 19-0576 Rev 0: 30 columns, 13 rows at 525 lines, 16 at 625
        (Overlay(system="pal", columns=53), PAL),
        (Overlay(system="pal", rows=20), PAL),
        (Overlay(system="ntsc"), NTSC),
        (Overlay(system="auto"), PAL),
        (Overlay(system="digital"), None),
        (Overlay(system="digital", columns=53), None),
        (Overlay(), None),
    ],
)
def test_the_grid_is_the_stated_one_else_that_of_the_video_standard(overlay: Overlay, grid: Size | None) -> None:
    assert overlay_grid(overlay) == grid


@pytest.mark.parametrize(("width", "columns"), [(None, 1), (-7, 1), (0, 1), (1, 1), (2, 2), (12, 12)])
def test_every_element_takes_a_column_at_least(width: int | None, columns: int) -> None:
    assert width_of(element("timer", 0, 0, width)) == columns


def test_only_what_is_said_to_be_hidden_is_not_shown() -> None:
    assert [is_shown(element("timer", 0, 0, 4, shown)) for shown in (True, None, False)] == [True, True, False]


def test_a_place_was_read_when_both_numbers_were() -> None:
    assert [is_placed(element("timer", *place)) for place in ((0, 0), (None, 0), (0, None), (None, None))] == [
        True,
        False,
        False,
        False,
    ]


@pytest.mark.parametrize(
    ("column", "row", "width", "outside"),
    [
        (0, 0, 53, False),
        (0, 0, 54, True),
        (49, 19, 4, False),  # 49 + 4 = 53; rows count 0 to 19
        (50, 19, 4, True),
        (49, 20, 4, True),
        (-1, 0, 4, True),
        (0, -1, 4, True),
        (52, 0, None, False),
        (None, 19, 53, False),  # a number that was not read counts as 0
        (49, None, 4, False),
    ],
)
def test_any_cell_beyond_the_grid_is_outside(
    column: int | None, row: int | None, width: int | None, outside: bool
) -> None:
    assert is_outside(element("timer", column, row, width), HD53) is outside


def test_a_grid_of_one_row_holds_its_row() -> None:
    assert not is_outside(element("timer", 0, 0), Size(4, 1))
    assert is_outside(element("timer", 0, 1), Size(4, 1))


def test_a_layout_is_made_of_any_elements_on_any_kind_of_grid() -> None:
    timer = element("timer", 0, 0)
    assert Layout.of(iter([timer]), Grid(53, 20, "hd-53x20")) == Layout((timer,), HD53)


def test_hidden_ones_and_those_without_a_place_are_told_apart_from_what_is_drawn() -> None:
    there, maybe, hidden = element("a", 1, 1), element("b", 90, 1, shown=None), element("c", 90, 1, shown=False)
    nowhere, nowhere_hidden = element("d", None, 1), element("e", None, 1, shown=False)
    layout = Layout((there, maybe, hidden, nowhere, nowhere_hidden), HD53)
    assert layout.shown == (there, maybe, nowhere)
    assert layout.drawn == (there, maybe)
    assert layout.unplaced == (nowhere,)
    assert layout.outside == (maybe,)
    assert layout.reach == (94, 2)  # 90 + 4; row 1 is the second


def test_reach_is_the_smallest_grid_that_holds_all() -> None:
    assert Layout((), HD53).reach is None
    assert Layout((element("a", 0, 0, None),), HD53).reach == (1, 1)
    assert Layout((element("a", 0, 7, 3), element("b", 20, 0, 2)), HD53).reach == (22, 8)


def test_overlaps_are_listed_row_by_row_with_the_cells_that_both_take() -> None:
    a, b, c = element("a", 0, 2, 8), element("b", 4, 2, 2), element("c", 5, 2, 6)
    d, e = element("d", 10, 1, 4), element("e", 13, 1, 4)
    beside = element("f", 11, 2, 3)  # c ends in column 10
    assert Layout((beside, c, b, a, e, d), HD53).overlaps == (
        Overlap(d, e, 1, 13, 13),
        Overlap(a, b, 2, 4, 5),
        Overlap(a, c, 2, 5, 7),
        Overlap(b, c, 2, 5, 5),
    )


def test_overlaps_do_not_depend_on_the_order_of_the_elements() -> None:
    narrow, wide, named = element("z", 0, 0, 2), element("a", 0, 0, 6), element("b", 0, 0, 6)
    nameless = element(None, 0, 0, 6)
    expected = [
        (narrow, nameless),
        (narrow, wide),
        (nameless, wide),
        (narrow, named),
        (nameless, named),
        (wide, named),
    ]
    for elements in ((narrow, wide, named, nameless), (nameless, named, wide, narrow)):
        assert [(one.one, one.other) for one in Layout(elements, HD53).overlaps] == expected
        assert {(one.first_column, one.last_column) for one in Layout(elements, HD53).overlaps} == {(0, 1), (0, 5)}


def test_in_the_first_column_side_by_side_is_no_overlap_and_the_same_cell_is() -> None:
    assert Layout((element("a", 0, 0, 4), element("b", 4, 0, 4)), HD53).overlaps == ()
    first, other = element("a", 0, 0, 1), element("b", 0, 0, 1)
    assert Layout((other, first), HD53).overlaps == (Overlap(first, other, 0, 0, 0),)
    wide, within = element("z", 0, 0, 6), element("a", 1, 0, 2)
    assert Layout((within, wide), HD53).overlaps == (Overlap(wide, within, 0, 1, 2),)


def test_hidden_elements_lie_on_nobody() -> None:
    assert Layout((element("a", 0, 0), element("b", 0, 0, shown=False), element("c", None, 0)), HD53).overlaps == ()


def test_at_most_200_overlaps_are_listed_the_upper_rows_first() -> None:
    """Seven on one place are 7 * 6 / 2 = 21 pairs."""
    rows = [element(f"{row}-{at}", 0, row) for row in range(20) for at in range(7)]
    found = Layout(tuple(rows), HD53).overlaps
    assert [one.row for one in found] == [row for row in range(10) for _ in combinations(range(7), 2)][:200]


def test_a_thousand_elements_on_one_place_are_not_compared_each_with_each() -> None:
    """1000 * 999 / 2 are half a million pairs, for 200 that are told."""
    layout = Layout(tuple(element(str(at), 0, 0) for at in range(1000)), HD53)
    assert len(layout.overlaps) == 200
    assert min(timeit.repeat(lambda: layout.overlaps, number=1, repeat=3)) < 0.1


def spread(first: tuple[int, int], last: tuple[int, int]) -> tuple[OverlayElement, ...]:
    """Two elements, one cell each, at opposite corners; columns and rows count from 0."""
    return (element("a", *first, 1), element("b", *last, 1))


@pytest.mark.parametrize(
    ("elements", "grid", "made_for"),
    [
        (spread((2, 1), (27, 14)), HD53, PAL),
        (spread((2, 1), (27, 12)), HD53, NTSC),  # the smallest that holds them
        (spread((2, 1), (27, 14)), PAL, None),  # its own
        (spread((2, 1), (30, 14)), HD53, HD50),  # a column more than PAL has
        (spread((2, 1), (27, 16)), HD53, HD50),  # a row more
        (spread((2, 1), (27, 11)), PAL, NTSC),
        # Of the 53 - 30 = 23 columns more, half are 11.5: 12 more free columns to the right than to the left do.
        (spread((11, 9), (29, 15)), HD53, PAL),
        (spread((12, 9), (29, 15)), HD53, None),
        # Rows do not count from 30 columns: those of 16 that lie low on 20 still are cramped to the left.
        (spread((2, 9), (27, 15)), HD53, PAL),
        # Between two digital grids both ways must say so: of 60 - 50 = 10 half are 5, of 22 - 18 = 4 half are 2.
        (spread((4, 1), (49, 16)), HD60, HD50),  # free: 10 to the right, 4 to the left; 5 below, 1 above
        (spread((5, 3), (49, 16)), HD60, HD50),  # 10 - 5 = 5; 5 - 3 = 2
        (spread((6, 3), (49, 16)), HD60, HD53),  # 4 are more than half of 60 - 53 = 7
        (spread((5, 4), (49, 16)), HD60, HD53),
        (spread((7, 3), (49, 16)), HD60, None),
        (spread((5, 5), (49, 16)), HD60, None),
        # 53 - 50 = 3, half are 1.5; 20 - 18 = 2, half is 1.
        (spread((1, 1), (49, 17)), HD53, HD50),
        (spread((2, 1), (49, 17)), HD53, None),
        (spread((1, 2), (49, 17)), HD53, None),
        # Only a known grid that lies within this one comes into question.
        (spread((0, 0), (40, 10)), Size(40, 40), None),
        (spread((0, 0), (20, 10)), Size(40, 40), NTSC),
        (spread((0, 0), (20, 10)), Size(29, 40), None),
        # A grid that is only wider, or only higher.
        (spread((0, 3), (20, 12)), Size(60, 13), NTSC),
        (spread((0, 0), (49, 17)), Size(50, 40), HD50),
        (spread((9, 0), (49, 17)), Size(50, 40), HD50),
        (spread((0, 12), (49, 17)), Size(50, 40), None),
        ((), HD53, None),
        (spread((2, 1), (27, 14))[:1], HD53, None),  # one alone proves no layout
        # Of one column, or row, more the half is less than one: the first column, or row, must be in use.
        (spread((0, 0), (52, 19)), Size(54, 20), HD53),
        (spread((1, 0), (52, 19)), Size(54, 20), None),
        (spread((0, 0), (52, 19)), Size(53, 21), HD53),
        (spread((0, 1), (52, 19)), Size(53, 21), None),
    ],
)
def test_the_grid_that_a_layout_was_made_for_is_told_by_the_room_it_leaves(
    elements: tuple[OverlayElement, ...], grid: Size, made_for: Size | None
) -> None:
    assert Layout(elements, grid).made_for == made_for


def test_one_grid_holds_another_when_both_ways_do() -> None:
    assert HD53.holds(HD53)
    assert HD53.holds(HD50)
    assert not HD53.holds(Size(54, 20))
    assert not HD53.holds(Size(53, 21))
    assert str(HD53) == "53x20"


def test_the_largest_grid_is_four_times_what_any_display_draws() -> None:
    assert max(KNOWN) == DIGITAL[-1] == (60, 22)
    assert max(60, 22) * 4 == MOST


@pytest.mark.parametrize("size", [Size(1, 1), Size(MOST, 1), Size(1, MOST), Size(MOST, MOST)])
def test_a_grid_of_one_cell_and_the_largest_can_be_laid_out(size: Size) -> None:
    assert checked(size) == size


@pytest.mark.parametrize("size", [Size(0, 1), Size(1, 0), Size(MOST + 1, 1), Size(1, MOST + 1), Size(-1, -1)])
def test_a_grid_without_a_cell_or_too_large_is_refused(size: Size) -> None:
    with pytest.raises(LayoutError, match=f"a grid of {size} cannot"):
        checked(size)
