"""Replies that are tables: by a rule, by marks between the cells, by columns alone."""

from __future__ import annotations

import pytest

from learning.layouts.replies import COMMAND, cells, lines, only, stated
from propsoff.learning.layouts.tables import as_tables

PORTS = [{"port": "P1", "role": "con", "baud": "9600"}, {"port": "P2", "role": "rx", "baud": "420000"}]


@pytest.mark.parametrize(
    ("text", "options"),
    [
        ("port  role  baud\n----  ----  ------\nP1    con   9600\nP2    rx    420000", {"rule": "-"}),
        ("port  role  baud\n====  ====  ======\nP1    con   9600\nP2    rx    420000", {"rule": "="}),
        ("port  role  baud\nP1    con   9600\nP2    rx    420000", {}),
        ("port,role,baud\nP1,con,9600\nP2,rx,420000", {"separator": ","}),
        ("port;role;baud\nP1;con;9600\nP2;rx;420000", {"separator": ";"}),
        ("port | role | baud\nP1 | con | 9600\nP2 | rx | 420000", {"separator": "|"}),
        (
            "| port | role | baud |\n|------|------|------|\n| P1 | con | 9600 |\n| P2 | rx | 420000 |",
            {"separator": "|", "rule": "-"},
        ),
    ],
)
def test_cells_stand_under_their_headers_or_between_marks(text: str, options: dict[str, str]) -> None:
    layout = as_tables(COMMAND, lines(text))
    assert layout is not None
    found = only(layout.rows)
    assert (cells(found), found.place, dict(layout.options)) == (PORTS, {"table": COMMAND}, options)
    assert layout.understood == set(range(1, text.count("\n") + 2))


def test_a_line_with_a_cell_too_few_is_no_row_and_not_understood() -> None:
    layout = as_tables(COMMAND, lines("port,role,baud\nP1,con,9600\nP2,rx"))
    assert layout is not None
    assert cells(only(layout.rows)) == PORTS[:1]
    assert layout.understood == {1, 2}


def test_titles_name_their_tables() -> None:
    text = "== ports ==\nport  baud\n----  ----\nP1    9600\nP2    1200\n(2 rows)\n"
    text += "== levers ==\ndoes  ch\n----  --\narm   5"
    layout = as_tables(COMMAND, lines(text))
    assert layout is not None
    assert layout.options["title"] == "== {table:words} =="
    assert stated(layout) == {"ports/P1": "9600", "ports/P2": "1200", "levers/arm": "5"}
    assert 6 in layout.understood  # the count of the rows


def test_tables_without_titles_are_named_by_their_first_header() -> None:
    text = "port  role  baud\nP1    con   9600\nP2    rx    1200\n\ndoes   ch  from\narm    5   1700\nlevel  6   1300"
    layout = as_tables(COMMAND, lines(text))
    assert layout is not None
    assert layout.options["by_header"] is True
    assert [rows.place["table"] for rows in layout.rows] == ["port", "does"]


def test_a_table_of_settings_states_them_with_their_units() -> None:
    text = "setting  value  unit\n-------  -----  ----\nlow      3.3    V\ncells    6"
    layout = as_tables(COMMAND, lines(text))
    assert layout is not None
    assert [(one.word, one.text, one.unit) for one in layout.statements] == [
        (f"{COMMAND}.low.value", "3.3", "V"),
        (f"{COMMAND}.cells.value", "6", ""),
    ]


def test_a_sentence_above_a_table_says_nothing() -> None:
    layout = as_tables(COMMAND, lines("The ports, as set:\nport  role  baud\n----  ----  ----\nP1    con   9600"))
    assert layout is not None
    assert layout.comments == ("The ports, as set:",)
    assert len(layout.rows) == 1


@pytest.mark.parametrize(
    "text",
    [
        "Gyroscope   working\nBarometer   missing\nCompass     working",  # settings in columns, no header
        "port  role\nP1con\nP2 x rx",  # the cells stand across the headers' borders
        "port  role  baud",  # no row
        "port  role  baud\nP1    con   9600",  # without a rule one row does not tell
        "1  2  3\n4  5  6\n7  8  9",  # numbers are no headers
        "port  port\n----  ----\nP1    con",  # two headers alike
        "port,role,baud\nP1,con",  # a cell too few
        "All is well.\nSo it is.",
        "",
    ],
)
def test_what_only_looks_like_a_table_gives_nothing(text: str) -> None:
    assert as_tables(COMMAND, lines(text)) is None
