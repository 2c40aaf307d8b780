"""Answers of records: lines that begin alike and differ in places, lines of several `key=value`, sentences."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from propsoff.console.manner import Line
from propsoff.dialects.templates import TemplateError, compile_template
from propsoff.learning.habits import escaped
from propsoff.learning.layouts.notes import comments_in, ends_in
from propsoff.learning.layouts.sentences import sentence
from propsoff.learning.model import Cell, Layout, RowSet, Statement

_PAIR = re.compile(r"([A-Za-z][\w.-]*)([=:])(\S+)")
_FEWEST = 2
_MOST_TEMPLATES = 4


@dataclass(frozen=True, slots=True)
class Found:
    """A line taken apart: its template, and by field what the field is called and what stands there."""

    line: Line
    template: str
    names: tuple[str, ...]
    texts: tuple[str, ...]
    lead: tuple[str, ...]


def as_records(command: str, lines: tuple[Line, ...]) -> Layout | None:
    """Statements of single lines, rows of lines that are written alike."""
    listed = _listed(command, lines)
    taken = {cell.line for row in listed.rows for cell in row.values()} if listed else set()
    found = [
        one for line in lines if line.text.strip() and line.number not in taken and (one := _take(line)) is not None
    ]
    by_template: dict[str, list[Found]] = {}
    for one in found:
        by_template.setdefault(one.template, []).append(one)
    rows: list[RowSet] = [listed] if listed else []
    statements: list[Statement] = []
    templates: list[str] = []
    understood: set[int] = set(taken)
    fields = _Fields()
    for template, members in by_template.items():
        if len(members) >= _FEWEST:
            columns = members[0].names
            made = tuple(
                {name: Cell(text, one.line.number) for name, text in zip(columns, one.texts, strict=True)}
                for one in members
            )
            rows.append(RowSet(command, {"line": template}, members[0].lead, columns, made))
            understood |= {one.line.number for one in members}
        elif (renamed := fields.renamed(members[0])) is not None:
            template, words = renamed
            templates.append(template)
            one = members[0]
            statements += [
                Statement(command, word, (*one.lead, name), text, one.line.number)
                for word, name, text in zip(words, one.names, one.texts, strict=True)
            ]
            understood.add(one.line.number)
    marks, marked = ends_in(lines, frozenset(understood))
    comments, commented = comments_in(lines, frozenset(understood) | marked)
    return Layout(
        command,
        "lines",
        {"lines": templates},
        tuple(statements),
        tuple(rows),
        marks,
        comments,
        frozenset(understood) | marked | commented,
    )


_ID = re.compile(r"([A-Za-z]{1,8})[ _-]?([0-9]{1,2}):?")


def _listed(command: str, lines: Sequence[Line]) -> RowSet | None:
    """Lines that begin with ids which count up (`S0`, `UART 1`), their cells parted by runs of blanks or marks."""
    rows: list[dict[str, Cell]] = []
    templates: dict[str, None] = {}
    leads: set[str] = set()
    for line in lines:
        cells = [cell for cell in re.split(r" {2,}|\t+|\s*[|,;]\s*", line.text.strip()) if cell]
        match = _ID.fullmatch(cells[0]) if cells else None
        if match is None or len(cells) < _FEWEST or len(cells) > 6:
            continue
        leads.add(match[1].casefold())
        names, parts = ["id"], ["{id:words}" if " " in cells[0] else "{id:word}"]
        texts = [cells[0]]
        for number, cell in enumerate(cells[1:], 2):
            counted = re.fullmatch(r"([0-9]+) ([A-Za-z]+)", cell)
            names.append(f"place{number}")
            texts.append(counted[1] if counted else cell)
            kind = "words" if " " in cell and not counted else "word"
            parts.append(f"{{place{number}:{kind}}}" + (f" {escaped(counted[2])}" if counted else ""))
        template = " ".join(parts)
        if not _reads_back(Found(line, template, tuple(names), tuple(texts), ())):
            continue
        templates.setdefault(template)
        rows.append({name: Cell(text, line.number) for name, text in zip(names, texts, strict=True)})
    if len(rows) < _FEWEST or len(leads) != 1 or len(templates) > _MOST_TEMPLATES:
        return None
    columns = tuple(dict.fromkeys(name for row in rows for name in row))
    ordered = sorted(templates, key=len, reverse=True)
    place = {"line": ordered if len(ordered) > 1 else ordered[0]}
    return RowSet(command, place, (command, next(iter(leads))), columns, tuple(rows))


class _Fields:
    """Gives fields names that are each used once in an answer: in this grammar they are the words."""

    def __init__(self) -> None:
        self._used: set[str] = set()

    def renamed(self, one: Found) -> tuple[str, tuple[str, ...]] | None:
        """(the template, its fields' names); None when it is no template."""
        template, words = one.template, []
        for name in one.names:
            word = re.sub(r"[^A-Za-z0-9]+", "_", "_".join((*one.lead, name))).strip("_").lower() or "field"
            if not word[0].isalpha():
                word = f"f{word}"
            while word in self._used:
                word += "x"
            self._used.add(word)
            words.append(word)
            template = template.replace(f"{{{_field(name)}:", f"{{{word}:", 1)
        try:
            compile_template(template)
        except TemplateError:
            return None
        return template, tuple(words)


def _field(name: str) -> str:
    word = re.sub(r"[^A-Za-z0-9]+", "_", name).strip("_") or "field"
    return word if word[0].isalpha() else f"f{word}"


def _take(line: Line) -> Found | None:
    for way in (_assignments, _sentence, _positional):
        found = way(line)
        if found is not None and _reads_back(found):
            return found
    return None


def _reads_back(found: Found) -> bool:
    try:
        fields = compile_template(found.template).match(found.line.text)
    except TemplateError:
        return False
    return fields is not None and tuple(fields.values()) == found.texts


def _assignments(line: Line) -> Found | None:
    """``uart 1 role=rx baud=420000``: a lead of words, and two or more assignments."""
    tokens = line.text.split()
    pairs = [_PAIR.fullmatch(token.rstrip(",;")) for token in tokens]
    first = next((at for at, pair in enumerate(pairs) if pair is not None), len(tokens))
    if len(tokens) - first < _FEWEST or not all(pairs[first:]) or first > 3:
        return None
    parts: list[str] = []
    names: list[str] = []
    texts: list[str] = []
    lead: list[str] = []
    for at, token in enumerate(tokens[:first]):
        if at and re.fullmatch(r"[A-Za-z]{0,6}[0-9]{1,2}:?", token):
            names.append("id")
            texts.append(token.rstrip(":"))
            parts.append("{id:word}" + (":" if token.endswith(":") else ""))
        else:
            parts.append(escaped(token))
            lead.append(token.strip(":"))
    for token, pair in zip(tokens[first:], pairs[first:], strict=True):
        assert pair is not None
        end = token[len(token.rstrip(",;")) :]
        parts.append(f"{escaped(pair[1] + pair[2])}{{{_field(pair[1])}:word}}{end}")
        names.append(pair[1])
        texts.append(pair[3].rstrip(",;"))
    if len(set(map(_field, names))) < len(names):
        return None
    return Found(line, " ".join(parts), tuple(names), tuple(texts), tuple(lead))


def _positional(line: Line) -> Found | None:
    """``port 1 rx 420000``: a word, and values in places."""
    tokens = line.text.split()
    if not 3 <= len(tokens) <= 12 or not tokens[0].isalpha() or not any(char.isdigit() for char in tokens[1]):
        return None
    names = ("id", *(f"place{number}" for number in range(2, len(tokens))))
    template = " ".join([escaped(tokens[0]), *(f"{{{name}:word}}" for name in names)])
    return Found(line, template, names, tuple(tokens[1:]), (tokens[0],))


def _sentence(line: Line) -> Found | None:
    taken = sentence(line.text)
    if taken is None:
        return None
    template, names, texts = taken
    return Found(line, template, names, texts, ())


def pieces(found: Sequence[Found]) -> Iterator[str]:
    """The templates, for tests."""
    yield from (one.template for one in found)
