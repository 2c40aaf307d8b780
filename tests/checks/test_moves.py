"""Moving overlay elements: the proposal, the console lines, and the same for hands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import pytest

from propsoff import Case, Layout, OverlayElement, Size
from propsoff.sheets.catalogue import built_in_sheets
from propsoff_checks.moves import move_steps, proposed, say_moves
from propsoff_checks.overlay_layout import overlay_layout
from tests_support.crafts import Bench, Parrot

PAL, HD53 = Size(30, 16), Size(53, 20)
BATTERY = OverlayElement("battery", 2, 18, 5, shown=True)
TIMER = OverlayElement("timer", 45, 18, 6, shown=False)
SPEED = OverlayElement("speed", 2, 9, 6, shown=True)


def layout(*elements: OverlayElement, size: Size = HD53) -> Layout:
    return Layout(elements, size)


def case(bench: Bench, tongue: Parrot | None) -> Case:
    craft, lines = bench.craft()
    return Case(overlay_layout, craft, built_in_sheets()[0], tongue, lines)


def crowd(many: int, column: int, row: int) -> Layout:
    return layout(*(OverlayElement(f"item-{at}", column, row + at, 4, shown=True) for at in range(many)))


@dataclass
class RowByRow(Parrot):
    """A tongue with one line for an element, whichever part of it changes."""

    def say(self, fact: str, value: object, *, row: Mapping[str, object] | None = None) -> tuple[str, ...]:
        return (f"place {row['name']} {row['column']} {row['row']}",) if row else super().say(fact, value)


@dataclass
class Partly(Parrot):
    """A tongue without a word for one fact."""

    cannot: str = ""

    def say(self, fact: str, value: object, *, row: Mapping[str, object] | None = None) -> tuple[str, ...]:
        return () if fact == self.cannot else super().say(fact, value, row=row)

    def say_all(self, settings: object) -> tuple[str, ...]:
        return () if self.cannot == "settings" else super().say_all(settings)  # type: ignore[arg-type]  # as given


def test_a_sound_layout_is_proposed_as_it_is() -> None:
    assert proposed(layout(BATTERY, TIMER, SPEED)) == layout(BATTERY, TIMER, SPEED)


def test_only_the_elements_that_are_asked_for_are_shown() -> None:
    horizon = OverlayElement("horizon", 20, 5, 9, shown=False)
    assert proposed(layout(BATTERY, TIMER, horizon), shown=[TIMER]) == layout(
        BATTERY, replace(TIMER, shown=True), horizon
    )


def test_on_another_grid_each_keeps_its_distance_from_its_edge() -> None:
    """One row from the bottom and two columns from either side, of 30x16 and of 53x20 (computed)."""
    left, right = OverlayElement("a", 2, 14, 5, shown=True), OverlayElement("b", 22, 14, 6, shown=True)
    assert proposed(layout(left, right, size=PAL), HD53) == layout(
        replace(left, row=18), replace(right, column=45, row=18)
    )


def test_where_there_is_no_room_the_reason_is_given() -> None:
    assert "banner (31 wide)" in str(proposed(layout(OverlayElement("banner", 0, 3, 31)), PAL))


def test_lines_set_the_grid_then_move_each_element_then_store(bench: Bench) -> None:
    before, after = layout(BATTERY, TIMER, SPEED), layout(replace(BATTERY, column=3, row=17), TIMER, SPEED)
    said = say_moves(case(bench, bench.tongue), before, after, [("overlay.rows", 20)])
    assert [line.split(" {")[0] for line in said] == [
        "set overlay.rows 20",
        "set overlay.elements[].column 3",
        "set overlay.elements[].row 17",
        "store",
    ]
    assert bench.tongue.lines == [("battery", "column", 3), ("battery", "row", 17)]


def test_a_grid_alone_and_moves_alone_are_said_as_well(bench: Bench) -> None:
    same = layout(BATTERY)
    assert say_moves(case(bench, bench.tongue), same, same, [("overlay.rows", 20)]) == ("set overlay.rows 20", "store")
    assert len(say_moves(case(bench, bench.tongue), same, layout(replace(BATTERY, row=17)))) == 2


def test_where_nothing_changes_nothing_is_typed_and_nothing_stored(bench: Bench) -> None:
    assert say_moves(case(bench, bench.tongue), layout(BATTERY), layout(BATTERY)) == ()


def test_a_line_that_says_it_all_is_typed_once(bench: Bench) -> None:
    before, after = layout(BATTERY, SPEED), layout(replace(BATTERY, column=3, row=17), replace(SPEED, row=8))
    said = say_moves(case(bench, RowByRow()), before, after)
    assert said == ("place battery 3 17", "place speed 2 8", "store")


@pytest.mark.parametrize("cannot", ["settings", "overlay.elements[].column", "overlay.elements[].row"])
def test_lines_that_are_not_all_there_are_no_remedy(bench: Bench, cannot: str) -> None:
    """Half of a move leaves one element on another."""
    before, after = layout(BATTERY), layout(replace(BATTERY, column=3, row=17))
    assert say_moves(case(bench, Partly(cannot=cannot)), before, after, [("overlay.rows", 20)]) == ()


@pytest.mark.parametrize("name", ["", None, "speed"])
def test_an_element_without_a_name_of_its_own_is_not_moved_by_lines(bench: Bench, name: str | None) -> None:
    other = OverlayElement(name, 20, 3, 4, shown=True)
    before, after = layout(SPEED, other), layout(SPEED, replace(other, column=21))
    assert say_moves(case(bench, bench.tongue), before, after, [("overlay.rows", 20)]) == ()


def test_without_a_tongue_or_a_proposal_there_are_no_lines(bench: Bench) -> None:
    assert say_moves(case(bench, None), layout(BATTERY), layout(replace(BATTERY, row=17))) == ()
    assert say_moves(case(bench, bench.tongue), layout(BATTERY), "no room", [("overlay.rows", 20)]) == ()


@pytest.mark.parametrize(("elements", "settings", "lines"), [(48, 0, 97), (49, 0, 0), (47, 2, 97), (48, 1, 0)])
def test_nobody_types_more_than_96_lines(bench: Bench, elements: int, settings: int, lines: int) -> None:
    """Two lines for each element, column and row; the closing line is not counted."""
    extra: list[tuple[str, object]] = [("overlay.rows", 20), ("overlay.columns", 53)]
    said = say_moves(case(bench, bench.tongue), crowd(elements, 1, 1), crowd(elements, 2, 2), extra[:settings])
    assert len(said) == lines


def test_for_hands_only_what_changes_is_named_and_showing_is_told_from_moving() -> None:
    before = layout(BATTERY, TIMER, SPEED)
    after = layout(replace(BATTERY, column=3), replace(TIMER, shown=True), SPEED)
    [step] = move_steps(before, after)
    assert "move battery to column 3, row 18; show timer at column 45, row 18" in step
    assert "speed" not in step
    assert move_steps(before, before) == ()


@pytest.mark.parametrize(
    ("many", "named", "more"), [(1, 1, ""), (8, 8, ""), (9, 8, "; and 1 more"), (20, 8, "; and 12 more")]
)
def test_for_hands_eight_moves_are_named_and_the_rest_counted(many: int, named: int, more: str) -> None:
    [step] = move_steps(crowd(many, 1, 1), crowd(many, 2, 1))
    assert step.count("move item-") == named
    assert (more in step) if more else ("more" not in step)


def test_for_hands_the_reason_is_given_where_nothing_can_be_proposed() -> None:
    [step] = move_steps(layout(BATTERY), "no room on 1x1")
    assert "no room on 1x1" in step


def test_for_hands_layouts_of_other_elements_are_no_pair() -> None:
    with pytest.raises(ValueError, match="argument 2 is"):
        move_steps(layout(BATTERY), layout(BATTERY, TIMER))
