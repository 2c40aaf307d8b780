"""The replies in a transcript, also those in pasted text that have lost their command line."""

from __future__ import annotations

from collections.abc import Sequence

from propsoff.console.manner import Exchange, Line, Manner, Query
from propsoff.console.reply import COUNT, END_MARK
from propsoff.console.transcript import Transcript, exchanges


def replies(transcript: Transcript, manner: Manner) -> tuple[Exchange, ...]:
    """The exchanges of this manner's own commands, in order, each judged.

    In pasted text also listings that a person copied without the command line above them.
    """
    found = exchanges(transcript, manner)
    return unprompted(transcript, manner, found) if transcript.pasted else found


def unprompted(transcript: Transcript, manner: Manner, found: tuple[Exchange, ...]) -> tuple[Exchange, ...]:
    """The exchanges found, and those of read commands that have none but whose end mark stands in the text."""
    missing = [
        query for query in manner.reads if query.ends and not any(known.command == query.command for known in found)
    ]
    if not missing:
        return found
    lines = transcript.lines
    taken = {line.number for exchange in found for line in exchange.lines}
    extra: list[Exchange] = []
    for query in missing:
        exchange = _ended(query, manner, lines, taken)
        if exchange is not None:
            extra.append(exchange)
            taken |= {line.number for line in exchange.lines}
    return tuple(sorted((*found, *extra), key=lambda exchange: exchange.lines[0].number if exchange.lines else 0))


def _ended(query: Query, manner: Manner, lines: Sequence[Line], taken: set[int]) -> Exchange | None:
    """The lines before an end mark, back to the nearest line that belongs to another reply or to the console."""
    ends = query.ends
    if ends is None:
        return None
    for at in range(len(lines) - 1, -1, -1):
        fields = ends.match(lines[at].text)
        if fields is None or lines[at].number in taken:
            continue
        first = at
        while first and lines[first - 1].number not in taken and manner.prompt.match(lines[first - 1].text) is None:
            first -= 1
        reply = tuple(lines[first : at + 1])
        count = sum(query.counted is None or query.counted.match(line.text) is not None for line in reply[:-1])
        says = fields.get("count")
        why = "the command that asked for it is not in the text"
        if says is not None and says != str(count):
            return Exchange(query.command, reply, "unsure", f"{why}; it says {says}, {count} were read", (END_MARK,))
        return Exchange(query.command, reply, "unsure", why, (END_MARK, *((COUNT,) if says is not None else ())))
    return None
