"""`propsoff inspect --ask` on a real terminal, with simulated boards and saved captures."""

from __future__ import annotations

import json
import os
import shlex
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pexpect
import pytest

from propsoff import HandNote, load_notes
from tests_support.captures import SOUND
from tests_support.processes import Run

SHEET = """\
format = 1
name = "ours"
extends = "house-default"

[match]
craft = "*"

[[questions]]
id = "propellers-off"
ask = "Are all propellers off?"
kind = "yes-no"
expected = "yes"

[[questions]]
id = "goggles-firmware"
ask = "Which firmware do the goggles run?"
kind = "version"
expected = { from = "4.2.0" }

[[questions]]
id = "battery-connector"
ask = "Which connector does the battery have?"
kind = "choice"
choices = ["small", "large"]

[[questions]]
id = "box"
ask = "What else is in the box?"
kind = "text"
"""


class Desk:
    """A person at a terminal; standard output goes into a file, the terminal shows the rest."""

    def __init__(self, home: dict[str, str], folder: Path) -> None:
        self.folder = folder
        self._env = {**home, "TERM": "dumb"}
        self._started: list[pexpect.spawn[str]] = []
        (folder / "ours.toml").write_text(SHEET)

    def ask(self, *words: str | Path) -> pexpect.spawn[str]:
        command = shlex.join(
            [sys.executable, "-m", "propsoff", "inspect", "--ask", "--json", "--sheet", "ours.toml", *map(str, words)]
        )
        terminal = pexpect.spawn(
            "/bin/sh",
            ["-c", f"exec {command} > report.json"],
            env=self._env,
            cwd=str(self.folder),
            encoding="utf-8",
            codec_errors="replace",
            timeout=40,
        )
        self._started.append(terminal)
        return terminal

    def report(self) -> dict[str, Any]:
        report: dict[str, Any] = json.loads((self.folder / "report.json").read_text())
        return report

    def close(self) -> None:
        for terminal in self._started:
            terminal.close(force=True)


@pytest.fixture
def desk(home: dict[str, str], tmp_path: Path) -> Iterator[Desk]:
    desk = Desk(home, tmp_path)
    yield desk
    desk.close()


@pytest.fixture
def capture(tmp_path: Path) -> Path:
    return Path(shutil.copy(SOUND, tmp_path / "a.cast"))


def answer(terminal: pexpect.spawn[str], *pairs: tuple[str, str]) -> None:
    for shown, typed in pairs:
        terminal.expect_exact(shown)
        terminal.expect_exact("> ")
        terminal.sendline(typed)


def ended(terminal: pexpect.spawn[str]) -> int | None:
    terminal.expect(pexpect.EOF)
    terminal.close()
    status: int | None = terminal.exitstatus
    return status


def found(report: dict[str, Any]) -> list[tuple[str, str | None]]:
    return [(one["outcome"], one["code"]) for one in report["findings"] if one["check"] == "hand-notes"]


def test_a_board_is_read_its_questions_asked_and_a_replay_finds_the_same(run: Run, desk: Desk, sim_board: Any) -> None:
    terminal = desk.ask(sim_board("ossel-hd53").path, "--listen", "0.05", "--out", "out")
    answer(
        terminal,
        ("4 questions of the sheet ours.", "maybe"),
        ("y or n, please", "Y"),
        ("2/4  Which firmware do the goggles run? (a version, such as 1.10.0)", "newest"),
        ("a version that begins with a digit", "4.1.9"),
        ("2  large", "3"),
        ("a number from 1 to 2, please", "2"),
        ("What else is in the box?", ""),
    )
    assert ended(terminal) == 1
    live = desk.report()
    assert found(live) == [("fail", "goggles-firmware"), ("unknown", "unanswered")]
    [path] = (desk.folder / "out").glob("*.notes.toml")
    notes = load_notes(path)
    assert {name: note.value for name, note in notes.answers.items()} == {
        "propellers-off": True,
        "goggles-firmware": "4.1.9",
        "battery-connector": "large",
    }
    assert (notes.craft, notes.serial) == ("Teal Wren", "4F2A00191C")
    [replayed] = (desk.folder / "out").glob("*.cast")
    assert replayed.name == live["capture"]["file"]
    again = json.loads(run("inspect", "--json", "--sheet", "ours.toml", replayed).stdout)
    assert again["findings"] == live["findings"]
    assert again["facts"] == live["facts"]


def test_answers_about_a_capture_are_kept_beside_it_and_offered_the_next_time(desk: Desk, capture: Path) -> None:
    first = desk.ask(capture)
    answer(first, ("1/4", "y"), ("2/4", "4.2.0"), ("3/4", "small"), ("4/4", "a strap"))
    assert ended(first) == 0
    assert desk.report()["verdict"] == "pass"
    path = capture.with_name("a.notes.toml")
    kept = path.read_bytes()
    times = {note.at for note in load_notes(path).answers.values()}
    assert len(times) == 1

    same = desk.ask(capture)
    answer(same, ("(now: yes)", ""), ("(now: 4.2.0)", ""), ("(now: small)", ""), ("(now: a strap)", ""))
    assert ended(same) == 0
    assert path.read_bytes() == kept

    other = desk.ask(capture)
    answer(other, ("(now: yes)", ""), ("(now: 4.2.0)", "4.1"), ("(now: small)", ""), ("4/4", ""))
    assert ended(other) == 1
    assert load_notes(path).answers["goggles-firmware"].value == "4.1"
    assert load_notes(path).answers["box"] == HandNote("a strap", times.pop())
    assert [each.name for each in desk.folder.glob(".propsoff-*")] == []


