"""What a person was asked to look at, because no console tells it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from difflib import get_close_matches

from propsoff import (
    WELL_KNOWN,
    Case,
    Expected,
    Finding,
    Question,
    Range,
    WrittenNote,
    check,
    compare_versions,
    wanted_answer,
)
from propsoff_checks.link_ends import ANTENNA, ENDS
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, cut, listed

_WHY = "No console tells it: what nobody looked at may be what keeps the craft on the ground, or brings it down."
_OWN_CODES = ("unanswered", "answer-unusable", "answer-undecided", "not-asked")
_NOT_SLUG = re.compile(r"[^a-z0-9-]+")
_LONGEST_CODE = 80
_LONGEST_ASK = 200
_STILL_ON = "Propellers that are on cut whoever is near when a motor starts; connecting the battery may start one."
_TAKE_OFF = "Take all propellers off before anything else is done."
_ANSWER_AGAIN = "Then look again, and correct the answer: with `propsoff inspect --ask`, or in the notes file."


@check(
    "hand-notes",
    title="Hand notes: what no console tells was looked at",
    why=_WHY,
    reads=("hand",),
    sources=(
        "what to look at, and what is right, is the build sheet's word",
        "accessories, connectors, antenna and the firmware of both ends of the video link are looked at by hand: "
        "common practice",
        *SAFETY_SOURCES,
    ),
    caution=PROPELLERS_OFF,
)
def hand_notes(case: Case) -> Iterator[Finding]:
    """Each question of the sheet answered, usably, and as the sheet expects."""
    found = [finding for question in _questions(case) for finding in _judged(case, question)]
    found += _not_asked(case)
    yield from found
    if not found:
        yield _well(case)


def _questions(case: Case) -> list[Question]:
    """The sheet's, and those that other checks know: an answer to one must be usable also where no sheet asks it."""
    asked = {question.id for question in case.sheet.questions}
    known = [
        Question(each.id, each.about, "text" if len(each.kinds) > 1 else each.kinds[0])
        for name, each in WELL_KNOWN.items()
        if name in case.craft.hand and name not in asked
    ]
    return [*case.sheet.questions, *known]


def _well(case: Case) -> Finding:
    many = len(case.sheet.questions)
    if not many:
        return case.skipped("the build sheet asks no questions")
    return case.passed("the question of the sheet is answered" if many == 1 else f"all {many} questions are answered")


def _judged(case: Case, question: Question) -> Iterator[Finding]:
    """What is to be said of one question: nothing when its answer will do."""
    note = case.craft.hand.get(question.id)
    if note is None:
        yield _unanswered(case, question)
        return
    value, wanted = note.value, wanted_answer(question, note.value)
    if wanted is not None:
        where = f", at {note.place}" if isinstance(note, WrittenNote) and note.place else ""
        yield case.unknown(
            f"the answer {cut(question.id)} = {_told(value)} cannot be used: {_ask(question)}",
            code="answer-unusable",
            steps=(f"Write {wanted}{where}.",),
            explains=_waiting(question),
        )
        return
    value, expected = value.strip() if isinstance(value, str) else value, _expected(question)
    if expected is None:
        return
    met = _met(question.kind, value, expected)
    if met is None:
        yield case.unknown(
            f"whether {_told(value)} is {cut(str(question.expected))} cannot be told: {_ask(question)}",
            code="answer-undecided",
            steps=("Compare them by hand; then write a version, or expect one, that can be told older from newer.",),
        )
    elif not met:
        yield _wrong(case, question, value, _words(expected))


def _unanswered(case: Case, question: Question) -> Finding:
    text = question.choices[0] if question.choices else "1.10.0" if question.kind == "version" else "..."
    line = f"{question.id} = " + ("true" if question.kind == "yes-no" else f'"{text}"')
    return case.unknown(
        f"nobody has answered: {_ask(question)}",
        code="unanswered",
        steps=(
            f"Look, and answer: with `propsoff inspect --ask`; or write, for example, `{line}` below [answers] in "
            "NAME.notes.toml beside the capture NAME.cast.",
        ),
        explains=_waiting(question),
    )


