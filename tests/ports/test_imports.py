"""The ports room loads what is heavy only where it is used."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import propsoff.ports

HEAVY = ("pydantic", "pydantic_settings", "structlog", "asyncinotify", "watchfiles", "pyudev", "serial")


def test_no_module_of_the_room_loads_a_heavy_package_by_being_imported() -> None:
    modules = sorted(path.stem for path in Path(propsoff.ports.__path__[0]).glob("*.py"))
    names = ", ".join(f"propsoff.ports.{name}" for name in modules if name != "__init__")
    program = f"import sys, {names}; print(*sorted(set(sys.modules) & set({HEAVY!r})))"
    run = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=30)
    assert run.stdout.strip() == ""
