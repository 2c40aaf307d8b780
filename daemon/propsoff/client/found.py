"""Finding the bench that runs here: what it says of itself in `service.json`, in its state folder."""

from __future__ import annotations

import json
import os
import sys
from dataclasses import dataclass
from pathlib import Path

from propsoff.exceptions import NoBenchError

NAME = "service.json"
_FORMAT = 1


@dataclass(frozen=True, slots=True)
class Service:
    """A bench that runs: its name, its process, and where it can be asked; each None where it cannot be."""

    bench: str
    pid: int
    socket: Path | None = None
    url: str | None = None


def running_bench(state: Path) -> Service | None:
    """The bench of this state folder; None when none runs, or when it cannot be asked."""
    try:
        told = json.loads((state / NAME).read_bytes())
        socket, url = told["socket"], told["url"]
        service = Service(str(told["bench"]), int(told["pid"]), Path(socket) if socket else None, url and str(url))
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
    if told.get("format") != _FORMAT or not (service.socket or service.url) or not _alive(service.pid):
        return None
    return service


def state_folder() -> Path:
    """The state folder of this user's bench, as the settings have it. Raises SettingsError."""
    from propsoff.settings_sources import load_settings

    return load_settings({}).settings.bench.state


def must_run(state: Path) -> Service:
    """The bench of this state folder. Raises NoBenchError, with how to start one."""
    service = running_bench(state)
    if service is None:
        raise NoBenchError(f"no bench runs with the state folder {state}; start one: propsoff watch")
    return service


def _alive(pid: int) -> bool:
    if pid <= 0:
        return False
    if sys.platform == "win32":  # there, signal 0 would end the process
        return True
    try:
        os.kill(pid, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:  # another user's
        return True
    return True
