"""A burst of events that overruns the real socket of the unmodified pyudev."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.integration

SCRIPT = Path(__file__).parent / "udev_overrun.py"


def test_a_real_burst_is_answered_by_counting_the_ports_again_and_events_go_on() -> None:
    """Without care pyudev raises at each further poll, for ever: the socket's error stays until somebody reads it."""
    command = ["unshare", "--map-root-user", "--net", sys.executable, str(SCRIPT)]
    run = subprocess.run(command, capture_output=True, text=True, timeout=50, check=False)
    assert run.returncode == 0, run.stderr
    drains = json.loads(run.stdout)
    assert drains["before"] == ["tty1"]
    assert drains["burst"][-1] == "everything"
    assert drains["after"] == ["tty2"]
