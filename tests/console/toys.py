"""Toy consoles on real pseudo-terminals, and the manners to talk to them. Their words are invented for these tests."""

from __future__ import annotations

import os
import random
import re
import select
import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass, field

from propsoff.console.manner import Manner, Query
from propsoff.console.timings import Timings

QUICK = Timings(
    listen_s=0.0,
    wake_s=2.0,
    identify_s=4.0,
    quiet_s=0.05,
    quiet_marked_s=0.005,
    stall_s=0.2,
    write_s=1.0,
    close_s=5.0,
    talk_s=30.0,
)
"""Waits for a board that answers at once, with room for a slow machine."""


class Pattern:
    """A line pattern by regular expression."""

    def __init__(self, expression: str) -> None:
        self._compiled = re.compile(expression)

    def match(self, text: str) -> Mapping[str, str] | None:
        """The named groups when the whole line matches."""
        found = self._compiled.fullmatch(text)
        return found.groupdict() if found else None

    def fits(self, text: str) -> bool:
        """Whether the whole line matches."""
        return self._compiled.fullmatch(text) is not None


ROWS = tuple(f"row{number:02} = {number * 7}" for number in range(60))
"""The body of the long reply; sixty rows, so that a pager stops twice in it."""

PLAIN = Manner(
    dialect="plain",
    wake=b"\r",
    line_end=b"\r",
    echo=True,
    prompt=Pattern(r"toy> ?"),
    identify=Query("what", deadline_s=5.0),
    identity=Pattern(r"Toy one, serial (?P<serial>\w+)"),
    reads=(
        Query("list", 5.0, ends=Pattern(r"# end, (?P<count>\d+) rows"), counted=Pattern(r"row\d\d = .*")),
        Query("extra", 5.0, required=False),
    ),
    error=Pattern(r"\? .*"),
)
PAGED = Manner(
    dialect="paged",
    wake=b"\r",
    line_end=b"\r",
    echo=True,
    prompt=Pattern(r"<paged> ?"),
    identify=Query("what", deadline_s=5.0),
    identity=Pattern(r"Paged two, serial (?P<serial>\w+)"),
    reads=(Query("list", 5.0, ends=Pattern(r"# end, (?P<count>\d+) rows"), counted=Pattern(r"row\d\d = .*")),),
    pager=Pattern(r"-- \d+ of \d+, any key --"),
    error=Pattern(r"\? .*"),
)
MUTE = Manner(
    dialect="mute",
    wake=b"\n",
    line_end=b"\n",
    echo=False,
    prompt=Pattern(r":: ?"),
    identify=Query("what", 5.0, opens=Pattern(r"@what (?P<count>\d+)"), ends=Pattern(r"@end what")),
    identity=Pattern(r"Mute three, serial (?P<serial>\w+)"),
    reads=(Query("list", 5.0, opens=Pattern(r"@list (?P<count>\d+)"), ends=Pattern(r"@end list")),),
    error=Pattern(r"\? .*"),
)
MANNERS = (PLAIN, PAGED, MUTE)


@dataclass
class Toy:
    """A console: takes bytes, gives bytes. `replies` are lines by command."""

    name: str = "Toy one"
    prompt: bytes = b"toy> "
    echo: bool = True
    newline: bytes = b"\r\n"
    greeting: bytes = b""
    page: int | None = None
    page_key: bytes | None = None
    erases: bool = True
    shows_prompt: bool = True
    opens: bool = False
    rows: tuple[str, ...] = ROWS
    extra: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    line: bytearray = field(default_factory=bytearray)
    commands: list[str] = field(default_factory=list)
    _pages: list[bytes] = field(default_factory=list)
    _shown: int = 0
    _stop: bytes = b""
    _after_cr: bool = False
    _greeted: bool = False

    def take(self, data: bytes) -> bytes:
        """What the console answers to these bytes."""
        return b"".join(self._byte(data[at : at + 1]) for at in range(len(data)))

    def _byte(self, byte: bytes) -> bytes:
        if self._stop:
            return self._next_page() if self.page_key in (None, byte) else b""
        skipped, self._after_cr = byte == b"\n" and self._after_cr, byte == b"\r"
        if skipped:
            return b""
        if byte in b"\r\n":
            command, self.line = self.line.decode("utf-8", "replace").strip(), bytearray()
            return self.newline + self._answer(command)
        self.line += byte
        return byte if self.echo else b""

    def _answer(self, command: str) -> bytes:
        greeting = b"" if self._greeted else self.greeting
        self._greeted = True
        if not command:
            return greeting + self._prompt()
        self.commands.append(command)
        lines = self._lines(command)
        self._pages, self._shown = [line.encode() + self.newline for line in lines], 0
        return greeting + self._next_page()

    def _lines(self, command: str) -> tuple[str, ...]:
        if command in self.extra:
            return self.extra[command]
        if command not in ("what", "list"):
            return (f"? {command}",)
        body = (f"{self.name}, serial A1",) if command == "what" else self.rows
        if self.opens:
            return (f"@{command} {len(body)}", *body, f"@end {command}")
        return body if command == "what" else (*body, f"# end, {len(body)} rows")

    def _next_page(self) -> bytes:
        erased = (b"\r\x1b[K" if self.erases else self.newline) if self._stop else b""
        self._stop = b""
        size = self.page or len(self._pages)
        shown, self._pages = self._pages[:size], self._pages[size:]
        self._shown += len(shown)
        if self._pages:
            self._stop = b"-- %d of %d, any key --" % (self._shown, self._shown + len(self._pages))
            return erased + b"".join(shown) + b"\x1b[7m" + self._stop + b"\x1b[0m"
        return erased + b"".join(shown) + self._prompt()

    def _prompt(self) -> bytes:
        return self.prompt if self.shows_prompt else b""


