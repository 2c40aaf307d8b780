"""Binding rows that repeat to a repeated group: by name, by columns, and by what the cells look like."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from propsoff.learning.model import BoundCell, BoundRows, Cell, Reading, RowSet
from propsoff.learning.readings import reading_of
from propsoff.learning.scoring import Name, score
from propsoff.learning.thesaurus import Term, groups, named, read_name, row_terms

_MOST_READ = 0.6
"""So many of a column's cells must be values of the right shape."""

_KEY = {"ports": "id", "switches": "function", "overlay.elements": "name"}
_TELLING = {"ports": ("roles", "baud"), "switches": ("channel", "from_us"), "overlay.elements": ("column", "row")}
_BY_LOOK = {
    "ports": {"id", "roles", "baud"},
    "switches": {"function", "channel", "from_us", "to_us"},
    "overlay.elements": {"name", "column", "row"},
}
_MERGED = ("words", "names")
_MARGIN = 0.05
_SHOWN = frozenset(["shown", "hidden", "visible", "invisible", "sichtbar", "unsichtbar", "affiché", "caché"])
_NOTHING = frozenset(["", "-"])


def bind_rows(rows: RowSet, about: str = "") -> Iterator[BoundRows]:
    """The groups that the rows may be. `about` says what the whole answer is about, where its command does not."""
    for group in groups():
        needs, terms = row_terms(group)
        called = named(piece for part in (*rows.path, about) for piece in read_name(part))
        if len(rows.rows) < 1:
            continue
        cells = _cells(rows, terms, called & needs != frozenset())
        facts = {cell.fact.rpartition(".")[2] for cell in cells}
        if not called & needs:  # rows of ids, roles and rates are ports, whatever they are called
            by_look = _cells(rows, terms, True)
            found = {cell.fact.rpartition(".")[2] for cell in by_look}
            if found >= _BY_LOOK[group]:
                cells, facts = by_look, found
        if _KEY[group] not in facts or not facts & {*_TELLING[group]}:
            continue
        if not called & needs and not facts >= {*_TELLING[group]}:
            continue
        confidence = sum(cell.confidence for cell in cells) / len(cells) - (0.0 if called & needs else 0.1)
        why = f"{len(rows.rows)} rows with {', '.join(sorted(facts))}"
        yield BoundRows(group, rows, tuple(cells), round(confidence, 2), why)


def _cells(rows: RowSet, terms: Mapping[str, Term], called: bool) -> list[BoundCell]:
    """The columns that are understood: each column one fact, each fact one column."""
    fitting: list[BoundCell] = []
    for column in rows.columns:
        for term in terms.values():
            cell = _fit(rows, column, term, called)
            if cell is not None:
                fitting.append(cell)
    return _assigned(fitting)


def _assigned(fitting: Sequence[BoundCell]) -> list[BoundCell]:
    """Each column one fact, each fact one column: what fits nothing else first, and where two fit equally, neither."""
    left, taken = list(fitting), list[BoundCell]()
    while left:
        alone = [
            cell
            for cell in left
            if all(
                cell is one or cell.confidence - one.confidence >= _MARGIN
                for one in left
                if one.column == cell.column or one.fact == cell.fact
            )
        ] or [
            cell
            for cell in left
            if sum(one.column == cell.column for one in left) == 1 or sum(one.fact == cell.fact for one in left) == 1
        ]
        if not alone:
            return taken
        best = max(alone, key=lambda cell: cell.confidence)
        taken.append(best)
        left = [one for one in left if one.column != best.column and one.fact != best.fact]
    return taken


def _fit(rows: RowSet, column: str, term: Term, called: bool) -> BoundCell | None:
    cells = [row.get(column) for row in rows.rows]
    there = [cell for cell in cells if cell is not None and cell.text.strip() not in _NOTHING]
    if not there:
        return None
    name = Name.of((column,))  # what the rows are called is weighed for the whole group
    readings = [_read(cell, term, name.unit) for cell in cells]
    read = [reading for reading in readings if reading is not None]
    if len(read) < _MOST_READ * len(there):
        return None
    by_name = score(name, term, there[0].text)
    confidence = max(by_name, _by_shape(term, read, called, column, [cell.text for cell in there]))
    options = _merged(read)
    if confidence <= 0 or options is None:
        return None
    return BoundCell(term.fact, column, tuple(readings), options, confidence, f"{len(read)} of {len(there)} cells fit")


def _by_shape(term: Term, read: Sequence[Reading], called: bool, column: str, texts: Sequence[str]) -> float:
    """Some cells tell by themselves what they are, where the rows are called by their group's name."""
    if not called:
        return 0.0
    values = [reading.value for reading in read]
    if term.shape == "roles" and len({*map(str, values)}) > 1:
        return 0.85
    if term.shape == "baud" and all(isinstance(value, int) and value >= 4800 for value in values):
        return 0.8
    if term.shape == "port" and len({*values}) == len(values) and column in ("id", "name", "n", "value", "key"):
        return 0.8
    if term.shape == "truth" and {cell.casefold() for cell in texts} <= _SHOWN:
        return 0.8
    if term.shape in ("function", "element") and len({*values}) == len(values):
        return 0.8
    return 0.0


def _read(cell: Cell | None, term: Term, unit: str | None) -> Reading | None:
    if cell is None or cell.text.strip() in _NOTHING:
        return None
    return reading_of(term.shape, cell.text, unit, term.fact)


def _merged(readings: Sequence[Reading]) -> Mapping[str, Any] | None:
    """One way to write them all; None when they cannot be read in one way."""
    merged: dict[str, Any] = {}
    for reading in readings:
        for key, value in reading.options.items():
            if key in _MERGED:
                merged[key] = {**merged.get(key, {}), **value}
            elif key == "each" and isinstance(value, dict):
                before = merged.get("each", {"words": {}})
                merged["each"] = {**value, "words": {**before["words"], **value["words"]}}
            elif key == "separator" and key in merged and merged[key] != value:
                several = [one for one in readings if isinstance(one.value, tuple) and len(one.value) > 1]
                marks = {one.options["separator"] for one in several}
                if len(marks) > 1:
                    return None
                merged[key] = next(iter(marks), value)
            elif key in merged and merged[key] != value:
                return None
            else:
                merged[key] = value
    if any(key not in reading.options for reading in readings for key in ("as", "suffix") if key in merged):
        return None
    return merged
