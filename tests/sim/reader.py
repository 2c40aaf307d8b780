"""A plain reader of a serial port, for these tests only: opens a path, collects what comes, knows how it ended."""

from __future__ import annotations

import asyncio
import os
import termios
import tty
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

DEADLINE_S = 10.0


class Reader:
    """An open port. `data` is all that came; `ended` how it ended: `eof` for b"", else the name of the error."""

    def __init__(self, path: Path | str, *, raw: bool = True, speed: int | None = termios.B115200) -> None:
        self._loop = asyncio.get_running_loop()
        self.descriptor = os.open(path, os.O_RDWR | os.O_NOCTTY | os.O_NONBLOCK)
        if raw:
            tty.setraw(self.descriptor)
        if speed is not None:
            settings = termios.tcgetattr(self.descriptor)
            settings[4] = settings[5] = speed
            termios.tcsetattr(self.descriptor, termios.TCSANOW, settings)
        self.data = b""
        self.pieces: list[bytes] = []
        self.times_s: list[float] = []
        self.ended: str | None = None
        self._changed = asyncio.Event()
        self._loop.add_reader(self.descriptor, self._readable)

    async def __aenter__(self) -> Reader:
        return self

    async def __aexit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.pause()
        os.close(self.descriptor)

    def pause(self) -> None:
        """Read no more, and leave what comes in the port."""
        self._loop.remove_reader(self.descriptor)

    def go_on(self) -> None:
        """Read again."""
        self._loop.add_reader(self.descriptor, self._readable)

    def _readable(self) -> None:
        try:
            piece = os.read(self.descriptor, 65536)
        except BlockingIOError:
            return
        except OSError as error:
            piece, self.ended = b"", type(error).__name__ if error.errno is None else os.strerror(error.errno)
        else:
            self.ended = None if piece else "eof"
        if self.ended:
            self.pause()
        else:
            self.data += piece
            self.pieces.append(piece)
            self.times_s.append(self._loop.time())
        self._changed.set()

    def write(self, data: bytes) -> None:
        """Send, all at once."""
        assert os.write(self.descriptor, data) == len(data)

    async def until(self, done: Callable[[], bool], deadline_s: float = DEADLINE_S) -> None:
        """Wait until something is so, looking whenever bytes come. Raises TimeoutError with what did come."""
        try:
            async with asyncio.timeout(deadline_s):
                while not done():
                    self._changed.clear()
                    await self._changed.wait()
        except TimeoutError:
            raise TimeoutError(f"after {deadline_s} s there is only {self.data!r}, ended: {self.ended}") from None

    async def until_ends_with(self, tail: bytes, deadline_s: float = DEADLINE_S) -> bytes:
        """Wait until all that came ends with this, and take it away."""
        await self.until(lambda: self.data.endswith(tail), deadline_s)
        said, self.data = self.data, b""
        return said

    async def until_ended(self, deadline_s: float = DEADLINE_S) -> str:
        """Wait until the port has ended, and say how."""
        await self.until(lambda: self.ended is not None, deadline_s)
        assert self.ended is not None
        return self.ended

    async def stays_silent(self, for_s: float) -> bool:
        """Whether nothing at all comes for so long."""
        came = len(self.pieces)
        try:
            await self.until(lambda: len(self.pieces) > came or self.ended is not None, for_s)
        except TimeoutError:
            return True
        return False


async def eventually(so: Callable[[], bool], deadline_s: float = DEADLINE_S) -> None:
    """Wait until something is so, giving the event loop its turns. Raises TimeoutError."""
    async with asyncio.timeout(deadline_s):
        while not so():  # what is waited for sets no event
            await asyncio.sleep(0.001)


def names_in(folder: Path | str) -> list[str] | None:
    """The names in a folder, sorted; None when there is no such folder."""
    try:
        return sorted(path.name for path in Path(folder).iterdir())
    except FileNotFoundError:
        return None


def target_of(link: Path | str) -> str:
    """What a link names."""
    return str(Path(link).readlink())
