"""Values of several parts that are all written alike, such as `receiver@420000` or `column 3, row 18, shown yes`."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from propsoff.dialects.templates import TemplateError, compile_template
from propsoff.learning.habits import escaped
from propsoff.learning.measures import measure

_FEWEST = 2
_WIDEST = 6
_MOST_TOKENS = 14
_RATED = re.compile(r"(.+?)(\s*[,;:/@(]\s*|\s+[^\W\d]{1,5}\s+|\s+)([0-9]{4,7})(\s*[^\W\d]{0,6}\)?)")
_SEPARATORS = ("@", ",", ";", "/", "|", ":", " at ", " ")
_MEASURED = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?\s*[^\W\d_%]{0,5}%?|[+-]?[0-9]+,[0-9]+\s*[^\W\d_]{1,5}")
_RANGE = re.compile(r"([0-9]{3,4})(\s*(?:\.{2,}|-|–|to|/|,|:|bis|à|a)\s*)([0-9]{3,4})(\s*[^\W\d]{0,5})")
_TOKEN = re.compile(r"\.{2,}|[^\s,;.]+(?:\.(?!\.)[^\s,;.]*)*|[,;.]|(?<=[0-9])-(?=[0-9])")
_AFFIXED = re.compile(r"([A-Za-z]*[:=@]?)([+-]?[0-9]+)([A-Za-z%]*)")
_RANGES = ("..", "...", "-")
_TO = frozenset([*_RANGES, "–", "to", "bis", "until", "till", "hasta", "até", "tot", "til", "à", "do", "fino"])
FROM = frozenset(["from", "de", "von", "desde", "da", "du", "från", "fran", "van", "od", "fra"])
_FRAMES = ("[]", "()", "<>", "''", '""')


@dataclass(frozen=True, slots=True)
class Form:
    """How such values are split: the template with all parts first, then those for values that lack some of them."""

    templates: tuple[str, ...]
    columns: tuple[str, ...]

    def split(self, text: str) -> Mapping[str, str]:
        """The parts of one value by their columns; empty when no template fits."""
        for template in self.templates:
            if (fields := compile_template(template).match(text.strip())) is not None:
                return fields
        return {}


def form_of_values(texts: Sequence[str], called: Sequence[str] = ()) -> Form | None:
    """The form of these values; None when they have one part, or are not written alike.

    `called` are words for the parts, if somebody knows them.
    """
    if all(_MEASURED.fullmatch(text) for text in texts):  # a number and its unit are one value
        return None
    for make in (_ranged, _rated, _worded, _separated):
        form = make(texts, called)
        if form is not None and _fits(form, texts):
            return form
    return None


def _fits(form: Form, texts: Sequence[str]) -> bool:
    try:
        return all(form.split(text) for text in texts)
    except TemplateError:
        return False


def _rated(texts: Sequence[str], called: Sequence[str]) -> Form | None:
    """Values such as `console at 115200 baud`, where others may be the first part alone."""
    matches = [_RATED.fullmatch(text) for text in texts]
    many = [match for match in matches if match is not None]
    joints = {(match[2].strip(), match[4].strip()) for match in many}
    alone = [text for text, match in zip(texts, matches, strict=True) if match is None]
    if any(char.isdigit() for match in many for char in match[1]):
        return None
    if not many or len(joints) > 1 or any(char.isdigit() for text in alone for char in text):
        return None
    kind = "words" if any(" " in text for text in (*alone, *(match[1] for match in many))) else "word"
    template = f"{{part1:{kind}}}{_spaced(many[0][2])}{{part2:int}}{_spaced(many[0][4])}"
    return Form((template, *([f"{{part1:{kind}}}"] if alone else [])), ("part1", "part2"))


def _ranged(texts: Sequence[str], called: Sequence[str]) -> Form | None:
    """Values such as `1720-2080 us`: from and to."""
    matches = [_RANGE.fullmatch(text) for text in texts]
    if not all(matches) or len({(match[2], match[4]) for match in matches if match}) > 1:
        return None
    first = matches[0]
    assert first is not None
    return Form((f"{{from:int}}{_spaced(first[2])}{{to:int}}{_spaced(first[4])}",), ("from", "to"))


def _spaced(text: str) -> str:
    """Literal text with the blanks around it that a template needs."""
    before, after = " " if text[:1].isspace() else "", " " if text[-1:].isspace() and text.strip() else ""
    return before + escaped(text.strip()) + after


def _worded(texts: Sequence[str], called: Sequence[str]) -> Form | None:
    """Values in which words stand between: `col 2 row 18 wide 5 shown`, `arm on ch5 from 1700us`."""
    split = [[(match.start(), match.group()) for match in _TOKEN.finditer(text)] for text in texts]
    lengths = [len(row) for row in split]
    width = max(lengths, key=lengths.count)
    rows = [[token for _, token in row] for row in split if len(row) == width]
    alone = [row[0][1] for row in split if len(row) == 1]  # one that says its first part alone, such as `free`
    shorter = [row for row in split if len(row) not in (1, width)]
    if (
        any(map(_NUMBER_ALONE.fullmatch, alone))
        or not 3 <= width <= _MOST_TOKENS
        or len(rows) < _FEWEST
        or len(rows) + len(alone) + len(shorter) < len(split)
    ):
        return None
    sample = next(text for text, row in zip(texts, split, strict=True) if len(row) == width)
    starts = [start for start, _ in split[texts.index(sample)]]
    fixed = [len({row[at] for row in rows}) == 1 and not any(map(str.isdigit, rows[0][at])) for at in range(width)]
    fixed = [known and not _is_told(rows[0], at, fixed) for at, known in enumerate(fixed)]
    if all(fixed) or not _is_marked(rows, fixed):
        return None
    template, columns, alone_form = "", list[str](), ""
    for at in range(width):
        space = " " if starts[at] and sample[starts[at] - 1].isspace() else ""
        if fixed[at]:
            template += space + escaped(rows[0][at])
            continue
        first = alone and not columns
        before, after = _frame([*alone, *(row[at] for row in rows)]) if first else _affixes([row[at] for row in rows])
        name = _name(before, rows[0], fixed, at, columns)
        alone_form = f"{escaped(before)}{{{name}:word}}{escaped(after)}" if first else alone_form
        columns.append(name)
        kind = _kind(before, after, [row[at] for row in rows])
        template += f"{space}{escaped(before)}{{{name}:{kind}}}{escaped(after)}"
    cut = [_cut(template, columns, [token for _, token in row]) for row in shorter]
    if None in cut:
        return None
    others = dict.fromkeys([*filter(None, cut), *([alone_form] if alone else [])])
    return Form((template, *others), tuple(columns))


def _is_marked(rows: Sequence[Sequence[str]], fixed: Sequence[bool]) -> bool:
    """Whether a word, the mark of a range or a mark of assignment stands between the parts."""
    named = any(known and rows[0][at].isalpha() for at, known in enumerate(fixed))
    return named or any(
        (known and rows[0][at] in _RANGES) or _affixes([row[at] for row in rows])[0].endswith((":", "=", "@"))
        for at, known in enumerate(fixed)
    )


_NUMBER_ALONE = re.compile(r"\W?[0-9]+\W?")
"""No first part of others, which are words."""


def _kind(before: str, after: str, tokens: Sequence[str]) -> str:
    """The kind of a field between letters, or of numbers: so that it ends where a mark follows."""
    beside = before[:1].isalpha() or after[:1].isalpha() or after == "%"
    return "int" if beside or all(re.fullmatch(r"[0-9]+", token) for token in tokens) else "word"


def _cut(template: str, columns: Sequence[str], tokens: Sequence[str]) -> str | None:
    """The template of a value that lacks the last parts: what stands before them, and the mark at its end."""
    last = template.find("}", template.find(f"{{{columns[-1]}:")) + 1
    tail = template[last:].strip()
    for count in range(len(columns) - 1, 0, -1):
        at = template.find(f"{{{columns[count - 1]}:")
        end = template.find("}", at) + 1
        mark = f" {tail}" if tail and not tail[0].isalnum() else ""
        short = template[:end] + mark
        try:
            if compile_template(short).match(" ".join(tokens)) is not None:
                return short
        except TemplateError:
            continue
    return None


def _is_told(tokens: Sequence[str], at: int, fixed: Sequence[bool]) -> bool:
    """Whether a word that is the same in all values is one nevertheless: `shown yes` names it, and says it."""
    said = tokens[at].casefold() in ("yes", "no", "on", "off", "true", "false", "shown", "hidden")
    return said and at > 0 and fixed[at - 1] and tokens[at - 1].isalpha()


def _name(before: str, tokens: Sequence[str], fixed: Sequence[bool], at: int, columns: Sequence[str]) -> str:
    """What a part is called by the word before or behind it."""
    behind = tokens[at + 1] if at + 1 < len(tokens) and fixed[at + 1] else ""
    before_it = tokens[at - 1] if at and fixed[at - 1] else ""
    if before_it.casefold() in FROM and behind.casefold() in (*_TO, "a") and "from" not in columns:
        return "from"
    if before_it.casefold() == "a" and columns[-1:] == ["from"]:
        return "to"
    ranged = {"from": behind, "to": before_it}
    if (end := next((end for end, word in ranged.items() if word.casefold() in _TO), "")) and end not in columns:
        return end
    lead = before.rstrip(":=@")
    names = [
        lead if lead.isalpha() else "",
        tokens[at - 1] if at and fixed[at - 1] else "",
        "" if measure(behind) else behind,
    ]
    return next((name for name in names if name.isidentifier() and name not in columns), f"part{at + 1}")


def _affixes(tokens: Sequence[str]) -> tuple[str, str]:
    """The letters before and behind the whole number in every one of these; none when they differ."""
    if (frame := _frame(tokens)) != ("", ""):
        return frame
    matches = [_AFFIXED.fullmatch(token) for token in tokens]
    found = {(match[1], match[3]) for match in matches if match is not None}
    return next(iter(found)) if len(found) == 1 and all(matches) else ("", "")


def _frame(tokens: Sequence[str]) -> tuple[str, str]:
    """The marks around every one of these, such as brackets; none when they differ."""
    frame = next((frame for frame in _FRAMES if all(token[:1] + token[-1:] == frame for token in tokens)), "")
    return (frame[0], frame[1]) if frame and all(len(token) > len(frame) for token in tokens) else ("", "")


def _separated(texts: Sequence[str], called: Sequence[str]) -> Form | None:
    """Values with the same mark between their parts; some may be the first part alone."""
    for separator in _SEPARATORS:
        parts = [[part.strip() for part in text.split(separator.strip() or None)] for text in texts]
        many = [one for one in parts if len(one) > 1]
        if len(many) * 2 <= len(texts) or {len(one) for one in parts} - {1, len(many[0])}:
            continue
        width = len(many[0])
        if any(one[0][:1].isdigit() for one in parts if len(one) == 1):  # a number alone is no first part
            continue
        if width > _WIDEST or not all(part for one in many for part in one):
            continue
        units = [_unit([one[at] for one in many]) for at in range(width)]
        whole = [part.removesuffix(f" {unit}") for one in many for part, unit in zip(one, units, strict=True)]
        if any(" " in part for part in whole):
            continue
        columns = [f"part{number}" for number in range(1, width + 1)]
        if len(called) == width == len({*called}) and all(name.isascii() and name.isidentifier() for name in called):
            columns = list(called)
        fields = [
            f"{{{column}:word}}" + (f" {escaped(unit)}" if unit else "")
            for column, unit in zip(columns, units, strict=True)
        ]
        alone = [f"{{{columns[0]}:word}}"] if len(many) < len(parts) else []
        return Form((_joint(texts, separator).join(fields), *alone), tuple(columns))
    return None


def _unit(parts: Sequence[str]) -> str:
    """The word that stands behind every one of these: `baud` in `115200 baud`; empty when none does."""
    ends = {part.partition(" ")[2] for part in parts}
    return next(iter(ends)) if len(ends) == 1 and all(part.partition(" ")[0] for part in parts) else ""


def _joint(texts: Sequence[str], separator: str) -> str:
    if not separator.strip():
        return " "
    mark = separator.strip()
    spaced = next((text for text in texts if mark in text), "")
    at = spaced.find(mark)
    before = " " if spaced[at - 1 : at] == " " else ""
    after = " " if spaced[at + len(mark) : at + len(mark) + 1] == " " else ""
    return before + escaped(mark) + after
