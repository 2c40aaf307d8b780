"""One command, one reply, bounded in time and size."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence

from propsoff.console.budget import Budget
from propsoff.console.capture import Recorder
from propsoff.console.link import Link
from propsoff.console.manner import Exchange, Manner, Query
from propsoff.console.reply import COUNT, END_MARK, PROMPT, REFUSED, judge, shows_pager, shows_prompt
from propsoff.console.timings import Timings
from propsoff.console.transcript import Step, Transcript
from propsoff.exceptions import DeadlineError, OverflowedError

_LONGEST_PROMPT = 512
_BROKEN_OFF = 3
"""So many times `stall_s` of silence in the middle of a reply say that no more comes."""


class Session:
    """A conversation's one talker: whatever it sends or hears is recorded, and judged by what was recorded.

    Only the words of a `Manner` are ever sent. While `budget` is set, it is asked before each write.
    """

    def __init__(self, link: Link, recorder: Recorder, timings: Timings, budget: Budget | None = None) -> None:
        self.link, self.recorder, self.timings, self.budget = link, recorder, timings, budget
        self.transcript = Transcript(recorder.capture())
        recorder.listener = self.transcript.add

    async def hear(self, timeout_s: float | None = None) -> bool:
        """Take in what the board sends next; False when nothing came within `timeout_s`.

        Raises LinkLostError, and OverflowedError when the capture is full.
        """
        data = await self.link.read(timeout_s)
        if data:
            self.recorder.output(data)
            if self.recorder.full:
                raise OverflowedError(f"{self.link.device}: the board sent more than a capture holds")
        return bool(data)

    async def listen(self, seconds: float) -> None:
        """Take in everything for that long, whatever it is. Raises as `hear`."""
        until = _now() + seconds
        while (left := until - _now()) > 0:
            await self.hear(left)

    async def send(self, data: bytes) -> None:
        """Send the words of a manner. Raises BudgetError before anything is sent, LinkLostError, DeadlineError."""
        if self.budget is not None:
            self.budget.spend(data)
        self.recorder.input(data)
        await self.link.write(data)

    async def type(self, data: bytes, key_s: float = 0.0, *, echoed: bool = False) -> None:
        """Send the words of a manner, with a pause (s) before each character where there is one. Raises as `send`.

        Where characters are `echoed`, each waits for the echo of the one before, and the pause comes after that: a
        console that is kept from its work loses none. One echo that does not come in time is the last waited for.
        """
        if not key_s:
            await self.send(data)
            return
        if self.budget is not None:  # one word is one write to a stranger, however it is typed
            self.budget.spend(data)
        for at in range(len(data)):
            await self.listen(key_s)
            self.recorder.input(data[at : at + 1])
            await self.link.write(data[at : at + 1])
            if echoed and at + 1 < len(data):
                echoed = await self.hear(self.timings.stall_s / 2)

    async def ask(
        self, query: Query, manner: Manner, *, deadline_s: float | None = None, slowly: bool = False, lead: bytes = b""
    ) -> Exchange:
        """Ask, hear the reply to its end, and judge it; a reply that is `cut` is an answer too.

        `deadline_s` stands in for the query's own when it is shorter. `slowly` types the command character by
        character and lets each page come to rest, for a board that loses what comes fast. `lead` goes out before the
        command, in the same write.

        Raises LinkLostError; DeadlineError when the board takes no bytes or no longer shows its prompt before the
        command; OverflowedError when the capture is full; BudgetError.
        """
        if self.budget is None:
            await self.regain(manner)
        key_s = max(manner.typing_s, self.timings.key_s if slowly else 0.0)
        reply = _Reply(self, query, manner, key_s if slowly else 0.0)
        await self.type(lead + query.command.encode() + manner.line_end, key_s, echoed=manner.echo)
        await reply.hear(min(query.deadline_s, query.deadline_s if deadline_s is None else deadline_s))
        self.recorder.flush()
        exchange = reply.judged()
        self.recorder.mark(f"reply {exchange.state} {query.command}")
        return exchange

    async def go(self, ways: Sequence[str], manner: Manner, deadline_s: float) -> None:
        """Type lines that open or leave menus, and hear what each answers. Raises as `ask`."""
        for way in ways:
            await self.ask(Query(way, deadline_s), manner)

    async def regain(self, manner: Manner) -> None:
        """Get the console back to its prompt when the last reply left it elsewhere; nothing when it stands there.

        Raises DeadlineError when it does not come back within `wake_s`; LinkLostError; OverflowedError.
        """
        if self.shows_prompt(manner):
            return
        until = _now() + self.timings.wake_s
        await self.hush(until)
        if self.shows_prompt(manner):
            return
        self.recorder.mark(f"wake {manner.dialect}")
        while (now := _now()) < until:
            # More than once: there may be many pages, and on a line that loses bytes a prompt may be among them.
            await self.send(manner.pager_key if self._paged(manner) else manner.wake)
            await self.await_tail(
                lambda: self.shows_prompt(manner) or self._paged(manner), min(until, now + self.timings.stall_s / 2)
            )
            if self.shows_prompt(manner):
                return
        raise DeadlineError(f"{self.link.device}: the console no longer shows its prompt; plug the board in again")

    async def hush(self, until: float) -> None:
        """Hear the board out. Raises DeadlineError when it does not fall silent before `until` (loop time)."""
        while await self.hear(self.timings.quiet_s):
            if _now() >= until:
                raise DeadlineError(f"{self.link.device}: the board does not stop sending")

    async def await_tail(self, fits: Callable[[], bool], until: float) -> bool:
        """Hear until the line under way fits, and for `quiet_marked_s` after it; False at `until` (loop time)."""
        heard = False
        while True:
            settled = heard and fits()
            left = until - _now()
            if not settled and left <= 0:
                return False
            if not await self.hear(self.timings.quiet_marked_s if settled else left):
                return settled
            heard = True

    def _paged(self, manner: Manner) -> bool:
        return shows_pager(manner, self.transcript.tail)

    def shows_prompt(self, manner: Manner) -> bool:
        """Whether the line under way is this manner's prompt and nothing else."""
        tail = self.transcript.tail
        return len(tail) <= _LONGEST_PROMPT and shows_prompt(manner, tail)


