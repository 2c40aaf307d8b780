"""`propsoff inspect`: ports, URLs and captures; what is printed where, and every exit code."""

from __future__ import annotations

import asyncio
import json
import re
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pexpect
import pytest

from propsoff_sim.tcp import TcpBoard
from tests_support.captures import CAPTURES
from tests_support.processes import Run

FAST = ("--listen", "0.05")


def test_a_good_board_passes_and_leaves_report_and_capture(run: Run, sim_board: Any, tmp_path: Path) -> None:
    board = sim_board("ossel-hd53")
    done = run("inspect", board.path, *FAST, "--out", tmp_path / "out")
    assert done.returncode == 0
    assert "pass" in done.stdout
    assert "Teal Wren" in done.stdout
    report = next((tmp_path / "out").glob("*.json"))
    assert f"report: {report}" in done.stderr
    assert report.with_suffix(".cast").exists()


def test_without_out_the_report_is_kept_in_the_users_folder(run: Run, sim_board: Any, tmp_path: Path) -> None:
    run("inspect", sim_board("corvane-hd53").path, *FAST)
    assert list((tmp_path / "data" / "propsoff" / "reports").glob("*.json"))


@pytest.mark.parametrize(
    ("name", "options", "code"),
    [
        ("ossel-hd53+overlay-off", (), 0),
        ("ossel-hd53+overlay-off", ("--strict",), 1),
        ("brindle-hd53+order-taer", (), 1),
        ("corvane-hd53+malformed-grid", (), 3),
        ("gps", (), 3),
    ],
)
def test_the_exit_code_tells_the_verdict(
    run: Run, sim_board: Any, name: str, options: tuple[str, ...], code: int
) -> None:
    assert run("inspect", sim_board(name).path, *FAST, *options).returncode == code


def test_json_is_the_report_and_nothing_else(run: Run, sim_board: Any) -> None:
    done = run("inspect", "--json", sim_board("brindle-hd50+order-eatr").path, *FAST)
    report = json.loads(done.stdout)
    assert (report["verdict"], done.returncode) == ("fail", 1)
    assert report["schema_version"] == 1


