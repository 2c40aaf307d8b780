"""Reading a notes file: `format = 1`, whose notes they are and when they were made, and the answers."""

from __future__ import annotations

import re
import stat
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, time
from pathlib import Path
from typing import Any

from propsoff.craft.model import HandNote, Scalar
from propsoff.exceptions import NotesError
from propsoff.notes.answers import LONGEST, instant_of
from propsoff.notes.model import Hand, HandNotes
from propsoff.sheets.form import near, quoted
from propsoff.toml_scan import KeyLines
from propsoff.tomlfile import parse_toml, read_toml

FORMAT = 1
SUFFIX = ".notes.toml"
"""What the notes about a capture NAME.cast are called: NAME.notes.toml, beside it."""

MOST_BYTES = 64 << 10
"""How large a notes file may be."""

_KEYS = ("format", "craft", "serial", "at", "answers")
_ANSWER_KEYS = ("value", "at")
_ID = re.compile(r"[a-z0-9][a-z0-9-]{0,199}\Z")
_LARGEST = 1 << 53  # above it, not every whole number has a place in binary arithmetic
LONGEST_NAME = 200
"""How long a craft's name or a serial number may be in notes, in characters."""
_AT_HINT = "a time with its offset, not in quotation marks: at = 2026-11-25T10:00:00Z"


def beside(capture: Path) -> Path:
    """Where the notes about a saved capture are."""
    return capture.with_suffix(SUFFIX)


def load_notes(path: str | Path, known: Collection[str] = ()) -> HandNotes:
    """The notes of a file. `known` are the ids of questions, for hints.

    Raises NotesError, with file, line and key, when it is no file, cannot be read, is larger than 64 KiB or wrong.
    """
    file = Path(path)
    try:
        status = file.stat()
    except (OSError, ValueError) as error:  # ValueError: a name with a null character in it
        raise NotesError(getattr(error, "strerror", None) or str(error), source=file) from None
    if not stat.S_ISREG(status.st_mode):  # a pipe may never end
        what = "is a folder" if stat.S_ISDIR(status.st_mode) else "is no ordinary file"
        raise NotesError(what, source=file, hint="name a file of hand notes")
    if status.st_size > MOST_BYTES:
        raise NotesError(f"larger than {MOST_BYTES >> 10} KiB, which no notes are", source=file)
    document, lines = read_toml(file, NotesError)
    return _Reader(document, lines, str(file), known).notes()


def parse_notes(text: str, source: str = "", known: Collection[str] = ()) -> HandNotes:
    """As `load_notes`, of a text; `source` names it. Raises NotesError."""
    document, lines = parse_toml(text, source, NotesError)
    return _Reader(document, lines, source, known).notes()


def notes_beside(capture: Path, known: Collection[str] = ()) -> Hand | None:
    """The notes beside a saved capture, or why they cannot be read; None when there are none."""
    path = beside(capture)
    try:
        path.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return None
    except OSError:
        # A name too long to be one; a folder that cannot be searched gave no capture either.
        return None
    return notes_or_why_not(path, known)


def notes_or_why_not(path: Path, known: Collection[str] = ()) -> Hand:
    """As `load_notes`, and the error instead of raising it."""
    try:
        return load_notes(path, known)
    except NotesError as error:
        return error


@dataclass(frozen=True)
class _Reader:
    """One document, its lines, and what the questions are called."""

    document: Mapping[str, Any]
    lines: KeyLines
    source: str
    known: Collection[str]

    def notes(self) -> HandNotes:
        """What it says. Raises NotesError."""
        self._head()
        at = self._instant(self.document["at"], "at") if "at" in self.document else None
        answers = self.document.get("answers", {})
        if not isinstance(answers, dict):
            raise self._error("must be a table", "answers", hint="[answers], and below it: receiver-bound = true")
        read = dict(self._answers(answers, at))
        places = {name: f"{self.source}:{self.lines.of('answers', name)}" for name in read} if self.source else {}
        return HandNotes(read, self._name("craft"), self._name("serial"), self.source, places)

    def _head(self) -> None:
        if "format" not in self.document:
            raise self._error("missing", "format", hint=f"a notes file begins with `format = {FORMAT}`")
        found = self.document["format"]
        if isinstance(found, bool) or found != FORMAT:
            problem = f"{quoted(found)} is not a format of notes"
            raise self._error(problem, "format", hint=f"this version reads format {FORMAT}")
        for key in self.document:
            if key not in _KEYS:
                answer = key in self.known
                hint = "answers stand below [answers]" if answer else near(key, _KEYS)
                raise self._error("there is no such key", key, hint=hint)

    def _name(self, key: str) -> str | None:
        if key not in self.document:
            return None
        name = self.document[key]
        if not isinstance(name, str) or not name.strip() or len(name) > LONGEST_NAME:
            hint = "leave it out when the notes are of any craft"
            raise self._error(f"must be a text of 1 to {LONGEST_NAME} characters", key, hint=hint)
        return name

    def _answers(self, table: Mapping[str, Any], at: str | None) -> Iterator[tuple[str, HandNote]]:
        for name, item in table.items():
            where = ("answers", name)
            if not _ID.match(name):
                hint = near(name, self.known) if self.known else "lower-case letters, digits and hyphens"
                raise self._error("is not the id of a question", *where, hint=hint)
            if not isinstance(item, dict):
                yield name, HandNote(self._value(item, *where), at)
                continue
            for key in item:
                if key not in _ANSWER_KEYS:
                    raise self._error("there is no such key", *where, key, hint=near(key, _ANSWER_KEYS))
            if "value" not in item:
                raise self._error("has no value", *where, hint="{ value = ..., at = ... }")
            own = self._instant(item["at"], *where, "at") if "at" in item else at
            yield name, HandNote(self._value(item["value"], *where, "value"), own)

    def _value(self, value: Any, *where: str) -> Scalar:
        """The value of an answer, of whatever type a fact may have."""
        if isinstance(value, str) and len(value) > LONGEST:
            raise self._error(f"must be a text of at most {LONGEST} characters", *where)
        if isinstance(value, str | bool):
            return value
        if isinstance(value, int | float):
            if abs(value) <= _LARGEST:  # neither an infinity nor what is no number
                return value
            raise self._error(f"{quoted(value)} is not a number that can be an answer", *where)
        if isinstance(value, date | time):
            raise self._error("is a date or a time", *where, hint="write it in quotation marks")
        raise self._error("must be one value: a text, true, false or a number", *where)

    def _instant(self, value: Any, *where: str) -> str:
        at = instant_of(value)
        if at is None:
            said = value.isoformat() if isinstance(value, date | time) else quoted(value)
            raise self._error(f"{said} is not a time with its offset from UTC", *where, hint=_AT_HINT)
        return at

    def _error(self, problem: str, *where: str, hint: str | None = None) -> NotesError:
        line = self.lines.of(*where)
        return NotesError(problem, source=self.source or None, line=line, key=".".join(where), hint=hint)
