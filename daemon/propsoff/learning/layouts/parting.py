"""Cells of several parts, such as `2,11`, taken apart into columns."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import replace

from propsoff.learning.layouts.value_forms import form_of_values
from propsoff.learning.model import Cell, RowSet


def note_words(note: str) -> tuple[str, ...]:
    """What a note calls the parts of a value: the words before a default or a range in `column,row, default 1,12`."""
    told = re.split(r"\b(?:default|range|def|min|max)\b", note)[0]
    words = [re.sub(r"\W+", "_", word).strip("_") for word in re.split(r"[\s,;|/]+", told)]
    return tuple(word for word in words if word and word[0].isalpha())


_NUMBERS = re.compile(r"\D*[0-9]+\D+[0-9]+.*")


def parted_lists(rows: RowSet) -> RowSet:
    """The rows of a document with those columns taken apart whose cells are lists of as many numbers."""
    columns, forms = list[str](), dict(rows.parted)
    cells = [dict(row) for row in rows.rows]
    for column in rows.columns:
        there = [row[column] for row in rows.rows if column in row]
        widths = {len(cell.text.split(",")) for cell in there}
        numbers = all(cell.kind == "list" and _LIST.fullmatch(cell.text) for cell in there)
        if not there or not numbers or len(widths) != 1:
            columns.append(column)
            continue
        names = tuple(f"part{at}" for at in range(1, widths.pop() + 1))
        forms[column] = "", names
        columns += [f"{column}/{name}" for name in names]
        for row in cells:
            if column in row:
                cell = row.pop(column)
                texts = [text.strip() for text in cell.text.split(",")]
                row |= {
                    f"{column}/{name}": Cell(text, cell.line, "number") for name, text in zip(names, texts, strict=True)
                }
    return replace(rows, columns=tuple(columns), rows=tuple(cells), parted=forms)


_LIST = re.compile(r"[0-9]+(?:, [0-9]+)+")


def parted_numbers(rows: RowSet) -> RowSet:
    """As `parted`, of columns alone that have two numbers and more in each cell."""
    texts = {
        column: [row[column].text for row in rows.rows if column in row and row[column].kind == "text"]
        for column in rows.columns
    }
    return parted(rows, tuple(one for one, there in texts.items() if there and all(map(_NUMBERS.fullmatch, there))))


def parted(rows: RowSet, those: Collection[str] | None = None) -> RowSet:
    """The rows with those columns taken apart whose cells have several parts each, such as `2,11`.

    `those` are the columns that may be; any but the ids where it is None.
    """
    forms: dict[str, tuple[str, tuple[str, ...]]] = {}
    columns: list[str] = []
    cells = [dict(row) for row in rows.rows]
    for column in rows.columns:
        there = [row[column] for row in rows.rows if column in row]
        texts = [cell.text for cell in there]
        may_be = column != "id" if those is None else column in those
        form = form_of_values(texts, note_words(there[0].note)) if may_be else None
        if form is None or any(set(form.split(cell.text)) != set(form.columns) for cell in there):
            columns.append(column)
            continue
        named = {inner: f"{column}/{inner}" for inner in form.columns}
        forms[column] = form.templates[0], tuple(form.columns)
        columns += named.values()
        for row in cells:
            if column in row:
                cell = row.pop(column)
                row.update({named[inner]: Cell(text, cell.line) for inner, text in form.split(cell.text).items()})
    return replace(rows, columns=tuple(columns), rows=tuple(cells), parted=forms)
