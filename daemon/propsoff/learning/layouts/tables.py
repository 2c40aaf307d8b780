"""Answers that are tables: a header, perhaps a rule under it, and rows whose cells stand under the headers."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from propsoff.console.manner import Line
from propsoff.learning.habits import escaped
from propsoff.learning.layouts.notes import comments_in
from propsoff.learning.layouts.parting import parted_numbers
from propsoff.learning.layouts.paths import path_of
from propsoff.learning.model import Cell, Layout, RowSet, Statement
from propsoff.learning.thesaurus import is_value_word, named, names_something, read_name

_RULE = re.compile(r"[-=_+|: ]*[-=_]{2,}[-=_+|: ]*")
_HEADER = re.compile(r"\S+(?: \S+)*")
_COUNT = re.compile(r"\(?([0-9]{1,4}) (rows?|entries|lines?|zeilen|lignes|filas|righe)\)?.*", re.IGNORECASE)


_VALUE_HEADS = frozenset([
    "value", "val", "current", "now", "set", "actual", "present", "setting", "wert", "valeur", "valor", "valore",
    "waarde", "värde", "state", "reading",
])  # fmt: skip
_BLOCKS = frozenset(["arming", "block"])
"""Concepts of a column of which each cell is one of several."""
_UNIT_HEADS = frozenset([
    "unit", "units", "einheit", "unité", "unite", "unidad", "unità", "unita", "unidade", "eenheid", "enhet",
])  # fmt: skip


@dataclass(slots=True)
class Table:
    """One table that was found."""

    header: Line
    names: tuple[str, ...]
    starts: tuple[int, ...]
    separator: str
    title: Line | None = None
    ruled: str = ""
    rows: list[tuple[Line, tuple[str, ...]]] = field(default_factory=list)
    lines: set[int] = field(default_factory=set)


def as_tables(command: str, lines: tuple[Line, ...]) -> Layout | None:
    """Tables by their titles, or the one table of the answer; None when there is none."""
    tables = [table for table in _tables(lines) if table.rows]
    if not tables:
        return None
    titles = [table.title for table in tables]
    title = _title_template([one for one in titles if one is not None]) if all(titles) else None
    statements: list[Statement] = []
    rows: list[RowSet] = []
    understood: set[int] = set()
    for table in tables:
        name = _named(table, title) if title else command if len(tables) == 1 else table.names[0]
        understood |= table.lines
        if title is None and table.title is not None:
            understood.discard(table.title.number)
        if (stated := _stated(command, name, table)) is not None:
            statements += stated
            if not (_counts_up(table) or named(read_name(table.names[0])) >= _BLOCKS):
                continue
        made = tuple(
            {column: Cell(cell, line.number) for column, cell in zip(table.names, cells, strict=True)}
            for line, cells in table.rows
        )
        path = (name,) if title or name == command else (command, name)
        rows.append(parted_numbers(RowSet(command, {"table": name}, path, table.names, made)))
        if stated is None:
            statements += _items(command, name, table)
    comments, commented = comments_in(lines, frozenset(understood))
    if title is None:  # a sentence above a table is no title
        sentences = [table.title for table in tables if table.title is not None]
        comments = (*comments, *(escaped(line.text.strip()) for line in sentences))
        commented |= {line.number for line in sentences}
    options = _options(tables, title)
    return Layout(
        command, "table", options, tuple(statements), tuple(rows), {}, comments, frozenset(understood) | commented
    )


def _stated(command: str, name: str, table: Table) -> list[Statement] | None:
    """The rows as statements, where the first cell names a setting, the second is its value, the third its unit."""
    width = len(table.names)
    unit_at = _column(table, _UNIT_HEADS)
    if width != 2 and not (width == 3 and unit_at == 2):
        return None
    if len({cells[0] for _, cells in table.rows}) < len(table.rows):
        return None
    end = f".{table.names[1]}" if width > 2 else ""
    return [
        Statement(
            command,
            f"{name}.{cells[0]}{end}",
            (name, *path_of(cells[0])),
            cells[1],
            line.number,
            unit=cells[unit_at] if unit_at else "",
        )
        for line, cells in table.rows
    ]


def _counts_up(table: Table) -> bool:
    """Whether the first cells are numbers from 1: the rows are told apart by their place."""
    numbers = [re.sub(r"\A\D*", "", cells[0]) for _, cells in table.rows]
    return numbers == [str(number) for number in range(1, len(numbers) + 1)]


def _items(command: str, name: str, table: Table) -> list[Statement]:
    """The second cells of rows that are each called by a thing: they may state something of it."""
    firsts = [cells[0] for _, cells in table.rows]
    if len(set(firsts)) < len(firsts) or not any(map(names_something, firsts)) or len(table.names) < 3:
        return []
    value_at, unit_at = _column(table, _VALUE_HEADS) or 1, _column(table, _UNIT_HEADS)
    return [
        Statement(
            command,
            f"{name}.{cells[0]}.{table.names[value_at]}",
            (name, *path_of(cells[0])),
            cells[value_at],
            line.number,
            unit=cells[unit_at] if unit_at else "",
        )
        for line, cells in table.rows
        if cells[0]
    ]


def _column(table: Table, heads: frozenset[str]) -> int | None:
    return next((at for at, column in enumerate(table.names) if at and column.casefold() in heads), None)


def _options(tables: Sequence[Table], title: str | None) -> dict[str, Any]:
    options: dict[str, Any] = {}
    if title is not None:
        options["title"] = title
    if title is None and len(tables) > 1:
        options["by_header"] = True
    if tables[0].separator:
        options["separator"] = tables[0].separator
    if all(table.ruled for table in tables):
        options["rule"] = tables[0].ruled
    return options


def _tables(lines: Sequence[Line]) -> Iterator[Table]:
    at = 0
    while at < len(lines):
        table = _table_at(lines, at)
        if table is None:
            at += 1
            continue
        yield table
        at = next((index + 1 for index, line in enumerate(lines) if line.number == max(table.lines)), at + 1)


def _table_at(lines: Sequence[Line], at: int) -> Table | None:
    """The table whose header stands at this line."""
    text = lines[at].text
    separator = _separator(lines, at)
    names, starts = _heads(text, separator)
    if (
        len(names) < 2
        or len(set(names)) < len(names)
        or any(name[:1].isdigit() or name.endswith((":", "=")) or name.startswith((":", "=")) for name in names)
    ):
        return None
    table = Table(lines[at], names, starts, separator)
    table.lines.add(lines[at].number)
    follow = at + 1
    if follow < len(lines) and lines[follow].text.strip() and _RULE.fullmatch(lines[follow].text.strip()):
        table.ruled = lines[follow].text.strip().strip("+|")[:1]
        table.lines.add(lines[follow].number)
        if not separator:
            table.starts = tuple(match.start() for match in re.finditer(r"\S+", lines[follow].text))
            under_rule = _cells(text, table.starts)
            if under_rule is None or not all(under_rule):
                return None
            table.names = under_rule
        follow += 1
    while follow < len(lines) and (cells := _row(lines[follow].text, table)) is not None:
        table.rows.append((lines[follow], cells))
        table.lines.add(lines[follow].number)
        follow += 1
    if not table.rows or (not table.ruled and not separator and (_states(names) or not _aligned(table))):
        return None
    _add_ends(table, lines, at, follow)
    return table


def _states(names: Sequence[str]) -> bool:
    """Whether two words that look like headings are a setting and its value: `Gyroscope   working`."""
    return len(names) == 2 and (is_value_word(names[1]) or any(char.isdigit() for char in names[1]))


def _add_ends(table: Table, lines: Sequence[Line], at: int, follow: int) -> None:
    """The title above, and the line below that counts the rows."""
    if at > 0 and (above := lines[at - 1]).text.strip():
        drawn = _RULE.fullmatch(above.text.strip()) is not None
        if drawn or len(_heads(above.text, table.separator)[0]) == 1:
            table.title = None if drawn else above
            table.lines.add(above.number)
    if follow < len(lines) and (_COUNT.fullmatch(text := lines[follow].text.strip()) or _RULE.fullmatch(text)):
        table.lines.add(lines[follow].number)


_MARKS = (",", ";")


def _separator(lines: Sequence[Line], at: int) -> str:
    """What stands between the cells, where a mark does: in the header, and as often in the next line."""
    text = lines[at].text
    if text.count("|") >= 1 and not _RULE.fullmatch(text):
        return "|"
    below = lines[at + 1].text if at + 1 < len(lines) else ""
    words = not any(char.isdigit() or char in ":=." for char in text)
    return next((mark for mark in _MARKS if words and text.count(mark) == below.count(mark) > 0), "")


def _parted(text: str, separator: str, header: str) -> list[str]:
    """The cells of a line; without what stands outside of the first and last mark, where the header is framed."""
    bare, frame = text.strip(), header.strip()
    bare = bare.removeprefix(separator) if frame.startswith(separator) else bare
    bare = bare.removesuffix(separator) if frame.endswith(separator) else bare
    return [cell.strip() for cell in bare.split(separator)]


def _heads(text: str, separator: str) -> tuple[tuple[str, ...], tuple[int, ...]]:
    if separator:
        cells = _parted(text, separator, text)
        return (tuple(cells), ()) if all(cells) else ((), ())
    found = [(match.group(), match.start()) for match in _HEADER.finditer(text)]
    return tuple(name for name, _ in found), tuple(start for _, start in found)


def _row(text: str, table: Table) -> tuple[str, ...] | None:
    if not text.strip() or _RULE.fullmatch(text.strip()):
        return None
    if table.separator:
        cells = _parted(text, table.separator, table.header.text)
        return tuple(cells) if len(cells) == len(table.names) else None
    return _cells(text, table.starts)


def _cells(text: str, starts: Sequence[int]) -> tuple[str, ...] | None:
    """The cells under the headers; None when something stands across a border."""
    cells: list[str] = []
    for index, start in enumerate(starts):
        end = starts[index + 1] if index + 1 < len(starts) else len(text)
        if start and text[start - 1 : start].strip() and text[start : start + 1].strip():
            return None
        cells.append(text[start:end].strip())
    return tuple(cells) if cells and cells[0] and not text[: starts[0]].strip() else None


def _aligned(table: Table) -> bool:
    """Whether every row has as many runs of text as headers, each under its own: what has no rule must be exact."""
    return len(table.rows) >= 2 and all(sum(map(bool, cells)) >= 2 for _, cells in table.rows)


def _title_template(titles: Sequence[Line]) -> str | None:
    """What the titles have in common, with the field `table`."""
    texts = [line.text.strip() for line in titles]
    before = _common(texts)
    after = _common([text[::-1] for text in texts])[::-1]
    if len(texts) == 1:
        match = re.fullmatch(r"(\W*)([\w .-]+?)(\W*)", texts[0])
        if match is None:
            return None
        before, after = match[1], match[3]
    before = re.sub(r"\w+$", "", before)
    after = re.sub(r"^\w+", "", after)
    if any(len(text) <= len(before) + len(after) for text in texts) or not (before + after).strip():
        return None
    return escaped(before) + "{table:words}" + escaped(after)


def _common(texts: Sequence[str]) -> str:
    lead = texts[0]
    while not all(text.startswith(lead) for text in texts):
        lead = lead[:-1]
    return lead


def _named(table: Table, title: str) -> str:
    from propsoff.dialects.templates import compile_template

    fields = compile_template(title).match(table.title.text.strip()) if table.title else None
    return fields["table"] if fields else ""
