"""Binding what the replies state to canonical facts. A wrong binding is worse than none: in doubt nothing is bound."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from propsoff.learning.bind_rows import bind_rows
from propsoff.learning.model import Bound, BoundRows, Layout, Meaning, Reading, RowSet, Statement, Unbound
from propsoff.learning.readings import reading_of
from propsoff.learning.scoring import Name, said, score
from propsoff.learning.thesaurus import Term, named, terms

THRESHOLD = 0.7
"""Confidence (0 to 1) below which nothing is bound."""

_MARGIN = 0.05
_GUESSES = 3
_WORTH_SAYING = 0.3
_QUOTED = re.compile(r'"([^"]*)"')
_GRID = re.compile(r"([0-9]{2})(\s*[x×X*,/:]\s*|\s+by\s+)([0-9]{2})")
_SLOT = re.compile(r"([A-Za-z])([-:/ ]?)([0-9])")
_SPAN = re.compile(r"([0-9]{3,4})(\s*(?:\.\.+|-|–|to|/|,|:)\s*)([0-9]{3,4})(\s*(?:us)?)")
_TRIPLE = re.compile(r"([0-9]{3,4})([ /,:-]+)([0-9]{3,4})\2([0-9]{3,4})")


def bind(layouts: Sequence[Layout], threshold: float = THRESHOLD, about: Mapping[str, str] | None = None) -> Meaning:
    """What the replies mean, as far as confidence reaches `threshold` (0 to 1).

    `about` says what a command's answer is about, where its word does not.
    """
    about = about or {}
    statements = [statement for layout in layouts for statement in layout.statements]
    candidates = [candidate for statement in statements for candidate in _candidates(statement, about)]
    chosen = _unique(_best_of_each(candidates), threshold)
    bound = tuple(one.bound(_others(one, candidates)) for one in chosen)
    rows = tuple(_rows(layouts, threshold, about))
    taken = {id(one.statement) for one in chosen}
    unbound = tuple(
        Unbound(statement, _guesses(statement, candidates)) for statement in statements if id(statement) not in taken
    )
    kept = {id(one.rows) for one in rows}
    left = tuple(one for layout in layouts for one in layout.rows if id(one) not in kept)
    return Meaning(bound, rows, unbound, left)


@dataclass(frozen=True, slots=True)
class _Candidate:
    fact: str
    statement: Statement
    reading: Reading
    confidence: float
    why: str
    form: str | None = None
    part: str | None = None

    def bound(self, others: tuple[tuple[str, float], ...]) -> Bound:
        return Bound(
            self.fact, self.statement, self.reading, round(self.confidence, 2), self.why, others, self.form, self.part
        )


def _candidates(statement: Statement, about: Mapping[str, str]) -> Iterator[_Candidate]:
    """Every fact that the statement may state, with what its value would be."""
    name = Name.of(statement.path, about.get(statement.command) or statement.command, statement.unit)
    for term in terms().values():
        reading = reading_of(term.shape, statement.text, name.unit, term.fact, statement.kind)
        if reading is not None and (confidence := score(name, term, statement.text)) > 0:
            yield _Candidate(term.fact, statement, reading, confidence, said(name, term))
    yield from _compound(statement, name)


def _compound(statement: Statement, name: Name) -> Iterator[_Candidate]:
    """Values that state several facts at once: a grid, a band with its channel, the ends of the sticks."""
    concepts = named((*name.leaf, *name.around))
    text = statement.text.strip()
    if statement.kind != "text":
        return
    if (quoted := _QUOTED.fullmatch(text)) is not None:
        yield from _unquoted(statement, name, quoted[1])
    if (grid := _GRID.fullmatch(text)) and concepts & {"overlay", "grid"}:
        parts = [("overlay.columns", "columns", grid[1]), ("overlay.rows", "rows", grid[3])]
        yield from _split(statement, name, "{columns:int}" + grid[2] + "{rows:int}", parts, {"column", "row"})
    if (slot := _SLOT.fullmatch(text)) and "channel" in concepts | ({"channel"} if "band" in concepts else set()):
        parts = [("video.band", "band", slot[1]), ("video.channel", "channel", slot[3])]
        yield from _split(statement, name, "{band:letter}" + slot[2] + "{channel:int}", parts, {"band", "channel"})
    if (triple := _TRIPLE.fullmatch(text)) and concepts & {"channel", "stick", "receiver"}:
        parts = [
            ("channels.low", "low", triple[1]),
            ("channels.centre", "centre", triple[3]),
            ("channels.high", "high", triple[4]),
        ]
        form = "{low:int}" + triple[2] + "{centre:int}" + triple[2] + "{high:int}"
        yield from _split(statement, name, form, parts, {"low", "centre", "high"})
    elif (span := _SPAN.fullmatch(text)) and concepts & {"channel", "stick", "receiver"} and "span" in concepts:
        parts = [("channels.low", "low", span[1]), ("channels.high", "high", span[3])]
        form = "{low:int}" + span[2] + "{high:int}" + span[4]
        yield from _split(statement, name, form, parts, {"low", "high"})


def _unquoted(statement: Statement, name: Name, inner: str) -> Iterator[_Candidate]:
    """A name in quotes: they are no part of it."""
    for term in terms().values():
        if term.shape in ("label", "name", "serial", "version"):
            reading = reading_of(term.shape, inner, None, term.fact)
            if reading is not None and (confidence := score(name, term, inner)) > 0:
                yield _Candidate(term.fact, statement, reading, confidence, said(name, term), "{value:quoted}", "value")


def _split(
    statement: Statement, name: Name, form: str, parts: Sequence[tuple[str, str, str]], implied: set[str]
) -> Iterator[_Candidate]:
    """One candidate for each part, when all of them are values of the right shape."""
    found: list[_Candidate] = []
    for fact, part, text in parts:
        term = terms()[fact]
        reading = reading_of(term.shape, text, None, fact)
        confidence = score(_with(name, implied), _lenient(term, implied), text)
        if reading is None or confidence <= 0:
            return
        found.append(_Candidate(fact, statement, reading, confidence, said(name, term), form, part))
    yield from found


def _with(name: Name, implied: set[str]) -> Name:
    from propsoff.learning.thesaurus import Piece

    return Name((*name.leaf, *(Piece(concept, frozenset({concept})) for concept in sorted(implied))), name.around)


def _lenient(term: Term, implied: set[str]) -> Term:
    return replace(term, wants=term.wants | implied)


def _best_of_each(candidates: Iterable[_Candidate]) -> list[_Candidate]:
    """For each statement the fact that it fits best; none when two fit equally."""
    by_statement: dict[int, list[_Candidate]] = {}
    for one in candidates:
        by_statement.setdefault(id(one.statement), []).append(one)
    chosen: list[_Candidate] = []
    for fitting in by_statement.values():
        single = [one for one in fitting if one.form is None]
        split = [one for one in fitting if one.form is not None]
        if split and (
            not single or min(one.confidence for one in split) >= max(one.confidence for one in single) - _MARGIN
        ):
            chosen += split
            continue
        single.sort(key=lambda one: -one.confidence)
        if single and (len(single) == 1 or single[0].confidence - single[1].confidence >= _MARGIN / 2):
            chosen.append(single[0])
    return chosen


def _unique(candidates: Iterable[_Candidate], threshold: float) -> list[_Candidate]:
    """For each fact the statement that fits best; none when two differ and fit nearly equally."""
    by_fact: dict[str, list[_Candidate]] = {}
    for one in candidates:
        if one.confidence >= threshold:
            by_fact.setdefault(one.fact, []).append(one)
    chosen: list[_Candidate] = []
    for fitting in by_fact.values():
        fitting.sort(key=lambda one: -one.confidence)
        best = fitting[0]
        rivals = [one for one in fitting[1:] if best.confidence - one.confidence < _MARGIN]
        if all(one.reading.value == best.reading.value for one in rivals):
            chosen.append(best)
    return chosen


def _others(chosen: _Candidate, candidates: Iterable[_Candidate]) -> tuple[tuple[str, float], ...]:
    return tuple(pair for pair in _guesses(chosen.statement, candidates) if pair[0] != chosen.fact)


def _guesses(statement: Statement, candidates: Iterable[_Candidate]) -> tuple[tuple[str, float], ...]:
    fitting = [
        (one.fact, round(one.confidence, 2))
        for one in candidates
        if one.statement is statement and one.confidence >= _WORTH_SAYING
    ]
    return tuple(sorted(dict.fromkeys(fitting), key=lambda pair: -pair[1])[:_GUESSES])


def _rows(layouts: Sequence[Layout], threshold: float, about: Mapping[str, str]) -> Iterator[BoundRows]:
    """For each group the rows that fit it best; none when two sets of rows fit nearly equally."""
    found = [
        one for layout in layouts for rows in layout.rows for one in bind_rows(rows, about.get(layout.command, ""))
    ]
    by_group: dict[str, list[BoundRows]] = {}
    for one in found:
        if one.confidence >= threshold:
            by_group.setdefault(one.group, []).append(one)
    for fitting in by_group.values():
        fitting.sort(key=lambda one: (-one.confidence, -len(one.cells)))
        rivals = [one for one in fitting[1:] if fitting[0].confidence - one.confidence < _MARGIN]
        if not any(len(one.cells) >= len(fitting[0].cells) for one in rivals):
            yield fitting[0]


__all__ = ["THRESHOLD", "RowSet", "bind"]
