"""The command line as a process of its own, in a home of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests_support.processes import Run


@pytest.fixture
def home(tmp_path: Path) -> dict[str, str]:
    """The environment of a user who never used propsoff before."""
    # COLUMNS and LINES, which a runner of several tests at a time sets, would beat the terminal's own size.
    others = ("PROPSOFF_", "XDG_", "COLUMNS", "LINES")
    kept = {name: value for name, value in os.environ.items() if not name.startswith(others)}
    places = {f"XDG_{kind}_HOME": str(tmp_path / kind.lower()) for kind in ("CONFIG", "STATE", "DATA", "CACHE")}
    return {**kept, **places, "XDG_CONFIG_DIRS": str(tmp_path / "system"), "HOME": str(tmp_path)}


@pytest.fixture
def run(home: dict[str, str], tmp_path: Path) -> Run:
    """Run `propsoff WORDS...` to its end."""

    def run(*words: str | Path, **more: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "propsoff", *map(str, words)],
            capture_output=True,
            text=True,
            timeout=50,
            check=False,
            cwd=tmp_path,
            stdin=subprocess.DEVNULL,
            env={**home, **more},
        )

    return run
