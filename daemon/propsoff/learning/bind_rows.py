"""Binding rows that repeat to a repeated group: by name, by columns, and by what the cells look like."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from propsoff.craft.names import CALLED_BY
from propsoff.learning.legends import bits_of, legend_of, read_by_bits, read_by_legend
from propsoff.learning.model import BoundCell, BoundRows, Cell, Reading, RowSet
from propsoff.learning.readings import reading_of
from propsoff.learning.scoring import Name, score
from propsoff.learning.thesaurus import Term, folded, groups, named, read_name, row_terms, value_words

_MOST_READ = 0.6
"""So many of a column's cells must be values of the right shape."""

_TELLING = {"ports": ("roles", "baud"), "switches": ("channel", "from_us"), "overlay.elements": ("column", "row")}
_BY_LOOK = {
    "ports": {"id", "roles", "baud"},
    "switches": {"function", "channel", "from_us", "to_us"},
    "overlay.elements": {"name", "column", "row"},
}


def _yes_and_no(readings: Sequence[Reading]) -> Mapping[str, Any]:
    said = {
        key: sorted({str(reading.options[key]) for reading in readings if reading.value is value})
        for key, value in (("yes", True), ("no", False))
    }
    first = readings[0].options
    return {"as": "yes-no"} | {key: texts[0] if len(texts) == 1 else texts or first[key] for key, texts in said.items()}


_MERGED = ("words", "names")
_MARGIN = 0.05
_SHOWN = frozenset(["shown", "hidden", "visible", "invisible", "sichtbar", "unsichtbar", "affiché", "caché"])
_NOTHING = frozenset(["", "-"])
_MEASURED = frozenset(["baud", "channel", "pulse", "small"])


def bind_rows(rows: RowSet, about: str = "") -> Iterator[BoundRows]:
    """The groups that the rows may be. `about` says what the whole answer is about, where its command does not."""
    for group in groups():
        needs, terms = row_terms(group)
        called = named(piece for part in (*rows.path, about) for piece in read_name(part))
        if len(rows.rows) < 1:
            continue
        cells = _in_order(_cells(rows, terms, called & needs != frozenset()))
        facts = {cell.fact.rpartition(".")[2] for cell in cells}
        if not called & needs:  # rows of ids, roles and rates are ports, whatever they are called
            by_look = _in_order(_cells(rows, terms, True))
            found = {cell.fact.rpartition(".")[2] for cell in by_look}
            if found >= _BY_LOOK[group]:
                cells, facts = by_look, found
        wanted = {CALLED_BY[group], *(("roles",) if group == "ports" else ())}
        if not facts >= wanted or not facts & {*_TELLING[group]}:
            continue
        if not called & needs and not facts >= {*_TELLING[group]}:
            continue
        if not _mostly_told(cells, group) or _are_two_in_one(rows, group):
            continue
        confidence = sum(cell.confidence for cell in cells) / len(cells) - (0.0 if called & needs else _NOT_CALLED)
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


def _mostly_told(cells: Sequence[BoundCell], group: str) -> bool:
    """Whether most of the rows say their own name and something that tells: else they are several kinds of things."""
    by_fact = {cell.fact.rpartition(".")[2]: cell.readings for cell in cells}
    own = by_fact[CALLED_BY[group]]
    telling = [by_fact[leaf] for leaf in _TELLING[group] if leaf in by_fact]
    told = sum(own[at] is not None and any(one[at] is not None for one in telling) for at in range(len(own)))
    return told >= _MOST_READ * len(own)


_KNOWN_WORDS = {"switches": "functions", "overlay.elements": "elements"}


def _are_two_in_one(rows: RowSet, group: str) -> bool:
    """Whether each line holds two of them, side by side: two columns are names, and never the same."""
    if group not in _KNOWN_WORDS:
        return False
    words = value_words(_KNOWN_WORDS[group])
    columns = [
        [words.get(folded(row[column].text)) if column in row else None for row in rows.rows] for column in rows.columns
    ]
    names = [{*column} for column in columns if all(column)]
    return any(not one & other for at, one in enumerate(names) for other in names[at + 1 :])


