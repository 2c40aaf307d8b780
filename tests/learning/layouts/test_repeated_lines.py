"""Lines that begin alike, or each with the name of a thing of one kind."""

from __future__ import annotations

import pytest

from learning.layouts.replies import COMMAND, cells, lines, only
from propsoff.learning.layouts.repeated_lines import by_lead, listed


def test_lines_that_begin_with_one_word_are_rows() -> None:
    found = only(by_lead(COMMAND, lines("uart 1 rx 9600\nuart 2 con 1200\ncells 6")))
    assert (found.place, found.before) == ({"line": "uart {id:word} {value2:word} {value3:word}"}, "uart ")
    assert cells(found) == [
        {"id": "uart 1", "value2": "rx", "value3": "9600"},
        {"id": "uart 2", "value2": "con", "value3": "1200"},
    ]


def test_a_verb_before_the_word_belongs_to_the_beginning() -> None:
    text = "have port a osd 9600\nhave port b rx 420000\nhave lever arm 5\nhave lever level 6"
    found = by_lead(COMMAND, lines(text))
    assert [rows.path for rows in found] == [("have", "port"), ("have", "lever")]
    assert [row["id"] for row in cells(found[1])] == ["arm", "level"]


def test_a_remark_with_a_word_for_each_place_names_the_columns() -> None:
    found = only(by_lead(COMMAND, lines("# port name role baud\nport a osd 9600\nport b rx 1200")))
    assert cells(found)[0] == {"name": "a", "role": "osd", "baud": "9600"}
    other = only(by_lead(COMMAND, lines("# what the ports do here today\nport a osd 9600\nport b rx 1200")))
    assert other.columns == ("id", "value2", "value3")


@pytest.mark.parametrize(
    "text",
    [
        "port a osd 9600",  # one is no repetition
        "port a osd on\nport b rx off",  # no number among them: as well a sentence
        "uart role=rx baud=9600\nuart role=con baud=1200",
        "The cells here are now at 4.\nThe cells there are now at 5.",
        "at 1000 us low\nat 2000 us high",  # values in front, no names
        "",
    ],
)
def test_lines_that_only_begin_alike_are_no_rows(text: str) -> None:
    assert by_lead(COMMAND, lines(text)) == []


def test_lines_that_begin_with_the_names_of_things_are_rows() -> None:
    found = listed(COMMAND, lines("UART1  rx  420000 baud\nUART2  con  9600 baud"))
    assert found is not None
    assert found.place == {"line": "{id:word} {value2:word} {value3:word} baud"}
    assert cells(found)[1] == {"id": "UART2", "value2": "con", "value3": "9600"}


def test_a_row_may_end_earlier_than_another() -> None:
    found = listed(COMMAND, lines("UART1  rx  1\nUART2  con"))
    assert found is not None
    assert cells(found) == [{"id": "UART1", "value2": "rx", "value3": "1"}, {"id": "UART2", "value2": "con"}]


@pytest.mark.parametrize("text", ["UART1  rx", "UART1  rx\nCH2  con", "low  rx\nhigh  con", "UART1 rx\nUART2 con", ""])
def test_lines_without_such_names_are_no_rows(text: str) -> None:
    assert listed(COMMAND, lines(text)) is None


@pytest.mark.parametrize("mark", [" | ", ", ", ",", "; "])
def test_cells_that_marks_part_are_taken_apart_at_them(mark: str) -> None:
    found = listed(COMMAND, lines(f"P1{mark}console{mark}115200\nP2{mark}receiver{mark}420000"))
    assert found is not None
    assert found.place == {"line": f"{{id:word}}{mark}{{value2:word}}{mark}{{value3:word}}"}
    assert [{key: cell.text for key, cell in row.items()} for row in found.rows] == [
        {"id": "P1", "value2": "console", "value3": "115200"},
        {"id": "P2", "value2": "receiver", "value3": "420000"},
    ]


def test_lines_of_assignments_are_no_plain_words_behind_a_lead() -> None:
    assert by_lead(COMMAND, lines("uart 1 role=rx baud=420000\nuart 2 role=gps baud=57600")) == []
