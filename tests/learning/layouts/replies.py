"""Small invented replies, and what a layout makes of them in the shortest form."""

from __future__ import annotations

from collections.abc import Sequence

from propsoff.console.manner import Line
from propsoff.learning.model import Layout, RowSet, Statement

COMMAND = "show"


def lines(text: str) -> tuple[Line, ...]:
    """The lines of a reply, numbered from 1."""
    return tuple(Line(number, one) for number, one in enumerate(text.split("\n"), 1))


def statement(word: str, text: str, line: int = 1, *, note: str = "") -> Statement:
    """A setting of the reply; its path is its word, taken apart at the dots."""
    return Statement(COMMAND, word, tuple(word.split(".")), text, line, note=note)


def stated(layout: Layout | None) -> dict[str, str]:
    """What a layout states: the value by its path; empty where nothing is."""
    statements: Sequence[Statement] = layout.statements if layout else ()
    return {"/".join(one.path): one.text for one in statements}


def cells(rows: RowSet) -> list[dict[str, str]]:
    """The rows, each as the texts of its cells."""
    return [{column: cell.text for column, cell in row.items()} for row in rows.rows]


def only(rows: Sequence[RowSet]) -> RowSet:
    """The one group of rows that there is."""
    (found,) = rows
    return found
