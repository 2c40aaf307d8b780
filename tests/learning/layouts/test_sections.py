"""Replies in sections: headings, blocks by indentation, items of lists."""

from __future__ import annotations

import pytest

from learning.layouts.replies import COMMAND, cells, lines, only, stated
from propsoff.learning.layouts.sections import as_sections

BELOW = {"radio/kind": "serial", "range/low": "1000", "range/high": "2000"}


@pytest.mark.parametrize(
    ("heading", "template"),
    [
        ("[{}]", "[{section:words}]"),
        ("<{}>", "<{section:words}>"),
        ("== {} ==", "== {section:words} =="),
        ("* {}", "* {section:words}"),
        ("{}:", "{section:words}:"),
        ("{} {{", "{section:words} {{"),
        ("@{}", "@{section:words}"),
    ],
)
def test_settings_belong_to_the_heading_above(heading: str, template: str) -> None:
    text = f"{heading.format('radio')}\nkind = serial\n{heading.format('range')}\nlow = 1000\nhigh = 2000"
    layout = as_sections(COMMAND, lines(text))
    assert layout is not None
    assert (stated(layout), layout.options["headings"]) == (BELOW, [template])
    assert layout.understood == {1, 2, 3, 4, 5}
    assert "indented" not in layout.options


@pytest.mark.parametrize(
    ("plain", "remarked", "template"),
    [
        ("# radio", "# range (low, high; in us)", "# {section:words} ({_:rest}"),
        ("[radio]", "[range] (low, high)", "[{section:words}] ({_:rest}"),
    ],
)
def test_a_remark_behind_a_heading_is_no_part_of_its_name(plain: str, remarked: str, template: str) -> None:
    layout = as_sections(COMMAND, lines(f"{plain}\nkind = serial\n{remarked}\nlow = 1000\nhigh = 2000"))
    assert layout is not None
    assert stated(layout) == BELOW
    assert layout.options["headings"][0] == template


def test_what_stands_before_the_first_heading_belongs_to_none() -> None:
    layout = as_sections(COMMAND, lines("board = LOOM\n[radio.link]\nport = P2\n[range]\nlow = 1000"))
    assert stated(layout) == {"board": "LOOM", "radio/link/port": "P2", "range/low": "1000"}


def test_blocks_nest_by_indentation() -> None:
    layout = as_sections(COMMAND, lines("radio:\n  kind: serial\n  link:\n    port: P2\n  after: x\nname: Wren"))
    assert stated(layout) == {"radio/kind": "serial", "radio/link/port": "P2", "radio/after": "x", "name": "Wren"}
    assert layout is not None
    assert layout.options["indented"] is True


def test_names_with_a_deeper_block_need_no_mark() -> None:
    layout = as_sections(COMMAND, lines("radio\n  kind = serial\nrange\n  low = 1000\n  high = 2000"))
    assert stated(layout) == BELOW
    assert layout is not None
    assert layout.options["headings"] == ["{section:words}"]


@pytest.mark.parametrize("mark", ["-", "+"])
def test_items_of_a_list_are_numbered_blocks_and_rows(mark: str) -> None:
    text = f"ports:\n  {mark} name: P1\n    baud: 9600\n  {mark} name: P2\n    baud: 420000\nname: Wren"
    layout = as_sections(COMMAND, lines(text))
    assert layout is not None
    assert layout.options["items"] == mark
    assert [one.word for one in layout.statements[:4]] == [
        "ports.1.name",
        "ports.1.baud",
        "ports.2.name",
        "ports.2.baud",
    ]
    assert [one["baud"] for one in cells(only(layout.rows))] == ["9600", "420000"]


def test_a_list_of_single_words_has_no_items() -> None:
    layout = as_sections(COMMAND, lines("radio:\n  kind: serial\n  port: P2\nmarks:\n  - a\n  - b"))
    assert layout is not None
    assert "items" not in layout.options


@pytest.mark.parametrize(
    "text",
    [
        "kind = serial\nlow = 1000",  # no heading
        "[radio]\nkind = serial\nlow = 1000",  # one heading is no habit
        "[radio]\n[range]\nlow = 1000\nhigh = 2000",  # nothing below the first
        "[radio]\nAll is well.\n[range]\nSo it is.",
        "    kind : serial\n     low : 1000\n highest : 2000\n    port : P2",  # aligned at its mark, no block
        "",
    ],
)
def test_what_has_no_headings_with_settings_below_gives_nothing(text: str) -> None:
    assert as_sections(COMMAND, lines(text)) is None


def test_a_star_before_several_lines_of_an_item_is_the_mark_of_a_list() -> None:
    layout = as_sections(COMMAND, lines("ports:\n  * id: P1\n    baud: 9600\n  * id: P2\n    baud: 420000"))
    assert layout is not None
    assert layout.options["items"] == "*"
    assert stated(layout) == {
        "ports/1/id": "P1",
        "ports/1/baud": "9600",
        "ports/2/id": "P2",
        "ports/2/baud": "420000",
    }
