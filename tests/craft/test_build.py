"""Putting a craft together: what is stated, what is not taken, and why."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff.craft.build import CraftBuilder
from propsoff.craft.model import OverlayElement, Problem, Switch, Uart
from propsoff.craft.names import facts, row_types


def test_what_is_stated_is_in_the_craft_with_its_lines() -> None:
    builder = CraftBuilder()
    builder.put("overlay.columns", 53, lines=[12], text="glass.cols := 53")
    builder.put("battery.volts", 24, lines=[13])
    builder.put("arming.blocks", ["usb-connected"], lines=[15, 14])
    craft = builder.craft()
    assert (craft.overlay.columns, craft.battery.volts, craft.arming.blocks) == (53, 24.0, ("usb-connected",))
    assert type(craft.battery.volts) is float
    assert craft.provenance["overlay.columns"] == (12,)
    assert craft.lines("overlay", "battery") == (12, 13)
    assert craft.problems == ()


def test_nothing_said_is_no_fact_and_no_problem() -> None:
    builder = CraftBuilder()
    builder.put("overlay.columns", None, lines=[1])
    builder.add_row("ports", {"id": "U1", "baud": None}, lines=[2])
    craft = builder.craft()
    assert craft.overlay.columns is None
    assert craft.ports == (Uart("U1"),)
    assert (craft.problems, "overlay.columns" in craft.provenance) == ((), False)


WRONG = [
    ("overlay.columns", "53", "expected a value of type int, found '53'"),
    ("overlay.columns", 53.0, "expected a value of type int, found 53.0"),
    ("overlay.columns", True, "expected a value of type int, found True"),
    ("overlay.columns", 1 << 64, "expected a value of type int, found 18446744073709551616"),
    ("overlay.columns", 10**5000, "expected a value of type int, found a value of type int"),
    ("overlay.enabled", 1, "expected a value of type bool, found 1"),
    ("battery.volts", math.nan, "expected a value of type float, found nan"),
    ("battery.volts", math.inf, "expected a value of type float, found inf"),
    ("battery.volts", 10**400, "expected a value of type float, found 1000"),
    ("battery.volts", True, "expected a value of type float, found True"),
    ("craft.name", 5, "expected a value of type str, found 5"),
    ("receiver.kind", "telepathy", "expected one of serial, spi, ppm, pwm, none, found 'telepathy'"),
    ("receiver.kind", None, None),
    ("channels.live", "1500", "expected a list, found '1500'"),
    ("channels.live", (1500, "x", None), "expected a value of type int, found 'x', None"),
    ("arming.blocks", {"usb-connected"}, "expected a list"),
    ("craft.name", ["x" * 500], "expected a value of type str, found ['xxx"),
]


@pytest.mark.parametrize(("name", "value", "why"), WRONG, ids=[f"{each[0]}-{n}" for n, each in enumerate(WRONG)])
def test_a_value_of_the_wrong_type_is_a_problem_with_its_line_and_the_fact_stays_unread(
    name: str, value: Any, why: str | None
) -> None:
    builder = CraftBuilder()
    builder.put(name, value, lines=[7], text="the line")
    craft = builder.craft()
    assert craft.value(name) is None
    assert name not in craft.provenance
    if why is None:
        assert craft.problems == ()
        return
    (problem,) = craft.problems
    assert problem.message.startswith(why)
    assert (problem.line, problem.text, problem.fact) == (7, "the line", name)
    assert len(problem.message) <= 400


def test_a_contradiction_takes_the_fact_back_for_good() -> None:
    builder = CraftBuilder()
    for line, value in ((3, 50), (9, 53), (11, 53)):
        builder.put("overlay.columns", value, lines=[line], text=f"line {line}")
    craft = builder.craft()
    assert craft.overlay.columns is None
    assert "overlay.columns" not in craft.provenance
    message = "stated twice with different values: 50 on line 3 and 53 here; taken as unread"
    assert craft.problems == (Problem(message, 9, "line 9", "overlay.columns"),)


def test_the_same_value_twice_is_one_fact_with_both_lines() -> None:
    builder = CraftBuilder()
    builder.put("overlay.columns", 53, lines=[9])
    builder.put("overlay.columns", 53, lines=[3])
    assert builder.craft().provenance["overlay.columns"] == (3, 9)


def test_rows_keep_their_order_their_lines_and_the_lines_of_their_fields() -> None:
    builder = CraftBuilder()
    builder.begin_rows("switches", lines=[4])
    builder.add_row("switches", {"function": "arm", "channel": 5}, lines=[5], leaf_lines={"channel": [6]})
    builder.add_row("switches", {"function": "level"}, lines=[8])
    builder.add_row("overlay.elements", {"name": "battery", "shown": True}, lines=[9])
    craft = builder.craft()
    assert craft.switches == (Switch("arm", 5), Switch("level"))
    assert craft.overlay.elements == (OverlayElement("battery", shown=True),)
    lines = {record.name: record.lines for record in craft.facts()}
    assert lines["switches[0].function"] == (5,)
    assert lines["switches[0].channel"] == (6,)
    assert lines["switches[1].function"] == (8,)
    assert craft.lines("switches") == (4, 5, 6, 8)


def test_a_group_that_was_listed_empty_is_empty_and_one_that_was_not_is_unread() -> None:
    builder = CraftBuilder()
    builder.begin_rows("ports", lines=[3])
    craft = builder.craft()
    assert (craft.ports, craft.switches, craft.overlay.elements) == ((), None, None)
    assert craft.lines("ports") == (3,)


def test_a_wrong_field_leaves_the_row_and_its_other_fields() -> None:
    builder = CraftBuilder()
    builder.add_row("ports", {"id": "U1", "roles": ("receiver", "kettle"), "baud": 9600}, lines=[5], text="U1")
    craft = builder.craft()
    assert craft.ports == (Uart("U1", None, 9600),)
    assert [(problem.fact, problem.line) for problem in craft.problems] == [("ports[0].roles", 5)]
    assert "'kettle'" in craft.problems[0].message


def test_at_most_1024_rows_are_kept_and_it_is_said_once() -> None:
    builder = CraftBuilder()
    for number in range(1100):
        builder.add_row("ports", {"id": f"U{number}"}, lines=[number + 1], text=f"U{number}")
    craft = builder.craft()
    assert craft.ports is not None
    assert (len(craft.ports), craft.ports[-1].id) == (1024, "U1023")
    message = "more than 1024 rows; the rest is left out"
    assert craft.problems == (Problem(message, 1025, "U1024", "ports", gap=True),)
    assert craft.partial == {"ports"}
    assert craft.as_read_whole().ports is None


def test_problems_and_unread_lines_are_bounded_in_number_and_length() -> None:
    builder = CraftBuilder()
    for number in range(5000):
        builder.problem("x" * 1000, lines=[number + 1], text="y" * 1000)
        builder.unread(number + 1, "z" * 1000)
    craft = builder.craft()
    assert (len(craft.problems), len(craft.unread)) == (200, 2000)
    assert max(len(problem.message) + len(problem.text) for problem in craft.problems) == 800
    assert max(len(text) for _, text in craft.unread) == 400


@pytest.mark.parametrize("name", ["overlay.colums", "ports", "ports[].id", "ports[0].id", ""])
def test_a_fact_that_does_not_exist_is_the_callers_fault(name: str) -> None:
    with pytest.raises(KeyError):
        CraftBuilder().put(name, "U1", lines=[1])


@pytest.mark.parametrize(("group", "field"), [("port", "id"), ("ports", "name"), ("overlay", "columns")])
def test_a_group_or_field_that_does_not_exist_is_the_callers_fault(group: str, field: str) -> None:
    with pytest.raises(KeyError):
        CraftBuilder().add_row(group, {field: 1}, lines=[1])


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text() | st.binary(),
    lambda inner: st.lists(inner) | st.tuples(inner) | st.dictionaries(st.text(), inner),
    max_leaves=5,
)


@settings(deadline=None)  # a busy machine is no failure; every test has its own time-out
@given(value=VALUES)
def test_no_value_makes_the_builder_raise_or_state_a_fact_of_the_wrong_type(value: Any) -> None:
    builder = CraftBuilder()
    for name, spec in facts().items():
        group, marker, field = name.partition("[].")
        if marker:
            builder.add_row(group, {field: value}, lines=[1])
        else:
            builder.put(name, value, lines=[1])
            taken = builder.craft().value(name)
            items = (taken,) if not spec.many else taken or ()
            assert all(item is None or type(item) is spec.type for item in items), name
            assert all(not spec.choices or item in (None, *spec.choices) for item in items), name
    craft = builder.craft()
    assert set(row_types()) == {"switches", "ports", "overlay.elements"}
    assert len(list(craft.facts())) <= len(facts())