def _waiting(question: Question) -> tuple[str, ...]:
    """What waits for the answer."""
    return ("video-link/unanswered",) if f"hand.{question.id}" in (*ENDS, ANTENNA) else ()


def _wrong(case: Case, question: Question, value: object, should: str) -> Finding:
    propellers = question.id == "propellers-off"
    return case.fail(
        f"{_ask(question)} - {_told(value)}, where {cut(should)} is expected",
        code=_code(question.id),
        expected=should,
        actual=_told(value),
        why=question.why or (_STILL_ON if propellers else _WHY),
        steps=(question.remedy or (_TAKE_OFF if propellers else f"Bring it to {should}."), _ANSWER_AGAIN),
    )


def _expected(question: Question) -> Expected | None:
    """What the sheet expects; of propellers nobody needs to be told."""
    if question.expected is None and question.id == "propellers-off" and question.kind == "yes-no":
        return Expected((True,))
    return question.expected


def _met(kind: str, value: object, expected: Expected) -> bool | None:
    """Whether a usable answer is as expected; None when that cannot be told."""
    if expected.allows(value):
        return True
    if kind != "version" or not isinstance(value, str):
        return False
    if any(isinstance(one, str) and compare_versions(value, one) == 0 for one in expected.plain):
        return True  # written otherwise, but no other version
    ranges = [one for one in expected.values if isinstance(one, Range)]
    return None if any(_undecided(value, one) for one in ranges) else False


def _undecided(value: str, within: Range) -> bool:
    """Whether a version may as well lie within the range as not."""
    below = isinstance(within.low, str) and compare_versions(value, within.low) == -1
    above = isinstance(within.high, str) and compare_versions(value, within.high) == 1
    return not below and not above and not within.allows(value)


def _not_asked(case: Case) -> list[Finding]:
    """Answers to questions that neither the sheet asks nor a check knows: likely a slip of the pen."""
    asked = [question.id for question in case.sheet.questions]
    strange = [name for name in case.craft.hand if name not in asked and name not in WELL_KNOWN]
    if not strange:
        return []
    like = dict.fromkeys(near for name in strange for near in _nearest(name, asked))
    hint = f"; did you mean {listed(like)}?" if like else ""
    what = "an answer" if len(strange) == 1 else "answers"
    return [
        case.warn(
            f"{what} to what the sheet does not ask: {listed(strange)}{hint}",
            code="not-asked",
            expected=f"answers to {listed(asked)}" if asked else "no answers: the sheet asks nothing",
            actual=listed(strange),
            why="An answer under a name that nobody asks for is not judged: it may be meant for a question that is.",
            steps=("Correct the name in the notes, take the answer out, or let the sheet ask for it.",),
        )
    ]


def _nearest(name: str, asked: Sequence[str]) -> list[str]:
    return get_close_matches(name, [*asked, *WELL_KNOWN], n=1, cutoff=0.6)


def _code(name: str) -> str:
    """The question's id as a code of this check: never one that means something else."""
    slug = _NOT_SLUG.sub("-", name.lower()).strip("-")[:_LONGEST_CODE].strip("-") or "answer"
    return f"{slug}-answer" if slug in _OWN_CODES else slug


def _ask(question: Question) -> str:
    text = " ".join(question.ask.split())
    return text if len(text) <= _LONGEST_ASK else f"{text[:_LONGEST_ASK]}..."


def _told(value: object) -> str:
    """An answer in words."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return cut(str(value)) or "(empty)"


def _words(expected: Expected) -> str:
    values = tuple(_told(one) if isinstance(one, bool) else one for one in expected.values)
    return str(replace(expected, values=values))
