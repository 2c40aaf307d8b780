"""Keys that belong together: which settings are cells of rows that repeat, such as `port.P1` or `uart2_baud`."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from propsoff.learning.habits import escaped
from propsoff.learning.model import Cell, RowSet, Statement

_FEWEST = 2
_WIDEST = 6
_MOST_TOKENS = 12
_INDEX = r"[0-9]{1,2}|(?<![A-Za-z0-9])[A-Z](?![A-Za-z0-9])|[A-Z]{1,5}[0-9]{1,2}|[a-z]{1,6}[0-9]{1,2}"
_INDEXED = re.compile(rf"(.*?)([._ /-]?)({_INDEX})([._ /-]?)(.*)")
_SEPARATORS = ("@", ",", ";", "/", "|", ":", " at ", " ")


def rows_of(command: str, statements: Sequence[Statement]) -> tuple[tuple[RowSet, ...], frozenset[int]]:
    """(groups of rows, the indices of the statements that they are made of)."""
    found: list[RowSet] = []
    used: set[int] = set()
    for shape, members in _families(statements).items():
        rows = _rows(command, shape, [(statements[at], match) for at, match in members])
        if rows is not None:
            found.append(rows)
            used.update(at for at, _ in members)
    for lead, numbers in _worded_families(statements, used).items():
        called = _called(command, lead, [(statements[at], statements[at].word[len(lead) :]) for at in numbers])
        if called is not None:
            found.append(called)
            used.update(numbers)
    return tuple(found), frozenset(used)


_FEWEST_CALLED = 3


def _worded_families(statements: Sequence[Statement], used: set[int]) -> Mapping[str, list[int]]:
    """Settings of one beginning that end in names of their own, such as `item.battery` and `item.timer`."""
    families: dict[str, list[int]] = {}
    for at, statement in enumerate(statements):
        match = re.fullmatch(r"(.*[._/ -])([^._/ -]+)", statement.word)
        if match is not None and at not in used:
            families.setdefault(match[1], []).append(at)
    return {lead: members for lead, members in families.items() if len(members) >= _FEWEST_CALLED}


def _called(command: str, lead: str, members: Sequence[tuple[Statement, str]]) -> RowSet | None:
    """The rows of such settings, where all their values are written alike, with words between."""
    form = _worded([statement.text for statement, _ in members])
    names = [name for _, name in members]
    if form is None or len(set(names)) < len(names):
        return None
    rows = tuple({"id": Cell(name, statement.line)} | _cells(statement, form) for statement, name in members)
    path = (*members[0][0].path[:-1], *re.split(r"[._/ -]+", lead.strip("._/ -")))
    return RowSet(command, {"key": f"{escaped(lead)}{{id:word}}"}, path, ("id", *form.columns), rows, form.template)


@dataclass(frozen=True, slots=True)
class _Shape:
    """A key with an index in it: what stands before and after the index."""

    before: str
    joint: str
    after_joint: str
    has_member: bool
    numeric: bool


def _families(statements: Sequence[Statement]) -> Mapping[_Shape, list[tuple[int, re.Match[str]]]]:
    families: dict[_Shape, list[tuple[int, re.Match[str]]]] = {}
    for at, statement in enumerate(statements):
        match = _match(statement.word)
        if match is not None:
            shape = _Shape(match[1], match[2], match[4] if match[5] else "", bool(match[5]), match[3].isdigit())
            families.setdefault(shape, []).append((at, match))
    return {
        shape: members
        for shape, members in families.items()
        if len({match[3] for _, match in members}) >= _FEWEST and (shape.before or 2 * len(members) > len(statements))
    }


def _match(word: str) -> re.Match[str] | None:
    match = _INDEXED.fullmatch(word)
    if match is None or (not match[2] and not match[3].isdigit()):
        return None
    if match[5] and not match[4]:  # an index needs an end: `i2c` has none
        return None
    return match


def _rows(command: str, shape: _Shape, members: Sequence[tuple[Statement, re.Match[str]]]) -> RowSet | None:
    kind = "int" if shape.numeric else "word"
    lead = escaped(shape.before + shape.joint)
    path = (*members[0][0].path[:-1], shape.before.rpartition(".")[2] or shape.before)
    if shape.has_member:
        return _spread(command, shape, members, lead, kind, path)
    ids = [match[3] for _, match in members]
    if len(set(ids)) < len(ids):
        return None
    before = _own_name(shape)
    texts = [statement.text for statement, _ in members]
    form = _form(texts)
    columns = ("id", *(form.columns if form else ("value",)))
    rows = tuple(
        {"id": Cell(before + match[3], statement.line)} | _cells(statement, form) for statement, match in members
    )
    place = {"key": f"{lead}{{id:{kind}}}"}
    return RowSet(command, place, path, columns, rows, form.template if form else None, before)


def _spread(
    command: str,
    shape: _Shape,
    members: Sequence[tuple[Statement, re.Match[str]]],
    lead: str,
    kind: str,
    path: tuple[str, ...],
) -> RowSet | None:
    """Rows whose cells stand on lines of their own: `uart1.role`, `uart1.baud`."""
    rows: dict[str, dict[str, Cell]] = {}
    columns: dict[str, None] = {}
    before = _own_name(shape)
    for statement, match in members:
        row = rows.setdefault(match[3], {"id": Cell(before + match[3], statement.line)})
        if match[5] in row:
            return None
        row[match[5]] = Cell(statement.text, statement.line, statement.kind)
        columns.setdefault(match[5])
    place = {"key": f"{lead}{{id:{kind}}}{escaped(shape.after_joint)}{{member:word}}"}
    return RowSet(command, place, path, ("id", *columns), tuple(rows.values()), before=before)


def _own_name(shape: _Shape) -> str:
    """What belongs to a row's own name before its number: `UART 1` is one, `port.1` is number 1 of the ports."""
    word = re.search(r"[^\W\d_]+\Z", shape.before)
    return word.group() + shape.joint if word and shape.numeric and shape.joint in ("", " ") else ""


