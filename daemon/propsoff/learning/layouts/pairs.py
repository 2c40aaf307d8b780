"""Answers of one setting a line: a key, a mark, a value; a word may stand before every key (`set key value`)."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from propsoff.console.manner import Line
from propsoff.dialects.templates import LineTemplate, TemplateError, compile_template
from propsoff.learning.habits import escaped
from propsoff.learning.layouts.keys import rows_of
from propsoff.learning.layouts.notes import CLOSES, comments_in, ends_in, noted_above
from propsoff.learning.layouts.paths import path_of
from propsoff.learning.model import Layout, Statement

_MARKS = (":=", "=>", "->", "=", ":", "|", "\t")
_KEY = re.compile(r"/?[^\W\d_][\w .,%&+()/#°º'’\[\]-]{0,60}", re.UNICODE)
_ALIGNED = re.compile(
    r"\s*\S+ {2,}\S|\S+[ \t]+\S+\s*\Z|\S+(?:[ \t]+-?[0-9.]+)+\s*\Z|[a-z]\w*(?:[_.]|-[a-z]+-)[\w.-]+[ \t]+\S"
    r"|\S+[ \t]+-?[0-9][0-9.,]*[ \t]+\S+\s*\Z|\S+[ \t]+[\"'\[({].*[\"'\])}]\s*\Z"
)
"""A key and a value with nothing but blanks between, and no sentence."""
_LEAST_SHARE = 0.5
_FEWEST = 2
_FEWEST_VERBS = 3
_MOST_WAYS = 3
DEEPER = 4


@dataclass(frozen=True, slots=True)
class Pair:
    """One line taken apart; `note` is the comment at its end."""

    key: str
    value: str
    line: int
    note: str = ""


@dataclass(frozen=True, slots=True)
class PairLine:
    """How lines of pairs are written: the templates, the first that fits counts, and what they give."""

    templates: tuple[str, ...]
    pairs: tuple[Pair, ...]

    @property
    def line(self) -> str | list[str]:
        """As a dialect writes it."""
        return self.templates[0] if len(self.templates) == 1 else list(self.templates)


def as_pairs(command: str, lines: tuple[Line, ...]) -> Layout | None:
    """The settings by their keys; None when half of the lines are none."""
    return _layout(command, lines, pair_line(lines))


def as_columns(command: str, lines: tuple[Line, ...]) -> Layout | None:
    """A table of settings as pairs, where its header has a column of names and one of values; None when it has not."""
    written = _columns_of(lines)
    below = [line for line in lines if line.text.strip()]
    found = _written(below, written) if written else []
    if not found or any(not _is_row(pair, below) for pair in found[0].pairs):
        return None
    return _layout(command, lines, found[0])


def _is_row(pair: Pair, lines: Sequence[Line]) -> bool:
    """Whether key and value are whole cells, with runs of blanks beside them."""
    text = next(line.text for line in lines if line.number == pair.line)
    cells = re.split(r"\s{2,}", text.strip())
    return cells[0] == pair.key and pair.value in cells[1:]


def _layout(command: str, lines: tuple[Line, ...], found: PairLine | None) -> Layout | None:
    if found is None:
        return None
    statements = tuple(
        Statement(command, pair.key, path_of(pair.key), pair.value, pair.line, note=pair.note) for pair in found.pairs
    )
    statements = tuple(noted_above(statements, lines))
    rows = rows_of(command, statements)
    understood = frozenset(pair.line for pair in found.pairs)
    marks, marked = ends_in(lines, understood, found.templates)
    comments, commented = comments_in(lines, understood | marked)
    return Layout(
        command, "pairs", {"line": found.line}, statements, rows, marks, comments, understood | marked | commented
    )


def pair_line(lines: Sequence[Line]) -> PairLine | None:
    """The way of writing that most lines have in common; None when fewer than half have one."""
    telling = [line for line in lines if line.text.strip() and not CLOSES.fullmatch(line.text.strip())]
    best: PairLine | None = None
    for candidate in _candidates(telling):
        if best is None or len(candidate.pairs) > len(best.pairs):
            best = candidate
    if best is None:
        return None
    best = _noted(_joined_with_others(best, telling), telling)
    return best if len(best.pairs) >= max(_FEWEST, _LEAST_SHARE * len(telling)) else None


def _joined_with_others(best: PairLine, lines: Sequence[Line]) -> PairLine:
    """The same with further ways of writing, for lines that the first does not fit."""
    for _ in range(_MOST_WAYS - 1):
        fits = [compile_template(template) for template in best.templates]
        left = [line for line in lines if not any(template.fits(line.text.lstrip()) for template in fits)]
        further = max(_candidates(left), key=lambda one: len(one.pairs), default=None) if left else None
        if further is None or (len(further.pairs) < _FEWEST and not _same_mark(best, further)):
            return best
        pairs = sorted((*best.pairs, *further.pairs), key=lambda pair: pair.line)
        best = PairLine((*best.templates, *further.templates), tuple(pairs))
    return best


def _same_mark(one: PairLine, other: PairLine) -> bool:
    """Whether two ways of writing differ in their blanks only: `port       : P1` and `half duplex: no`."""
    return other.templates[0].replace(" ", "") in {template.replace(" ", "") for template in one.templates}


def _noted(found: PairLine, lines: Sequence[Line]) -> PairLine:
    """The same, where comments stand behind the values, with these taken off."""
    for mark, end in _NOTES:
        noted = [pair for pair in found.pairs if _has_note(pair.value, mark, end)]
        sure = mark in _SURE and len(noted) >= _FEWEST
        if sure or len(noted) >= max(_FEWEST, _NOTED * len(found.pairs)):
            break
    else:
        return found
    space = "" if end else " "
    tails = {f"{{value:words}} {escaped(mark.strip())}{space}{{{name}:rest}}": name for name in ("note", "_")}
    inner, outer = tails
    short = [re.sub(r"\{value:\w+\}", "{value:words}", template) for template in found.templates]
    try:
        reading = [compile_template(one.replace("{value:words}", inner)) for one in short]
    except TemplateError:
        return found
    texts = {line.number: line.text.lstrip() for line in lines}
    pairs = [_without_note(pair, reading, texts[pair.line], end) for pair in found.pairs]
    return PairLine((*(one.replace("{value:words}", outer) for one in short), *found.templates), tuple(pairs))


def _has_note(value: str, mark: str, end: str) -> bool:
    """Whether a value has a comment behind it: in `column [3] row [14]` the brackets are around the values."""
    alone = not end or (value.count(mark) == 1 and value.count(end) == 1)
    return f" {mark}" in value and value.endswith(end) and alone


def _without_note(pair: Pair, reading: Sequence[LineTemplate], text: str, end: str) -> Pair:
    fields = next((found for one in reading if (found := one.match(text)) is not None), None)
    if fields is None or fields["key"] != pair.key:
        return pair
    return Pair(pair.key, fields["value"].strip(), pair.line, fields["note"].strip().removesuffix(end))


_SECOND = re.compile(r"\s{2,}[^\W\d_][\w .,/%()-]{0,30}:(?:\s|$)|\s{2,}[^\W\d_][\w.-]{0,30}\s*=\s*\S")
_SEVERAL = 0.2
_NOTES = (("# ", ""), ("// ", ""), ("; ", ""), ("-- ", ""), ("(", ")"), ("[", "]"))
_SURE = ("# ", "// ")
_NOTED = 0.2


def _candidates(lines: Sequence[Line]) -> list[PairLine]:
    verb = verb_of(lines)
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
    if any(found["value"].startswith(" ") for line in lines if (found := compiled.match(line.text.lstrip()))):
        return _written(lines, template.replace("{value:rest}", "{value:words}"), aligned=aligned)
    for line in lines:
        text = line.text.lstrip()
        if aligned and not _ALIGNED.match(text):
            continue
        fields: Mapping[str, str] | None = compiled.match(text)
        if fields is None or fields["value"].strip() in _OPENS:
            continue
        if _KEY.fullmatch(fields["key"]) and not fields["value"].lstrip().startswith(("=", ":", "|")):
            pairs.append(Pair(fields["key"], fields["value"].strip(), line.number))
    framed = next((frame for frame in _FRAMES if _are_framed(pairs, frame)), None)
    if framed is not None and "{value:rest}" in template:
        return _written(
            lines, template.replace("{value:rest}", f"{framed[0]}{{value:rest}}{framed[1]}"), aligned=aligned
        )
    if sum(_SECOND.search(pair.value) is not None for pair in pairs) > _SEVERAL * len(pairs):
        return []  # several settings stand side by side
    pairs = _whole(pairs, lines)
    return [PairLine((template,), tuple(pairs))] if pairs else []


def _columns_of(lines: Sequence[Line]) -> str:
    """How a table of settings is written as pairs: its header names a column of names and one of values."""
    for line in lines:
        heads = [head.casefold() for head in line.text.split()]
        at = next((at for at, head in enumerate(heads) if at and head in _VALUE_HEADS), 0)
        if at and heads[0] in _NAME_HEADS and len(heads) > 2:
            after = " {_:rest}" if len(heads) > at + 1 else ""
            return "{key:word}" + " {_:word}" * (at - 1) + " {value:word}" + after
    return ""


_NAME_HEADS = frozenset(["name", "parameter", "param", "setting", "key", "variable", "item", "option", "property"])
_VALUE_HEADS = frozenset(["value", "val", "current", "now", "set", "actual"])
_OPENS = ("{", "[", "(")
_FRAMES = ("[]", "<>", "()")
_FRAMED = 0.6


def _are_framed(pairs: Sequence[Pair], frame: str) -> bool:
    """Whether most values stand between the same two marks."""
    framed = [pair for pair in pairs if pair.value.startswith(frame[0]) and pair.value.endswith(frame[1])]
    return len(framed) >= max(_FEWEST, _FRAMED * len(pairs))


def _whole(pairs: list[Pair], lines: Sequence[Line]) -> list[Pair]:
    """The pairs whose values do not go on in the next line, deeper than any key stands."""
    keyed = {pair.line for pair in pairs}
    deepest = max((indent_of(line) for line in lines if line.number in keyed), default=0)
    going_on = {line.number - 1 for line in lines if line.number not in keyed and indent_of(line) > deepest + DEEPER}
    return [pair for pair in pairs if pair.line not in going_on]


def indent_of(line: Line) -> int:
    """How many blanks stand before a line."""
    return len(line.text) - len(line.text.lstrip())


def verb_of(lines: Sequence[Line]) -> str | None:
    """The word that stands before nearly every key."""
    firsts = [line.text.split()[0] for line in lines if len(line.text.split()) >= 3]
    if len(firsts) < _FEWEST:
        return None
    most = max(set(firsts), key=firsts.count)
    often = firsts.count(most) >= max(_FEWEST_VERBS, _LEAST_SHARE * len(lines))
    return most if often and most.isalpha() and (most.islower() or most.isupper()) else None
