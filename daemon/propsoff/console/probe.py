"""Who is there? Passive listening, one line end, one identity command: never more, to a board that nobody knows yet."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from dataclasses import dataclass

from propsoff.console.capture import Event
from propsoff.console.manner import Exchange, Line, Manner
from propsoff.console.session import Session, identifies
from propsoff.console.strangers import NEVER_WRITTEN_TO, Stranger, classify
from propsoff.console.transcript import Step

BARE_LINE_END = b"\r"
"""Sent when no hint says which dialect to wake: CR is what the Enter key of a terminal sends, and does least harm."""

_LONGEST_PROMPT = 80
_LATEST_LINES = 50


@dataclass(frozen=True, slots=True)
class Identified:
    """The board answered as this manner's boards do."""

    manner: Manner
    exchange: Exchange


async def identify(
    session: Session, manners: Sequence[Manner], *, hinted: Sequence[str] = (), known: str | None = None
) -> Identified | Stranger:
    """Find out which manner the board has, within `session.budget`.

    `hinted` are dialect ids that the USB identity speaks for, best first; `known` is the dialect that this very board
    was identified by before: then listening is left out.

    Raises BudgetError before the write that would exceed it; LinkLostError; DeadlineError; OverflowedError.
    """
    ordered = _ordered(manners, hinted, known)
    favoured = ordered[0] if ordered and ordered[0].dialect in (known, *hinted) else None
    if favoured is None or favoured.dialect != known:
        session.recorder.mark("listen")
        await session.listen(session.timings.listen_s)
        overheard = _classified(session)
        if favoured is None and overheard.kind in NEVER_WRITTEN_TO:
            return overheard
    fitting = await _woken(session, ordered, favoured)
    if fitting:
        return await _asked(session, fitting)
    if favoured is not None and session.recorder.bytes_in == 0 and _may_be_asked(session, favoured):
        # Some boards sleep until the first line end, and only wake by it. One that its identity speaks for is asked
        # once more, with a second line end in the same write; one that nothing speaks for is not.
        return await _asked(session, [favoured], lead=favoured.wake)
    return _classified(session)


def _may_be_asked(session: Session, manner: Manner) -> bool:
    question = manner.wake + manner.identify.command.encode() + manner.line_end
    return session.budget is None or session.budget.allows(question)


def _ordered(manners: Sequence[Manner], hinted: Sequence[str], known: str | None) -> list[Manner]:
    """The known dialect's manner first, then the hinted ones, then the others as they came."""
    rank = {dialect: at for at, dialect in reversed([*enumerate((known, *hinted))])}
    return sorted(manners, key=lambda manner: rank.get(manner.dialect, len(rank)))


async def _woken(session: Session, manners: Sequence[Manner], favoured: Manner | None) -> list[Manner]:
    """Send one wake; the manners whose prompt came, in order."""
    session.recorder.mark(f"wake {favoured.dialect}" if favoured else "wake")
    start = session.transcript.here()
    until = asyncio.get_running_loop().time() + session.timings.wake_s
    if favoured is not None and favoured.wake_before_s:
        await session.listen(favoured.wake_before_s)
    await session.send(favoured.wake if favoured else BARE_LINE_END)
    if favoured is not None and favoured.wake_after_s:
        await session.listen(favoured.wake_after_s)
        until += favoured.wake_after_s
    if session.transcript.size_bytes > start.size_bytes and (known := _prompting(session, manners)):
        return known
    if await session.await_tail(lambda: any(map(session.shows_prompt, manners)), until):
        return _prompting(session, manners)
    return [manner for manner in manners if _began_with_prompt(session, manner, start)]


def _prompting(session: Session, manners: Sequence[Manner]) -> list[Manner]:
    return [manner for manner in manners if session.shows_prompt(manner)]


def _began_with_prompt(session: Session, manner: Manner, start: Step) -> bool:
    """Whether a line since then begins with the prompt: a board that chatters writes on behind it."""
    transcript = session.transcript
    lines = transcript.numbered(max(start.line, transcript.line - _LATEST_LINES))
    lines.append(Line(transcript.line, transcript.tail))
    # A prompt that stood there before is none of the answer's.
    texts = [line.text.removeprefix(start.before) if line.number == start.line else line.text for line in lines]
    return any(
        manner.prompt.match(text[:length]) is not None
        for text in texts
        for length in range(1, min(len(text), _LONGEST_PROMPT) + 1)
    )


async def _asked(session: Session, fitting: Sequence[Manner], lead: bytes = b"") -> Identified | Stranger:
    """Ask the first manner's identity command; whoever of the fitting ones it identifies."""
    first = fitting[0]
    session.recorder.mark(f"identify {first.dialect}")
    exchange = await session.ask(first.identify, first, deadline_s=session.timings.identify_s, lead=lead)
    for manner in fitting:
        if manner.identify.command == first.identify.command and identifies(manner, exchange):
            session.recorder.mark(f"identified {manner.dialect}")
            return Identified(manner, exchange)
    if lead:
        return _classified(session)
    said = next((line.text.strip() for line in exchange.lines if line.text.strip()), "")
    answer = f"but answered {first.identify.command!r} with {said[:60]!r}" if said else "but did not answer"
    return Stranger("other console", f"it shows the prompt of {first.dialect}, {answer}")


def _classified(session: Session) -> Stranger:
    session.recorder.flush()
    events: Sequence[Event] = session.recorder.capture().events
    heard = "".join(event.text for event in events if event.code == "o")
    return classify(heard, "".join(event.text for event in events if event.code == "i"))
