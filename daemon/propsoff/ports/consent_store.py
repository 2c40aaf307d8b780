"""The file that keeps the operator's consents: JSON, an array of objects, replaced as a whole and never half written.

Two processes may write at the same time (the daemon's page and the command line): each takes a lock beside the file and
reads the file again before it writes.
"""

from __future__ import annotations

import json
import os
import re
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, get_args

from propsoff.exceptions import ConfigError, TargetError
from propsoff.ports.consent import Consent, Scope, Verdict, consent_for
from propsoff.ports.facts import Port
from propsoff.safe_write import replace_file

LARGEST_FILE_BYTES = 4 * 1024 * 1024
LOCK_DEADLINE_S = 5.0
"""Longest wait for another process that writes; a write takes milliseconds."""

_HINT = "correct the file by hand, or move it away and give the consents again; nothing was overwritten"
_KEYS = frozenset(Consent.__dataclass_fields__)
_NEEDED = {"board": ("vid", "pid", "serial_number"), "kind": ("vid", "pid", "product"), "socket": ("path",)}
_HEX = re.compile(r"[0-9a-fA-F]{4}")


class ConsentStore:
    """The consents in the file at `path`; a missing file holds none. Reads and writes block: keep them off the loop."""

    def __init__(self, path: str | os.PathLike[str]) -> None:
        # A link is followed once, so that replacing the file does not replace the link.
        self._path = Path(path).resolve()

    @property
    def path(self) -> Path:
        """The file, links followed."""
        return self._path

    def all(self) -> tuple[Consent, ...]:
        """Every consent, oldest first. Raises ConfigError (file and line) when the file is damaged or unreadable."""
        try:
            with self._path.open("rb") as file:
                raw = file.read(LARGEST_FILE_BYTES + 1)
        except FileNotFoundError:
            return ()
        except OSError as error:
            raise ConfigError(f"cannot be read: {error.strerror}", source=self._path) from error
        return _parsed(raw, self._path)

    def add(
        self,
        port: Port,
        scope: Scope,
        verdict: Verdict,
        clock: Callable[[], datetime],
        *,
        note: str = "",
        attached: Iterable[Port] = (),
    ) -> Consent:
        """Keep the operator's word on `port`; an earlier word on the same board, kind or socket is replaced.

        `clock` gives the time with its zone. Raises SettingsError when the port lacks what the scope needs, or when its
        serial number names two of the `attached` boards; ConfigError when the file is damaged or cannot be written.
        """
        when = clock().astimezone(UTC).isoformat(timespec="seconds")
        consent = consent_for(port, scope, verdict, when, note=note, attached=attached)
        with self._locked():
            self._write([*(kept for kept in self.all() if kept.id != consent.id), consent])
        return consent

    def revoke(self, consent_id: str) -> Consent:
        """Take back the consent with that id. Raises TargetError when there is none, ConfigError as `add` does."""
        with self._locked():
            consents = self.all()
            gone = next((consent for consent in consents if consent.id == consent_id), None)
            if gone is None:
                kept = "; ".join(str(consent) for consent in consents)
                there = f"Kept are: {kept}" if kept else "Nothing was allowed or denied so far"
                raise TargetError(f"there is no consent {consent_id!r} in {self._path}. {there}")
            self._write([consent for consent in consents if consent is not gone])
        return gone

    def _write(self, consents: Iterable[Consent]) -> None:
        rows = [json.dumps(_row(consent)) for consent in consents]
        text = "[\n  " + ",\n  ".join(rows) + "\n]\n" if rows else "[]\n"
        try:
            replace_file(self._path, text.encode("utf-8"))
        except OSError as error:
            raise ConfigError(f"cannot be written: {error.strerror}", source=self._path) from error

    @contextmanager
    def _locked(self) -> Iterator[None]:
        """Hold the lock beside the file. Raises ConfigError."""
        lock = self._path.with_name(f"{self._path.name}.lock")
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            descriptor = os.open(lock, os.O_RDONLY | os.O_CREAT, 0o666)
        except OSError as error:
            raise ConfigError(f"cannot be written: {error.strerror}", source=lock) from error
        try:
            _lock(descriptor, lock)
            yield
        finally:
            os.close(descriptor)


def _lock(descriptor: int, lock: Path) -> None:
    if sys.platform == "win32":
        return  # No flock there; the file is still read again before each write.
    import fcntl

    deadline = time.monotonic() + LOCK_DEADLINE_S
    while True:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() > deadline:
                held = f"another process held the lock for {LOCK_DEADLINE_S:g} s"
                raise ConfigError(held, source=lock, hint="see which process has it open, and try again") from None
            time.sleep(0.005)
        else:
            return


