"""Hand notes on the command line: `--notes` for a rig, and NAME.notes.toml beside NAME.cast by itself."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from propsoff import inspect_file, load_notes
from propsoff.library import toolbox
from propsoff.settings import Settings
from tests_support.captures import SOUND
from tests_support.processes import Run

FAST = ("--listen", "0.05")
SHEET = """\
format = 1
name = "ours"
extends = "house-default"

[match]
craft = "*"

[[questions]]
id = "receiver-bound"
ask = "Is the receiver bound?"
kind = "yes-no"
expected = "yes"

[[questions]]
id = "goggles-firmware"
ask = "Which firmware do the goggles run?"
kind = "version"
expected = { from = "4.2.0" }
"""
NOTES = """\
format = 1
at = 2026-11-25T10:00:00Z
[answers]
receiver-bound = true
goggles-firmware = "4.10.0"
"""


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A folder with a capture, a sheet that asks, and notes that answer."""
    (tmp_path / "captures").mkdir()
    shutil.copy(SOUND, tmp_path / "captures" / "a.cast")
    (tmp_path / "ours.toml").write_text(SHEET)
    (tmp_path / "notes.toml").write_text(NOTES)
    return tmp_path


def hand_facts(report: dict[str, Any]) -> dict[str, Any]:
    return {fact["name"]: (fact["value"], fact["at"]) for fact in report["facts"] if fact["origin"] == "hand"}


def of_check(report: dict[str, Any], check: str) -> list[tuple[str, str | None]]:
    return [(one["outcome"], one["code"]) for one in report["findings"] if one["check"] == check]


def test_notes_that_are_named_make_a_capture_pass_that_is_unknown_without(run: Run, bench: Path) -> None:
    words = ("inspect", "--json", "--sheet", "ours.toml", "captures/a.cast")
    without = run(*words)
    assert without.returncode == 3
    assert of_check(json.loads(without.stdout), "hand-notes") == [("unknown", "unanswered")] * 2
    done = run(*words, "--notes", "notes.toml")
    report = json.loads(done.stdout)
    assert (done.returncode, report["verdict"], done.stderr) == (0, "pass", "")
    at = "2026-11-25T10:00:00Z"
    assert hand_facts(report) == {"hand.receiver-bound": (True, at), "hand.goggles-firmware": ("4.10.0", at)}
    assert [each.name for each in (bench / "captures").iterdir()] == [
        "a.cast"
    ]  # a capture that is only read stays alone


def test_notes_beside_a_capture_are_found_and_those_that_are_named_stand_in_their_place(run: Run, bench: Path) -> None:
    (bench / "captures" / "a.notes.toml").write_text(NOTES.replace("4.10.0", "4.1"))
    words = ("inspect", "--json", "--sheet", "ours.toml", "captures/a.cast")
    found = run(*words)
    assert found.returncode == 1
    assert of_check(json.loads(found.stdout), "hand-notes") == [("fail", "goggles-firmware")]
    assert run(*words, "--notes", "notes.toml").returncode == 0


def test_the_library_finds_them_too(bench: Path) -> None:
    tools = toolbox(Settings.model_validate({"checks": {"sheets": (bench / "ours.toml",)}}))
    capture = bench / "captures" / "a.cast"
    assert inspect_file(capture, tools=tools).verdict == "unknown"
    assert inspect_file(capture, tools=tools, hand=load_notes(bench / "notes.toml")).verdict == "pass"
    shutil.copy(bench / "notes.toml", bench / "captures" / "a.notes.toml")
    assert inspect_file(capture, tools=tools).verdict == "pass"


def test_notes_for_a_port_are_kept_beside_its_capture_so_that_a_replay_finds_the_same(
    run: Run, sim_board: Any, bench: Path
) -> None:
    words = ("inspect", "--json", "--sheet", "ours.toml")
    done = run(*words, sim_board("ossel-hd53").path, *FAST, "--notes", "notes.toml", "--out", "out")
    live = json.loads(done.stdout)
    assert (done.returncode, live["verdict"]) == (0, "pass"), done.stderr
    [capture] = (bench / "out").glob("*.cast")
    [kept] = (bench / "out").glob("*.json")
    assert capture.name == live["capture"]["file"]
    assert json.loads(kept.read_text()) == live
    assert capture.with_suffix(".notes.toml").exists()
    again = json.loads(run(*words, capture).stdout)
    assert again["findings"] == live["findings"]
    assert hand_facts(again) == hand_facts(live) != {}


