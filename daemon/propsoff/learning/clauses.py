"""Values that are lists of names with values: `kind serial, protocol crsf, port uart2`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from propsoff.learning.habits import escaped
from propsoff.learning.thesaurus import names_something, read_name

_WORD = re.compile(r"[^\W\d_][\w-]*")
_MARKED = re.compile(r"\s*([^\W\d_][\w -]*?)\s*[:=]\s*([^,;]+?)\s*")
_FEWEST = 2
_KNOWN = 0.5


@dataclass(frozen=True, slots=True)
class Clause:
    """A name and its value's text, with where that stands in the whole."""

    name: str
    text: str
    start: int
    end: int


def clauses_of(text: str) -> tuple[Clause, ...]:
    """The clauses between semicolons, else commas; empty when they are no names with values."""
    mark = ";" if ";" in text else ","
    found: list[Clause] = []
    at = 0
    for part in text.split(mark):
        split = _split(part)
        if split is None:
            return ()
        name, start, end = split
        found.append(Clause(name, part[start:end], at + start, at + end))
        at += len(part) + 1
    known = sum(names_something(one.name) for one in found)
    return tuple(found) if len(found) >= _FEWEST and known >= _KNOWN * len(found) else ()


def _split(part: str) -> tuple[str, int, int] | None:
    """(the name, where the value begins and ends): the words that name things, as long as one is left for a value."""
    if (marked := _MARKED.fullmatch(part)) is not None:
        return marked[1], marked.start(2), marked.end(2)
    words = list(re.finditer(r"\S+", part))
    if len(words) < _FEWEST or _WORD.fullmatch(words[0].group()) is None:
        return None
    count = 1
    while count < len(words) - 1 and _names(words[count].group()):
        count += 1
    return part[words[0].start() : words[count - 1].end()], words[count].start(), words[-1].end()


def _names(word: str) -> bool:
    pieces = read_name(word)
    return _WORD.fullmatch(word) is not None and all(piece.concepts or piece.neutral for piece in pieces)


def form_of_clauses(text: str, clauses: Sequence[Clause]) -> str:
    """The line template in which each value is a field, called p1 and so on."""
    parts, at = list[str](), 0
    for number, one in enumerate(clauses, 1):
        kind = "words" if " " in one.text else "word"
        parts += [escaped(text[at : one.start]), f"{{p{number}:{kind}}}"]
        at = one.end
    return "".join((*parts, escaped(text[at:])))
