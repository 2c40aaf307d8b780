"""`propsoff overlay`: drawings and lines on a terminal, SVG files, and what cannot be drawn."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from propsoff_sim.catalogue import board
from propsoff_sim.personalities import console_for
from tests_support.captures import CAPTURES
from tests_support.conversations import dialect_of, recorded
from tests_support.processes import Run, stopped_while_reading

FAST = ("--listen", "0.05")


@pytest.fixture
def saved(tmp_path: Path) -> Any:
    """Keeps a conversation with a simulated board as a file, and gives its path."""

    def save(name_or_board: Any, file: str = "saved.cast") -> Path:
        path = tmp_path / file
        path.write_bytes(recorded(name_or_board).to_bytes())
        return path

    return save


def test_a_capture_is_drawn_with_its_grid_and_names(run: Run) -> None:
    done = run("overlay", "draw", CAPTURES / "ossel-hd53-sound.cast")
    assert done.returncode == 0
    assert done.stdout.startswith("53x20, reaches 51 of 53 columns (96%)")
    assert "· batte " in done.stdout
    assert "hidden, not drawn: horizon" in done.stdout


def test_a_terminal_without_line_characters_gets_plain_ones(run: Run) -> None:
    done = run("overlay", "draw", CAPTURES / "ossel-hd53-sound.cast", PYTHONIOENCODING="ascii")
    assert done.returncode == 0
    assert done.stdout.isascii()
    assert "+-----" in done.stdout


def test_a_board_on_a_port_is_drawn_and_never_written_to(run: Run, sim_board: Any) -> None:
    plugged = sim_board("brindle-hd50")
    done = run("overlay", "draw", plugged.path, *FAST)
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("50x18")
    assert b"put" not in plugged.received


def test_the_svg_is_written_whole(run: Run, tmp_path: Path) -> None:
    done = run("overlay", "draw", CAPTURES / "corvane-hd53-sound.cast", "--svg", tmp_path / "a.svg")
    assert done.returncode == 0
    assert "a.svg" in done.stderr
    assert "Teal Wren" in "".join(ElementTree.parse(tmp_path / "a.svg").getroot().itertext())


def test_another_grid_shows_what_would_fall_outside(run: Run) -> None:
    done = run("overlay", "draw", CAPTURES / "ossel-hd53-sound.cast", "--grid", "pal")
    assert "30x16, and beyond it" in done.stdout
    assert "OUTSIDE the grid" in done.stdout


@pytest.mark.parametrize("name", ["ossel-analog", "brindle-analog", "corvane-analog"])
def test_fit_prints_before_after_and_lines_that_the_board_takes(run: Run, saved: Any, name: str) -> None:
    state = board(name)
    done = run("overlay", "fit", saved(state), "--to", "53x20")
    assert done.returncode == 0, done.stderr
    assert done.stdout.index("30x16, reaches 28 of 30") < done.stdout.index("53x20, reaches 51 of 53")
    lines = [line.strip() for line in done.stdout.rpartition("type at the board's console")[2].splitlines()[1:]]
    console, end = console_for(state), dialect_of(state).manner.line_end
    for line in ("", *lines):
        console.feed(line.encode() + end)
    overlay = console.stored.overlay
    assert (overlay.system, overlay.columns, overlay.rows) == ("digital", 53, 20)
    assert {each.name: (each.column, each.row) for each in overlay.elements}["timer"] == (45, 18)
    again = run("overlay", "fit", saved(console.stored, "again.cast"), "--to", "53x20")
    assert "Nothing has to be moved." in again.stdout


def test_fit_tells_by_itself_that_the_layout_is_older_than_the_grid(run: Run, saved: Any) -> None:
    done = run("overlay", "fit", saved("ossel-hd53+layout-cramped"), "--to", "hd-53x20")
    assert "30x16, reaches 28 of 30" in done.stdout
    assert "let glass.item.timer := col 45 row 18 wide 6 shown" in done.stdout
    assert "glass.cols" not in done.stdout  # the grid is right already


def test_a_link_that_cannot_draw_the_grid_is_said(run: Run, saved: Any) -> None:
    done = run("overlay", "fit", saved("ossel-analog"), "--to", "53x20")
    assert "the video link is set to analogue, which draws no 53x20" in done.stderr
    assert "analogue" not in run("overlay", "fit", saved("ossel-analog"), "--to", "ntsc").stderr


def test_firmware_that_cannot_draw_the_grid_is_said_before_the_lines(run: Run, saved: Any) -> None:
    done = run("overlay", "fit", saved("ossel-hd53+old-firmware"), "--to", "53x20")
    assert "firmware 4.0.3 cannot draw 53x20: that needs 4.1.0 or newer" in done.stderr


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["draw", "nope.cast"], 2, "no such port or file"),
        (["draw", "{saved}", "--grid", "0x20"], 2, "--grid 0x20: a grid of 0x20 cannot be laid out"),
        (["draw", "{saved}", "--grid", "53x65536"], 2, "a grid of 53x65536 cannot be laid out"),
        (["draw", "{saved}", "--grid", "big"], 2, "--grid big: is no grid; give columns x rows"),
        (["draw", "{saved}", "--svg", "/proc/none/a.svg"], 2, "cannot be written there"),
        (["fit", "{saved}", "--to", "10x5"], 2, "wider than the 10 columns of 10x5: warnings (12 wide)"),
        (["fit", "{saved}", "--to", "12x2"], 2, "no room on 12x2 (24 cells)"),
        (["fit", "{saved}"], 2, "Missing option '--to'"),
        (["draw", "{stranger}"], 3, "see what was said: propsoff inspect"),
    ],
)
def test_what_cannot_be_drawn_is_said_in_one_line(run: Run, saved: Any, words: list[str], code: int, says: str) -> None:
    places = {"saved": saved("ossel-analog"), "stranger": CAPTURES / "stranger-silence.cast"}
    done = run("overlay", *(word.format(**places) for word in words))
    assert done.returncode == code
    assert says in done.stderr
    assert "Traceback" not in done.stderr


def test_an_absurd_grid_of_the_boards_own_is_named_and_not_drawn(run: Run, saved: Any) -> None:
    done = run("overlay", "draw", saved("corvane-hd53+grid-huge"))
    assert done.returncode == 3
    assert done.stdout == ""
    assert "a grid of 53x65536 cannot be laid out" in done.stderr
    assert "--grid 53x20" in done.stderr
    assert run("overlay", "draw", saved("corvane-hd53+grid-huge"), "--grid", "53x20").returncode == 0


@pytest.mark.parametrize("words", [("draw",), ("fit", "--to", "53x20")])
async def test_ctrl_c_while_a_board_is_read_draws_nothing_and_ends_with_130(
    home: dict[str, str], sim_bench: Any, words: tuple[str, ...]
) -> None:
    board = sim_bench.plug("ossel-hd53", "slow", pace=9600)
    assert await stopped_while_reading(board, home, "overlay", *words, board.path) == (130, b"")
