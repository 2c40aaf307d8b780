"""What a person types at the terminal, line by line, beside an event loop that goes on."""

from __future__ import annotations

import asyncio
import os
import sys
import threading
from typing import TYPE_CHECKING

from propsoff.threads import start, tell

if TYPE_CHECKING:
    from collections.abc import Callable

_MOST_BYTES = 4096
"""A terminal gives a line of at most this length (termios(3), canonical mode)."""
_BACK_S = 1.0
"""How often a bench in the background looks whether it is in front again."""


class Typed:
    """The lines of a terminal's file descriptor; `lines` gives each, None for the end of input (Ctrl-D).

    Only while somebody waits is anything read. Where the loop cannot watch a terminal, a thread reads it, which nobody
    waits for at the end.
    """

    def __init__(self, fd: int) -> None:
        self._fd = fd
        self._lines: asyncio.Queue[bytes | None] = asyncio.Queue()
        self._reading = self._closed = False
        self._wanted = threading.Event()

    async def line(self) -> bytes | None:
        """The next line without its end; None for the end of input, or when the terminal went away."""
        if self._lines.empty():
            self._begin()
        return await self._lines.get()

    def forget(self) -> None:
        """Drop what was typed and not taken yet, also half a line: it was meant for something else."""
        while not self._lines.empty():
            self._lines.get_nowait()
        if sys.platform != "win32":
            import termios

            try:
                termios.tcflush(self._fd, termios.TCIFLUSH)
            except termios.error:  # the terminal went away: the next read tells
                return

    @property
    def gone(self) -> bool:
        """Whether the terminal went away, so that the end of input was nobody's."""
        if sys.platform == "win32":
            return False
        import termios

        try:
            termios.tcgetattr(self._fd)
        except termios.error:
            return True
        return False

    def close(self) -> None:
        """Stop reading."""
        self._closed = True
        if self._reading and sys.platform != "win32":
            asyncio.get_running_loop().remove_reader(self._fd)
            self._reading = False

    def _begin(self) -> None:
        if self._closed:
            return
        loop = asyncio.get_running_loop()
        if self._reading:
            self._wanted.set()
            return
        self._reading = True
        try:
            loop.add_reader(self._fd, self._readable)
        except (NotImplementedError, OSError):  # a loop that watches sockets alone
            self._wanted.set()
            start(lambda: self._read_in_thread(loop, self._lines.put_nowait), "typing")

    def _readable(self) -> None:
        """Take one line and look no further until the next is wanted: the rest may be meant for another question."""
        loop = asyncio.get_running_loop()
        loop.remove_reader(self._fd)
        self._reading = False
        if not _in_front(self._fd):  # to read in the background would stop the whole bench (SIGTTIN)
            loop.call_later(_BACK_S, self._begin)
            return
        self._lines.put_nowait(_read(self._fd))

    def _read_in_thread(self, loop: asyncio.AbstractEventLoop, put: Callable[[bytes | None], None]) -> None:
        while True:
            self._wanted.wait()
            self._wanted.clear()
            line = _read(self._fd)
            if not tell(loop, put, line):
                return


def _read(fd: int) -> bytes | None:
    try:
        data = os.read(fd, _MOST_BYTES)
    except OSError:
        return None
    return data.rstrip(b"\r\n") if data else None


def _in_front(fd: int) -> bool:
    if sys.platform == "win32":
        return True
    try:
        return os.tcgetpgrp(fd) == os.getpgrp()
    except OSError:  # not our terminal, so that nobody can be stopped by it
        return True