class _Reply:
    """One reply while it is being heard."""

    def __init__(self, session: Session, query: Query, manner: Manner, before_key_s: float) -> None:
        self.session, self.query, self.manner, self.before_key_s = session, query, manner, before_key_s
        self.transcript, self.timings = session.transcript, session.timings
        session.recorder.flush()
        self.start = self.transcript.here("i")
        self.keys: dict[int, Step] = {}
        self._looked_at = self.start.line
        self._marked = False
        self._verdict: tuple[tuple[int, int], Exchange] | None = None

    def judged(self) -> Exchange:
        """The verdict on what was heard so far."""
        so_far = (self.transcript.size_bytes, len(self.keys))
        if self._verdict is None or self._verdict[0] != so_far:
            heard = self.transcript.heard(self.start, self.transcript.here(), tuple(self.keys.values()))
            self._verdict = (so_far, judge(self.manner, self.query, heard))
        return self._verdict[1]

    async def hear(self, deadline_s: float) -> None:
        """Hear until the reply has ended, its time is up, or it outgrows its cap."""
        until = _now() + deadline_s
        while self.transcript.size_bytes - self.start.size_bytes <= self.query.cap_bytes:
            patience_s = self._patience_s()
            left = until - _now()
            # A quiet moment that has begun is waited out, so that the verdict never depends on when the time was up.
            if left <= (0 if patience_s is None else -self.timings.stall_s):
                return
            if not await self.session.hear(self._silence_s(left) if patience_s is None else patience_s):
                return
            await self._turn_page()

    async def _turn_page(self) -> None:
        at = self.transcript.line
        if at not in self.keys and shows_pager(self.manner, self.transcript.tail):
            if self.before_key_s:
                await self.session.listen(self.before_key_s)
            self.keys[at] = self.transcript.here("i")
            await self.session.send(self.manner.pager_key)

    def _patience_s(self) -> float | None:
        """How long a silence means that the reply has ended; None while nothing says so."""
        # The prompt behind which the command was typed stands there until something comes.
        if self.transcript.size_bytes > self.start.size_bytes and self.session.shows_prompt(self.manner):
            exchange = self.judged()
            if PROMPT in exchange.signs:
                return self._quiet_s(exchange)
        # Where a console echoes, a line end that does not come back says that the command did not arrive.
        unheard = self.manner.echo and self.transcript.line == self.start.line
        return self.timings.stall_s if unheard or self._seen_end_mark() else None

    def _silence_s(self, left_s: float) -> float:
        """How long a silence is waited out while nothing says that the reply has ended."""
        # A board may think before it answers; one that falls silent in the middle of its answer has broken off.
        answering = self.transcript.line > self.start.line + 1
        return min(left_s, _BROKEN_OFF * self.timings.stall_s) if answering else left_s

    def _quiet_s(self, exchange: Exchange) -> float:
        """How long a silence confirms the prompt."""
        if exchange.state == "complete":
            sure = END_MARK in exchange.signs or self._identifies(exchange)
            return self.timings.quiet_marked_s if sure else self.timings.quiet_s
        over = {END_MARK, COUNT} <= {*exchange.signs} or REFUSED in exchange.signs
        return self.timings.quiet_s if over else self.timings.stall_s

    def _identifies(self, exchange: Exchange) -> bool:
        return self.query is self.manner.identify and identifies(self.manner, exchange)

    def _seen_end_mark(self) -> bool:
        ends = self.query.ends
        if ends is not None and not self._marked and self._looked_at < self.transcript.line:
            new = self.transcript.numbered(self._looked_at)
            self._looked_at = self.transcript.line
            self._marked = any(ends.fits(line.text) for line in new)
        return self._marked


def identifies(manner: Manner, exchange: Exchange) -> bool:
    """Whether a line of the identity reply is this manner's own."""
    return any(manner.identifies(line.text) for line in exchange.lines)


def _now() -> float:
    return asyncio.get_running_loop().time()
