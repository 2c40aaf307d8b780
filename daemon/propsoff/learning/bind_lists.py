"""Binding rows that repeat to a fact that is a list: what each channel shows now, the reasons not to arm."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from propsoff.learning.model import BoundCell, BoundRows, Cell, Reading, RowSet
from propsoff.learning.readings import reading_of
from propsoff.learning.thesaurus import named, read_name

_FEWEST_CHANNELS = 4
_PULSE = re.compile(r"(?:[789][0-9]{2}|1[0-9]{3}|2[0-2][0-9]{2})")
_COUNTED = re.compile(r"(?:ch(?:annel)?[ _.-]?)?([0-9]{1,2})", re.IGNORECASE)
_SURE, _LIKELY = 0.95, 0.9
_STATED = frozenset(["value", "val", "us", "pulse", "position", "reading", "input", "output", "microseconds"])


def bind_lists(rows: RowSet, about: str = "") -> Iterator[BoundRows]:
    """The lists that the rows may be: one column has the items."""
    called = named(piece for part in (*rows.path, rows.command, about) for piece in read_name(part))
    if (found := _blocks(rows, called)) is not None:
        yield found
    if (found := _live(rows, called)) is not None:
        yield found


def _blocks(rows: RowSet, called: frozenset[str]) -> BoundRows | None:
    """The reasons not to arm, all of them known; the rows or the column are called so."""
    fitting = []
    for column in rows.columns:
        cells = [row.get(column) for row in rows.rows]
        readings = [_reason(cell) for cell in cells]
        concepts = called | named(read_name(column))
        if all(readings) and "block" in concepts and ("arming" in concepts or "below" in rows.place):
            fitting.append((column, [one for one in readings if one is not None]))
    if len(fitting) != 1:
        return None
    column, read = fitting[0]
    words = {word: meaning for one in read for word, meaning in one.options["words"].items()}
    options = {"as": "choice", "words": words, "others": "keep"}
    return _bound("arming.blocks", rows, column, read, options, _SURE)


def _reason(cell: Cell | None) -> Reading | None:
    reading = None if cell is None else reading_of("blocks", cell.text, None, "arming.blocks")
    if reading is None or cell is None or len(reading.value) != 1:
        return None
    return Reading({"words": reading.options["each"]["words"]}, reading.value[0])


def _live(rows: RowSet, called: frozenset[str]) -> BoundRows | None:
    """What each channel shows now: numbers in the one column that is called so, beside numbers that count up from 1."""
    if len(rows.rows) < _FEWEST_CHANNELS or any(len(row) < len(rows.columns) for row in rows.rows):
        return None
    counting = [column for column in rows.columns if _counts(rows, column)]
    pulses = [column for column in rows.columns if all(_PULSE.fullmatch(row[column].text.strip()) for row in rows.rows)]
    if len(counting) != 1 or not pulses:
        return None
    about = called | named(read_name(counting[0]))
    said = [column for column in pulses if "live" in named(read_name(column))]
    if not said and len(pulses) == 1 and "live" in called | _said(pulses[0]):
        said = pulses
    if len(said) != 1 or not about & {"channel", "stick"}:
        return None
    read = [Reading({}, int(row[said[0]].text)) for row in rows.rows]
    return _bound("channels.live", rows, said[0], read, {"as": "number"}, _LIKELY)


def _said(column: str) -> frozenset[str]:
    """A column of values alone, where nothing is said of ends or defaults, has those of now."""
    pieces = read_name(column)
    plain = all(piece.text in _STATED or piece.unit for piece in pieces)
    return frozenset(["live"]) if plain or column in ("value", "") else named(pieces)


def _counts(rows: RowSet, column: str) -> bool:
    found = [_COUNTED.fullmatch(row[column].text.strip()) for row in rows.rows]
    return [int(one[1]) for one in found if one is not None] == list(range(1, len(rows.rows) + 1))


def _bound(
    fact: str, rows: RowSet, column: str, read: Sequence[Reading], options: Mapping[str, object], confidence: float
) -> BoundRows:
    cell = BoundCell(fact, column, tuple(read), options, confidence, f"{len(read)} items")
    return BoundRows(fact, rows, (cell,), confidence, f"{len(read)} items of a list")
