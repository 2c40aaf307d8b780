"""Rows that repeat: ports, switches and elements of the overlay, by their names and by what their cells look like."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from propsoff.learning.bind_rows import bind_rows
from propsoff.learning.model import Cell, RowSet
from tests_support.answers import rows_of

PORTS = ("uart1 console 115200", "uart2 receiver 420000", "uart3 unused -")
SWITCHES = ("arm 5 1700 2100", "level 6 900 1300")
ELEMENTS = ("battery 2 13 yes", "timer 22 12 no")


def _found(rows: RowSet, about: str = "") -> dict[str, dict[str, tuple[str, list[Any]]]]:
    """By group and field the column, and what its cells are."""
    groups = [one.group for one in bind_rows(rows, about)]
    assert len(groups) == len(set(groups))
    return {
        one.group: {
            cell.fact.rpartition(".")[2]: (cell.column, [reading and reading.value for reading in cell.readings])
            for cell in one.cells
        }
        for one in bind_rows(rows, about)
    }


def test_ports_are_bound_by_their_columns() -> None:
    (found,) = bind_rows(rows_of("ports", "id function baud", *PORTS))
    assert (found.group, found.is_list) == ("ports", False)
    assert found.why == "3 rows with baud, id, roles"
    assert _found(found.rows)["ports"] == {
        "id": ("id", ["uart1", "uart2", "uart3"]),
        "roles": ("function", [("console",), ("receiver",), ("unused",)]),
        "baud": ("baud", [115200, 420000, None]),
    }


def test_several_roles_of_a_port_are_parted_by_their_mark() -> None:
    found = _found(rows_of("ports", "id use", "uart1 console+telemetry", "uart2 receiver"))
    assert found["ports"]["roles"] == ("use", [("console", "telemetry"), ("receiver",)])


def test_two_marks_between_roles_are_none_that_one_rule_can_say() -> None:
    assert _found(rows_of("ports", "id use", "uart1 console+telemetry", "uart2 receiver/logger")) == {}


def test_ports_that_are_called_otherwise_are_told_by_their_look() -> None:
    called = _found(rows_of("ports", "id function baud", *PORTS))
    assert _found(rows_of("pages", "id function baud", *PORTS)) == called
    by_look = _found(rows_of("pages", "id a b", *PORTS))["ports"]
    assert {leaf: column for leaf, (column, _) in by_look.items()} == {"id": "id", "roles": "a", "baud": "b"}
    assert _found(rows_of("pages", "id colour weight", "a1 red 3", "a2 blue 4", "a3 red 5")) == {}


def test_what_a_menu_calls_the_answer_names_the_rows() -> None:
    rows = rows_of("17", "name use", "A console", "B receiver", "C gps")
    assert _found(rows) == {}
    assert _found(rows, "serial ports")["ports"]["id"] == ("name", ["A", "B", "C"])


@pytest.mark.parametrize(
    ("columns", "lines"),
    [
        ("id baud", ["uart1 115200", "uart2 420000"]),  # what they do is not told
        ("id function baud", ["uart1 wibble 115200", "uart2 wobble 420000", "uart3 gps 57600"]),  # most roles unknown
        ("function baud", ["console 115200", "receiver 420000"]),  # which ports they are is not told
    ],
)
def test_rows_without_what_makes_a_port_are_none(columns: str, lines: list[str]) -> None:
    assert _found(rows_of("ports", columns, *lines)) == {}


def test_switches_are_bound_by_their_columns() -> None:
    assert _found(rows_of("switches", "function channel from to", *SWITCHES)) == {
        "switches": {
            "function": ("function", ["arm", "level"]),
            "channel": ("channel", [5, 6]),
            "from_us": ("from", [1700, 900]),
            "to_us": ("to", [2100, 1300]),
        }
    }


def test_ends_of_a_range_that_run_backwards_are_not_taken() -> None:
    found = _found(rows_of("switches", "function channel from to", "arm 5 2100 1700", "level 6 1300 900"))
    assert found["switches"].keys() == {"function", "channel"}


def test_an_unknown_function_among_known_ones_is_no_reading() -> None:
    lines = (*SWITCHES, "banana 7 1000 1200")
    found = _found(rows_of("switches", "function channel from to", *lines))
    assert found["switches"]["function"] == ("function", ["arm", "level", None])
    assert _found(rows_of("switches", "function channel from to", SWITCHES[0], lines[2])) == {}


def test_unnamed_columns_of_a_switch_are_told_by_place_and_numbers() -> None:
    named = _found(rows_of("switches", "function channel from to", *SWITCHES))
    unnamed = _found(rows_of("switches", "function part1 part2 part3", *SWITCHES))
    values = {leaf: read for leaf, (_, read) in unnamed["switches"].items()}
    assert values == {leaf: read for leaf, (_, read) in named["switches"].items()}
    assert [unnamed["switches"][leaf][0] for leaf in ("channel", "from_us", "to_us")] == ["part1", "part2", "part3"]


def test_a_place_tells_less_than_a_name() -> None:
    (named,) = bind_rows(rows_of("switches", "function channel from to", *SWITCHES))
    (unnamed,) = bind_rows(rows_of("switches", "function part1 part2 part3", *SWITCHES))
    assert unnamed.confidence < named.confidence


def test_elements_are_bound_by_their_columns() -> None:
    assert _found(rows_of("osd elements", "element column row shown", *ELEMENTS)) == {
        "overlay.elements": {
            "name": ("element", ["battery", "timer"]),
            "column": ("column", [2, 22]),
            "row": ("row", [13, 12]),
            "shown": ("shown", [True, False]),
        }
    }


def test_unnamed_places_of_elements_are_column_and_row_only_where_the_numbers_tell() -> None:
    found = _found(rows_of("osd elements", "element part1 part2 part3", *ELEMENTS))
    assert found["overlay.elements"]["column"] == ("part1", [2, 22])
    assert found["overlay.elements"]["row"] == ("part2", [13, 12])
    assert found["overlay.elements"]["shown"] == ("part3", [True, False])
    assert _found(rows_of("osd elements", "element part1 part2", "battery 2 13", "timer 12 12")) == {}


def test_two_elements_in_each_line_are_no_rows_of_one() -> None:
    lines = ("battery 1 3 altitude 20 3", "timer 2 4 speed 21 4")
    assert _found(rows_of("osd elements", "left column row right at line", *lines)) == {}


@pytest.mark.parametrize(
    "rows",
    [
        rows_of("motors", "id poles", "1 14", "2 14"),
        rows_of("filters", "axis cutoff", "roll 90", "pitch 80"),
        rows_of("telemetry", "sensor baud", "gps 57600", "compass 9600"),
        rows_of("ports", "id function baud"),
    ],
    ids=lambda rows: rows.path[0],
)
def test_other_rows_and_no_rows_are_none(rows: RowSet) -> None:
    assert _found(rows) == {}


def test_a_number_in_a_cell_is_read_by_the_note_beside_it() -> None:
    rows = rows_of("ports", "id use", "uart1 1", "uart2 2", "uart3 0")
    note = "0 unused, 1 console, 2 receiver"
    noted = [{**row, "use": replace(row["use"], note=note)} for row in rows.rows]
    assert _found(replace(rows, rows=tuple(noted)))["ports"]["roles"] == (
        "use",
        [("console",), ("receiver",), ("unused",)],
    )
    assert _found(rows) == {}


def test_a_row_without_a_cell_has_no_reading_there() -> None:
    rows = rows_of("switches", "function channel from to", *SWITCHES, "turtle 7 900 1100")
    last = {name: cell for name, cell in rows.rows[2].items() if name != "channel"}
    found = _found(replace(rows, rows=(*rows.rows[:2], last)))
    assert found["switches"]["channel"] == ("channel", [5, 6, None])


def test_how_the_cells_are_written_is_right_for_all_of_them() -> None:
    mixed = rows_of("osd elements", "element column row shown", "battery 2 13 yes", "timer 22 12 off", "speed 3 1 no")
    (found,) = bind_rows(mixed)
    (shown,) = (cell for cell in found.cells if cell.fact.endswith(".shown"))
    assert [reading and reading.value for reading in shown.readings] == [True, False, False]
    assert shown.options["as"] == "yes-no"
    assert shown.options["no"] == ["no", "off"]
    assert shown.options["yes"] == "yes"


def test_what_stands_for_no_rate_is_said_once_it_is_a_word() -> None:
    rows = rows_of("ports", "id function baud", "uart1 console 115200", "uart2 receiver 420000", "uart3 unused none")
    (found,) = bind_rows(rows)
    (baud,) = (cell for cell in found.cells if cell.fact.endswith(".baud"))
    assert [reading and reading.value for reading in baud.readings] == [115200, 420000, None]
    assert baud.options["missing"] == ["-", "none"]


def test_a_single_row_is_enough_where_it_is_named() -> None:
    cells = {"id": Cell("uart1", 4), "function": Cell("receiver", 4), "baud": Cell("420000", 4)}
    rows = RowSet("page", {"table": "ports"}, ("ports",), tuple(cells), (cells,))
    assert _found(rows)["ports"]["roles"] == ("function", [("receiver",)])
