"""`service.json` in the state folder: how programs of this user find a running bench."""

from __future__ import annotations

import json
import os
from pathlib import Path

from propsoff.safe_write import replace_file

NAME = "service.json"
FORMAT = 1


def write_service(state: Path, *, bench: str, socket: Path | None, url: str | None) -> None:
    """Tell where this process serves. Raises OSError."""
    told = {
        "format": FORMAT,
        "pid": os.getpid(),
        "bench": bench,
        "socket": None if socket is None else str(socket),
        "url": url,
    }
    replace_file(state / NAME, json.dumps(told, indent=1).encode() + b"\n", sync=False)


def remove_service(state: Path) -> None:
    """Take it away where it is of this process. Raises OSError."""
    path = state / NAME
    try:
        told = json.loads(path.read_bytes())
    except (FileNotFoundError, ValueError):
        return
    if isinstance(told, dict) and told.get("pid") == os.getpid():
        path.unlink(missing_ok=True)
