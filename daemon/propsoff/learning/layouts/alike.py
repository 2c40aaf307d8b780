"""Lines that say the same of several things: `Port S1 is the console, at 115200 baud.`"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from propsoff.console.manner import Line
from propsoff.dialects.templates import TemplateError, compile_template
from propsoff.learning.habits import escaped
from propsoff.learning.layouts.own_names import own_name
from propsoff.learning.model import Cell, RowSet
from propsoff.learning.thesaurus import is_truth_word

_TOKEN = re.compile(r"[^\W_]+(?:[._-][^\W_]+)*|([^\w\s])\1*")
_FEWEST = 2
_MOST_FIELDS = 6
_WIDEST = 4
_LONGEST = 160
_WINDOW = 64
_LEADERS = 3


@dataclass(frozen=True, slots=True)
class _Token:
    text: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class _Shape:
    """The words that lines have in common, in order, and between which of them something of its own stands."""

    words: tuple[str, ...]
    gaps: tuple[int, ...]
    """The indices of the words before which a gap is; the number of words for one at the end."""


def alike(command: str, lines: Sequence[Line]) -> Iterator[RowSet]:
    """The rows of neighbouring lines that differ in a few places only."""
    at = 0
    usable = [line for line in lines if line.text.strip()]
    while at < len(usable) - 1:
        count, shape = _run(usable[at : at + _WINDOW])
        if shape is None:
            at += 1
            continue
        run = usable[at : at + count]
        at += count
        found = _rows(command, run, shape, usable[at : at + 1])
        if found is not None:
            yield found


def _run(lines: Sequence[Line]) -> tuple[int, _Shape | None]:
    """(how many of the first lines are alike, what they have in common)."""
    if len(lines) < _FEWEST or any(len(line.text) > _LONGEST for line in lines[:2]):
        return 0, None
    words = [token.text for token in _tokens(lines[0].text)]
    best: _Shape | None = None
    count = 1
    for line in lines[1:]:
        if len(line.text) > _LONGEST:
            break
        common = _common(words, [token.text for token in _tokens(line.text)])
        shape = _shape(common, [*lines[:count], line])
        if shape is None or (best is not None and len(shape.gaps) - len(best.gaps) not in (0, 1)):
            break
        words, best, count = common, shape, count + 1
    return count, best


def _tokens(text: str) -> list[_Token]:
    return [_Token(_once(match.group()), match.start(), match.end()) for match in _TOKEN.finditer(text)]


def _once(token: str) -> str:
    """A token, a long run of one mark as a short one: how many dots lead the eye differs from line to line."""
    return token[:_LEADERS] if len(token) > _LEADERS and not token[0].isalnum() else token


def _common(first: Sequence[str], second: Sequence[str]) -> list[str]:
    """The longest sequence of words that both have and that may be what lines have in common."""
    lengths = [[0] * (len(second) + 1) for _ in range(len(first) + 1)]
    for i in range(len(first) - 1, -1, -1):
        for j in range(len(second) - 1, -1, -1):
            same = _are_one(first, i, second, j)
            lengths[i][j] = lengths[i + 1][j + 1] + 1 if same else max(lengths[i + 1][j], lengths[i][j + 1])
    found, i, j = list[str](), 0, 0
    while i < len(first) and j < len(second):
        if _are_one(first, i, second, j) and lengths[i][j] == lengths[i + 1][j + 1] + 1:
            found.append(first[i])
            i, j = i + 1, j + 1
        elif lengths[i + 1][j] >= lengths[i][j + 1]:
            i += 1
        else:
            j += 1
    return found


def _are_one(first: Sequence[str], i: int, second: Sequence[str], j: int) -> bool:
    """Whether a word may be what lines have in common: a number is their own, and so is a yes at the end of each."""
    if first[i] != second[j] or first[i][0].isdigit():
        return False
    return not (i == len(first) - 1 and j == len(second) - 1 and is_truth_word(first[i]))


def _shape(words: Sequence[str], lines: Sequence[Line]) -> _Shape | None:
    """The shape when every line has its own words in the same places between those in common."""
    telling = [word for word in words if word.isalpha()]
    if len(telling) < 1 or len(words) < _FEWEST:
        return None
    gaps = {tuple(sorted(_gaps(words, line.text))) for line in lines}
    if len(gaps) != 1:
        return None
    places = next(iter(gaps))
    if not 2 <= len(places) <= _MOST_FIELDS or len(places) > len(words) + 1:
        return None
    return _Shape(tuple(words), places)


def _gaps(words: Sequence[str], text: str) -> dict[int, tuple[int, int]]:
    """By the index of the word behind it, where a text's own words stand."""
    found: dict[int, tuple[int, int]] = {}
    index, width = 0, 0
    for token in _tokens(text):
        if index < len(words) and token.text == words[index]:
            index, width = index + 1, 0
            continue
        start = found[index][0] if width else token.start
        found[index], width = (start, token.end), width + 1
        if width > _WIDEST:
            return {-1: (0, 0)}
    return found if index == len(words) else {-1: (0, 0)}


