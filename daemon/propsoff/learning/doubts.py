"""What is nearly certain: a person is asked, with the line before the eyes, and what is confirmed is bound."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from propsoff.craft.names import facts
from propsoff.learning.bind import confirmed
from propsoff.learning.learn import Lesson, prove
from propsoff.learning.model import Statement

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
    """The lesson with what was confirmed: fact by the number of the doubt. It proves itself again.

    What cannot be a value of the fact that was named is left as it is.
    """
    about = {answer.command: answer.about for answer in lesson.heard.answers if answer.about}
    more = {
        number: bound
        for number, fact in answers.items()
        if (bound := confirmed(lesson.meaning.unbound[number].statement, fact, about)) is not None
    }
    left = tuple(one for number, one in enumerate(lesson.meaning.unbound) if number not in more)
    meaning = replace(lesson.meaning, bound=(*lesson.meaning.bound, *more.values()), unbound=left)
    return prove(replace(lesson, meaning=meaning))
