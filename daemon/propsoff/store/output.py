"""History as an output of a bench and of the command line: what cannot be entered waits on disk, said aloud."""

from __future__ import annotations

import hashlib
import threading
from typing import TYPE_CHECKING

from propsoff.exceptions import StoreError
from propsoff.store.packing import Prepared, prepared

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report
    from propsoff.store.store import Store


class HistoryOutput:
    """Enters each report, with its capture, into the history at `url`. It blocks: to be called off an event loop.

    `say` is given, in the calling thread, each thing that a person should know. The report's file is the bench's own
    affair: by the time a report comes here it is written. `rules` gives the fingerprint of what it was inspected by.
    """

    name = "history"

    def __init__(
        self,
        url: str,
        waiting: Path,
        *,
        lock_s: float,
        say: Callable[[str], object],
        rules: Callable[[Report], str | None] = lambda _: None,
    ) -> None:
        self._rules = rules
        self._url, self._waiting, self._lock_s, self._say = url, waiting, lock_s, say
        self._store: Store | None = None
        self._turn = threading.Lock()

    def keep(self, report: Report, capture: Capture) -> None:
        """Enter a report and its capture. Raises OSError when it can neither be entered nor wait on disk."""
        self.enter([with_capture(report, capture.to_bytes(), self._rules(report))])

    def write(self, report: Report) -> None:
        """Enter a report alone. Raises OSError when it can neither be entered nor wait on disk."""
        self.enter([prepared(report, None, self._rules(report))])

    def enter(self, several: Sequence[Prepared]) -> None:
        """Enter several reports at once. Raises OSError for what can neither be entered nor wait on disk."""
        with self._turn:
            try:
                store = self._opened()
                for name, came in store.enter_many((one, None) for one in several):
                    if came == "differs":
                        self._say(f"history has another report {name}, which stays; this one is in its file only")
            except StoreError as error:
                self._shut()
                self._wait_on_disk(several, error)

    def prepare(self) -> None:
        """Open the history and enter what waits; a fault is said now instead of at the first report."""
        with self._turn:
            try:
                self._opened()
            except StoreError as error:
                self._shut()
                self._say(f"{error}; reports wait in {self._waiting} until it can be written")

    def close(self) -> None:
        """Let go of the database."""
        with self._turn:
            self._shut()

    def _opened(self) -> Store:
        """The open history, all that waited entered. Raises StoreError."""
        from propsoff.store.store import open_store
        from propsoff.store.waiting import enter_waiting

        if self._store is None:
            self._store = open_store(self._url, lock_s=self._lock_s)
        enter_waiting(self._waiting, self._store, self._say)
        return self._store

    def _shut(self) -> None:
        if self._store is not None:
            self._store.close()
            self._store = None

    def _wait_on_disk(self, several: Sequence[Prepared], error: StoreError) -> None:
        from propsoff.store.waiting import put_waiting

        for one in several:
            put_waiting(self._waiting, one)
        if several:
            what = f"report {several[0].columns['id']} waits" if len(several) == 1 else f"{len(several)} reports wait"
            self._say(f"{error}; {what} in {self._waiting}, to be entered at the next success")


def with_capture(report: Report, data: bytes | None, rules: str | None = None) -> Prepared:
    """A report to enter, with these octets where they are what it was read from; else without."""
    mine = data is not None and hashlib.sha256(data).hexdigest() == report.capture.sha256
    return prepared(report, data if mine else None, rules)
