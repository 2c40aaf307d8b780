"""What is nearly certain: a person is asked, with the line before the eyes, and what is confirmed is bound."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from propsoff.craft.names import facts
from propsoff.learning.learn import Lesson, prove
from propsoff.learning.model import Bound, Statement
from propsoff.learning.readings import reading_of
from propsoff.learning.scoring import Name
from propsoff.learning.thesaurus import terms

_WORTH_ASKING = 0.45
_MOST = 20


@dataclass(frozen=True, slots=True)
class Doubt:
    """One question: whether a statement states a fact. `number` tells it from the others of this lesson."""

    number: int
    statement: Statement
    fact: str
    doc: str
    confidence: float


def doubts_of(lesson: Lesson) -> tuple[Doubt, ...]:
    """The statements that may well state a fact which nothing else states, the likeliest first; at most 20."""
    known = {one.fact for one in lesson.meaning.bound}
    found = [
        Doubt(number, one.statement, fact, facts()[fact].doc, confidence)
        for number, one in enumerate(lesson.meaning.unbound)
        for fact, confidence in one.guesses[:1]
        if confidence >= _WORTH_ASKING and fact not in known
    ]
    return tuple(sorted(found, key=lambda doubt: -doubt.confidence)[:_MOST])


def settled(lesson: Lesson, answers: Mapping[int, str]) -> Lesson:
    """The lesson with what was confirmed: fact by the number of the doubt. It proves itself again."""
    more: list[Bound] = []
    for number, fact in answers.items():
        statement = lesson.meaning.unbound[number].statement
        unit = Name.of(statement.path, statement.command).unit
        reading = reading_of(terms()[fact].shape, statement.text, unit, fact)
        if reading is not None:
            more.append(Bound(fact, statement, reading, 1.0, "a person said so"))
    left = tuple(one for number, one in enumerate(lesson.meaning.unbound) if number not in answers)
    meaning = replace(lesson.meaning, bound=(*lesson.meaning.bound, *more), unbound=left)
    return prove(replace(lesson, meaning=meaning))
