"""`propsoff watch` as a process: rows, reports, and clean ends."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any

import pytest

from tests_support.processes import Run


@contextmanager
def watching(home: dict[str, str], folder: Path, out: Path, *words: str) -> Iterator[subprocess.Popen[str]]:
    """The daemon on a folder of links."""
    command = [sys.executable, "-m", "propsoff", *words, "watch", "--source", "none", "--listen", "0.05"]
    daemon = subprocess.Popen(
        [*command, "--folder", str(folder), "--out", str(out)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=home,
        cwd=folder.parent,
    )
    try:
        yield daemon
    finally:
        daemon.kill()
        daemon.communicate()


def read_until(stream: IO[str] | None, words: str) -> list[str]:
    """Lines up to the one that has these words; the test's own time-out bounds it."""
    assert stream is not None
    lines: list[str] = []
    for line in stream:
        lines.append(line)
        if words in line:
            return lines
    raise AssertionError(f"{words!r} never came; there was: {''.join(lines)}")


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_boards_come_and_go_and_a_signal_ends_it_cleanly(
    home: dict[str, str], sim_bench: Any, tmp_path: Path, how: signal.Signals
) -> None:
    with watching(home, sim_bench.folder, tmp_path / "out") as daemon:
        read_until(daemon.stdout, "Watching")
        sim_bench.plug("ossel-hd53", "a")
        read_until(daemon.stdout, "ready: every check passed")
        sim_bench.unplug("a")
        read_until(daemon.stdout, "unplugged")
        sim_bench.plug("brindle-hd53+order-taer", "b")
        rows = "".join(read_until(daemon.stdout, "channel-order"))
        assert "fail" in rows
        daemon.send_signal(how)
        rest, errors = daemon.communicate(timeout=30)
    assert daemon.returncode == 0
    assert rest.endswith("Stopped.\n")
    assert "Traceback" not in errors
    # No terminal: the log is JSON, one object a line.
    assert {json.loads(line)["event"] for line in errors.splitlines()} >= {"port seen", "report", "port left"}
    assert len(list((tmp_path / "out").glob("*.json"))) == 2


def test_sigterm_in_mid_listing_still_leaves_the_report_and_the_capture(
    home: dict[str, str], sim_bench: Any, tmp_path: Path
) -> None:
    with watching(home, sim_bench.folder, tmp_path / "out") as daemon:
        read_until(daemon.stdout, "Watching")
        sim_bench.plug("ossel-hd53", "slow", pace=9600)
        read_until(daemon.stdout, "is being read")
        daemon.send_signal(signal.SIGTERM)
        daemon.communicate(timeout=30)
    assert daemon.returncode == 0
    report = json.loads(next((tmp_path / "out").glob("*.json")).read_text())
    assert report["verdict"] == "incomplete"
    assert "stopped" in report["ended"]
    assert next((tmp_path / "out").glob("*.cast")).read_text().splitlines()[-1].endswith('stopped"]')


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--folder", "absent"), "absent: no such folder to watch"),
        (("--folder", "file"), "file: is not a folder"),
        (("--folder", "x" * 300), "File name too long"),
        ((), "give --port PATH or --folder FOLDER"),
        (("--folder", ".", "--out", "file/reports"), "file/reports: reports cannot be written there"),
        (("--folder", ".", "--out", "file"), "file: reports cannot be written there"),
        (("--port", "socket://nope"), "give a port: socket://HOST:PORT"),
    ],
)
def test_what_cannot_be_watched_or_written_ends_it_at_the_start_with_one_line(
    run: Run, tmp_path: Path, words: tuple[str, ...], told: str
) -> None:
    (tmp_path / "file").write_text("")
    done = run("watch", "--source", "none", *words)
    assert done.returncode == 2
    assert told in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_a_row_tells_each_thing_once_then_what_to_do_and_where_the_whole_is(
    home: dict[str, str], sim_bench: Any, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    with watching(home, sim_bench.folder, out) as daemon:
        read_until(daemon.stdout, "Watching")
        sim_bench.plug("brindle-hd53+order-taer", "a")
        lines = read_until(daemon.stdout, "all of it")
    told = "".join(lines)
    assert told.count("throttle, elevator and aileron are rotated") == 1
    finding = next(at for at, line in enumerate(lines) if "channel-order" in line)
    assert lines[finding + 1].startswith("        type: put sticks order A>E>T>R")
    [report] = out.glob("*.json")
    assert f"    report: {report}\n" in lines
    assert f"    all of it: propsoff show {report}\n" in lines
    assert report.with_suffix(".cast").exists()


def test_a_board_that_nobody_recognises_is_given_its_next_step(
    home: dict[str, str], sim_bench: Any, tmp_path: Path
) -> None:
    with watching(home, sim_bench.folder, tmp_path / "out") as daemon:
        read_until(daemon.stdout, "Watching")
        sim_bench.plug("gps", "a")
        lines = read_until(daemon.stdout, "all of it")
    row = next(at for at, line in enumerate(lines) if "was not recognised" in line)
    assert lines[row + 1] == "    do: Unplug it: this is no flight controller. Plug in the board of the craft itself.\n"


def test_a_row_says_when_its_report_cannot_be_written(home: dict[str, str], sim_bench: Any, tmp_path: Path) -> None:
    out = tmp_path / "out"
    with watching(home, sim_bench.folder, out, "--set", "output.retry_s=0.1") as daemon:
        read_until(daemon.stdout, "Watching")
        out.rmdir()
        out.write_text("a file in the way")
        sim_bench.plug("ossel-hd53", "a")
        told = read_until(daemon.stdout, "could not be written")[-1]
        assert told.split()[0] == "a"
        out.unlink()
        read_until(daemon.stdout, f"report: {out}")