@dataclass(frozen=True, slots=True)
class Form:
    """How values that have several parts are split; values that lack the second part are the first alone."""

    template: str
    columns: tuple[str, ...]
    separator: str
    units: tuple[str, ...] = ()
    affixes: tuple[tuple[str, str] | None, ...] = ()


def _form(texts: Sequence[str]) -> Form | None:
    """The split of values such as `receiver@420000`; None when they have one part, or not the same number of parts."""
    for separator in _SEPARATORS:
        if separator == " " and (worded := _worded(texts)) is not None:
            return worded
        parts = [_split(text, separator) for text in texts]
        many = [one for one in parts if len(one) > 1]
        if len(many) * 2 <= len(texts) or {len(one) for one in parts} - {1, len(many[0])}:
            continue
        width = len(many[0])
        units = tuple(_unit([one[at] for one in many]) for at in range(width))
        whole = [part.removesuffix(f" {unit}") for one in many for part, unit in zip(one, units, strict=True)]
        if width > _WIDEST or not all(part and " " not in part for part in whole):
            continue
        columns = tuple(f"part{number}" for number in range(1, width + 1))
        fields = [
            f"{{{column}:word}}" + (f" {escaped(unit)}" if unit else "")
            for column, unit in zip(columns, units, strict=True)
        ]
        return Form(_joint(texts, separator).join(fields), columns, separator, units)
    return None


_AFFIXED = re.compile(r"([A-Za-z]*)([+-]?[0-9]+(?:\.[0-9]+)?)([A-Za-z%]*)")


def _worded(texts: Sequence[str]) -> Form | None:
    """The form of values in which words stand between: `col 2 row 18 wide 5 shown`, `arm on ch5 from 1700us`."""
    split = [text.split() for text in texts]
    width = max((len(row) for row in split), key=[len(row) for row in split].count)
    rows = [row for row in split if len(row) == width]
    alone = [row for row in split if len(row) == 1]  # one that says its first part alone, such as `free`
    if not 3 <= width <= _MOST_TOKENS or len(rows) < _FEWEST or len(rows) + len(alone) < len(split):
        return None
    parts: list[str] = []
    columns: list[str] = []
    affixes: list[tuple[str, str] | None] = []
    for at in range(width):
        tokens = [row[at] for row in rows]
        if len(set(tokens)) == 1 and tokens[0].isalpha():
            parts.append(escaped(tokens[0]))
            affixes.append(None)
            continue
        before, after = _affixes(tokens) if not alone else ("", "")
        called = before or (rows[0][at - 1] if at and affixes[-1] is None else "") or f"part{at + 1}"
        if called in columns or not called.isidentifier():
            called = f"part{at + 1}"
        columns.append(called)
        affixes.append((before, after))
        kind = "int" if before or after else "word"
        parts.append(f"{escaped(before)}{{{called}:{kind}}}{escaped(after)}")
    if not columns or len(columns) == width:
        return None
    return Form(" ".join(parts), tuple(columns), "", affixes=tuple(affixes))


def _affixes(tokens: Sequence[str]) -> tuple[str, str]:
    """The letters before and behind the whole number in every one of these; none when they differ."""
    matches = [_AFFIXED.fullmatch(token) for token in tokens]
    found = {(match[1], match[3]) for match in matches if match is not None}
    if len(found) != 1 or not all(matches) or any(match and "." in match[2] for match in matches):
        return "", ""
    return next(iter(found))


def _split(text: str, separator: str) -> list[str]:
    return text.split() if separator == " " else [part.strip() for part in text.split(separator)]


def _unit(parts: Sequence[str]) -> str:
    """The word that stands behind every one of these: `baud` in `115200 baud`; empty when none does."""
    ends = {part.partition(" ")[2] for part in parts}
    return next(iter(ends)) if len(ends) == 1 and all(part.partition(" ")[0] for part in parts) else ""


def _joint(texts: Sequence[str], separator: str) -> str:
    if separator == " ":
        return " "
    spaced = next((text for text in texts if separator in text), "")
    at = spaced.find(separator)
    before = " " if spaced[at - 1 : at] == " " else ""
    after = " " if spaced[at + len(separator) : at + len(separator) + 1] == " " else ""
    return before + escaped(separator.strip() or separator) + after if separator != " at " else " at "


def _cells(statement: Statement, form: Form | None) -> dict[str, Cell]:
    if form is None:
        return {"value": Cell(statement.text, statement.line, statement.kind)}
    if form.affixes and len(statement.text.split()) == 1:
        return {form.columns[0]: Cell(statement.text, statement.line)}
    if form.affixes:
        tokens = [
            token.removeprefix(affix[0]).removesuffix(affix[1])
            for token, affix in zip(statement.text.split(), form.affixes, strict=True)
            if affix is not None
        ]
        return {column: Cell(token, statement.line) for column, token in zip(form.columns, tokens, strict=True)}
    parts = _split(statement.text, form.separator)
    return {
        column: Cell(part.removesuffix(f" {unit}") if unit else part, statement.line)
        for column, part, unit in zip(form.columns, parts, form.units, strict=False)
    }
