"""Which dialect a saved capture speaks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from propsoff.console.capture import Capture
from propsoff.console.reply import END_MARK, OPENING
from propsoff.console.transcript import Transcript, exchanges
from propsoff.dialects.model import Dialect
from propsoff.dialects.pasted import unprompted


@dataclass(frozen=True)
class Recognition:
    """`dialect` is None when none fits or several fit equally; `reason` says in plain words why."""

    dialect: Dialect | None
    reason: str


@dataclass(frozen=True, order=True, slots=True)
class _Fit:
    """How well a dialect fits, the strongest sign first: its identity reply, a line that names it, marks of reads."""

    identified: bool
    named: bool
    marked: int

    def __bool__(self) -> bool:
        return self.identified or self.named or self.marked > 0

    @property
    def sign(self) -> str:
        """The strongest sign in plain words."""
        if self.identified:
            return "its identity command was answered as it should be"
        return "a line names its firmware" if self.named else "the marks of its listings are there"


def recognise(capture: Capture, dialects: Iterable[Dialect]) -> Dialect | None:
    """The dialect that the capture speaks, None when none or several fit equally (`explain` says why)."""
    return explain(capture, dialects).dialect


def explain(source: Capture | Transcript, dialects: Iterable[Dialect]) -> Recognition:
    """The dialect that the capture speaks, with the reason."""
    transcript = source if isinstance(source, Transcript) else Transcript(source)
    listed = sorted(dialects, key=lambda dialect: dialect.id)
    fits = {dialect.id: (fit, dialect) for dialect in listed if (fit := _fit(transcript, dialect))}
    if not fits:
        known = ", ".join(dialect.id for dialect in listed) or "none"
        return Recognition(
            None, f"no known dialect fits: neither an identity reply nor the marks of a listing (known: {known})"
        )
    best = max(fit for fit, _ in fits.values())
    chosen = [dialect for fit, dialect in fits.values() if fit == best]
    if len(chosen) > 1:
        names = " and ".join(dialect.id for dialect in chosen)
        return Recognition(None, f"several dialects fit equally ({names}): {best.sign}; name one")
    return Recognition(chosen[0], f"{chosen[0].id}: {best.sign}")


def _fit(transcript: Transcript, dialect: Dialect) -> _Fit:
    manner = dialect.manner
    found = exchanges(transcript, manner)
    if transcript.pasted:
        found = unprompted(transcript, manner, found)
    identified = any(
        manner.identity.match(line.text) is not None
        for exchange in found
        if exchange.command == manner.identify.command
        for line in exchange.lines
    )
    named = identified or any(manner.identity.match(line.text) is not None for line in transcript.lines)
    read = {query.command for query in manner.reads}
    marked = {exchange.command for exchange in found if {END_MARK, OPENING} & set(exchange.signs)} & read
    return _Fit(identified, named, len(marked))
