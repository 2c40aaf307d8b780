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


def test_a_folder_that_is_not_there_is_told(home: dict[str, str], tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "propsoff", "watch", "--source", "none", "--folder", str(tmp_path / "absent")],
        capture_output=True,
        text=True,
        timeout=50,
        check=False,
        env=home,
    )
    assert done.returncode == 3
    assert "absent" in done.stderr
    assert "Traceback" not in done.stderr