def test_json_of_several_targets_is_an_array_in_their_order(run: Run, sim_board: Any, tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("nothing of a console\n")
    done = run("inspect", "--json", tmp_path / "notes.txt", sim_board("ossel-hd53").path, *FAST)
    assert [report["verdict"] for report in json.loads(done.stdout)] == ["incomplete", "pass"]
    assert done.returncode == 3


@pytest.mark.parametrize("rfc2217", [False, True])
@pytest.mark.parametrize("name", ["ossel-hd53", "brindle-analog-spi"])
async def test_a_board_on_another_host_is_inspected(run: Run, rfc2217: bool, name: str) -> None:
    """RFC 2217 is spoken by pyserial 3.5 on both sides (`serial.rfc2217.PortManager` serves)."""
    async with TcpBoard(name, rfc2217=rfc2217) as board:
        done = await asyncio.to_thread(run, "inspect", board.url, *FAST, "--json")
    report = json.loads(done.stdout)
    assert (report["verdict"], done.returncode) == ("pass", 0), report["ended"]
    assert report["port"]["device"] == board.url


@pytest.mark.parametrize("name", ["ossel-hd53", "brindle-hd53+order-eatr", "corvane-analog-ntsc"])
def test_text_pasted_from_a_terminal_gives_the_findings_of_the_live_board(
    run: Run, sim_board: Any, sim_text: Callable[..., str], tmp_path: Path, name: str
) -> None:
    (tmp_path / "pasted.txt").write_text(sim_text(name))
    live, pasted = (
        json.loads(run("inspect", "--json", target, *FAST).stdout)
        for target in (sim_board(name).path, tmp_path / "pasted.txt")
    )
    assert pasted["verdict"] == live["verdict"]

    def without_lines(report: dict[str, Any]) -> list[dict[str, Any]]:
        return [
            {**finding, "evidence": [each["text"] for each in finding["evidence"]]} for finding in report["findings"]
        ]

    assert without_lines(pasted) == without_lines(live)
    lines = sim_text(name).splitlines()
    for finding in pasted["findings"]:
        for each in finding["evidence"]:
            assert lines[each["line"] - 1].rstrip() == each["text"].rstrip()


@pytest.mark.parametrize(
    ("target", "code", "words"),
    [
        ("/dev/no-such-port", 2, "there is no such port or file"),
        (".", 2, "propsoff batch"),
        ("", 2, "an empty name is no target"),
        ("/dev/null", 2, "/dev/null: is not a serial port"),
        ("no-such-kind://x", 2, "'no-such-kind' is no kind of port that can be read"),
        ("http://x.y/", 2, "give a path, or socket://HOST:PORT"),
        ("socket://nope", 2, "give a port: socket://HOST:PORT"),
        ("rfc2217://nope:99999", 2, "give a port: rfc2217://HOST:PORT"),
        ("socket://127.0.0.1:1", 3, "do: Check the host name and port, and that the bridge there runs."),
        ("socket://no-such-host.invalid:4000", 3, "do: Check the host name and port, and that the bridge there runs."),
        ("broken.cast", 3, "broken.cast, line 1"),
        ("empty.txt", 3, ""),
    ],
)
def test_a_target_that_cannot_be_inspected_is_told_in_words(
    run: Run, tmp_path: Path, target: str, code: int, words: str
) -> None:
    (tmp_path / "broken.cast").write_text("{no json")
    (tmp_path / "empty.txt").write_text("")
    done = run("--set", "timings.settle_s=0.1", "inspect", target, *FAST)
    assert done.returncode == code, done.stderr
    assert "Traceback" not in done.stdout + done.stderr
    told = " ".join((done.stdout + done.stderr).split())
    assert words in told
    assert "Check cable" not in told or code != 3 or "://" not in target
    assert len(done.stderr.splitlines()) == 1 or code != 2


def test_a_denied_port_is_not_opened_even_when_named(run: Run, sim_bench: Any, tmp_path: Path) -> None:
    board = sim_bench.plug("ossel-hd53", socket="1-7:1.0")
    denied = run("--set", f"ports.folder={sim_bench.folder}", "--set", "ports.source=none", "deny", board.path)
    assert denied.returncode == 0, denied.stderr
    watched = run("--set", f"ports.folder={sim_bench.folder}", "--set", "ports.source=none", "ports")
    assert "stays shut" in watched.stdout
    assert board.received == b""


def test_a_name_that_would_act_on_the_terminal_is_shown_harmless(run: Run, sim_board: Any) -> None:
    done = run("inspect", sim_board("ossel-hd53+name-ansi").path, *FAST)
    assert "\x1b" not in done.stdout + done.stderr


def test_a_report_that_cannot_be_written_is_still_shown(run: Run, sim_board: Any, tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file in the way")
    done = run("--set", f"output.folder={tmp_path}/out", "inspect", sim_board("ossel-hd53").path, *FAST)
    assert "pass" in done.stdout
    assert "could not be written" in done.stderr
    assert done.returncode == 2


@pytest.mark.parametrize(
    ("name", "code"), [("ossel-hd53-sound", 2), ("brindle-hd53-order-taer", 1), ("stranger-silence", 3)]
)
def test_a_report_that_cannot_be_written_changes_only_a_code_that_says_all_is_well(
    run: Run, tmp_path: Path, name: str, code: int
) -> None:
    (tmp_path / "out").write_text("a file in the way")
    done = run("inspect", CAPTURES / f"{name}.cast", "--out", tmp_path / "out", "--json")
    assert json.loads(done.stdout)["capture"]["file"] == f"{name}.cast"
    assert "could not be written" in done.stderr
    assert done.returncode == code


@pytest.mark.parametrize(("option", "folder"), [("--sheet", "sheets"), ("--dialect", "dialects")])
@pytest.mark.parametrize("what", ["missing", "broken", "in a folder"])
def test_a_sheet_or_dialect_that_is_named_and_cannot_be_used_ends_it_at_once(
    run: Run, tmp_path: Path, option: str, folder: str, what: str
) -> None:
    path = tmp_path / folder / "mine.toml"
    if what != "missing":
        path.parent.mkdir()
        path.write_text("format = 1\nnmae = 'x'\n")
    named = path.parent if what == "in a folder" else path
    done = run("inspect", "--json", option, named, CAPTURES / "ossel-hd53-sound.cast")
    assert (done.returncode, done.stdout) == (2, "")
    assert len(done.stderr.splitlines()) == 1
    assert str(path) in done.stderr


@pytest.mark.parametrize(("setting", "check"), [("checks.sheets", "build-sheet"), ("checks.dialects", "dialect")])
def test_a_path_in_the_settings_that_is_not_there_is_an_error_in_every_report(
    run: Run, tmp_path: Path, setting: str, check: str
) -> None:
    done = run("--set", f'{setting}=["{tmp_path}/absent"]', "inspect", "--json", CAPTURES / "ossel-hd53-sound.cast")
    report = json.loads(done.stdout)
    assert (report["verdict"], done.returncode) == ("error", 4)
    [finding] = [each for each in report["findings"] if each["outcome"] == "error"]
    assert finding["check"] == check
    assert f"{tmp_path}/absent" in finding["summary"]


def test_a_broken_dialect_of_the_users_own_never_lets_a_report_pass(run: Run, tmp_path: Path) -> None:
    place = tmp_path / "config" / "propsoff" / "dialects"
    place.mkdir(parents=True)
    assert run("inspect", CAPTURES / "ossel-hd53-sound.cast").returncode == 0
    (place / "mine.toml").write_text("format = 1\nid = 'mine'\n")
    done = run("inspect", CAPTURES / "ossel-hd53-sound.cast")
    assert done.returncode == 4
    assert f"dialect  a dialect could not be used: {place}/mine.toml" in done.stdout


def test_a_report_of_a_file_names_the_file_and_by_what_it_was_judged(run: Run) -> None:
    told = run("inspect", CAPTURES / "ossel-hd53-small-grid.cast").stdout
    assert f"  file: {CAPTURES}/ossel-hd53-small-grid.cast\n" in told
    assert "judged by: sheet house-default (no build sheet matches this craft: the house defaults apply)" in told
    assert "read by: dialect ossel 1\n" in told
    assert "/bench/sockets/board" not in told.splitlines()[1]


def test_what_is_piped_is_neither_wrapped_nor_padded(run: Run) -> None:
    lines = run("inspect", CAPTURES / "ossel-hd53-small-grid.cast").stdout.splitlines()
    assert max(map(len, lines)) > 150
    assert [line for line in lines if line != line.rstrip()] == []


async def test_ctrl_c_keeps_the_incomplete_report_and_ends_with_130(
    home: dict[str, str], sim_bench: Any, tmp_path: Path
) -> None:
    board = sim_bench.plug("ossel-hd53", "slow", pace=9600)
    command = [sys.executable, "-m", "propsoff", "inspect", str(board.path), *FAST, "--out", str(tmp_path / "out")]
    reading = await asyncio.create_subprocess_exec(*command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=home)
    async with asyncio.timeout(50):
        while not board.received:
            assert reading.returncode is None
            await asyncio.sleep(0.005)
        reading.send_signal(signal.SIGINT)
        told, errors = await reading.communicate()
    assert reading.returncode == 130, errors
    assert b"was stopped" in told
    report = json.loads(next((tmp_path / "out").glob("*.json")).read_text())
    assert report["verdict"] == "incomplete"


def test_a_link_that_is_named_is_known_by_the_description_beside_it(run: Run, sim_bench: Any) -> None:
    board = sim_bench.plug("ossel-hd53", "a")
    report = json.loads(run("inspect", "--json", board.path, *FAST).stdout)
    assert report["verdict"] == "pass"
    assert (report["port"]["vid"], report["port"]["serial_number"]) == ("0483", "4F2A00191C")


def test_a_bootloader_stays_shut_also_when_its_link_is_named(run: Run, sim_bench: Any) -> None:
    board = sim_bench.plug("ossel-hd53", "a")
    beside = board.path.with_name(f"{board.path.name}.usb.json")
    beside.write_text(json.dumps({"vid": "0483", "pid": "df11"}))
    done = run("inspect", board.path, *FAST)
    assert done.returncode == 3
    assert "bootloader" in done.stderr
    assert board.received == b""


def test_no_color_is_honoured_on_a_terminal(home: dict[str, str]) -> None:
    """`NO_COLOR`, when set to anything but nothing, means no colour (no-color.org)."""
    words = ["inspect", str(CAPTURES / "ossel-hd53-small-grid.cast")]
    shown = {}
    for wish in ("", "1"):
        with pexpect.spawn(
            sys.executable,
            ["-m", "propsoff", *words],
            env={**home, "TERM": "xterm-256color", "NO_COLOR": wish},
            timeout=50,
        ) as terminal:
            shown[wish] = terminal.read().decode()
    colour = re.compile("\x1b\\[[0-9;]*\\b(3[0-7]|9[0-7]|38)[;m]")
    assert colour.search(shown[""])
    assert not colour.search(shown["1"])
    assert "overlay-canvas" in shown["1"]
