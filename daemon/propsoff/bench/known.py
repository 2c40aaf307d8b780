"""Boards seen before: which dialect a board spoke, by its USB identity and serial number.

A known board is asked at once, without the listening window. Kept in a small JSON file; a damaged one is put aside
(renamed, so that a person can look at it) and costs nothing but the listening window.
"""

from __future__ import annotations

import contextlib
import json
import threading
from pathlib import Path

from propsoff.ports.facts import Port
from propsoff.safe_write import replace_file

_MAX_BOARDS = 10_000


class KnownBoards:
    """`dialect_of` a port, and `remember` it; both from any thread. `path` None keeps them in memory only."""

    def __init__(self, path: Path | None) -> None:
        self._path = path
        self._lock = threading.Lock()
        self._dialects: dict[str, str] = _read(path) if path else {}

    def dialect_of(self, port: Port) -> str | None:
        """The dialect that this board spoke when it was last seen, or None."""
        key = _key(port)
        return self._dialects.get(key) if key else None

    def remember(self, port: Port, dialect: str) -> None:
        """Note what a board speaks; one without a serial number is not noted. Raises OSError when it cannot be kept."""
        key = _key(port)
        if key is None:
            return
        # Held while the file is written, so that an older list never replaces a newer one.
        with self._lock:
            if self._dialects.get(key) == dialect:
                return
            self._dialects.pop(key, None)
            self._dialects[key] = dialect
            while len(self._dialects) > _MAX_BOARDS:
                del self._dialects[next(iter(self._dialects))]
            if self._path:
                replace_file(self._path, json.dumps({"format": 1, "boards": self._dialects}, indent=1).encode())


def _key(port: Port) -> str | None:
    usb = port.usb
    return f"{usb.vid_pid}/{usb.serial_number}" if usb.vid_pid and usb.serial_number else None


def _read(path: Path) -> dict[str, str]:
    try:
        data = path.read_bytes()
    except OSError:
        return {}
    try:
        boards = json.loads(data)["boards"]
        return {str(key): str(value) for key, value in boards.items()}
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        with contextlib.suppress(OSError):  # a folder that cannot be written: then it stays where it is
            path.replace(path.with_name(f"{path.name}.damaged"))
        return {}
