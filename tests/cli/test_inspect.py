"""`propsoff inspect`: ports, URLs and captures; what is printed where, and every exit code."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from propsoff_sim.tcp import TcpBoard
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
    import asyncio

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
        ("/dev/null", 3, ""),
        ("no-such-kind://x", 3, "no-such-kind"),
        ("socket://127.0.0.1:1", 3, "127.0.0.1:1"),
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
