"""Moving a layout to another grid: edges, centres, proportion, no overlaps; whatever the layout."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from propsoff import Grid, Layout, LayoutError, OverlayElement, Size, fit_layout
from propsoff.overlay.fit import EDGE_COLUMNS, EDGE_ROWS, layout_source
from propsoff.overlay.layout import is_outside, width_of
from propsoff.overlay.size import DIGITAL, KNOWN, MOST, NTSC, PAL
from propsoff_sim.board import layout as simulated_layout
from tests_support.overlays import element

HD53, HD50 = Size(53, 20), Size(50, 18)
NAMES = st.sampled_from(["battery", "timer", "link-quality", "warnings", "speed", "<&>", "", None])
GRIDS = st.one_of(st.sampled_from(KNOWN), st.builds(Size, st.integers(1, 70), st.integers(1, 30)))
ROOMY = st.one_of(st.sampled_from(KNOWN), st.builds(Size, st.integers(26, 70), st.integers(10, 30)))


@st.composite
def sound(draw: st.DrawFn, size: Size, most: int = 9) -> tuple[OverlayElement, ...]:
    """A layout without faults: inside, nothing on anything."""
    taken: set[tuple[int, int]] = set()
    found: list[OverlayElement] = []
    for _ in range(draw(st.integers(0, most))):
        width = draw(st.integers(1, min(12, size.columns)))
        column = draw(st.integers(0, size.columns - width))
        row = draw(st.integers(0, size.rows - 1))
        shown = draw(st.sampled_from([True, True, True, None, False]))
        cells = {(column + at, row) for at in range(width)}
        if shown is False or not cells & taken:
            taken |= cells if shown is not False else set()
            found.append(element(draw(NAMES), column, row, width, shown))
    return tuple(found)


ANY = st.builds(
    OverlayElement,
    NAMES,
    st.one_of(st.none(), st.integers(-3, 70), st.sampled_from([2**53, -(2**40)])),
    st.one_of(st.none(), st.integers(-3, 30), st.sampled_from([65_536, -1])),
    st.one_of(st.none(), st.integers(-1, 14)),
    st.sampled_from([True, None, False]),
)


def fitted(elements: tuple[OverlayElement, ...], before: Size, after: Size) -> tuple[OverlayElement, ...]:
    try:
        return fit_layout(elements, before, after)
    except LayoutError:
        assume(False)
        raise


@settings(max_examples=300, deadline=None)
@given(st.lists(ANY, max_size=25).map(tuple), GRIDS, GRIDS)
def test_no_shown_element_leaves_the_grid_or_lies_on_another(
    elements: tuple[OverlayElement, ...], before: Size, after: Size
) -> None:
    moved = Layout(fitted(elements, before, after), after)
    assert moved.outside == ()
    assert moved.overlaps == ()
    assert [(one.name, one.width, one.shown) for one in moved.elements] == [
        (one.name, one.width, one.shown) for one in elements
    ]
    for one, original in zip(moved.elements, elements, strict=True):
        if original.column is None or original.row is None:
            assert one == original
        elif width_of(one) <= after.columns:
            assert not is_outside(one, after)  # hidden ones too


@settings(max_examples=300, deadline=None)
@given(st.data(), GRIDS)
def test_a_sound_layout_does_not_change_on_an_equal_grid(data: st.DataObject, size: Size) -> None:
    elements = data.draw(sound(size))
    assert fit_layout(elements, size, size) == elements


@settings(max_examples=300, deadline=None)
@given(st.data(), ROOMY, ROOMY)
def test_a_lone_element_keeps_its_edges_and_its_centre_both_ways(
    data: st.DataObject, before: Size, after: Size
) -> None:
    width = data.draw(st.integers(1, 12))
    column, row = data.draw(st.integers(0, before.columns - width)), data.draw(st.integers(0, before.rows - 1))
    [moved] = fit_layout([element("timer", column, row, width)], before, after)
    for at, now, free, room, edge in (
        (column, moved.column or 0, before.columns - width, after.columns - width, EDGE_COLUMNS),
        (row, moved.row or 0, before.rows - 1, after.rows - 1, EDGE_ROWS),
    ):
        if abs(2 * at - free) <= 1:
            assert abs(2 * now - room) <= 1
        elif at <= edge:
            assert now == at
        elif free - at <= edge:
            assert room - now == free - at
        else:
            # Between the edges in proportion: within half a cell of the straight line between the two edges.
            straight = edge + (at - edge) * (room - 2 * edge) / (free - 2 * edge)
            assert abs(now - straight) <= 0.5


@settings(max_examples=200, deadline=None)
@given(st.data(), GRIDS, GRIDS, st.integers(0, 2**32))
def test_the_order_of_the_elements_makes_no_difference(
    data: st.DataObject, before: Size, after: Size, seed: int
) -> None:
    elements = data.draw(st.lists(ANY, max_size=14).map(tuple))
    shuffled = list(elements)
    random.Random(seed).shuffle(shuffled)
    once = fitted(elements, before, after)
    assert Counter(fit_layout(shuffled, before, after)) == Counter(once)


@settings(max_examples=300, deadline=None)
@given(sound(PAL), st.sampled_from(DIGITAL))
def test_there_and_back_changes_nothing_where_nobody_had_to_give_way(
    elements: tuple[OverlayElement, ...], larger: Size
) -> None:
    for one in elements:  # of two middle places a middle has one on the other grid: only the left, or upper, comes back
        assume(2 * (one.column or 0) - (PAL.columns - width_of(one)) != 1)
    there = fit_layout(elements, PAL, larger)
    alone = tuple(fit_layout([one], PAL, larger)[0] for one in elements)
    assume(there == alone)
    assert fit_layout(there, larger, PAL) == elements


@pytest.mark.parametrize("small", [PAL, NTSC])
@pytest.mark.parametrize("large", DIGITAL)
def test_there_and_back_changes_nothing_of_the_simulated_layouts(small: Size, large: Size) -> None:
    elements = tuple(
        OverlayElement(one.name, one.column, one.row, one.width, one.shown) for one in simulated_layout(*small)
    )
    assert fit_layout(fit_layout(elements, small, large), large, small) == elements


@settings(max_examples=200, deadline=None)
@given(st.data(), ROOMY, ROOMY)
def test_a_mirrored_layout_is_moved_to_the_mirrored_place(data: st.DataObject, before: Size, after: Size) -> None:
    width = data.draw(st.integers(1, 12))
    column, row = data.draw(st.integers(0, before.columns - width)), data.draw(st.integers(0, before.rows - 1))
    assume(abs(2 * column - (before.columns - width)) > 1)
    [one] = fit_layout([element("a", column, row, width)], before, after)
    [other] = fit_layout([element("a", before.columns - width - column, row, width)], before, after)
    assert (other.column or 0) == after.columns - width - (one.column or 0)


def test_the_layout_of_an_analogue_craft_goes_to_the_edges_of_the_digital_grid() -> None:
    before = {
        "battery": (2, 14, 5),  # two from the left, one from the bottom
        "timer": (22, 14, 6),  # two from the right
        "link-quality": (2, 1, 4),
        "warnings": (9, 12, 12),  # centred
        "craft-name": (10, 1, 10),
        "altitude": (22, 6, 6),
        "speed": (2, 6, 6),
    }
    moved = fit_layout([element(name, *place) for name, place in before.items()], PAL, HD53)
    assert {one.name: (one.column, one.row) for one in moved} == {
        "battery": (2, 18),
        "timer": (53 - 2 - 6, 18),
        "link-quality": (2, 1),
        "warnings": ((53 - 12) // 2, 16),
        "craft-name": ((53 - 10) // 2, 1),
        "altitude": (53 - 2 - 6, 7),
        "speed": (2, 7),
    }


def test_of_two_that_collide_the_one_that_holds_no_edge_gives_way_along_its_row() -> None:
    battery, timer = element("battery", 2, 18, 5), element("timer", 4, 18, 6)
    assert fit_layout([timer, battery], HD53, HD53) == (replace(timer, column=8), battery)  # a gap of one column


def test_who_collides_with_nobody_stays() -> None:
    others = tuple(element(f"other-{at}", 12 * at, 5, 11) for at in range(4))
    heap = tuple(element(f"heap-{at}", 20, 9, 5) for at in range(4))
    moved = fit_layout((*others, *heap), HD53, HD53)
    assert moved[:4] == others
    assert sum(one != original for one, original in zip(moved, (*others, *heap), strict=True)) == 3


def test_who_only_touches_the_heap_stays() -> None:
    heap = (element("a", 10, 9, 8), element("b", 14, 9, 8))
    beside = element("c", 22, 9, 3)
    assert fit_layout((*heap, beside), HD53, HD53)[2] == beside


def test_of_several_on_a_wide_one_it_is_the_wide_one_that_stays() -> None:
    wide = element("wide", 6, 6, 20)
    moved = fit_layout((element("a", 8, 6, 3), wide, element("b", 16, 6, 3)), HD53, HD53)
    assert moved[1] == wide
    assert Layout(moved, HD53).overlaps == ()


def test_nobody_gives_way_over_the_edge() -> None:
    size = Size(11, 1)  # to the right of the first there are 3 columns left, to the left 4
    assert [one.column for one in fit_layout([element("a", 4, 0, 4), element("b", 5, 0, 4)], size, size)] == [4, 0]


def test_a_hidden_element_moves_and_pushes_nobody() -> None:
    hidden, shown = element("horizon", 22, 14, 6, shown=False), element("timer", 22, 14, 6)
    moved = fit_layout([hidden, shown], PAL, HD53)
    assert [(one.column, one.row) for one in moved] == [(45, 18), (45, 18)]


def test_an_element_whose_place_was_not_read_stays_as_it_is() -> None:
    nowhere = element("timer", None, 3, 6)
    assert fit_layout([nowhere], PAL, HD53) == (nowhere,)


def test_what_is_wider_than_the_grid_is_named_with_its_width() -> None:
    wide = element("warnings", 9, 12, 12)
    with pytest.raises(LayoutError, match=r"wider than the 10 columns of 10x16: warnings \(12 wide\)"):
        fit_layout([wide, element("timer", 0, 0, 6)], PAL, Size(10, 16))
    assert fit_layout([replace(wide, shown=False)], PAL, Size(10, 16))[0].column == 0


def test_elements_that_have_no_room_beside_each_other_are_named() -> None:
    crowd = [element(f"item-{at}", 0, 0, 6) for at in range(4)]
    assert Layout.of(fit_layout(crowd[:3], PAL, Size(6, 3)), Size(6, 3)).overlaps == ()
    with pytest.raises(LayoutError, match=r"no room on 6x3 \(18 cells\) for item-3 \(6 wide\)"):
        fit_layout(crowd, PAL, Size(6, 3))


def test_a_grid_that_is_full_to_the_last_cell_is_filled() -> None:
    size = Size(10, 3)
    widths = [10, 6, 4, 7, 3]
    heap = [element(f"item-{at}", 4, 1, width) for at, width in enumerate(widths)]
    moved = Layout.of(fit_layout(heap, size, size), size)
    assert (moved.overlaps, moved.outside) == ((), ())


@pytest.mark.parametrize("size", [Size(0, 20), Size(53, 0), Size(-5, 20), Size(53, 65_536), Size(MOST + 1, 2)])
def test_an_absurd_grid_is_refused(size: Size) -> None:
    for before, after in ((size, PAL), (PAL, size)):
        with pytest.raises(LayoutError, match=f"a grid of {size} cannot be laid out"):
            fit_layout([], before, after)


def test_a_grid_of_a_build_sheet_will_do() -> None:
    [moved] = fit_layout([element("timer", 22, 14, 6)], Grid(30, 16, "pal"), Grid(53, 20, "hd-53x20"))
    assert (moved.column, moved.row) == (45, 18)


def test_500_elements_that_do_not_fit_are_refused_and_300_that_do_are_placed() -> None:
    crowd = [element(f"item-{at}", at % 40, at % 19, 3) for at in range(500)]
    with pytest.raises(LayoutError, match=r"no room on 53x20 \(1060 cells\) for .* more, beside the others"):
        fit_layout(crowd, HD53, HD53)
    moved = Layout.of(fit_layout(crowd[:300], HD53, HD53), HD53)
    assert (moved.overlaps, moved.outside) == ((), ())


CRAMPED = tuple(element(one.name, one.column, one.row, one.width, one.shown) for one in simulated_layout(30, 16))


def test_the_grid_that_a_layout_comes_from_is_told_by_where_it_lies() -> None:
    assert layout_source(Layout(CRAMPED, PAL), HD53) == PAL
    assert layout_source(Layout(CRAMPED, HD53), HD53) == PAL  # the grid was changed, the layout was not
    done = fit_layout(CRAMPED, PAL, HD53)
    assert layout_source(Layout(done, HD53), HD53) == HD53
    assert layout_source(Layout(done, PAL), HD53) == HD53  # the layout was changed, the grid was not
    assert layout_source(Layout(CRAMPED, HD50), HD53) == PAL


@given(st.integers(-5, 5), st.integers(1, 8), st.sampled_from([4, 5, 6, 7, 12, 13, 14]))
def test_what_gives_way_moves_no_further_than_it_must(by: int, width: int, row: int) -> None:
    """Against every place there is. A row is worth one and a half columns; a gap beside the other, three halves."""
    size = Size(40, 20)
    pair = (element("a", 12, row, 6), element("b", 12 + by, row, width))
    assume(Layout(pair, size).overlaps)
    moved = fit_layout(pair, size, size)
    [(was, now)] = [(was, now) for was, now in zip(pair, moved, strict=True) if was != now]
    stays = next(one for one in moved if one in pair)
    free = [
        2 * abs(column - (was.column or 0)) + 3 * abs(other - row)
        for column in range(size.columns - width_of(was) + 1)
        for other in range(size.rows)
        if not Layout((stays, replace(was, column=column, row=other)), size).overlaps
    ]
    cost = 2 * abs((now.column or 0) - (was.column or 0)) + 3 * abs((now.row or 0) - row)
    assert cost <= min(free) + 3