def test_notes_of_another_craft_are_neither_used_nor_kept(run: Run, sim_board: Any, bench: Path) -> None:
    (bench / "notes.toml").write_text(NOTES.replace("format = 1", 'format = 1\ncraft = "Grey Wren"'))
    done = run(
        *("inspect", "--json", "--sheet", "ours.toml", sim_board("ossel-hd53").path, *FAST),
        *("--notes", "notes.toml", "--out", "out"),
    )
    report = json.loads(done.stdout)
    assert (done.returncode, report["verdict"], hand_facts(report)) == (3, "unknown", {})
    assert of_check(report, "notes-file") == [("unknown", "other-craft")]
    assert list((bench / "out").glob("*.notes.toml")) == []


@pytest.mark.parametrize("command", ["inspect", "batch"])
@pytest.mark.parametrize(
    ("what", "told"),
    [
        ("absent", "bad.toml: No such file"),
        ("folder", "bad.toml: is a folder"),
        ("1 MB", "bad.toml: larger than 64 KiB"),
        ("not TOML", "bad.toml, line 1: is not TOML"),
        ("format", "bad.toml, line 1: format: 3 is not a format of notes"),
        ("key", "bad.toml, line 2: goggles-firmwar: there is no such key"),
        ("id", "bad.toml, line 3: answers.Goggles-Firmware: is not the id of a question (did you mean goggles-firm"),
    ],
)
def test_named_notes_that_cannot_be_read_end_it_before_anything_is_inspected(
    run: Run, bench: Path, command: str, what: str, told: str
) -> None:
    path = bench / "bad.toml"
    if what == "folder":
        path.mkdir()
    elif what != "absent":
        texts = {
            "1 MB": "#" * 1_000_000,
            "not TOML": "format",
            "format": "format = 3",
            "key": "format = 1\ngoggles-firmwar = 1",
            "id": "format = 1\n[answers]\nGoggles-Firmware = 1",
        }
        path.write_text(texts[what])
    target = ("inspect", "--json", "captures/a.cast") if command == "inspect" else ("batch", "captures", "--out", "out")
    done = run(*target, "--notes", "bad.toml")
    assert (done.returncode, done.stdout) == (2, "")
    assert told in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert not (bench / "out").exists()


def test_notes_that_nobody_may_read_are_told(run: Run, bench: Path) -> None:
    (bench / "loop.toml").symlink_to("loop.toml")
    done = run("inspect", "--notes", "loop.toml", "captures/a.cast")
    assert (done.returncode, len(done.stderr.splitlines())) == (2, 1)
    assert "loop.toml: Too many levels of symbolic links" in done.stderr


def test_a_broken_file_beside_a_capture_is_an_error_in_its_report_only(run: Run, bench: Path) -> None:
    (bench / "captures" / "a.notes.toml").write_text("format = ")
    done = run("inspect", "--json", "--sheet", "ours.toml", "captures/a.cast")
    report = json.loads(done.stdout)
    assert (done.returncode, report["verdict"]) == (4, "error")
    assert of_check(report, "notes-file") == [("error", "unreadable")]
    assert ("pass", None) in of_check(report, "channel-order")  # the rest is there


def test_a_batch_takes_the_notes_beside_each_capture_or_one_file_for_all(run: Run, bench: Path) -> None:
    folder = bench / "captures"
    shutil.copy(SOUND, folder / "b.cast")
    shutil.copy(SOUND, folder / "c.cast")
    shutil.copy(bench / "notes.toml", folder / "a.notes.toml")
    (folder / "b.notes.toml").write_text("nonsense")
    settings = ("--set", f'checks.sheets=["{bench}/ours.toml"]')

    def verdicts(out: str, *words: str) -> dict[str, str]:
        run(*settings, "batch", "captures", "--out", out, *words)
        return {row["file"]: row["verdict"] for row in json.loads((bench / out / "summary.json").read_text())["rows"]}

    assert verdicts("own") == {"a.cast": "pass", "b.cast": "error", "c.cast": "unknown"}
    assert verdicts("named", "--notes", "notes.toml") == dict.fromkeys(("a.cast", "b.cast", "c.cast"), "pass")


def test_without_a_terminal_nobody_can_be_asked(run: Run, bench: Path) -> None:
    done = run("inspect", "--ask", "captures/a.cast")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        "propsoff: --ask: standard input is no terminal, so nobody can be asked "
        "(give the answers in a file: --notes FILE.toml)\n"
    )
