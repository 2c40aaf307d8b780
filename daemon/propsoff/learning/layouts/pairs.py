"""Answers of one setting a line: a key, a mark, a value; a word may stand before every key (`set key value`)."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from propsoff.console.manner import Line
from propsoff.dialects.templates import TemplateError, compile_template
from propsoff.learning.habits import escaped
from propsoff.learning.layouts.keys import rows_of
from propsoff.learning.layouts.notes import comments_in, ends_in
from propsoff.learning.model import Layout, Statement

_MARKS = (":=", "=>", "->", "=", ":", "|", "\t")
_KEY = re.compile(r"/?[^\W\d_][\w .()/#°º'’\[\]-]{0,60}", re.UNICODE)
_ALIGNED = re.compile(r"\s*\S+ {2,}\S|\S+[ \t]+\S+\s*\Z|\S+(?:[ \t]+-?[0-9.]+)+\s*\Z|[a-z]+[_.][\w.]+[ \t]+\S")
"""A key and a value with nothing but blanks between, and no sentence."""
_LEAST_SHARE = 0.5
_FEWEST = 2
_FEWEST_VERBS = 3
_DEEPER = 4


@dataclass(frozen=True, slots=True)
class Pair:
    """One line taken apart."""

    key: str
    value: str
    line: int


@dataclass(frozen=True, slots=True)
class PairLine:
    """How lines of pairs are written: the template, and what it gives."""

    template: str
    pairs: tuple[Pair, ...]


def as_pairs(command: str, lines: tuple[Line, ...]) -> Layout | None:
    """The settings by their keys; None when half of the lines are none."""
    found = pair_line(lines)
    if found is None:
        return None
    statements = [Statement(command, pair.key, path_of(pair.key), pair.value, pair.line) for pair in found.pairs]
    rows, used = rows_of(command, statements)
    kept = tuple(statement for at, statement in enumerate(statements) if at not in used)
    understood = frozenset(pair.line for pair in found.pairs)
    marks, marked = ends_in(lines, understood)
    comments, commented = comments_in(lines, understood | marked)
    return Layout(
        command, "pairs", {"line": found.template}, kept, rows, marks, comments, understood | marked | commented
    )


def path_of(key: str) -> tuple[str, ...]:
    """The parts of a dotted key: `sense.gyro` is the gyro of the senses."""
    for mark in ("/", "."):
        parts = key.removeprefix(mark).split(mark)
        if len(parts) > 1 and all(part.strip() for part in parts):
            return tuple(parts)
    return (key,)


def pair_line(lines: Sequence[Line]) -> PairLine | None:
    """The way of writing that most lines have in common; None when fewer than half have one."""
    telling = [line for line in lines if line.text.strip()]
    best: PairLine | None = None
    for candidate in _candidates(telling):
        if best is None or len(candidate.pairs) > len(best.pairs):
            best = candidate
    if best is None or len(best.pairs) < max(_FEWEST, _LEAST_SHARE * len(telling)):
        return None
    return best


def _candidates(lines: Sequence[Line]) -> list[PairLine]:
    verb = _verb(lines)
    found: list[PairLine] = []
    for mark in _MARKS:
        for before, after in ((" ", " "), ("", " "), ("", "")):
            found += _written(lines, "{key:words}" + before + escaped(mark) + after + "{value:rest}")
    found += _written(lines, "{key:words} ..{_:dots} {value:rest}")
    found += _written(lines, "{key:label} {value:words}")
    found += _written(lines, "{key:word} {value:rest}", aligned=True)
    if verb:
        found += _written(lines, escaped(verb) + " {key:word} {value:rest}")
        found += _written(lines, escaped(verb) + " {key:words} = {value:rest}")
    return found


def _written(lines: Sequence[Line], template: str, *, aligned: bool = False) -> list[PairLine]:
    try:
        compiled = compile_template(template)
    except TemplateError:
        return []
    pairs: list[Pair] = []
    if any(found["value"].startswith(" ") for line in lines if (found := compiled.match(line.text))):
        return _written(lines, template.replace("{value:rest}", "{value:words}"), aligned=aligned)
    for line in lines:
        text = line.text
        if aligned and not _ALIGNED.match(text):
            continue
        fields: Mapping[str, str] | None = compiled.match(text)
        if fields is not None and _KEY.fullmatch(fields["key"]) and not fields["value"].startswith("="):
            pairs.append(Pair(fields["key"], fields["value"].strip(), line.number))
    pairs = _whole(pairs, lines)
    return [PairLine(template, tuple(pairs))] if pairs else []


def _whole(pairs: list[Pair], lines: Sequence[Line]) -> list[Pair]:
    """The pairs whose values do not go on in the next line, deeper than any key stands."""
    keyed = {pair.line for pair in pairs}
    deepest = max((_indent(line) for line in lines if line.number in keyed), default=0)
    going_on = {line.number - 1 for line in lines if line.number not in keyed and _indent(line) > deepest + _DEEPER}
    return [pair for pair in pairs if pair.line not in going_on]


def _indent(line: Line) -> int:
    return len(line.text) - len(line.text.lstrip())


def _verb(lines: Sequence[Line]) -> str | None:
    """The word that stands before nearly every key."""
    firsts = [line.text.split()[0] for line in lines if len(line.text.split()) >= 3]
    if len(firsts) < _FEWEST:
        return None
    most = max(set(firsts), key=firsts.count)
    often = firsts.count(most) >= max(_FEWEST_VERBS, _LEAST_SHARE * len(lines))
    return most if often and most.isalpha() and (most.islower() or most.isupper()) else None
