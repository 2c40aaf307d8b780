"""Documents whose lists hold objects of several kinds (RFC 8259)."""

from __future__ import annotations

import json

import pytest

from propsoff.console.manner import Line
from propsoff.learning.layouts.documents import as_document, as_kinds
from propsoff.learning.model import Layout

OBJECTS = [
    {"type": "radio", "kind": "serial"},
    {"type": "radio", "port": "P2"},
    {"type": "port", "name": "P1", "baud": 9600},
    {"type": "port", "name": "P2", "baud": 420000},
    {"type": "sensor", "name": "gyro", "state": "ok"},
    {"type": "sensor", "name": "baro", "state": "none"},
    {"type": "place", "at": [2, 3]},
]


def lines(*objects: object) -> tuple[Line, ...]:
    return tuple(Line(number, json.dumps(one)) for number, one in enumerate(objects, 1))


def stated(layout: Layout | None) -> dict[str, str]:
    assert layout is not None
    return {one.word: one.text for one in layout.statements}


def test_objects_of_a_kind_are_parts_of_one_thing_rows_or_named() -> None:
    layout = as_kinds("all", lines(*OBJECTS))
    assert layout is not None
    assert dict(layout.options) == {"named_by": "name", "told_by": "type", "per_line": True}
    assert stated(layout) == {
        "radio.kind": "serial", "radio.port": "P2", "sensor.gyro.state": "ok", "sensor.baro.state": "none",
        "place.at": "2, 3",
    }  # fmt: skip
    assert [rows.place for rows in layout.rows if rows.path == ("port",)] == [{"path": "port"}]


def test_they_may_stand_in_a_list_of_one_document() -> None:
    layout = as_kinds("all", lines({"settings": OBJECTS}))
    assert stated(layout)["settings.radio.kind"] == "serial"


@pytest.mark.parametrize(
    "objects",
    [
        [{"name": "P1", "baud": 1}, {"name": "P2", "baud": 2}],
        [{"type": "a", "x": 1}, {"type": "a", "y": 2}],
        [{"type": "a", "x": 1}, {"x": 2}],
        [{"type": "a", "x": 1}, {"type": 2, "y": 2}],
        [{"type": "a"}, 7],
    ],
)
def test_objects_that_are_all_alike_or_do_not_say_their_kind_are_no_kinds(objects: list[object]) -> None:
    assert as_kinds("all", lines(*objects)) is None


def test_a_list_of_names_and_states_is_one_of_settings() -> None:
    layout = as_document("all", lines({"sensors": [{"name": "gyro", "state": "ok"}, {"name": "baro", "state": "no"}]}))
    assert stated(layout) == {"sensors.gyro.state": "ok", "sensors.baro.state": "no"}
