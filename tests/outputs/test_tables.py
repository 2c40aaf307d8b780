"""Tables: whole paths in every width, and nothing that a program which reads them would have to take off again."""

from __future__ import annotations

import io

import pytest
from rich.console import Console

from propsoff.outputs.tables import show_pairs, show_table
from propsoff.outputs.terminal import console_for

PATH = "/srv/bench-two/" + "captures/" * 12 + "monday.toml"
HEAD = ("sheet", "title", "file")
ROWS = (("ours", "What our house builds for races, with the digital link", PATH), ("short", "A second one", "/x.toml"))


def narrow(width: int) -> tuple[Console, io.StringIO]:
    stream = io.StringIO()
    return Console(file=stream, width=width, markup=False, highlight=False), stream


@pytest.mark.parametrize("width", [20, 40, 80, 130, 160])
def test_a_path_is_on_one_line_however_narrow_the_terminal_is(width: int) -> None:
    console, stream = narrow(width)
    show_table(console, HEAD, ROWS, paths=("file",))
    lines = stream.getvalue().splitlines()
    assert sum(PATH in line for line in lines) == 1
    assert sum("/x.toml" in line for line in lines) == 1
    assert all(len(line) <= width for line in lines if PATH not in line)
    told = " ".join(stream.getvalue().split())
    assert "races," in told
    assert "second" in told


def test_in_a_pipe_a_table_has_one_line_for_each_row_without_padding() -> None:
    stream = io.StringIO()
    show_table(console_for(stream), HEAD, [*ROWS, ("long", "word " * 200, "/y.toml")], paths=("file",))
    lines = stream.getvalue().splitlines()
    assert len(lines) == 4
    assert [line.rstrip() for line in lines] == lines
    assert all(row[-1] in line for row, line in zip(ROWS, lines[1:], strict=False))


@pytest.mark.parametrize("width", [60, 80, 100, 120])
def test_no_name_is_broken_or_cut_however_narrow_the_terminal_is(width: int) -> None:
    rows = [
        (
            "2026-11-26 03:29",
            "incomplete",
            "Teal Wren D50",
            "4F2A001902",
            "what it says in many words " * 3,
            "report-1",
        ),
        (
            "2026-11-26 03:27",
            "pass",
            "Teal Wren A",
            "4F2A001901",
            "a little",
            "20261126T032912Z-fenwick-f7-d9b71a06b101",
        ),
    ]
    console, stream = narrow(width)
    show_table(console, ("when", "verdict", "craft", "serial number", "text", "report"), rows, paths=("report",))
    told = stream.getvalue().split()
    for row in rows:
        for word in " ".join(row).split():
            assert word in told, word
    assert all(len(line) <= width for line in stream.getvalue().splitlines())


def test_pairs_wrap_beside_their_names() -> None:
    console, stream = narrow(30)
    show_pairs(console, [("why", "one two three four five six seven eight"), ("reads", "ports")], left=2)
    first, second, *_ = stream.getvalue().splitlines()
    assert first.startswith("  why    one")
    assert second.startswith("         ")
    assert len(first.rstrip()) <= 30