def _rows(command: str, lines: Sequence[Line], shape: _Shape, behind: Sequence[Line]) -> RowSet | None:
    """The rows of such lines; the line behind them may say the first two things of a further one."""
    found = [_gaps(shape.words, line.text) for line in lines]
    names, places = _parted(_names(shape), lines, [[spots[gap] for gap in shape.gaps] for spots in found])
    texts = [[line.text[slice(*spot)] for spot in spots] for line, spots in zip(lines, places, strict=True)]
    kinds = [_kind([row[at] for row in texts]) for at in range(len(names))]
    first, spots = lines[0].text, places[0]
    template = _template(first, spots, names, kinds)
    rows = [dict(zip(names, row, strict=True)) for row in texts]
    if not all(_matches(template, line.text, row) for line, row in zip(lines, rows, strict=True)):
        return None
    cells = [
        {name: Cell(text, line.number) for name, text in row.items()} for line, row in zip(lines, rows, strict=True)
    ]
    templates = [template]
    short = _short(first, spots[:2], names[:2])
    for line in behind:
        fields = _fields(short, line.text) if short and shape.words[0].isalpha() else None
        if fields is not None:
            templates.append(short)
            cells.append({name: Cell(text, line.number) for name, text in fields.items()})
    path = (command, *(word for word in shape.words if word.isalpha()))
    lead = shape.words[shape.gaps[0] - 1] if shape.gaps[0] else ""
    before = own_name(lead, [row["id"].text for row in cells])
    made = tuple({**row, "id": Cell(before + row["id"].text, row["id"].line)} for row in cells)
    place = {"line": templates if len(templates) > 1 else template}
    return RowSet(command, place, path, names, made, before=before)


_Spot = tuple[int, int]


def _parted(
    names: Sequence[str], lines: Sequence[Line], places: Sequence[Sequence[_Spot]]
) -> tuple[tuple[str, ...], list[list[_Spot]]]:
    """(names, places in each line), where runs of blanks part a place of every line in as many: `ch 5   1720..2090`."""
    called: list[str] = []
    parted: list[list[_Spot]] = [[] for _ in lines]
    for at, name in enumerate(names):
        each = [_apart(line.text, spots[at]) for line, spots in zip(lines, places, strict=True)]
        same = len({len(one) for one in each}) == 1
        count = len(each[0]) if same else 1
        called += [
            name if not number and not name.startswith("part") else f"part{len(called) + number + 1}"
            for number in range(count)
        ]
        for line_spots, one, spots in zip(parted, each, places, strict=True):
            line_spots += one if same else [spots[at]]
    return tuple(called), parted


def _apart(text: str, spot: _Spot) -> list[_Spot]:
    """The places within one that runs of blanks part."""
    start, end = spot
    return [(start + match.start(), start + match.end()) for match in re.finditer(r"\S+(?: \S+)*", text[start:end])]


def _names(shape: _Shape) -> tuple[str, ...]:
    """What each place is called by the word before it; the first is the id."""
    names: list[str] = []
    for gap in shape.gaps:
        before = shape.words[gap - 1] if gap else ""
        called = before if before.isalpha() and before.isascii() and before not in names and names else ""
        names.append("id" if not names else called or f"part{len(names) + 1}")
    return tuple(names)


def _kind(texts: Sequence[str]) -> str:
    if all(re.fullmatch(r"[+-]?[0-9]+", text) for text in texts):
        return "int"
    if all(re.fullmatch(r"[+-]?[0-9]+\.[0-9]+|[+-]?[0-9]+", text) for text in texts):
        return "number"
    return "words" if any(" " in text for text in texts) else "word"


def _template(text: str, spots: Sequence[tuple[int, int]], names: Sequence[str], kinds: Sequence[str]) -> str:
    parts, at = list[str](), 0
    for (start, end), name, kind in zip(spots, names, kinds, strict=True):
        parts += [re.sub(r"\s+", " ", escaped(text[at:start])), f"{{{name}:{kind}}}"]
        at = end
    parts.append(re.sub(r"\s+", " ", escaped(text[at:].rstrip())))
    whole = "".join(parts)
    if "...." in text:
        whole = re.sub(r"\.{3,}", "..{_:dots}", whole)
    gap = re.match(r"\{id:words\} ", whole)  # a run of blanks ends a name of several words
    return (
        whole.replace("{id:words}", "{id:label}", 1) if gap and re.match(r"\S+(?: \S+)* {2,}", text) else whole.lstrip()
    )


def _short(text: str, spots: Sequence[tuple[int, int]], names: Sequence[str]) -> str:
    """The template of a line that says the first two things only, with what ends the others' lines."""
    end = "." if text.rstrip().endswith(".") else ""
    (first, until), (start, _) = spots
    between = re.sub(r"\s+", " ", escaped(text[until:start]))
    return f"{escaped(text[:first])}{{{names[0]}:word}}{between}{{{names[1]}:words}}{end}".lstrip()


def _matches(template: str, text: str, row: dict[str, str]) -> bool:
    return _fields(template, text) == row


def _fields(template: str, text: str) -> dict[str, str] | None:
    try:
        found = compile_template(template).match(text)
    except TemplateError:
        return None
    return None if found is None else dict(found)