def _row(consent: Consent) -> dict[str, Any]:
    row = {key: value for key, value in asdict(consent).items() if value is not None}
    return row | {key: f"{row[key]:04x}" for key in ("vid", "pid") if key in row}


def _parsed(raw: bytes, path: Path) -> tuple[Consent, ...]:
    """Raises ConfigError with the line at which the trouble starts."""
    if len(raw) > LARGEST_FILE_BYTES:
        raise ConfigError(f"is longer than {LARGEST_FILE_BYTES} bytes", source=path, hint=_HINT)
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise ConfigError("is not UTF-8 text", source=path, line=line, hint=_HINT) from None
    try:
        rows = json.loads(text)
    except json.JSONDecodeError as error:
        raise ConfigError(f"is not JSON: {error.msg}", source=path, line=error.lineno, hint=_HINT) from None
    except ValueError as error:  # a number of thousands of digits
        raise ConfigError(f"is not JSON that can be read: {error}", source=path, line=1, hint=_HINT) from None
    except RecursionError:
        raise ConfigError("is nested too deep", source=path, line=1, hint=_HINT) from None
    if not isinstance(rows, list):
        raise ConfigError("must be an array of consents", source=path, line=1, hint=_HINT)
    consents: dict[str, Consent] = {}
    for row, line in zip(rows, _lines_of_rows(text), strict=True):
        try:
            consent = _consent(row)
            if consent.id in consents:
                raise ValueError(f"id: {consent.id!r} stands here a second time")
        except ValueError as error:
            raise ConfigError(str(error), source=path, line=line, hint=_HINT) from None
        consents[consent.id] = consent
    return tuple(consents.values())


def _lines_of_rows(text: str) -> Iterator[int]:
    """The line at which each element of the array begins; `text` is known to be a JSON array."""
    decoder, position = json.JSONDecoder(), text.index("[") + 1
    while True:
        while text[position] in " \t\r\n,":
            position += 1
        if text[position] == "]":
            return
        yield text.count("\n", 0, position) + 1
        position = decoder.raw_decode(text, position)[1]


def _consent(row: object) -> Consent:
    """Raises ValueError with text for people."""
    if not isinstance(row, dict):
        raise ValueError("each consent must be an object")
    if unknown := sorted(set(row) - _KEYS):
        raise ValueError(f"{unknown[0]}: is no key of a consent; there are: {', '.join(sorted(_KEYS))}")
    scope = _one_of(row, "scope", get_args(Scope))
    needed = _NEEDED[scope]
    values: dict[str, Any] = {key: _number(row, key) for key in ("vid", "pid") if key in needed}
    values |= {key: _text(row, key) for key in ("serial_number", "product", "path") if key in needed}
    if surplus := sorted(set(row) & {"vid", "pid", "serial_number", "product", "path"} - set(needed)):
        raise ValueError(f"{surplus[0]}: does not belong to the scope {scope}, which is matched by {', '.join(needed)}")
    when = _text(row, "when")
    try:
        zone = datetime.fromisoformat(when).tzinfo
    except ValueError:
        zone = None
    if zone is None:
        raise ValueError(f"when: must be a time with its zone such as 2026-03-14T09:30:00+00:00, is {when!r:.40}")
    note = row.get("note", "")
    if not isinstance(note, str):
        raise ValueError(f"note: must be text, is {note!r:.40}")
    verdict = _one_of(row, "verdict", get_args(Verdict))
    return Consent(id=_text(row, "id"), verdict=verdict, scope=scope, when=when, note=note, **values)


def _text(row: dict[str, Any], key: str) -> str:
    value = row.get(key)
    if not isinstance(value, str) or not value.strip():
        raise ValueError(f"{key}: must be text that is not empty, is {value!r:.40}")
    return value


def _number(row: dict[str, Any], key: str) -> int:
    value = row.get(key)
    if not isinstance(value, str) or not _HEX.fullmatch(value):
        raise ValueError(f"{key}: must be four hexadecimal digits, is {value!r:.40}")
    return int(value, 16)


def _one_of(row: dict[str, Any], key: str, words: tuple[Any, ...]) -> Any:
    value = row.get(key)
    if value not in words:
        raise ValueError(f"{key}: must be {' or '.join(words)}, is {value!r:.40}")
    return value
