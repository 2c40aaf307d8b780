"""Typing on an unknown console and hearing its replies out, with what was found of its habits so far."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from dataclasses import dataclass

from propsoff.console.manner import Line
from propsoff.console.octets import bytes_of
from propsoff.console.reply import said_once
from propsoff.console.session import Session
from propsoff.learning.habits import looks_like_pager, prompt_of
from propsoff.learning.pace import Pace

CAP_BYTES = 512 << 10
"""What one reply may hold."""
_PAGER_KEYS = (" ", "\r", "\n")
_PAGES = 200
_WAKES = 3


@dataclass(frozen=True, slots=True)
class Said:
    """One reply as it was heard: its lines without what was typed, the line under way, and how it ended.

    `woken` says that it fell silent without a prompt and was woken again.
    """

    lines: tuple[Line, ...]
    tail: str
    echoed: str
    whole: bool
    woken: bool = False

    @property
    def texts(self) -> list[str]:
        """Its lines that are not blank."""
        return [text for line in self.lines if (text := line.text.strip())]


class Speaker:
    """Says one thing at a time. `commands` counts what was sent, `stops` are the lines at which a pager stopped."""

    def __init__(self, session: Session, pace: Pace) -> None:
        self.session, self.pace = session, pace
        self.commands = 0
        self.prompts: list[str] = []
        self.stops: list[str] = []
        self.line_end = b"\r"
        self.wake = b"\r"
        self.pager_key = " "
        self.typing_s = 0.0
        self.echo = False

    async def key(self, key: bytes) -> str | None:
        """Send one key; the line under way when silence has come, None when it does not come."""
        self.commands += 1
        await self.session.send(key)
        until = _now() + self.pace.answer_s
        start = self.session.transcript.size_bytes
        while await self.session.hear(self.pace.silence_s):
            if _now() > until or self.session.transcript.size_bytes - start > CAP_BYTES:
                return None
        return self.session.transcript.tail

    async def say(self, text: str) -> Said:
        """Type a line; the reply. Raises LinkLostError, DeadlineError when the console does not come back."""
        self.commands += 1
        session = self.session
        session.recorder.flush()
        start = session.transcript.here("i")
        typed = bytes_of(text) + self.line_end
        await session.type(typed, self.typing_s, echoed=self.echo)
        stops, first = len(self.stops), start.line
        whole, woken = await self._hear_reply(first)
        lines = session.transcript.numbered(first)
        tail = said_once(session.transcript.tail)
        begun = any(tail.startswith(prompt) for prompt in self.prompts)
        if whole and not begun and prompt_of([tail]) is not None:
            self.prompts.append(tail)
        return _reply(lines, start.before, text, tail, self.stops[stops:], whole=whole, woken=woken)

    def is_prompt(self, tail: str) -> bool:
        """Whether a line under way is one of the prompts that were seen."""
        once = said_once(tail)
        return any(prompt_of([once, known]) is not None for known in dict.fromkeys(self.prompts))

    async def _hear_reply(self, first_line: int) -> tuple[bool, bool]:
        """Hear until a known prompt, or silence; (whether it ended, whether it had to be woken)."""
        session, until = self.session, _now() + self.pace.answer_s
        start, wakes, pages = session.transcript.size_bytes, 0, 0
        while _now() < until and session.transcript.size_bytes - start <= CAP_BYTES:
            moved = session.transcript.size_bytes > start
            passed = session.transcript.line > first_line - (0 if self.echo else 1)
            ready = moved and passed and self.is_prompt(session.transcript.tail)
            if await session.hear(self.pace.prompt_s if ready else self.pace.silence_s):
                continue
            tail = session.transcript.tail
            if moved and self.is_prompt(tail):
                return True, wakes > 0
            if looks_like_pager(tail) and pages < _PAGES:
                pages += 1
                self.stops.append(tail)
                await self._turn_page(tail)
            elif tail.strip() and moved:
                return True, wakes > 0
            elif wakes < _WAKES:
                wakes += 1
                await session.send(self.wake)
            else:
                break
        await session.hush(_now() + self.pace.regain_s)
        return False, wakes > 0

    async def _turn_page(self, stop: str) -> None:
        for key in dict.fromkeys((self.pager_key, *_PAGER_KEYS)):
            size = self.session.transcript.size_bytes
            await self.session.send(key.encode())
            await self.session.hear(self.pace.silence_s)
            if self.session.transcript.size_bytes > size and self.session.transcript.tail != stop:
                self.pager_key = key
                return


def _reply(
    lines: Sequence[Line], before: str, typed: str, tail: str, stops: Sequence[str], *, whole: bool, woken: bool
) -> Said:
    """The reply without what was typed and without the stops of a pager."""
    if not lines:
        return Said((), tail, tail.removeprefix(before).strip(), whole, woken)
    kept = list(lines)
    head = kept[0].text.removeprefix(before)
    echoed = head.strip() if not head.strip() or head.strip() in typed else ""
    if typed.startswith(head.strip()):
        kept = kept[1:]
    elif head != kept[0].text:
        kept[0] = Line(kept[0].number, head)
    told = {stop.strip() for stop in stops}
    return Said(tuple(line for line in kept if line.text.strip() not in told), tail, echoed, whole, woken)


def _now() -> float:
    return asyncio.get_running_loop().time()
