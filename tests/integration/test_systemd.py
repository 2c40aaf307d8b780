"""The systemd unit, judged by systemd's own tools (package systemd 252)."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

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
