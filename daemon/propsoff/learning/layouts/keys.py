"""Keys that belong together: which settings are cells of rows that repeat, such as `port.P1` or `uart2_baud`."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from propsoff.learning.habits import escaped
from propsoff.learning.layouts.endings import rows_by_ending
from propsoff.learning.layouts.parting import note_words, parted
from propsoff.learning.layouts.paths import with_unit
from propsoff.learning.layouts.value_forms import Form, form_of_values
from propsoff.learning.model import Cell, RowSet, Statement
from propsoff.learning.thesaurus import named, read_name

_FEWEST = 2
_INDEX = r"[0-9]{1,2}|(?<![A-Za-z0-9])[A-Z](?![A-Za-z0-9])|[A-Z]{1,5}[0-9]{1,2}|[a-z]{1,6}[0-9]{1,2}"
_INDEXED = re.compile(rf"(.*?)([._ /-]?)({_INDEX})([._ /-]?)(.*)")

_LETTERED = re.compile(r"([^\W\d_]{1,8})()([0-9]{1,2})([._ /-]?)(.*)")
"""An index right behind letters at the beginning: `P1`, `uart2_baud`."""


def rows_of(command: str, statements: Sequence[Statement]) -> tuple[RowSet, ...]:
    """The groups of rows that settings may be the cells of. One setting may stand in several of them."""
    found: list[RowSet] = []
    for shape, members in _families(statements).items():
        rows = _rows(command, shape, [(statements[at], match) for at, match in members])
        others = shape.has_member and _has_others(statements, {match[5] for _, match in members})
        if rows is not None and not others:
            found.append(rows)
    for lead, numbers in _worded_families(statements).items():
        called = _called(command, lead, [(statements[at], statements[at].word[len(lead) :]) for at in numbers])
        if called is not None:
            found.append(called)
    found += _member_families(command, statements)
    found += [one for one in rows_by_ending(command, statements) if not any(_has_all(other, one) for other in found)]
    found += _repeated(command, statements)
    return tuple(found)


def _has_all(rows: RowSet, other: RowSet) -> bool:
    """Whether rows whose cells stand on lines of their own have all lines of the others."""
    if "{member:" not in str(rows.place.get("key", "")):
        return False
    mine, others = ({cell.line for row in one.rows for cell in row.values()} for one in (rows, other))
    return others <= mine


def _repeated(command: str, statements: Sequence[Statement]) -> Iterator[RowSet]:
    """Settings of the same key, each with a value of several parts: ``PORT=UART1,CONSOLE,115200``."""
    by_word: dict[str, list[Statement]] = {}
    for statement in statements:
        by_word.setdefault(statement.word, []).append(statement)
    for word, members in by_word.items():
        if len(members) < _FEWEST:
            continue
        form = form_of_values([one.text for one in members], note_words(members[0].note))
        if form is None and "block" not in named(read_name(word)):  # a list of reasons
            continue
        rows = tuple(_cells(one, form) for one in members)
        columns, templates = (form.columns, form.templates) if form else (("value",), ())
        yield RowSet(command, {"key": escaped(word)}, members[0].path, columns, rows, templates)


_FEWEST_CALLED = 3
_MOST_CUTS = 4
_PARTING = "._/ -:"


def _worded_families(statements: Sequence[Statement]) -> Mapping[str, list[int]]:
    """Settings of one beginning that end in names of their own, such as `item.battery` and `item.craft-name`."""
    families: dict[str, list[int]] = {}
    for at, statement in enumerate(statements):
        for mark in _PARTING:
            parts = statement.word.split(mark)
            for cut in range(1, min(len(parts), _MOST_CUTS)):
                lead, end = mark.join(parts[:cut]), mark.join(parts[cut:])
                if lead and end and not end[0].isdigit() and len(end) > 1:
                    families.setdefault(lead + mark, []).append(at)
    return {lead: members for lead, members in families.items() if len(members) >= _FEWEST}


Named = Sequence[tuple[Statement, str]]
"""Settings, each with the name that it has behind the common beginning."""


def _called(command: str, lead: str, members: Sequence[tuple[Statement, str]]) -> RowSet | None:
    """The rows of such settings, where all their values are written alike."""
    whole, form = members, _form_of(members)
    if form is None:
        several = _written_alike(members)
        members = _with_alone(several, members)
        form = _form_of(members)
        if form is None and len(several) < len(members):
            members, form = several, _form_of(several)
    apart = tuple(statement.word for statement, _ in whole if all(statement is not one for one, _ in members))
    names = [name for _, name in members]
    if len(members) < (_FEWEST if form and len(form.columns) > _FEWEST else _FEWEST_CALLED):
        return None
    if form is None or len(set(names)) < len(names):
        return None
    rows = tuple({"id": Cell(name, statement.line)} | _cells(statement, form) for statement, name in members)
    path = (*members[0][0].path[:-1], *re.split(r"[._/ :-]+", lead.strip(_PARTING)))
    place = {"key": f"{escaped(lead)}{{id:{'words' if any(' ' in name for name in names) else 'word'}}}"}
    return RowSet(command, place, path, ("id", *form.columns), rows, form.templates, apart=apart)


def _form_of(members: Sequence[tuple[Statement, str]]) -> Form | None:
    return form_of_values([statement.text for statement, _ in members], note_words(members[0][0].note))


def _written_alike(members: Sequence[tuple[Statement, str]]) -> Sequence[tuple[Statement, str]]:
    """Those of several parts, where others that are called alike have a single value: `osd-rows` beside `osd-timer`."""
    several = [one for one in members if len(one[0].text.split()) > 2 or one[0].text.count(",") > 1]
    widths = [len(statement.text.split()) for statement, _ in several]
    same = [one for one, width in zip(several, widths, strict=True) if width == max(widths, key=widths.count)]
    return same if len(same) >= _FEWEST_CALLED else members


def _with_alone(several: Named, members: Named) -> Named:
    """With those that say one word only, where they are called by a number as the others are: `UART6  [UNUSED]`."""
    shapes = {_numberless(name) for _, name in several} - {""}
    return [
        one
        for one in members
        if any(one is other for other in several) or (len(one[0].text.split()) == 1 and _numberless(one[1]) in shapes)
    ]


def _numberless(name: str) -> str:
    """A name without the number at its end; empty where it has none."""
    match = re.fullmatch(r"(\D+)[0-9]{1,2}", name)
    return match[1] if match else ""


def _cells(statement: Statement, form: Form | None) -> dict[str, Cell]:
    if form is None:
        return {"value": Cell(statement.text, statement.line, statement.kind, statement.note)}
    return {column: Cell(text, statement.line) for column, text in form.split(statement.text).items()}


def _member_families(command: str, statements: Sequence[Statement]) -> Iterator[RowSet]:
    """Settings such as `switch.arm.channel` and `switch.arm.from`: a row for each name in the middle."""
    for mark in _PARTING:
        groups: dict[str, dict[str, dict[str, Statement]]] = {}
        for statement in statements:
            parts = with_unit(statement.word.rsplit(mark, _PARTS), mark)
            parts = [mark.join(parts[: 1 - _PARTS]), *parts[1 - _PARTS :]]
            if len(parts) == _PARTS and all(parts) and " " not in parts[1] and not parts[1].isdigit():
                groups.setdefault(parts[0], {}).setdefault(parts[1], {})[parts[2]] = statement
        for lead, found in groups.items():
            if rows := _alike(found):
                yield _of_members(command, lead, mark, rows)


_PARTS = 3


def _alike(rows: Mapping[str, Mapping[str, Statement]]) -> Mapping[str, Mapping[str, Statement]]:
    """The rows that share two members and more with another one; of these only such members."""
    often = [member for row in rows.values() for member in row]
    shared = {member for member in often if often.count(member) >= _FEWEST}
    kept = {
        name: {member: cell for member, cell in row.items() if member in shared}
        for name, row in rows.items()
        if len(shared & set(row)) >= _FEWEST
    }
    return kept if len(kept) >= _FEWEST else {}


def _of_members(command: str, lead: str, mark: str, rows: Mapping[str, Mapping[str, Statement]]) -> RowSet:
    columns = dict.fromkeys(column for row in rows.values() for column in row)
    first = next(iter(next(iter(rows.values())).values()))
    path = (*first.path[:-1], *re.split(r"[._/ :-]+", lead.strip(_PARTING)))
    made = tuple(
        {"id": Cell(name, min(cell.line for cell in row.values()))}
        | {column: _whole(cell) for column, cell in row.items()}
        for name, row in rows.items()
    )
    key = f"{escaped(lead + mark)}{{id:word}}{escaped(mark)}{{member:word}}"
    return parted(RowSet(command, {"key": key}, path, ("id", *columns), made))


def _whole(statement: Statement) -> Cell:
    return Cell(statement.text, statement.line, statement.kind, statement.note)


@dataclass(frozen=True, slots=True)
class _Shape:
    """A key with an index in it: what stands before and after the index."""

    before: str
    joint: str
    after_joint: str
    has_member: bool
    numeric: bool
    short: bool
    """Whether the index is a number or a letter alone, and no name of its own."""


def _families(statements: Sequence[Statement]) -> Mapping[_Shape, list[tuple[int, re.Match[str]]]]:
    families: dict[_Shape, list[tuple[int, re.Match[str]]]] = {}
    for at, statement in enumerate(statements):
        match = _match(statement.word)
        if match is not None:
            shape = _Shape(
                match[1],
                match[2],
                match[4] if match[5] else "",
                bool(match[5]),
                match[3].isdigit(),
                match[3].isdigit() or len(match[3]) == 1,
            )
            families.setdefault(shape, []).append((at, match))
    return {
        shape: members
        for shape, members in families.items()
        if len({match[3] for _, match in members}) >= _FEWEST and (shape.before or 2 * len(members) > len(statements))
    }


def _match(word: str) -> re.Match[str] | None:
    match = _LETTERED.fullmatch(word) or _INDEXED.fullmatch(word)
    if match is None or (not match[2] and not match[3].isdigit()):
        return None
    if match[5] and not match[4] and not match[5][0].isupper():  # an index needs an end: `i2c` has none
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
    form = form_of_values(texts, note_words(members[0][0].note))
    columns = ("id", *(form.columns if form else ("value",)))
    rows = tuple(
        {"id": Cell(before + match[3], statement.line)} | _cells(statement, form) for statement, match in members
    )
    place = {"key": f"{lead}{{id:{kind}}}"}
    return RowSet(command, place, path, columns, rows, form.templates if form else (), before)


def _has_others(statements: Sequence[Statement], members: Collection[str]) -> bool:
    """Whether a thing without a number has the same members, such as `usbFunction` beside `uart1Function`."""
    return any(
        statement.word.casefold().startswith(("usb", "vcp")) and statement.word.endswith(tuple(members))
        for statement in statements
    )


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
    own = "n" if any(match[5] == "id" for _, match in members) else "id"  # rows that say their ids themselves
    before = _own_name(shape) if own == "id" else ""
    for statement, match in members:
        row = rows.setdefault(match[3], {own: Cell(before + match[3], statement.line)})
        if match[5] in row:
            return None
        row[match[5]] = _whole(statement)
        columns.setdefault(match[5])
    member = "words" if any(" " in column for column in columns) else "word" if shape.after_joint else "letters"
    place = {"key": f"{lead}{{{own}:{kind}}}{escaped(shape.after_joint)}{{member:{member}}}"}
    return parted(RowSet(command, place, path, (own, *columns), tuple(rows.values()), before=before))


def _own_name(shape: _Shape) -> str:
    """What belongs to a row's own name before its number: `UART 1` is one, `port.1` is number 1 of the ports."""
    word = re.search(r"[^\W\d_]+\Z", shape.before)
    own = word and ((shape.joint == " " and shape.short) or (shape.numeric and not shape.joint))
    return word.group() + shape.joint if word and own else ""