def test_the_end_of_input_leaves_the_rest_unanswered_and_keeps_what_was_said(desk: Desk, capture: Path) -> None:
    terminal = desk.ask(capture)
    answer(terminal, ("1/4", "y"))
    terminal.expect_exact("2/4")
    terminal.sendeof()
    assert ended(terminal) == 3
    assert found(desk.report()) == [("unknown", "unanswered")] * 3
    assert list(load_notes(capture.with_name("a.notes.toml")).answers) == ["propellers-off"]


def test_enter_all_the_way_writes_nothing(desk: Desk, capture: Path) -> None:
    terminal = desk.ask(capture)
    answer(terminal, ("1/4", ""), ("2/4", "  "), ("3/4", ""), ("4/4", ""))
    assert ended(terminal) == 3
    assert found(desk.report()) == [("unknown", "unanswered")] * 4
    assert not capture.with_name("a.notes.toml").exists()


def test_ctrl_c_keeps_the_report_of_a_board_and_what_was_answered(desk: Desk, sim_board: Any) -> None:
    terminal = desk.ask(sim_board("corvane-hd53").path, "--listen", "0.05", "--out", "out")
    answer(terminal, ("1/4", "y"))
    terminal.expect_exact("2/4")
    terminal.expect_exact("> ")
    assert len(list((desk.folder / "out").glob("*.cast"))) == 1  # safe before anybody is asked
    terminal.sendintr()
    assert ended(terminal) == 130
    assert found(desk.report()) == [("unknown", "unanswered")] * 3
    assert len(list((desk.folder / "out").glob("*.json"))) == 1
    [path] = (desk.folder / "out").glob("*.notes.toml")
    assert list(load_notes(path).answers) == ["propellers-off"]


def test_each_of_several_is_asked_about_in_its_turn(desk: Desk, capture: Path) -> None:
    shutil.copy(capture, capture.with_name("b.cast"))
    (desk.folder / "cut.txt").write_text("no console at all\n")
    terminal = desk.ask(capture, "cut.txt", "b.cast")
    answer(terminal, ("1/4", "y"), ("2/4", ""), ("3/4", ""), ("4/4", ""), ("1/4", "n"))
    terminal.expect_exact("2/4")
    terminal.expect_exact("> ")
    terminal.sendintr()
    assert ended(terminal) == 130
    first, cut, second = json.loads((desk.folder / "report.json").read_text())
    assert cut["verdict"] == "incomplete"
    assert ("fail", "propellers-off") not in found(first)
    assert ("fail", "propellers-off") in found(second)


def test_what_the_named_notes_say_is_offered_and_kept_with_the_rest(desk: Desk, capture: Path) -> None:
    (desk.folder / "box.toml").write_text('format = 1\n[answers]\ngoggles-firmware = "4.3"\nbox = 5\n')
    terminal = desk.ask(capture, "--notes", "box.toml")
    answer(terminal, ("1/4", "y"), ("(now: 4.3)", ""), ("3/4", "1"), ("in the box?\r\n", "a strap"))
    assert ended(terminal) == 0
    answers = load_notes(capture.with_name("a.notes.toml")).answers
    assert {name: note.value for name, note in answers.items()} == {
        "goggles-firmware": "4.3",
        "box": "a strap",
        "propellers-off": True,
        "battery-connector": "small",
    }
    assert answers["goggles-firmware"].at is None  # nobody says when
    assert answers["box"].at is not None


@pytest.mark.parametrize(
    ("there", "words", "told"),
    [
        ("format = 1", ("--notes", "box.toml"), "a.notes.toml has answers already"),
        ("nonsense", (), "a.notes.toml, line 1: is not TOML"),
    ],
)
def test_answers_that_were_not_read_are_never_written_over(
    desk: Desk, capture: Path, there: str, words: tuple[str, ...], told: str
) -> None:
    path = capture.with_name("a.notes.toml")
    path.write_text(there)
    (desk.folder / "box.toml").write_text("format = 1")
    terminal = desk.ask(capture, *words)
    terminal.expect_exact(told)
    assert ended(terminal) == 2
    assert path.read_text() == there
    assert (desk.folder / "report.json").read_text() == ""


def test_about_another_craft_nothing_is_asked(desk: Desk, capture: Path) -> None:
    path = capture.with_name("a.notes.toml")
    path.write_text('format = 1\ncraft = "Grey Wren"')
    terminal = desk.ask(capture)
    terminal.expect_exact("of another craft, so nothing is asked")
    assert ended(terminal) == 3
    assert path.read_text() == 'format = 1\ncraft = "Grey Wren"'


def test_answers_that_cannot_be_kept_are_said_and_the_report_is_there(desk: Desk, capture: Path) -> None:
    long = capture.with_name(f"{'x' * 248}.cast")  # the name of its notes is too long to be one
    capture.rename(long)
    terminal = desk.ask(long)
    answer(terminal, ("1/4", "y"), ("2/4", "4.2.0"), ("3/4", "1"), ("4/4", "a strap"))
    terminal.expect_exact("the answers could not be written")
    assert ended(terminal) == 2
    assert desk.report()["verdict"] == "pass"


def test_bytes_that_are_no_text_are_asked_for_again(desk: Desk, capture: Path) -> None:
    terminal = desk.ask(capture)
    terminal.expect_exact("1/4")
    terminal.expect_exact("> ")
    os.write(terminal.fileno(), b"\xff\xfe\n")
    terminal.expect_exact("letters that this terminal can show, please")
    terminal.sendintr()
    assert ended(terminal) == 130
