"""Somebody who types on a served console with nothing but os.read and os.write."""

from __future__ import annotations

import os
import select
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests_support.other_consoles.stating import StatingConsole


class Typist:
    """Types lines at the pace that the console bears, and reads until its prompt."""

    def __init__(self, handle: int, console: StatingConsole) -> None:
        self._handle = handle
        self._console = console

    def press(self, data: bytes) -> None:
        """Type bytes. A console that loses fast ones gets each well after it took the one before."""
        for byte in data:
            taken = len(self._console.sent)
            if self._console.slowest_s:
                select.select([], [], [], 3 * self._console.slowest_s)
            os.write(self._handle, bytes([byte]))
            if self._console.slowest_s:
                self._until_taken(taken + 1)

    def _until_taken(self, count: int) -> None:
        """Wait until the console took so many bytes, so that a slow machine never joins two of them."""
        deadline = time.monotonic() + 5
        while len(self._console.sent) < count and time.monotonic() < deadline:
            select.select([], [], [], 0.001)

    def hear(self, *, within_s: float = 5.0, ending: str | None = None) -> str:
        """What comes until it ends with the prompt (or `ending`); the pager is answered. Fails at the deadline."""
        ending, text, deadline = ending or self._console.prompt, bytearray(), time.monotonic() + within_s
        while not text.endswith(ending.encode()):
            more = self._some(deadline)
            if not more:
                raise AssertionError(f"{ending!r} did not come; heard {bytes(text[-200:])!r}")
            text += more
            if self._console.pager and text.endswith(self._console.pager[0].encode()):
                self.press(self._console.pager[1])
        return text.decode()

    def silence(self, for_s: float = 0.2) -> bytes:
        """What comes within a time: nothing, from a console that is silent."""
        return self._some(time.monotonic() + for_s)

    def _some(self, deadline: float) -> bytes:
        ready, _, _ = select.select([self._handle], [], [], max(deadline - time.monotonic(), 0))
        return os.read(self._handle, 4096) if ready else b""

    def wake(self) -> str:
        """Press what wakes it and hear its prompt."""
        self.press(self._console.wakes_by or b"\r")
        return self.hear()

    def enter(self, line: str, *, ending: str | None = None) -> str:
        """Enter a line and hear the answer, with echo and prompt."""
        self.press(line.encode() + b"\r")
        return self.hear(ending=ending)


@contextmanager
def typing_on(device: Path, console: StatingConsole) -> Iterator[Typist]:
    """A typist on the device of a served console."""
    handle = os.open(device, os.O_RDWR | os.O_NOCTTY)
    try:
        yield Typist(handle, console)
    finally:
        os.close(handle)
