"""One fact against the sheet: what is said, what is set, and when nothing is to say."""

from __future__ import annotations

from typing import Any

import pytest

from propsoff import Case, Finding
from propsoff.sheets.expect import Expected
from propsoff_checks.against_sheet import against_sheet, by_sheet, figure, garbled
from propsoff_checks.port_roles import port_roles
from tests_support.crafts import Bench

FACT = "battery.cells"


def case(bench: Bench, found: object, allowed: Any = None) -> Case:
    craft, lines = bench.craft({FACT: found})
    sheet = bench.sheet(expect={} if allowed is None else {FACT: allowed})
    return Case(port_roles, craft, sheet, bench.tongue, lines)


def judged(bench: Bench, found: object, allowed: Any = None, **more: Any) -> list[Finding]:
    return against_sheet(case(bench, found, allowed), FACT, "the pack", code="cells", unit="cells", **more)


@pytest.mark.parametrize(
    ("value", "unit", "told"),
    [
        (True, "V", "yes"),
        (False, "", "no"),
        (4, "cells", "4 cells"),
        (4, "", "4"),
        (0.1 + 0.2, "V", "0.3 V"),  # as people write it, not as binary has it
        (999999.0, "", "999999"),
        (-999999.0, "", "-999999"),
        (1e6, "", "1000000.0"),
        (-2e6, "", "-2000000.0"),
        ("lipo", "", "lipo"),
        ("", "", "(empty)"),
    ],
)
def test_a_figure_is_written_as_people_do(value: object, unit: str, told: str) -> None:
    assert figure(value, unit) == told


@pytest.mark.parametrize(("found", "allowed"), [(4, None), (None, None), (4, 4), (4, (3, 4))])
def test_nothing_is_said_of_what_nobody_asked_for_or_what_is_as_asked(
    bench: Bench, found: object, allowed: Any
) -> None:
    assert judged(bench, found, allowed) == []


def test_what_was_asked_for_and_not_read_is_unknown(bench: Bench) -> None:
    [found] = judged(bench, None, 4)
    assert (found.outcome.value, found.code) == ("unknown", "unread")
    assert FACT in found.summary


def test_another_value_fails_and_the_remedy_sets_the_only_one(bench: Bench) -> None:
    [found] = judged(bench, 6, 4, why="Because.", steps=("Look.",), explains=("other/thing",))
    assert (found.outcome.value, found.code, found.expected, found.actual) == ("fail", "cells", "4 cells", "6 cells")
    assert found.summary.startswith("the pack is 6 cells")
    assert bench.tongue.asked == [(FACT, 4)]
    assert (found.why, found.remedy.steps, found.explains) == ("Because.", ("Look.",), ("other/thing",))


def test_where_the_sheet_leaves_a_choice_nothing_is_set(bench: Bench) -> None:
    [found] = judged(bench, 6, (3, 4))
    assert (found.expected, found.actual) == ("3 or 4 cells", "6 cells")
    assert bench.tongue.asked == []


def test_a_judgement_of_its_own_takes_the_place_of_the_comparison(bench: Bench) -> None:
    def twice(expected: Expected, found: object) -> bool:
        return isinstance(found, int) and expected.allows(found * 2)

    assert judged(bench, 2, 4, fits=twice) == []
    assert len(judged(bench, 4, 4, fits=twice)) == 1


@pytest.mark.parametrize(
    ("found", "allowed", "answer"), [(4, 4, True), (6, 4, False), (4, None, False), (None, 4, False)]
)
def test_custom_is_silent_only_where_the_sheet_names_the_fact_and_it_is_so(
    bench: Bench, found: object, allowed: Any, answer: bool
) -> None:
    assert by_sheet(case(bench, found, allowed), FACT) is answer


def test_garbled_is_what_the_board_stated_and_nobody_could_read(bench: Bench) -> None:
    hurt = case(bench, "four")
    assert garbled(hurt, "battery.scale", FACT) == [FACT]
    assert garbled(case(bench, 4), FACT) == []
    assert garbled(case(bench, None), FACT) == []


def test_yes_and_no_are_said_as_people_say_them(bench: Bench) -> None:
    craft, lines = bench.craft({"overlay.enabled": False})
    asked = Case(port_roles, craft, bench.sheet(expect={"overlay.enabled": True}), bench.tongue, lines)
    [found] = against_sheet(asked, "overlay.enabled", "the overlay", code="overlay")
    assert (found.expected, found.actual) == ("yes", "no")
    assert bench.tongue.asked == [("overlay.enabled", True)]
