"""Replies that are JSON documents (RFC 8259)."""

from __future__ import annotations

import json

import pytest

from learning.layouts.replies import COMMAND, cells, lines, only, stated
from propsoff.learning.layouts.documents import as_document


def test_values_are_stated_by_their_paths_with_their_kinds() -> None:
    document = {"rx": {"kind": "serial", "low": 1000}, "on": True, "live": [1, 2], "none": None}
    layout = as_document(COMMAND, lines(json.dumps(document, indent=1)))
    assert stated(layout) == {"rx/kind": "serial", "rx/low": "1000", "on": "true", "live": "1, 2"}
    assert layout is not None
    assert [one.kind for one in layout.statements] == ["text", "number", "truth", "list"]
    assert layout.options == {}


def test_lists_of_objects_are_rows() -> None:
    layout = as_document(
        COMMAND, lines('{"ports": [\n{"id": "P1", "baud": 9600},\n{"id": "P2", "roles": ["rx", "osd"]}]}')
    )
    assert layout is not None
    assert only(layout.rows).place == {"path": "ports"}
    assert cells(only(layout.rows)) == [{"id": "P1", "baud": "9600"}, {"id": "P2", "roles": "rx, osd"}]


def test_an_object_of_objects_with_members_in_common_is_rows_by_name() -> None:
    layout = as_document(COMMAND, lines('{"ports": {"u1": {"baud": 9600},\n"u2": {"baud": 1200, "on": false}}}'))
    assert layout is not None
    assert only(layout.rows).place == {"path": "ports"}
    assert cells(only(layout.rows)) == [{"key": "u1", "baud": "9600"}, {"key": "u2", "baud": "1200", "on": "false"}]


@pytest.mark.parametrize(
    "document",
    [
        {"ports": {"u1": {"baud": 9600}}},  # one is no repetition
        {"ports": {"u1": {"baud": 9600}, "u2": {"role": "rx"}}},  # nothing in common
        {"ports": {"u1": {"baud": 9600}, "u2": {"baud": 9600}, "count": 2}},  # not all are objects
        {"ports": {"u1": {"key": "a"}, "u2": {"key": "b"}}},  # the field of the name is taken
    ],
)
def test_other_objects_of_objects_are_no_rows(document: object) -> None:
    layout = as_document(COMMAND, lines(json.dumps(document)))
    assert layout is not None
    assert layout.rows == ()


def test_settings_that_are_listed_are_found_by_their_names() -> None:
    text = '{"all": [{"param": "rx.kind", "value": "serial"},\n{"param": "low", "value": 1000, "unit": "us"}]}'
    layout = as_document(COMMAND, lines(text))
    assert stated(layout) == {"all/rx/kind": "serial", "all/low": "1000"}
    assert layout is not None
    assert layout.options == {"named_by": "param"}
    assert [(one.word, one.unit) for one in layout.statements] == [('all."rx.kind".value', ""), ("all.low.value", "us")]


def test_a_list_in_which_a_name_stands_twice_is_not_read_by_name() -> None:
    layout = as_document(COMMAND, lines('[{"name": "a", "value": 1}, {"name": "a", "value": 2}]'))
    assert layout is not None
    assert (layout.statements, layout.options) == ((), {})


def test_a_value_with_its_unit_is_one_statement() -> None:
    layout = as_document(COMMAND, lines('{"low": {"value": 3.3, "unit": "V"}}'))
    assert layout is not None
    assert [(one.word, one.text, one.unit) for one in layout.statements] == [("low.value", "3.3", "V")]


def test_a_document_a_line_makes_one_list() -> None:
    layout = as_document(COMMAND, lines('{"id": "P1", "baud": 9600}\n{"id": "P2", "baud": 1200}'))
    assert layout is not None
    assert layout.options == {"per_line": True}
    assert only(layout.rows).place == {"path": "[]"}
    assert [row["id"] for row in cells(only(layout.rows))] == ["P1", "P2"]


def test_lines_before_the_document_are_not_understood() -> None:
    layout = as_document(COMMAND, lines('Here it is:\n{"low": 1000,\n "high": 2000}'))
    assert layout is not None
    assert layout.understood == {2, 3}


@pytest.mark.parametrize(
    "text",
    [
        '{"low": 1000,\n"hi',
        '{"id": "P1"}\n{"id": ',
        '{"id": "P1"}\n{"id": "P2"}\nall is well',
        "{low = 3}",
        "low = 3",
        "",
    ],
)
def test_what_is_no_whole_document_gives_nothing(text: str) -> None:
    assert as_document(COMMAND, lines(text)) is None
