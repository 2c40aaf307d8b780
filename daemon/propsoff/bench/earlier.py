"""What was answered earlier about a board, by its serial number: shown when it is asked again, kept over a restart.

A damaged file is put aside and costs nothing but that. The answers themselves stand beside the captures.
"""

from __future__ import annotations

import contextlib
import json
import threading
from pathlib import Path

from propsoff.exceptions import NotesError
from propsoff.notes.load import parse_notes
from propsoff.notes.model import HandNotes
from propsoff.notes.save import notes_text
from propsoff.safe_write import replace_file

_MOST_BOARDS = 500


class EarlierAnswers:
    """The newest answers of each board; `path` None keeps them in memory only. `keep` may run in any thread."""

    def __init__(self, path: Path | None = None) -> None:
        self._path = path
        self._lock, self._keeping = threading.Lock(), threading.Lock()
        self._notes: dict[str, HandNotes] = _read(path) if path else {}

    def of(self, serial: str | None) -> HandNotes | None:
        """The answers about the board with this serial number; None when there are none, or it states no number."""
        return self._notes.get(serial or "")

    def note(self, serial: str, notes: HandNotes) -> None:
        """Remember answers; of many boards those that were answered longest ago are forgotten."""
        with self._lock:
            self._notes.pop(serial, None)
            self._notes[serial] = notes
            while len(self._notes) > _MOST_BOARDS:
                del self._notes[next(iter(self._notes))]

    def keep(self) -> None:
        """Write the file. Raises OSError."""
        if self._path is None:
            return
        with self._keeping:  # of two that write, the later one has the newer answers
            with self._lock:
                notes = dict(self._notes)
            boards = {serial: notes_text(one) for serial, one in notes.items()}
            replace_file(self._path, json.dumps({"format": 1, "boards": boards}).encode(), sync=False)


def _read(path: Path) -> dict[str, HandNotes]:
    try:
        data = path.read_bytes()
    except OSError:
        return {}
    try:
        return {str(serial): parse_notes(text) for serial, text in json.loads(data)["boards"].items()}
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError, NotesError):
        with contextlib.suppress(OSError):  # a folder that cannot be written: then it stays where it is
            path.replace(path.with_name(f"{path.name}.damaged"))
        return {}
