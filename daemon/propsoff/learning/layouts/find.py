"""The layout of one answer: each grammar is tried, the one that understands most lines is taken."""

from __future__ import annotations

from collections.abc import Callable

from propsoff.console.manner import Line
from propsoff.learning.layouts.documents import as_document, as_kinds
from propsoff.learning.layouts.pairs import as_columns, as_pairs
from propsoff.learning.layouts.records import as_mixed, as_records, as_told
from propsoff.learning.layouts.sections import as_sections
from propsoff.learning.layouts.tables import as_tables
from propsoff.learning.model import Answer, Layout

MOST_LINES = 4000
"""So many lines of an answer are looked at."""

Finder = Callable[[str, tuple[Line, ...]], Layout | None]
_FINDERS: tuple[tuple[Finder, float], ...] = (
    (as_document, 1.0),
    (as_kinds, 1.0),
    (as_tables, 1.0),
    (as_sections, 1.0),
    (as_pairs, 1.0),
    (as_columns, 1.0),
    (as_records, 0.9),
    (as_mixed, 0.8),
    (as_told, 0.78),
)
_ROWS_WEIGHT = 1.02
_MOSTLY_ROWS = 0.6
_LEAST_SHARE = 0.3


def layouts_of(answer: Answer) -> tuple[Layout, ...]:
    """Every way in which a grammar understands a third of the answer's lines, the one that understands most first."""
    lines = answer.lines[:MOST_LINES]
    telling = {line.number for line in lines if line.text.strip()}
    found: list[tuple[float, Layout]] = []
    for finder, weight in _FINDERS if telling else ():
        layout = finder(answer.command, lines)
        if layout is None or not (layout.statements or layout.rows):
            continue
        lines_of_rows = {cell.line for rows in layout.rows for row in rows.rows for cell in row.values()}
        weight = max(weight, _ROWS_WEIGHT if len(lines_of_rows) >= _MOSTLY_ROWS * len(telling) else 0.0)
        share = weight * len(layout.understood & telling) / len(telling)
        if share >= _LEAST_SHARE:
            found.append((share, layout))
    return tuple(layout for _, layout in sorted(found, key=lambda pair: -pair[0]))


def find_layout(answer: Answer) -> Layout | None:
    """How the answer is laid out by its looks alone; None when no grammar understands a third of its lines."""
    return next(iter(layouts_of(answer)), None)
