"""The queue of one target on disk: one file a report, written once, taken away when the report is out.

Plain files and not a queue library: each entry appears whole or not at all (`safe_write`), an operator can look at and
delete one, and nothing about an entry changes while it waits, so there is nothing that a database would add.
"""

from __future__ import annotations

import contextlib
import json
import threading
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from pydantic import BaseModel, ConfigDict, ValidationError

from propsoff.safe_write import write_new

SUFFIX = ".outgoing"
_ASIDE = ".not-sent"
_DIGITS = 12


class Head(BaseModel):
    """What is known of a report that waits, without reading it. `made_s` is Unix time; `place` a place of the bench."""

    model_config = ConfigDict(frozen=True, strict=True)

    report: str
    verdict: str
    place: str | None
    craft: str | None
    capture: str | None
    made_s: float


@dataclass(frozen=True, slots=True)
class Entry:
    """A report that waits: its file, what it is, and its JSON as it is sent each time."""

    path: Path
    head: Head
    body: bytes
    queued_s: float | None = None
    """When this process queued it, by the monotonic clock; None when an earlier one did."""

    @property
    def age_s(self) -> float:
        """How long it has waited, in seconds; where this process queued it, a clock that is set does not matter."""
        if self.queued_s is not None:
            return time.monotonic() - self.queued_s
        return max(time.time() - self.head.made_s, 0.0)


@dataclass(slots=True)
class _Index:
    """The files that wait, in order, and when this process queued them."""

    files: deque[Path] = field(default_factory=deque)
    queued_s: dict[Path, float] = field(default_factory=dict)
    next: int = 1


class Outbox:
    """The queue in `folder`; at the most `keep` wait. Usable from any thread.

    `say` is given what a person should know, in the calling thread; `wake` is called when something was put in.
    """

    def __init__(self, folder: Path, *, keep: int, sync: bool = True, say: Callable[[str], object]) -> None:
        self.folder, self._keep, self._sync, self._say = folder, keep, sync, say
        self.wake: Callable[[], object] = lambda: None
        self._lock = threading.Lock()
        self._known: _Index | None = None
        self._held: Path | None = None

    def put(self, head: Head, body: bytes) -> None:
        """Have a report wait; one that waits already is left as it is. Raises OSError."""
        dropped: Path | None = None
        with self._lock:
            index = self._index()
            if any(report_of(path) == head.report for path in index.files):
                return  # a second attempt of whoever hands over
            path = write_new(
                self.folder,
                f"{index.next:0{_DIGITS}d}_{head.report}",
                SUFFIX,
                head.model_dump_json().encode() + b"\n" + body,
                sync=self._sync,
            )
            index.next += 1
            index.files.append(path)
            index.queued_s[path] = time.monotonic()
            if len(index.files) > self._keep:
                dropped = next((each for each in index.files if each not in (self._held, path)), None)
            if dropped is not None:
                self._forget(dropped)
        if dropped is not None:
            self._say(f"more than {self._keep} reports wait; the oldest, {report_of(dropped)}, is dropped")
        self.wake()

    def look_again(self) -> None:
        """What waits is what stands in the folder now: another process had it until now."""
        with self._lock:
            queued_s = self._known.queued_s if self._known else {}
            self._known = None
            with contextlib.suppress(OSError):  # then whoever wants it next looks again
                self._index().queued_s.update(queued_s)

    def first(self, *, last_try: bool = False) -> Entry | None:
        """The oldest that waits; what is no report is put aside and said.

        Raises OSError for what cannot be read now; at the `last_try` that is put aside too.
        """
        while True:
            with self._lock:
                index = self._index()
                path = index.files[0] if index.files else None
            if path is None:
                return None
            try:
                return _entry(path, path.read_bytes(), index.queued_s.get(path))
            except FileNotFoundError:  # somebody took it away
                self.done(path)
            except (ValueError, IsADirectoryError) as error:
                self._put_aside(path, f"it is no report that waits ({str(error).partition(chr(10))[0]})")
            except OSError as error:
                if not last_try:
                    raise
                self._put_aside(path, f"it could not be read ({error.strerror or error})")

    def done(self, path: Path) -> None:
        """It is out, or given up: it waits no longer."""
        with self._lock:
            self._forget(path)

    def hold(self, path: Path) -> bool:
        """It is under way and is not to be dropped, until `release`; False when it waits no longer."""
        with self._lock:
            if path not in self._index().files:
                return False
            self._held = path
            return True

    def release(self) -> None:
        """Nothing is under way."""
        with self._lock:
            self._held = None

    def __len__(self) -> int:
        with self._lock:
            return len(self._index().files)

    def _index(self) -> _Index:
        if self._known is None:
            found = waiting_files(self.folder)
            numbers = [int(number) for path in found if (number := path.name.partition("_")[0]).isdecimal()]
            self._known = _Index(deque(found), next=max(numbers, default=0) + 1)
        return self._known

    def _forget(self, path: Path) -> None:
        index = self._index()
        with contextlib.suppress(ValueError):
            index.files.remove(path)
        index.queued_s.pop(path, None)
        with contextlib.suppress(OSError):  # at the worst it is sent once more, under the same id
            path.unlink(missing_ok=True)

    def _put_aside(self, path: Path, why: str) -> None:
        aside = path.with_suffix(_ASIDE)
        with self._lock:
            with contextlib.suppress(OSError):
                path.rename(aside)
            self._forget(path)
        self._say(f"{aside}: was not sent: {why}")


def waiting_files(folder: Path) -> list[Path]:
    """The files that wait in a folder, the oldest first; none when it is not there. Raises OSError otherwise."""
    try:
        return sorted(path for path in folder.iterdir() if path.suffix == SUFFIX)
    except (FileNotFoundError, NotADirectoryError):
        return []


def report_of(path: Path) -> str:
    """The id of the report in a file of a queue, by its name."""
    return path.stem.partition("_")[2]


def _entry(path: Path, data: bytes, queued_s: float | None) -> Entry:
    """Raises ValueError."""
    first, _, body = data.partition(b"\n")
    try:
        head = Head.model_validate_json(first)
        json.loads(body)
    except ValidationError as error:
        raise ValueError(f"its first line: {error.errors()[0]['msg']}") from None
    except RecursionError:
        raise ValueError("it is nested too deep") from None
    return Entry(path, head, body, queued_s)
