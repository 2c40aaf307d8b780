"""One layout made of another: which facts change, and which elements a console cannot be told of."""

from __future__ import annotations

from dataclasses import asdict, replace

import pytest

from propsoff import Layout, OverlayElement, Size, layout_moves, nameless

HD53 = Size(53, 20)
BATTERY = OverlayElement("battery", 2, 18, 5, shown=True)
TIMER = OverlayElement("timer", 45, 18, 6, shown=False)
SPEED = OverlayElement("speed", 2, 9, 6, shown=True)


def test_only_what_changes_is_said_with_the_element_as_it_will_be() -> None:
    moved, shown = replace(BATTERY, column=3, row=17), replace(TIMER, shown=True)
    moves = layout_moves(Layout((BATTERY, TIMER, SPEED), HD53), Layout((moved, shown, SPEED), HD53))
    assert [(move.fact, move.value, move.element) for move in moves] == [
        ("overlay.elements[].column", 3, moved),
        ("overlay.elements[].row", 17, moved),
        ("overlay.elements[].shown", True, shown),
    ]
    assert [move.row for move in moves] == [asdict(moved), asdict(moved), asdict(shown)]


def test_equal_layouts_need_no_move() -> None:
    layout = Layout((BATTERY, replace(TIMER, name=None), TIMER, TIMER), HD53)
    assert layout_moves(layout, layout) == ()
    assert nameless(layout, layout) == ()


def test_what_changes_and_has_no_name_of_its_own_is_named() -> None:
    before = (replace(BATTERY, name=None), replace(TIMER, name=""), SPEED, replace(SPEED, row=10), TIMER)
    after = tuple(replace(one, column=8) for one in before)
    assert nameless(Layout(before, HD53), Layout(after, HD53)) == after[:4]
    one_moved = (before[0], *before[1:3], after[3], after[4])
    assert nameless(Layout(before, HD53), Layout(one_moved, HD53)) == (after[3],)


def test_layouts_of_other_elements_are_no_pair() -> None:
    few, many = Layout((BATTERY,), HD53), Layout((BATTERY, TIMER), HD53)
    for pair in ((few, many), (many, few)):
        with pytest.raises(ValueError, match="argument 2 is"):
            layout_moves(*pair)
        with pytest.raises(ValueError, match="argument 2 is"):
            nameless(*pair)
