"""From a capture to a craft."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from propsoff.console.capture import Capture
from propsoff.console.manner import Exchange, Line, Query
from propsoff.console.reply import COUNT, END_MARK, OPENING
from propsoff.console.transcript import Transcript
from propsoff.craft.build import CraftBuilder
from propsoff.craft.model import Craft
from propsoff.dialects.harvest import Harvest
from propsoff.dialects.listing import Listing, Reply
from propsoff.dialects.model import Dialect
from propsoff.dialects.pasted import replies
from propsoff.dialects.patterns import Template

_BEST = {"complete": 2, "unsure": 1, "cut": 0}


@dataclass(frozen=True)
class Reading:
    """What one capture says in one dialect."""

    craft: Craft
    exchanges: tuple[Exchange, ...]
    dialect: Dialect = field(repr=False)


def read_craft(capture: Capture, dialect: Dialect) -> Reading:
    """Every fact that the capture states.

    Pure; never raises for what a board said: that becomes a problem of the craft.
    """
    return read_transcript(Transcript(capture), dialect)


def read_transcript(transcript: Transcript, dialect: Dialect) -> Reading:
    """As `read_craft`, for a transcript that is at hand already."""
    return read_exchanges(replies(transcript, dialect.manner), dialect)


def read_exchanges(found: tuple[Exchange, ...], dialect: Dialect) -> Reading:
    """As `read_craft`, for what was said in this dialect."""
    builder = CraftBuilder()
    harvest = Harvest(builder)
    for query in (dialect.manner.identify, *dialect.manner.reads):
        parts = dialect.parts(query.command)
        exchange = best(found, query.command)
        if exchange is None:
            builder.problem(f"no reply to {query.command!r} in this capture", gap=query.required)
        elif parts:
            _read_reply(exchange, query, parts, dialect, harvest, builder)
    harvest.finish()
    return Reading(builder.craft(), found, dialect)


def best(found: Iterable[Exchange], command: str) -> Exchange | None:
    """Of the replies to a command the last of the best: asked twice, a board is believed on its later whole answer."""
    chosen: Exchange | None = None
    for exchange in found:
        if exchange.command == command and (chosen is None or _BEST[exchange.state] >= _BEST[chosen.state]):
            chosen = exchange
    return chosen


def _read_reply(
    exchange: Exchange,
    query: Query,
    parts: tuple[Listing, ...],
    dialect: Dialect,
    harvest: Harvest,
    builder: CraftBuilder,
) -> None:
    if exchange.state != "complete":
        last = exchange.lines[-1] if exchange.lines else None
        builder.problem(
            f"the reply to {exchange.command!r} is {exchange.state}: {exchange.why}",
            lines=(last.number,) if last else (),
            text=last.text if last else "",
            gap=query.required and not _is_whole(exchange, query),
        )
    error = dialect.manner.error

    def quiet(line: Line) -> bool:
        return not line.text.strip() or dialect.is_comment(line)

    def refused(line: Line) -> bool:
        return error is not None and error.fits(line.text)

    def aside(line: Line) -> None:
        if quiet(line):
            return
        if refused(line):
            builder.problem(
                f"the board answered {exchange.command!r} with an error", lines=(line.number,), text=line.text
            )
        else:
            builder.unread(line.number, line.text)

    lines, whole = _inside_marks(exchange.lines, query), _is_whole(exchange, query)
    torn = not whole and exchange.state != "cut"
    _read_parts(parts, Reply(lines, whole, torn, aside, quiet, refused), harvest)


def _read_parts(parts: tuple[Listing, ...], reply: Reply, harvest: Harvest) -> None:
    """Each part takes of the lines that those before it left; what the last one leaves is put aside."""
    for listing in parts[:-1]:
        left: list[Line] = []
        listing.grammar.read(listing, replace(reply, aside=left.append), harvest)
        harvest.join(listing.joined)
        kept = {line.number for line in left}
        reply = replace(reply, lines=tuple(line for line in reply.lines if line.number in kept or reply.quiet(line)))
    parts[-1].grammar.read(parts[-1], reply, harvest)
    harvest.join(parts[-1].joined)


def _is_whole(exchange: Exchange, query: Query) -> bool:
    """Whether nothing of the reply is missing: it is complete, or all its own marks are there and agree."""
    if exchange.state == "complete":
        return True
    if exchange.state == "cut" or query.ends is None or END_MARK not in exchange.signs:
        return False
    counts = any(isinstance(mark, Template) and "count" in mark.names for mark in (query.opens, query.ends))
    return (query.opens is None or OPENING in exchange.signs) and (not counts or COUNT in exchange.signs)


def _inside_marks(lines: tuple[Line, ...], query: Query) -> tuple[Line, ...]:
    first, last = 0, len(lines)
    if lines and query.opens is not None and query.opens.match(lines[0].text) is not None:
        first = 1
    if last > first and query.ends is not None and query.ends.match(lines[-1].text) is not None:
        last -= 1
    return lines[first:last]
