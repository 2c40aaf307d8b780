"""What a draft does not read back from its own conversation, and what in it makes a whole reply seem torn."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from propsoff.craft.model import Craft
from propsoff.dialects.load import parse_dialect
from propsoff.dialects.read import Reading, read_craft
from propsoff.exceptions import DialectError
from propsoff.learning.draft import Draft
from propsoff.learning.habits import escaped
from propsoff.learning.model import Bound, BoundCell, BoundRows, Heard, Layout, Meaning

Write = Callable[[Sequence[Layout], Meaning], Draft | None]
"""Writes the draft of layouts and what they mean."""

Layouts = tuple[Layout, ...]


def faults_in(reading: Reading, heard: Heard) -> Iterator[str]:
    """The commands whose replies were heard whole, and are read as torn, or with a gap in them."""
    whole = [answer for answer in heard.answers if answer.whole]
    states = {exchange.command: exchange.state for exchange in reading.exchanges}
    gaps = {problem.line for problem in reading.craft.problems if problem.gap}
    for answer in whole:
        if states.get(answer.command, "complete") != "complete" or gaps & {line.number for line in answer.lines}:
            yield answer.command


def mended_without(
    write: Write, heard: Heard, layouts: Layouts, meaning: Meaning, command: str
) -> tuple[Layouts, Meaning, tuple[str, ...]]:
    """(layouts, meaning, the facts lost) in which the reply to a command is read without a fault.

    Its marks are left out, its parts are asked the other way round, one part is left out, or all: of these what reads
    most. What is at fault in each of them is not the draft's doing; then all stays as it is.
    """
    best: tuple[int, Layouts, Meaning] | None = None
    for tried, kept in _attempts(layouts, meaning, command):
        right = _right(write, heard, tried, kept, command)
        if right is not None and (best is None or right > best[0]):
            best = right, tried, kept
    if best is None:
        return layouts, meaning, ()
    lost = _facts(meaning) - _facts(best[2])
    return best[1], best[2], tuple(sorted(lost))


def _attempts(layouts: Layouts, meaning: Meaning, command: str) -> Iterator[tuple[Layouts, Meaning]]:
    own = tuple(one for one in layouts if one.command == command)
    others = tuple(one for one in layouts if one.command != command)
    for parts in (own, _turned(own, meaning)) if len(own) > 1 else (own,):
        marks = next((one.marks for one in own if one.marks), {})
        yield (*others, *_marked(parts, marks)), meaning
        yield (*others, *_marked(parts, {})), meaning
    for left in own:
        kept = tuple(one for one in own if one is not left)
        yield (*others, *_marked(kept, {})), _without_layouts(meaning, (left,))
    yield layouts, _without_layouts(meaning, own)


def _turned(own: Layouts, meaning: Meaning) -> Layouts:
    """The parts the other way round. Settings of the first that mean nothing are named, or the next would have them."""
    first, *others = own[::-1]
    rows = any(one.rows is each for one in meaning.rows for each in first.rows)
    if first.grammar not in ("pairs", "sections") or rows:
        return (first, *others)
    bound = {one.statement.word for one in meaning.bound if any(one.statement is each for each in first.statements)}
    left = sorted({escaped(one.word) for one in first.statements if one.word not in bound})
    return (replace(first, options={**first.options, "ignore": left}) if left else first, *others)


def _marked(parts: Layouts, marks: Mapping[str, Any]) -> Layouts:
    """The parts, the first with these marks: a dialect has them beside it."""
    return tuple(replace(one, marks=marks if at == 0 else {}) for at, one in enumerate(parts))


def _right(write: Write, heard: Heard, layouts: Layouts, meaning: Meaning, command: str) -> int | None:
    """How much is read as it was bound; None where the reply has a fault, or nothing can be read."""
    draft = write(layouts, meaning)
    try:
        reading = None if draft is None else read_craft(heard.capture, parse_dialect(draft.text, "tried"))
    except DialectError:
        return None
    if reading is None or command in faults_in(reading, heard):
        return None
    kept = without(meaning, disproved(meaning, reading.craft))
    return len(kept.bound) + sum(len(cell.readings) for one in kept.rows for cell in one.cells)


def _without_layouts(meaning: Meaning, layouts: Layouts) -> Meaning:
    """The meaning without what these layouts state."""
    statements = {id(one) for layout in layouts for one in layout.statements}
    rows = {id(one) for layout in layouts for one in layout.rows}
    return replace(
        meaning,
        bound=tuple(one for one in meaning.bound if id(one.statement) not in statements),
        rows=tuple(one for one in meaning.rows if id(one.rows) not in rows),
    )


def _facts(meaning: Meaning) -> set[str]:
    return {one.fact for one in meaning.bound} | {cell.fact for one in meaning.rows for cell in one.cells}


def without_unwritable(write: Write, layouts: Layouts, meaning: Meaning) -> tuple[Meaning, str]:
    """The meaning without the group of rows that no dialect can say, and its name; a fault there takes nothing else."""
    for rows in meaning.rows:
        fewer = replace(meaning, rows=tuple(one for one in meaning.rows if one is not rows))
        draft = write(layouts, fewer)
        try:
            if draft is not None:
                parse_dialect(draft.text, "tried")
        except DialectError:
            continue
        return fewer, rows.group
    return replace(meaning, rows=meaning.rows[1:]), meaning.rows[0].group


def disproved(meaning: Meaning, craft: Craft) -> frozenset[str]:
    """The facts that the draft reads otherwise than they were bound."""
    wrong = {one.fact for one in meaning.bound if craft.value(one.fact) != one.reading.value}
    for rows in meaning.rows:
        if rows.is_list:
            (items,) = rows.cells
            values = tuple(reading.value for reading in items.readings if reading is not None)
            wrong |= {rows.group} if craft.value(rows.group) != values else set()
            continue
        for cell in rows.cells:
            for index, reading in enumerate(cell.readings):
                fact = cell.fact.replace("[]", f"[{index}]")
                if reading is not None and craft.value(fact) != reading.value:
                    wrong.add(cell.fact)
    return frozenset(wrong)


def without(meaning: Meaning, wrong: frozenset[str]) -> Meaning:
    bound: tuple[Bound, ...] = tuple(one for one in meaning.bound if one.fact not in wrong)
    rows: list[BoundRows] = []
    for one in meaning.rows:
        cells: tuple[BoundCell, ...] = tuple(cell for cell in one.cells if cell.fact not in wrong)
        if len(cells) > (0 if one.is_list else 1):
            rows.append(replace(one, cells=cells))
    return replace(meaning, bound=bound, rows=tuple(rows))
