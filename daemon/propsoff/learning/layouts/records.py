"""Answers of records: lines that begin alike and differ in places, among them single settings and sentences."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from propsoff.console.manner import Line
from propsoff.dialects.templates import TemplateError, compile_template
from propsoff.learning.layouts.alike import alike
from propsoff.learning.layouts.notes import comments_in, ends_in, noted_above
from propsoff.learning.layouts.pairs import DEEPER, indent_of, verb_of
from propsoff.learning.layouts.repeated_lines import by_lead, listed
from propsoff.learning.layouts.single_lines import MIXED, RECORDS, Found, Way, field_name, take, verb_pair
from propsoff.learning.model import Cell, Layout, RowSet, Statement

_FEWEST = 2


def as_mixed(command: str, lines: tuple[Line, ...]) -> Layout | None:
    """As `as_records`, where single settings and sentences stand among the records."""
    verb = verb_of([line for line in lines if line.text.strip()])
    return _taken_apart(command, lines, (*([verb_pair(verb)] if verb else []), *MIXED))


def as_told(command: str, lines: tuple[Line, ...]) -> Layout | None:
    """As `as_mixed`, where neighbouring lines say the same of several things in words."""
    rows = [one for one in alike(command, lines) if len(one.columns) > 1]
    return _taken_apart(command, lines, MIXED, rows) if rows else None


def as_records(command: str, lines: tuple[Line, ...]) -> Layout | None:
    """Statements of single lines, rows of lines that are written alike."""
    return _taken_apart(command, lines, RECORDS)


def _taken_apart(
    command: str, lines: tuple[Line, ...], ways: Sequence[Way], rows: Sequence[RowSet] | None = None
) -> Layout | None:
    if rows is None:
        ids = listed(command, lines)
        rows = [*([ids] if ids else []), *by_lead(command, lines)]
    rows = list(rows)
    understood = {cell.line for one in rows for row in one.rows for cell in row.values()}
    left = [line for line in lines if line.text.strip() and line.number not in understood]
    found = _whole([one for line in left if (one := take(line, ways)) is not None], lines)
    by_template: dict[str, list[Found]] = {}
    for one in found:
        by_template.setdefault(one.template, []).append(one)
    statements, templates, fields = list[Statement](), list[str](), _Fields()
    for template, members, shorter in _with_shorter(by_template):
        if len(members) >= _FEWEST:
            rows.append(_rows(command, template, members, shorter))
            understood |= {one.line.number for others in shorter.values() for one in others}
        elif (renamed := fields.renamed(members[0])) is not None:
            templates.append(renamed[0])
            statements += members[0].statements(command, renamed[1])
        else:
            continue
        understood |= {one.line.number for one in members}
    statements = noted_above(statements, lines)
    repeated = [line for one in rows if isinstance(line := one.place.get("line"), str)]
    marks, marked = ends_in(lines, frozenset(understood), repeated)
    comments, commented = comments_in(lines, frozenset(understood) | marked)
    known = frozenset(understood) | marked | commented
    return Layout(command, "lines", {"lines": templates}, tuple(statements), tuple(rows), marks, comments, known)


Alike = Mapping[str, Sequence[Found]]
"""Lines that are written alike, by their template."""


def _with_shorter(by_template: Alike) -> Iterator[tuple[str, Sequence[Found], Alike]]:
    """(template, its lines, those that are written alike and lack fields): `port name=uart6` beside `port name=…`."""
    longest = sorted(by_template, key=lambda template: -len(by_template[template][0].names))
    held: dict[str, str] = {}
    for template in by_template:
        whole = (one for one in longest if len(by_template[one]) >= _FEWEST)
        holder = next((one for one in whole if _lacks(by_template[template][0], by_template[one][0])), None)
        if holder is not None:
            held[template] = holder
    for template, members in by_template.items():
        if template not in held:
            yield template, members, {one: by_template[one] for one in longest if held.get(one) == template}


def _lacks(short: Found, whole: Found) -> bool:
    """Whether a line is written as another one, but for fields that it lacks."""
    alike = short.lead == whole.lead and not short.spans and short.names[:1] == whole.names[:1]
    return alike and {*short.names} < {*whole.names}


def _rows(command: str, template: str, members: Sequence[Found], shorter: Alike) -> RowSet:
    every = sorted((*members, *(one for others in shorter.values() for one in others)), key=lambda one: one.line.number)
    made = tuple(
        {name: Cell(text, one.line.number) for name, text in zip(one.names, one.texts, strict=True)} for one in every
    )
    place = {"line": [template, *shorter] if shorter else template}
    return RowSet(command, place, members[0].lead, members[0].names, made)


class _Fields:
    """Gives fields names that are each used once in an answer: in this grammar they are the words."""

    def __init__(self) -> None:
        self._used: set[str] = set()

    def renamed(self, one: Found) -> tuple[str, tuple[str, ...]] | None:
        """(the template, its fields' names); None when it is no template."""
        template, words = one.template, []
        for at, name in enumerate(one.names):
            called = " ".join(one.spans[at].words[-2:]) if one.spans else (one.called or one.names)[at]
            word = re.sub(r"[^A-Za-z0-9]+", "_", "_".join((*one.lead, called))).strip("_").lower() or "field"
            if not word[0].isalpha():
                word = f"f{word}"
            while word in self._used:
                word += "x"
            self._used.add(word)
            words.append(word)
            template = template.replace(f"{{{field_name(name)}:", f"{{{word}:", 1)
        try:
            compile_template(template)
        except TemplateError:
            return None
        return template, tuple(words)


def _whole(found: Sequence[Found], lines: Sequence[Line]) -> list[Found]:
    """Those whose text does not go on in the next line, which stands deeper than any."""
    taken = {one.line.number for one in found}
    deepest = max((indent_of(one.line) for one in found), default=0)
    going_on = {line.number - 1 for line in lines if line.number not in taken and indent_of(line) > deepest + DEEPER}
    return [one for one in found if one.line.number not in going_on]