def _in_order(cells: list[BoundCell]) -> list[BoundCell]:
    """Without the ends of ranges that would run backwards in most of the rows: then the columns are other ones."""
    ends = {cell.fact.rpartition(".")[2]: cell.readings for cell in cells}
    pairs = [
        (low.value, high.value)
        for low, high in zip(ends.get("from_us", ()), ends.get("to_us", ()), strict=False)
        if low is not None and high is not None
    ]
    backwards = sum(low > high for low, high in pairs)
    if backwards * 2 <= len(pairs):
        return cells
    return [cell for cell in cells if cell.fact.rpartition(".")[2] not in ("from_us", "to_us")]


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
    name = Name.of(column.split("/"))  # what the rows are called is weighed for the whole group
    readings = [_read(cell, term, name.unit) for cell in cells]
    read = [reading for reading in readings if reading is not None]
    if len(read) < _MOST_READ * len(there):
        return None
    by_name = score(name, term, there[0].text) * (_OWN_WORD if column == "id" else 1.0)
    confidence = max(by_name, _by_shape(term, read, called, column, [cell.text for cell in there], rows))
    options = _merged(read)
    if confidence <= 0 or options is None:
        return None
    missing = {cell.text for cell, reading in zip(cells, readings, strict=True) if cell is not None and reading is None}
    if missing - {"-"} and term.shape in _MEASURED:  # such as the rate of a port without a role
        options = {**options, "missing": sorted({*missing, "-"})}
    return BoundCell(term.fact, column, tuple(readings), options, confidence, f"{len(read)} of {len(there)} cells fit")


def _by_shape(
    term: Term, read: Sequence[Reading], called: bool, column: str, texts: Sequence[str], rows: RowSet
) -> float:
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
    said = {cell.casefold() for cell in texts}
    if term.shape == "truth" and (
        said <= _SHOWN or (_UNNAMED.fullmatch(column.rpartition("/")[2]) and not any(map(str.isdigit, said)))
    ):
        return 0.8
    if _UNNAMED.fullmatch(column.rpartition("/")[2]) and (by_place := _by_place(term, column, rows)):
        return by_place
    if term.shape in ("function", "element") and len({*values}) == len(values):
        return 0.8
    return 0.0


_NOT_CALLED = 0.05
_OWN_WORD = 0.85
"""A place that we call by a word of our own tells less than one that the console calls so."""
_UNNAMED = re.compile(r"(?:part|value)[0-9]+|de|von|desde|da|du|från|van|od|fra|a|à|bis|hasta|até|ate|tot|til|till|do")
"""Columns that the console does not call anything: by their number, or by the words around a range."""
_PLACED = 0.78


def _by_place(term: Term, column: str, rows: RowSet) -> float:
    """What an unnamed column is by its place among the others and by its numbers, the usual order taken for granted.

    Of a switch: channel, from, to; of an element: column, row, and whether it is shown.
    """
    numbers = {
        name: values
        for name in rows.columns
        if _UNNAMED.fullmatch(name.rpartition("/")[2]) and (values := _numbers(rows, name))
    }
    pulses = [name for name, values in numbers.items() if all(700 <= value <= 2300 for value in values)]
    small = [name for name, values in numbers.items() if all(value <= 100 for value in values)]
    leaf = term.fact.rpartition(".")[2]
    if term.fact.startswith("switches"):
        ends = [name for name in rows.columns if named(read_name(name.rpartition("/")[2])) & {"until", "high"}]
        if len(pulses) == 1 and len(ends) == 1:  # `1720 to 2080`
            return _PLACED if (leaf, column) == ("from_us", pulses[0]) else 0.0
        if len(pulses) != 2 or any(low > high for low, high in zip(*(numbers[name] for name in pulses), strict=True)):
            return 0.0
        expected = dict(zip(("from_us", "to_us"), pulses, strict=True)) | (
            {"channel": small[0]} if len(small) == 1 else {}
        )
    elif term.fact.startswith("overlay") and len(small) >= 2:
        first, second = numbers[small[0]], numbers[small[1]]
        if max(first) <= max(second):  # then nobody can tell which is which
            return 0.0
        expected = {"column": small[0], "row": small[1]}
        if len(small) > 2 and set(numbers[small[2]]) <= {0, 1}:
            expected["shown"] = small[2]
    else:
        return 0.0
    return _PLACED if expected.get(leaf) == column else 0.0


def _numbers(rows: RowSet, column: str) -> list[int]:
    texts = [row[column].text for row in rows.rows if column in row]
    return [int(text) for text in texts] if len(texts) == len(rows.rows) and all(map(str.isdigit, texts)) else []


def _read(cell: Cell | None, term: Term, unit: str | None) -> Reading | None:
    if cell is None or cell.text.strip() in _NOTHING:
        return None
    if bits := bits_of(cell.text, cell.note):
        return read_by_bits(term.shape, cell.text, bits, term.fact)
    if legend := legend_of(cell.text, cell.note):
        return read_by_legend(term.shape, cell.text, legend, term.fact)
    return reading_of(term.shape, cell.text, unit, term.fact)


def _merged(readings: Sequence[Reading]) -> Mapping[str, Any] | None:
    """One way to write them all; None when they cannot be read in one way."""
    if all(reading.options.get("as") == "yes-no" for reading in readings):
        return _yes_and_no(readings)
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
