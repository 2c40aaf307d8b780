"""The systemd unit, judged by systemd's own tools (package systemd 252)."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from propsoff.cli.main import EXIT_USAGE

UNIT = Path(__file__).parent.parent.parent / "contrib" / "systemd" / "propsoff.service"


@pytest.fixture
def unit(tmp_path: Path) -> Path:
    """The unit with a program that exists here, since the tools look for it."""
    copy = tmp_path / UNIT.name
    text = UNIT.read_text()
    assert "ExecStart=/opt/propsoff/bin/propsoff watch" in text
    copy.write_text(text.replace("/opt/propsoff/bin/propsoff", sys.executable))
    return copy


def test_a_mistake_in_the_settings_is_not_tried_again() -> None:
    # systemd.service(5): exit codes of RestartPreventExitStatus= do not start the service again.
    assert f"\nRestartPreventExitStatus={EXIT_USAGE}\n" in UNIT.read_text()
    assert "\nRestart=on-failure\n" in UNIT.read_text()


@pytest.mark.integration
def test_systemd_knows_every_word_of_the_unit(unit: Path) -> None:
    # `verify` exits 0 on unknown keys, so any complaint at all fails.
    done = subprocess.run(
        ["systemd-analyze", "verify", "--man=no", unit], capture_output=True, text=True, timeout=50, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.integration
def test_the_verifier_would_complain_about_an_unknown_word(unit: Path) -> None:
    unit.write_text(unit.read_text().replace("[Service]\n", "[Service]\nProtectEverything=yes\n"))
    done = subprocess.run(
        ["systemd-analyze", "verify", "--man=no", unit], capture_output=True, text=True, timeout=50, check=False
    )
    assert "ProtectEverything" in done.stderr


@pytest.mark.integration
def test_the_unit_is_exposed_as_little_as_it_can_be(unit: Path) -> None:
    done = subprocess.run(
        ["systemd-analyze", "security", "--offline=true", "--threshold=30", unit],
        capture_output=True,
        text=True,
        timeout=50,
        check=False,
    )
    level = re.search(r"exposure level for \S+ (\d+\.\d)", done.stdout)
    assert level, done.stdout + done.stderr
    assert float(level[1]) <= 3.0
    assert done.returncode == 0


def environment_of_the_unit(root: Path) -> dict[str, str]:
    """The unit's `Environment=` lines with /var/lib below `root`, and nothing of whoever runs the test."""
    told = dict(re.findall(r"^Environment=(\w+)=(\S+)$", UNIT.read_text(), re.MULTILINE))
    assert len(told) == UNIT.read_text().count("\nEnvironment=")
    assert all(value == "/var/lib" or value.startswith("/var/lib/") for value in told.values())
    moved = {name: str(root) + value for name, value in told.items()}
    temporary = root / "tmp"
    temporary.mkdir()
    # Nobody, not even root, makes a folder in /proc: a home that can only be read, as under ProtectHome=.
    return {"PATH": os.environ["PATH"], "HOME": "/proc", "TMPDIR": str(temporary), "LANG": "C.UTF-8", **moved}


def test_with_the_environment_of_the_unit_all_that_a_bench_keeps_is_below_its_state_directory(
    sim_bench: Any, tmp_path: Path
) -> None:
    root = tmp_path / "root"
    state_directory = root / "var/lib/propsoff"
    state_directory.mkdir(parents=True)
    environment = environment_of_the_unit(root)
    words = [sys.executable, "-m", "propsoff"]
    daemon = subprocess.Popen(
        [*words, "watch", "--source", "none", "--folder", str(sim_bench.folder)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=environment,
        cwd="/",
    )
    try:
        sim_bench.plug("ossel-hd53", "bay")
        assert daemon.stdout is not None
        seen = next((line for line in daemon.stdout if "ready: every check passed" in line), "")
        daemon.send_signal(signal.SIGTERM)
        _, errors = daemon.communicate(timeout=50)
    finally:
        daemon.kill()
        daemon.communicate()
    assert (seen != "", daemon.returncode) == (True, 0), errors
    assert '"event": "history"' not in errors
    asked = subprocess.run(
        [*words, "history", "--json"], capture_output=True, text=True, env=environment, cwd="/", check=False, timeout=50
    )
    assert asked.returncode == 0, asked.stderr
    [visit] = json.loads(asked.stdout)
    kept = {str(path.relative_to(state_directory)) for path in state_directory.rglob("*") if path.is_file()}
    assert {"history.sqlite", "state/known-boards.json"} <= kept
    [report] = (state_directory / "reports").glob("*.json")
    assert json.loads(report.read_bytes())["id"] == visit["id"]
    elsewhere = [path for path in root.rglob("*") if path.is_file() and not path.is_relative_to(state_directory)]
    assert elsewhere == []
