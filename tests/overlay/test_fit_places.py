"""Where each place of a grid goes on another one, counted out; who holds an edge; and what an error names."""

from __future__ import annotations

from fractions import Fraction
from math import floor

import pytest

from propsoff import LayoutError, Size, fit_layout
from propsoff.overlay.fit import EDGE_COLUMNS, EDGE_ROWS, layout_source
from propsoff.overlay.layout import Layout
from tests_support.overlays import element

PAL, HD50, HD53 = Size(30, 16), Size(50, 18), Size(53, 20)


def expected(at: int, free: int, room: int, edge: int) -> int:
    """The rule in the words of the module: edges, centre, and between them the straight line, mirrored."""
    if at <= 0 or at >= free:
        at = max(0, min(at, free))
    if 2 * at - free in (-1, 0, 1):
        return room // 2 + (1 if room % 2 and 2 * at > free else 0)
    edge = min(edge, free // 2, room // 2)
    if 2 * at > free:
        return room - expected(free - at, free, room, edge)
    if at <= edge:
        return at
    line = Fraction(room, 2) - (Fraction(free, 2) - at) * Fraction(room - 2 * edge, free - 2 * edge)
    return floor(line + Fraction(1, 2))


GRIDS = [PAL, HD50, HD53, Size(12, 7), Size(7, 5), Size(6, 4), Size(5, 3), Size(3, 2), Size(2, 1)]


@pytest.mark.parametrize("before", GRIDS, ids=str)
@pytest.mark.parametrize("after", GRIDS, ids=str)
def test_every_place_goes_where_the_rule_says(before: Size, after: Size) -> None:
    for width in (1, 2):
        for column in range(-2, before.columns + 2):
            [moved] = fit_layout([element("a", column, 0, width)], before, after)
            assert moved.column == expected(column, before.columns - width, after.columns - width, EDGE_COLUMNS), column
    for row in range(-2, before.rows + 2):
        [moved] = fit_layout([element("a", 0, row, 1)], before, after)
        assert moved.row == expected(row, before.rows - 1, after.rows - 1, EDGE_ROWS), row


def test_an_edge_is_a_margin_of_one_and_room_for_what_stands_there() -> None:
    """Of 30 columns the fourth still belongs to the edge and the fifth does not; of 16 rows the third does."""
    moved = [fit_layout([element("a", at, at, 1)], PAL, HD53)[0] for at in range(5)]
    assert [one.column for one in moved] == [0, 1, 2, 3, 5]  # 26 - 10.5 * 46 / 23 = 5
    assert [one.row for one in moved] == [0, 1, 2, 3, 5]  # 9.5 - 4.5 * 15 / 11 = 3.4; 9.5 - 3.5 * 15 / 11 = 4.7


def test_a_hidden_element_wider_than_either_grid_begins_at_the_left() -> None:
    [moved] = fit_layout([element("a", 9, 3, 99, shown=False)], PAL, HD53)
    assert moved.column == 0


@pytest.mark.parametrize(
    ("column", "row", "stays"),
    [
        # It collides with a wider one that holds as much. Who holds its column gives way along it, and so for the row.
        (3, 8, "column"),  # 3 from the left
        (4, 8, ""),
        (45, 8, "column"),  # 45 + 5 = 50: 3 from the right
        (44, 8, ""),
        (24, 8, "column"),  # the middle: 53 - 5 = 48
        (25, 8, ""),
        (12, 2, "row"),
        (12, 3, ""),
        (12, 17, "row"),  # 2 from the bottom
        (12, 16, ""),
        (12, 9, "row"),  # one of the two middle rows
        (12, 10, "row"),
        (12, 11, ""),
    ],
)
def test_who_was_at_an_edge_or_centred_stays_there_when_it_gives_way(column: int, row: int, stays: str) -> None:
    wide = element("wide", max(0, min(column - 1, 53 - 9)), row, 9)
    narrow = element("narrow", column, row, 5)
    moved = fit_layout([narrow, wide], HD53, HD53)
    now = next(one for one in moved if one.name == "narrow")
    if moved[1] != wide:  # the narrow one holds more edges: it stays whole
        assert now == narrow
        assert stays
        return
    if stays == "row":
        assert (now.row, now.column != column) == (row, True)
    else:  # a row is nearer than the end of the wide one
        assert (now.column, abs((now.row or 0) - row)) == (column, 1)


def test_six_that_do_not_fit_are_named_and_the_rest_counted() -> None:
    for many, tail in ((6, "item-5 (12 wide)"), (7, "item-5 (12 wide), 1 more"), (9, "item-5 (12 wide), 3 more")):
        with pytest.raises(LayoutError) as caught:
            fit_layout([element(f"item-{at}", 0, at, 12) for at in range(many)], PAL, Size(11, 16))
        assert str(caught.value).endswith(tail)
    with pytest.raises(LayoutError, match=r": x{40} \(12 wide\)"):
        fit_layout([element("x" * 99, 0, 0, 12)], PAL, Size(11, 16))
    with pytest.raises(LayoutError, match=r"unnamed element \(12 wide\)"):
        fit_layout([element("", 0, 0, 12)], PAL, Size(11, 16))


def test_what_is_as_wide_as_the_grid_fits() -> None:
    [moved] = fit_layout([element("a", 0, 0, 11)], PAL, Size(11, 16))
    assert moved.column == 0


def test_a_layout_beyond_its_own_grid_and_beyond_the_other_was_not_made_for_that() -> None:
    far = (element("a", 2, 1, 4), element("b", 90, 1, 4))
    assert layout_source(Layout(far, PAL), HD53) == PAL
    left = (element("a", -1, 1, 4), element("b", 40, 1, 4))
    assert layout_source(Layout(left, PAL), HD53) == PAL
    within = (element("a", 0, 0, 4), element("b", 40, 1, 4))
    assert layout_source(Layout(within, PAL), HD53) == HD53
    assert layout_source(Layout((), PAL), HD53) == PAL
