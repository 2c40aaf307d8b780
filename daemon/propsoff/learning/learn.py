"""From what was heard to a draft of a dialect that has proved itself on that very conversation."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial as partial_

from propsoff.craft.model import Craft
from propsoff.dialects.load import parse_dialect
from propsoff.dialects.model import Dialect
from propsoff.dialects.read import read_craft
from propsoff.exceptions import DialectError
from propsoff.learning.bind import THRESHOLD, bind
from propsoff.learning.draft import Draft, draft_of
from propsoff.learning.kin import without_partial
from propsoff.learning.layouts.below import list_below
from propsoff.learning.layouts.find import layouts_of
from propsoff.learning.layouts.meanings import with_meanings
from propsoff.learning.model import Answer, Heard, Layout, Meaning
from propsoff.learning.proving import disproved, faults_in, mended_without, without, without_unwritable
from propsoff.ports.facts import UsbHint

_ROUNDS = 40
_RULED = 1.5
"""So much more counts what stands in a table with a ruled header: that is one beyond doubt."""
_WORTH_A_PART = 1.5
_BETTER = 0.25
"""So much more must be understood by a layout that fits fewer lines."""


@dataclass(frozen=True)
class Lesson:
    """What was learned. `draft` is None when nothing can be; `why_not` says why. `dropped` did not prove itself."""

    heard: Heard
    layouts: tuple[Layout, ...]
    meaning: Meaning
    id_: str = "learned"
    title: str = "Learned"
    hints: tuple[UsbHint, ...] = ()
    draft: Draft | None = None
    dialect: Dialect | None = None
    craft: Craft | None = None
    dropped: tuple[str, ...] = ()
    why_not: str = ""


def learn(heard: Heard, *, id_: str, title: str, hints: Sequence[UsbHint] = (), threshold: float = THRESHOLD) -> Lesson:
    """The lesson of one conversation. Pure.

    Whatever is bound is read back with the draft from the same conversation: what does not give the same value again
    is dropped, so that the draft never says more than it can do.
    """
    layouts = with_meanings([layout for answer in heard.answers for layout in parts_of(answer, threshold)])
    about = {answer.command: answer.about for answer in heard.answers if answer.about}
    return prove(Lesson(heard, layouts, bind(layouts, threshold, about), id_, title, tuple(hints)))


def parts_of(answer: Answer, threshold: float = THRESHOLD) -> Iterator[Layout]:
    """How an answer is laid out, and how the lines are in which the first way has understood nothing."""
    below = list_below(answer)
    if below is not None:  # it comes first: another grammar would take the line above for its own
        answer = replace(answer, lines=tuple(line for line in answer.lines if line.number not in below.understood))
    first = layout_of(answer, threshold)
    if below is not None:
        yield below if first is None else replace(below, marks=first.marks)
    if first is None:
        return
    yield first
    if first.grammar == "json":
        return
    meaning = _meaning(answer, first, threshold)
    used = {one.statement.line for one in meaning.bound}
    used |= {cell.line for one in meaning.rows for row in one.rows.rows for cell in row.values()}
    left = replace(answer, lines=tuple(line for line in answer.lines if line.number not in used))
    second = layout_of(left, threshold) if used else None
    if second is not None and _worth(_meaning(left, second, threshold)) >= _WORTH_A_PART:
        yield second


def _meaning(answer: Answer, layout: Layout, threshold: float) -> Meaning:
    return bind([layout], threshold, {answer.command: answer.about} if answer.about else None)


def _worth(meaning: Meaning) -> float:
    """How much is understood: the confidence of all facts together."""
    rows = sum(cell.confidence * len(one.rows.rows) for one in meaning.rows for cell in one.cells)
    return sum(one.confidence for one in meaning.bound) + rows


def layout_of(answer: Answer, threshold: float = THRESHOLD) -> Layout | None:
    """How an answer is laid out: of the ways that understand its lines the one in which most facts are understood."""
    best: tuple[float, Layout] | None = None
    for layout in layouts_of(answer):
        worth = _worth(_meaning(answer, layout, threshold))
        if layout.grammar == "table" and layout.options.get("rule"):
            worth *= _RULED
        if best is None or worth > best[0] + _BETTER:
            best = worth, layout
    return None if best is None else best[1]


def prove(lesson: Lesson) -> Lesson:
    """The lesson with its draft, and without what the draft does not read back, or what makes a reply seem torn."""
    meaning, partial = without_partial(lesson.meaning, lesson.heard.answers)
    layouts, dropped, mended = lesson.layouts, [*lesson.dropped, *partial], set[str]()
    write = partial_(draft_of, lesson.heard, id_=lesson.id_, title=lesson.title, hints=lesson.hints)
    for _ in range(_ROUNDS):
        made = replace(lesson, layouts=layouts, meaning=meaning, dropped=tuple(dropped))
        draft = write(layouts, meaning)
        if draft is None:
            return replace(made, why_not="no answer tells what it is")
        try:
            dialect = parse_dialect(draft.text, lesson.id_)
        except DialectError as error:
            if not meaning.rows:
                return replace(made, draft=draft, why_not=str(error))
            meaning, group = without_unwritable(write, layouts, meaning)
            dropped.append(group)
            continue
        reading = read_craft(lesson.heard.capture, dialect)
        faulty = next((one for one in faults_in(reading, lesson.heard) if one not in mended), None)
        if faulty is not None:
            mended.add(faulty)
            layouts, meaning, lost = mended_without(write, lesson.heard, layouts, meaning, faulty)
            dropped += lost
            continue
        wrong = disproved(meaning, reading.craft)
        if not wrong:
            return replace(made, draft=draft, dialect=dialect, craft=reading.craft)
        dropped += sorted(wrong)
        meaning = without(meaning, wrong)
    return replace(lesson, dropped=tuple(dropped), why_not="what was bound does not read back")


def named_after(lesson: Lesson) -> tuple[str, str] | None:
    """(id, title) from the firmware's own name; None when it did not say one."""
    name = next((one.reading.value for one in lesson.meaning.bound if one.fact == "firmware.name"), None)
    id_ = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40] if isinstance(name, str) else ""
    return (id_, name[:60]) if isinstance(name, str) and id_ else None