def plain(**changes: object) -> Toy:
    """Echo, no pager; `PLAIN` is its manner."""
    return Toy(**changes)  # type: ignore[arg-type]  # passed on as they are


def paged(**changes: object) -> Toy:
    """Echo, colours and a pager; `PAGED` is its manner."""
    return Toy("Paged two", b"\x1b[36m<paged>\x1b[0m ", page=24, **changes)  # type: ignore[arg-type]  # as above


def mute(**changes: object) -> Toy:
    """No echo, LF, counted documents; `MUTE` is its manner."""
    return Toy("Mute three", b":: ", echo=False, newline=b"\n", opens=True, **changes)  # type: ignore[arg-type]


@dataclass(frozen=True)
class Faults:
    """What is wrong with the line. `baud` paces at 10 bits a byte; `piece` bytes go out at a time."""

    baud: int | None = None
    piece: int | None = None
    loss: float = 0.0
    seed: int = 1
    unplug_after: int | None = None
    deaf: bool = False
    endless: bytes = b""


class Board:
    """A console behind a real pseudo-terminal, served by a thread of its own. `device` is what to open."""

    def __init__(self, toy: Toy | None, faults: Faults) -> None:
        self.toy, self.faults = toy, faults
        self.received = bytearray()
        self.sent = 0
        self._random = random.Random(faults.seed)
        self._master, self._slave = os.openpty()
        self.device = os.ttyname(self._slave)
        os.set_blocking(self._master, False)
        self._wake_read, self._wake_write = os.pipe()
        self._spoken: list[bytes] = []
        self._ended = threading.Event()
        self.unplugged = threading.Event()
        self._thread = threading.Thread(target=self._serve, daemon=True)
        self._thread.start()

    def say(self, data: bytes) -> None:
        """Send something unasked."""
        self._spoken.append(data)
        os.write(self._wake_write, b"s")

    def deafen(self) -> None:
        """Take no more bytes, and let the terminal hold none for later either."""
        self.faults = Faults(deaf=True)
        os.write(self._wake_write, b"d")
        os.set_blocking(self._slave, False)
        refused = 0
        while refused < 10:  # the kernel moves what it holds from one buffer to the next in its own time
            try:
                os.write(self._slave, b"x" * 16)
            except BlockingIOError:
                refused += 1
                self._ended.wait(0.002)
            else:
                refused = 0

    def unplug(self) -> None:
        """Take the board away, as a cable pulled out."""
        self._ended.set()
        os.write(self._wake_write, b"u")
        self._thread.join(10)
        assert self.unplugged.is_set()

    def close(self) -> None:
        """For the fixture: end the thread and free every descriptor."""
        if not self.unplugged.is_set():
            self.unplug()
        self._thread.join(10)
        os.close(self._wake_read)
        os.close(self._wake_write)

    def _serve(self) -> None:
        try:
            while not self._ended.is_set():
                self._turn()
        except OSError:
            pass  # the other side is gone: so is the board
        finally:
            os.close(self._slave)
            os.close(self._master)
            self.unplugged.set()

    def _turn(self) -> None:
        watched = [self._wake_read] if self.faults.deaf else [self._wake_read, self._master]
        ready, _, _ = select.select(watched, [], [], 1.0)
        if self._wake_read in ready:
            os.read(self._wake_read, 64)
            while self._spoken:
                self._send(self._spoken.pop(0))
        if self._master in ready and not self.faults.deaf:
            data = os.read(self._master, 4096)
            self.received += data
            if self.toy is not None:
                self._send(self.toy.take(data))
                while self.faults.endless and not self._ended.is_set():
                    self._send(self.faults.endless)

    def _send(self, data: bytes) -> None:
        if self.faults.loss:
            data = bytes(byte for byte in data if self._random.random() >= self.faults.loss)
        began, piece = time.monotonic(), self.faults.piece or 512
        for at in range(0, len(data), piece):
            self._put(data[at : at + piece])
            if self.faults.baud:
                due = began + (at + piece) * 10 / self.faults.baud
                self._ended.wait(max(0.0, due - time.monotonic()))

    def _put(self, data: bytes) -> None:
        while data and not self._ended.is_set():
            left = None if self.faults.unplug_after is None else self.faults.unplug_after - self.sent
            if left is not None and left <= 0:
                self._ended.set()
                return
            try:
                count = os.write(self._master, data if left is None else data[:left])
            except BlockingIOError:
                select.select([self._wake_read], [self._master], [], 1.0)
                continue
            self.sent += count
            data = data[count:]
