"""Replies of records, with single settings and sentences among them; and which layout is taken for a reply."""

from __future__ import annotations

import pytest

from learning.layouts.replies import COMMAND, cells, lines, only, stated
from propsoff.learning.layouts.find import find_layout
from propsoff.learning.layouts.records import as_mixed, as_records, as_told
from propsoff.learning.model import Answer


def test_lines_written_alike_are_rows_and_others_statements() -> None:
    layout = as_records(COMMAND, lines("role=rx baud=9600\nrole=con baud=1200\ncells=6 low=3.3"))
    assert layout is not None
    assert cells(only(layout.rows)) == [{"role": "rx", "baud": "9600"}, {"role": "con", "baud": "1200"}]
    assert stated(layout) == {"cells": "6", "low": "3.3"}
    assert layout.options["lines"] == ["cells={cells:word} low={low:word}"]


def test_a_line_that_lacks_fields_is_a_row_of_the_others_by_a_template_of_its_own() -> None:
    text = "port id=a role=rx baud=9600\nport id=b role=con baud=1200\nport id=c role=free\nfan id=d speed=3"
    layout = as_records(COMMAND, lines(text))
    assert layout is not None
    rows = only(layout.rows)
    assert [row.get("baud") for row in cells(rows)] == ["9600", "1200", None]
    assert rows.place["line"] == [
        "port id={id:word} role={role:word} baud={baud:word}",
        "port id={id:word} role={role:word}",
    ]
    assert "fan/id" in stated(layout)


def test_a_word_that_stands_on_two_lines_is_a_field_of_its_own_on_each() -> None:
    layout = as_records(COMMAND, lines("low=1 high=2\nlow=3 top=4"))
    assert layout is not None
    words = [one.word for one in layout.statements]
    assert len({*words}) == 4
    assert [one.text for one in layout.statements] == ["1", "2", "3", "4"]


def test_settings_and_sentences_are_taken_among_records() -> None:
    text = "uart 1 rx 9600\nuart 2 con 1200\nLow end: 1000\nThe channel order is AETR.\nAll is well."
    layout = as_mixed(COMMAND, lines(text))
    assert layout is not None
    assert [row["id"] for row in cells(only(layout.rows))] == ["uart 1", "uart 2"]
    assert [(one.word, one.text) for one in layout.statements] == [("low_end", "1000"), ("channel_order", "AETR")]
    assert layout.understood == {1, 2, 3, 4}


def test_a_value_that_goes_on_in_the_next_line_is_not_taken_by_halves() -> None:
    layout = as_mixed(COMMAND, lines("Low end: 1000\n                    and so on\nHigh end: 2000"))
    assert stated(layout) == {"High end": "2000"}


def test_sentences_that_are_alike_are_rows() -> None:
    layout = as_told(COMMAND, lines("Port S1 is the console, at 9600 baud.\nPort S2 is the osd, at 1200 baud."))
    assert layout is not None
    assert [row["the"] for row in cells(only(layout.rows))] == ["console", "osd"]
    assert as_told(COMMAND, lines("It is fine.\nSo were they.")) is None


@pytest.mark.parametrize(
    ("text", "grammar"),
    [
        ("kind = serial\nlow = 3", "pairs"),
        ("[a]\nkind = 1\n[b]\nlow = 2", "sections"),
        ("port  role  baud\nP1    con   9600\nP2    rx    1200", "table"),
        ('{"a": {"b": 1}}', "json"),
        ("HEDDLE 3.2.0 on LOOM-F4, built 2026-02-11", "lines"),
        ("uart 1 rx 9600\nuart 2 con 1200", "lines"),
    ],
)
def test_the_layout_that_understands_most_is_taken(text: str, grammar: str) -> None:
    layout = find_layout(Answer(COMMAND, lines(text)))
    assert layout is not None
    assert layout.grammar == grammar
    assert layout.understood == set(range(1, text.count("\n") + 2))


@pytest.mark.parametrize(
    "text", ["All is well.\nSo it is.\nThat is the whole.", "", "\n\n", "kind = serial\nlow = 3" + "\nIt is so." * 9]
)
def test_a_reply_of_which_hardly_a_line_is_understood_has_no_layout(text: str) -> None:
    assert find_layout(Answer(COMMAND, lines(text))) is None
