"""A whole conversation: identify, then every read; recorded from its first byte, whatever becomes of it."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from propsoff.console.budget import Budget
from propsoff.console.capture import STOPPED, Capture, Recorder
from propsoff.console.link import Link
from propsoff.console.manner import Exchange, Manner, Query
from propsoff.console.probe import identify
from propsoff.console.reply import COUNT, ECHO, END_MARK, PROMPT, REFUSED
from propsoff.console.session import Session
from propsoff.console.strangers import Stranger
from propsoff.console.timings import Timings
from propsoff.exceptions import ConversationError

DONE = "done"
PHASES = ("listen", "wake", "identify", "read")
"""How the markers of the steps of a conversation begin."""


@dataclass(frozen=True, slots=True)
class Conversation:
    """What a conversation came to. `dialect` is None and `stranger` says what was heard when nobody was recognised.

    `ending` is `done`, or why the conversation broke off. `seconds` tells how long each phase took: `listen`, `wake`,
    `identify`, `read COMMAND`.
    """

    capture: Capture
    ending: str
    dialect: str | None
    stranger: Stranger | None
    exchanges: tuple[Exchange, ...]
    bytes_in: int
    bytes_out: int
    bytes_before_identification: int
    writes_before_identification: int
    seconds: Mapping[str, float]


async def converse(
    link: Link,
    manners: Sequence[Manner],
    recorder: Recorder,
    *,
    hinted: Sequence[str] = (),
    known: str | None = None,
    timings: Timings | None = None,
) -> Conversation:
    """Identify the board and read everything that its manner names. Does not close the link.

    A required reply that is not complete is asked for a second time, and no more: both stand in the capture.

    Markers in the capture: `listen`, `wake [DIALECT]`, `identify DIALECT`, `identified DIALECT`, `read COMMAND`,
    `reply STATE COMMAND`, and at last `end: done` or `end: REASON`. Whatever a board or a port does ends the
    conversation with its reason, not with an exception. When it is cancelled, the end is marked and the recorder has
    the capture.
    """
    talk = _Talk(link, manners, recorder, timings or Timings())
    try:
        ending = await talk.run(hinted, known)
    except asyncio.CancelledError:
        recorder.mark(f"end: {STOPPED}")
        raise
    except Exception as error:
        recorder.mark(f"end: a fault in propsoff: {type(error).__name__}: {error}")
        raise
    recorder.mark(f"end: {ending}")
    return Conversation(
        recorder.capture(),
        ending,
        talk.dialect,
        talk.stranger,
        tuple(talk.exchanges),
        recorder.bytes_in,
        recorder.bytes_out,
        talk.budget.bytes_sent,
        talk.budget.writes,
        _seconds(recorder.capture()),
    )


class _Talk:
    def __init__(self, link: Link, manners: Sequence[Manner], recorder: Recorder, timings: Timings) -> None:
        self.budget = Budget()
        self.session = Session(link, recorder, timings, self.budget)
        self.manners, self.timings = manners, timings
        self.dialect: str | None = None
        self.stranger: Stranger | None = None
        self.exchanges: list[Exchange] = []

    async def run(self, hinted: Sequence[str], known: str | None) -> str:
        """The conversation; how it ended."""
        try:
            async with asyncio.timeout(self.timings.talk_s):
                found = await identify(self.session, self.manners, hinted=hinted, known=known)
                if isinstance(found, Stranger):
                    self.stranger = found
                    return f"not recognised: {found.words}"
                self.dialect = found.manner.dialect
                self.exchanges.append(found.exchange)
                self.session.budget = None
                await self._leave(found.manner.identify, found.manner)
                await self._read(found.manner)
        except TimeoutError:
            return f"the conversation took longer than {self.timings.talk_s:g} s"
        except ConversationError as error:
            return " ".join(str(error).split())
        return self._outcome(found.manner)

    async def _read(self, manner: Manner) -> None:
        for query in manner.reads:
            self.session.recorder.mark(f"read {query.command}")
            await self.session.go(query.before, manner, query.deadline_s)
            exchange = await self.session.ask(query, manner)
            self.exchanges.append(exchange)
            if _is_worth_asking_again(exchange, query, manner):
                # Whatever was lost, a board that is given time loses less.
                self.exchanges.append(await self.session.ask(query, manner, slowly=True))
            await self._leave(query, manner)

    async def _leave(self, query: Query, manner: Manner) -> None:
        """Leave the menu that a command opened. After a reply that is cut, who knows where that would be typed?"""
        if self.exchanges[-1].state != "cut":
            await self.session.go(query.after, manner, query.deadline_s)

    def _outcome(self, manner: Manner) -> str:
        for query in manner.reads:
            replies = [exchange for exchange in self.exchanges if exchange.command == query.command]
            if query.required and all(exchange.state == "cut" for exchange in replies):
                return f"the reply to {query.command!r} stops short: {replies[-1].why}"
            if query.required and all(_is_misheard(exchange, manner) for exchange in replies):
                return f"{query.command!r} did not arrive as it was typed: {replies[-1].why}"
        return DONE


def _is_worth_asking_again(exchange: Exchange, query: Query, manner: Manner) -> bool:
    """Whether a second answer may be better: not where nothing but the echo is missing, nor after a plain refusal."""
    if not query.required or exchange.state == "complete":
        return False
    if REFUSED in exchange.signs:
        return _is_misheard(exchange, manner)
    return not {PROMPT, END_MARK, COUNT} <= {*exchange.signs}


def _is_misheard(exchange: Exchange, manner: Manner) -> bool:
    """Whether the console refused something else than what was typed: its own echo says what it heard."""
    return REFUSED in exchange.signs and manner.echo and ECHO not in exchange.signs


def _seconds(capture: Capture) -> dict[str, float]:
    """From the marker of each phase to that of the next, phases of the same name together."""
    begun = [(event.time_s, event.text) for event in capture.events if event.code == "m"]
    begun = [(time_s, text) for time_s, text in begun if text.partition(" ")[0] in (*PHASES, "end:")]
    seconds: dict[str, float] = {}
    for (time_s, text), (until_s, _) in pairwise(begun):
        word = text.partition(" ")[0]
        name = text if word == "read" else word
        seconds[name] = seconds.get(name, 0.0) + until_s - time_s
    return seconds
