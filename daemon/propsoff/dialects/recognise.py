"""Which dialect a saved capture speaks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from propsoff.console.capture import Capture
from propsoff.console.manner import Exchange, Line
from propsoff.console.reply import END_MARK, OPENING
from propsoff.console.transcript import Transcript
from propsoff.dialects.model import Dialect
from propsoff.dialects.pasted import replies


@dataclass(frozen=True)
class Recognition:
    """`dialect` is None when none fits or several fit equally; `reason` says in plain words why.

    `exchanges` are what was said in that dialect. `several`: the text holds the answers of more than one board, or of
    one at different times, so that nobody can tell which of them it is about.
    """

    dialect: Dialect | None
    reason: str
    exchanges: tuple[Exchange, ...] = field(default=(), repr=False)
    several: bool = False


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A dialect, and what was said if the console speaks it."""

    dialect: Dialect
    exchanges: tuple[Exchange, ...]

    @property
    def identified(self) -> bool:
        """Whether its identity command was answered as it should be."""
        manner = self.dialect.manner
        return any(
            manner.identifies(line.text)
            for exchange in self.exchanges
            if exchange.command == manner.identify.command
            for line in exchange.lines
        )

    @property
    def marked(self) -> int:
        """How many of its reads have marks of a reply."""
        read = {query.command for query in self.dialect.manner.reads}
        return len({one.command for one in self.exchanges if {END_MARK, OPENING} & set(one.signs)} & read)


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
    """The dialect that the capture speaks, with the reason and what was said."""
    transcript = source if isinstance(source, Transcript) else Transcript(source)
    listed = sorted({dialect.id: dialect for dialect in dialects}.values(), key=lambda dialect: dialect.id)
    candidates = [_Candidate(dialect, replies(transcript, dialect.manner)) for dialect in listed]
    if transcript.pasted and (mixed := _mixed(candidates, transcript.lines)) is not None:
        return Recognition(None, mixed, several=True)
    fits = _fits(transcript, candidates)
    if not fits:
        known = ", ".join(dialect.id for dialect in listed) or "none"
        return Recognition(
            None, f"no known dialect fits: neither an identity reply nor the marks of a listing (known: {known})"
        )
    best = max(fit for fit, _ in fits)
    chosen = [candidate for fit, candidate in fits if fit == best]
    if len(chosen) > 1:
        names = " and ".join(candidate.dialect.id for candidate in chosen)
        return Recognition(None, f"several dialects fit equally ({names}): {best.sign}; name one")
    return Recognition(chosen[0].dialect, f"{chosen[0].dialect.id}: {best.sign}", chosen[0].exchanges)


def _mixed(candidates: list[_Candidate], lines: Iterable[Line]) -> str | None:
    """Why a person's text is not about one board at one time; None when it is."""
    speaking = [candidate for candidate in candidates if candidate.identified or candidate.marked]
    if len(speaking) > 1:
        names = " and ".join(candidate.dialect.id for candidate in speaking)
        return f"the text holds listings of different consoles ({names})"
    for candidate in speaking:
        different: dict[str, set[tuple[str, ...]]] = {}
        for exchange in candidate.exchanges:
            if exchange.state == "complete" or {END_MARK, OPENING} & {*exchange.signs}:
                different.setdefault(exchange.command, set()).add(tuple(line.text for line in exchange.lines))
        for command, texts in different.items():
            if len(texts) > 1:
                return f"the text holds {len(texts)} different replies to {command!r}"
        taken = {line.number for exchange in candidate.exchanges for line in exchange.lines}
        ends = [query.ends for query in candidate.dialect.manner.reads if query.ends is not None]
        for line in lines:
            if line.number not in taken and any(end.fits(line.text) for end in ends):
                return f"line {line.number} ends a listing of which the beginning is missing"
    return None


def _fits(transcript: Transcript, candidates: list[_Candidate]) -> list[tuple[_Fit, _Candidate]]:
    """The candidates that fit, and how well."""
    # No other sign outweighs an identity reply: where one was given, nobody else's need be looked for in every line.
    if identified := [candidate for candidate in candidates if candidate.identified]:
        return [(_Fit(True, True, candidate.marked), candidate) for candidate in identified]
    lines = transcript.lines
    fits = [(_Fit(False, _named(candidate.dialect, lines), candidate.marked), candidate) for candidate in candidates]
    return [(fit, candidate) for fit, candidate in fits if fit]


def _named(dialect: Dialect, lines: Iterable[Line]) -> bool:
    return any(dialect.manner.identifies(line.text) for line in lines)
