"""What a test console is: text in, text out, what it was sent, and the truth of what it states."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Truth:
    """The facts of a board by canonical name (`ports[0].roles`, rows counted from 0 in the order of the listing).

    `stated` are said in words that a person of the trade understands without a manual. `coded` are there, too, but in
    numbers or masks that only a manual explains: who reads one must read it right, nobody needs to. Whatever is in
    neither is not stated at all: who reads it has read it wrong.
    """

    stated: Mapping[str, Any]
    coded: Mapping[str, Any] = field(default_factory=dict)


class Console(ABC):
    """A console that works a line at a time. Subclasses say what it prints; the typing is done here.

    `received` holds every line that was typed, without its end; `sent` every byte. `harmful` are the words that write,
    erase, restart, enter a loader or move a motor: a test fails when one of them was sent.
    """

    name: str
    truth: Truth
    harmful: frozenset[str] = frozenset()
    ends = b"\r\n"
    """Bytes each of which ends a line that is typed."""
    newline = "\r\n"
    echo = True
    prompt = "> "
    wakes_by: bytes | None = None
    """A key without which nothing is said at all; None when it speaks from the beginning."""
    slowest_s = 0.0
    """Characters that come faster than this after the one before are lost (0: none is)."""

    def __init__(self) -> None:
        self.received: list[str] = []
        self.sent = bytearray()
        self._line = bytearray()
        self._awake = self.wakes_by is None
        self._last = -1e9

    def plugged_in(self) -> str:
        """What it prints by itself when it is opened."""
        return ""

    def idle(self, now: float) -> str:
        """What it prints by itself at a time (s); asked every 20 ms."""
        return ""

    @abstractmethod
    def answer(self, line: str) -> str:
        """What it prints to a line that was typed: lines that end with `newline`; no prompt."""

    def type(self, data: bytes, now: float) -> bytes:
        """Bytes that come in at a time (s); the bytes that go out."""
        self.sent += data
        out = bytearray()
        for at, byte in enumerate(data):
            if self.slowest_s and (now - self._last < self.slowest_s or at):
                continue
            self._last = now
            out += self._key(byte)
        return bytes(out)

    def _key(self, byte: int) -> bytes:
        if not self._awake:
            self._awake = bytes([byte]) == self.wakes_by
            return self.prompt.encode() if self._awake else b""
        if byte in self.ends:
            line = self._line.decode("utf-8", "replace")
            self._line.clear()
            return ((self.newline if self.echo else "") + self.entered(line)).encode()
        if byte in b"\x08\x7f":
            del self._line[-1:]
            return b"\x08 \x08" if self.echo else b""
        self._line.append(byte)
        return bytes([byte]) if self.echo else b""

    def entered(self, line: str) -> str:
        """What is printed after a line was entered: the answer and the prompt. Overridden by consoles with pagers."""
        self.received.append(line)
        return (self.answer(line) if line.strip() else "") + self.prompt

    def lines(self, *texts: str) -> str:
        """Texts, each on a line."""
        return "".join(text + self.newline for text in texts)

    @property
    def harm_done(self) -> list[str]:
        """The harmful words that were typed, whole or as the beginning of a line."""
        words = {word.casefold() for word in self.harmful}
        typed = [line.strip().casefold() for line in self.received]
        return [line for line in typed if line in words or any(line.startswith(word + " ") for word in words)]
