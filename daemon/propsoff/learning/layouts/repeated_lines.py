"""Lines of an answer that repeat: they begin with ids that count up, or with the same word."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from propsoff.console.manner import Line
from propsoff.learning.habits import escaped
from propsoff.learning.layouts.own_names import own_name
from propsoff.learning.layouts.single_lines import Found, reads_back
from propsoff.learning.model import Cell, RowSet

_FEWEST = 2
_MOST_TEMPLATES = 4
_WIDEST = 10
_SENTENCE = 4
_NOTE = re.compile(r"\s*(?:#|;|//|--|!)\s*(.*)")
_ID = re.compile(r"([A-Za-z]{1,8})[ _-]?([0-9]{1,2}):?")


def listed(command: str, lines: Sequence[Line]) -> RowSet | None:
    """The rows of lines that begin with ids which count up (`S0`, `UART 1`).

    Their cells are parted by runs of blanks or marks.
    """
    rows: list[dict[str, Cell]] = []
    templates: dict[str, None] = {}
    leads: set[str] = set()
    for line in lines:
        mark = next((mark for mark in "|;," if mark in line.text), "")
        by = rf"\s*{re.escape(mark)}\s*" if mark else r" {2,}|\t+"
        cells = [cell for cell in re.split(by, line.text.strip()) if cell]
        match = _ID.fullmatch(cells[0]) if cells else None
        if match is None or len(cells) < _FEWEST or len(cells) > 6:
            continue
        leads.add(match[1].casefold())
        names, parts = ["id"], ["{id:words}" if " " in cells[0] else "{id:word}"]
        texts = [cells[0]]
        for number, cell in enumerate(cells[1:], 2):
            counted = re.fullmatch(r"([0-9]+) ([A-Za-z]+)", cell)
            names.append(f"value{number}")
            texts.append(counted[1] if counted else cell)
            kind = "words" if " " in cell and not counted else "word"
            parts.append(f"{{value{number}:{kind}}}" + (f" {escaped(counted[2])}" if counted else ""))
        joint = f"{' ' if f' {mark}' in line.text else ''}{mark}{' ' if f'{mark} ' in line.text else ''}"
        template = (joint if mark else " ").join(parts)
        if not reads_back(Found(line, template, tuple(names), tuple(texts), ())):
            continue
        templates.setdefault(template)
        rows.append({name: Cell(text, line.number) for name, text in zip(names, texts, strict=True)})
    if len(rows) < _FEWEST or len(leads) != 1 or len(templates) > _MOST_TEMPLATES:
        return None
    columns = tuple(dict.fromkeys(name for row in rows for name in row))
    ordered = sorted(templates, key=len, reverse=True)
    place = {"line": ordered if len(ordered) > 1 else ordered[0]}
    return RowSet(command, place, (command, next(iter(leads))), columns, tuple(rows))


def by_lead(command: str, lines: Sequence[Line]) -> list[RowSet]:
    """The rows of lines that begin with the same one or two words and have as many words: ``have port a osd 9600``.

    A remark above that has a word for each place names the columns.
    """
    found: list[RowSet] = []
    for lead, members in _groups(lines).items():
        width = len(members[0].text.split()) - len(lead)
        columns = _remarked(lines, members[0], lead, width) or ("id", *(f"value{at}" for at in range(2, width + 1)))
        if len(set(columns)) < width:
            continue
        template = " ".join([*map(escaped, lead), *(f"{{{column}:word}}" for column in columns)])
        rows = [dict(zip(columns, line.text.split()[len(lead) :], strict=True)) for line in members]
        if any(
            not reads_back(Found(line, template, columns, tuple(row.values()), ()))
            for line, row in zip(members, rows, strict=True)
        ):
            continue
        before = own_name(lead[-1], [row[columns[0]] for row in rows])
        cells = tuple(
            {column: Cell(before + text if column == columns[0] else text, line.number) for column, text in row.items()}
            for line, row in zip(members, rows, strict=True)
        )
        found.append(RowSet(command, {"line": template}, lead, columns, cells, before=before))
    return found


def _groups(lines: Sequence[Line]) -> Mapping[tuple[str, ...], list[Line]]:
    """By the words that they begin with, lines that repeat: of two words where such lines are two and more."""
    groups: dict[tuple[tuple[str, ...], int], list[Line]] = {}
    for line in lines:
        tokens = line.text.split()
        if line.text.rstrip().endswith(".") and len(tokens) > _SENTENCE:
            continue
        for count in (2, 1):
            lead = tuple(tokens[:count])
            if len(tokens) - count in range(2, _WIDEST) and all(word.isalpha() for word in lead):
                groups.setdefault((lead, len(tokens)), []).append(line)
    found: dict[tuple[str, ...], list[Line]] = {}
    for (lead, _), members in groups.items():
        ids = [line.text.split()[len(lead)] for line in members]
        telling = any(char.isdigit() for line in members for char in line.text)
        unique = len(set(ids)) == len(ids) and not all(id_.isdigit() and len(id_) > 2 for id_ in ids)
        marked = any(
            "=" in line.text or ":" in line.text.split()[len(lead)] or {"is", "are"} & set(line.text.split())
            for line in members
        )
        if len(members) >= _FEWEST and telling and unique and not marked and lead not in found:
            found[lead] = members
    return {lead: members for lead, members in found.items() if len(lead) > 1 or not _several(lead, found)}


def _several(lead: tuple[str, ...], groups: Mapping[tuple[str, ...], list[Line]]) -> bool:
    """Whether a first word stands before different second words that repeat: it is a verb then."""
    return any(len(other) > len(lead) and other[0] == lead[0] for other in groups)


def _remarked(lines: Sequence[Line], first: Line, lead: tuple[str, ...], width: int) -> tuple[str, ...] | None:
    """The columns that the remark above the first row names; None when it has not a word for each."""
    above = next((line.text for line in reversed(lines) if line.number < first.number and line.text.strip()), "")
    match = _NOTE.fullmatch(above)
    words = match[1].split() if match else []
    words = words[1:] if words and words[0].strip(":") == lead[-1] else words
    names = tuple(re.sub(r"\W+", "_", word).strip("_") for word in words)
    return names if len(names) == width and all(name and name[0].isalpha() for name in names) else None
