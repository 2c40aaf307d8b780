"""What was learned, as words and as JSON: what is bound with evidence, what is left, what is wrong with the draft."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from propsoff.dialects.coverage import coverage_of
from propsoff.learning.from_text import broken_off, why_no_console
from propsoff.learning.learn import Lesson
from propsoff.learning.model import Bound, BoundRows, Habits, Unbound
from propsoff.learning.thesaurus import read_name

UNNAMED = "learned"
"""The id of a dialect whose firmware did not say its name, while nobody has given it another."""
_TELLING = frozenset({"firmware.name", "firmware.version", "board.name"})
_LEAST_NAME = 3
_WEIGHTY = (
    ("serial number", ("board.serial",)),
    ("channel order", ("channels.order",)),
    ("switches", ("switches",)),
    ("ports", ("ports",)),
    ("overlay grid", ("overlay.columns", "overlay.rows")),
    ("video link", ("video.link",)),
    ("failsafe", ("failsafe.action",)),
)
"""What of a craft is asked for first, and the facts that tell it."""


def facts_in(lesson: Lesson) -> int:
    """How many facts are bound; of rows each column counts once."""
    return len(lesson.meaning.bound) + sum(len(rows.cells) for rows in lesson.meaning.rows)


def refusal(lesson: Lesson) -> str:
    """Why a text that somebody saved is not taken for a console of a board; empty where it is.

    What propsoff recorded itself was a console: there a prompt came back.
    """
    heard = lesson.heard
    if heard.capture.tool:
        return ""
    if why := why_no_console(heard):
        return why
    known = {one.fact for one in lesson.meaning.bound}
    if _TELLING & known:
        return ""
    asked = ", ".join(repr(answer.command) for answer in heard.answers[:4])
    understood = "names a firmware, a version or a board" if known else "was understood"
    return (
        f"nothing in it {understood} (the prompt would be {heard.habits.prompt!r}, and typed after it {asked}); "
        "if it is a board's console, add the page that names its firmware"
    )


def wrong_with(lesson: Lesson) -> tuple[str, ...]:
    """What a person has to see to before the draft can be trusted, in sentences; empty when nothing is known of."""
    return tuple(_wrong_with(lesson))


def _wrong_with(lesson: Lesson) -> Iterator[str]:
    if broken := broken_off(lesson.heard.capture):
        yield f"the conversation broke off: {broken}; {_may_be_missing(lesson)}"
    if lesson.draft is None or lesson.dialect is None:
        return
    if not facts_in(lesson):
        yield "no fact was understood: the draft reads nothing yet"
    yield from _told_apart(lesson, lesson.draft.identity, lesson.draft.known_by)
    seen: set[str] = set()
    for problem in coverage_of(lesson.heard.capture, lesson.dialect).craft.problems:
        if problem.message not in seen:
            seen.add(problem.message)
            where = "" if problem.line is None else f"line {problem.line}: "
            yield f"the draft does not read its own conversation right: {where}{problem.message}"


def _may_be_missing(lesson: Lesson) -> str:
    cut = [answer.command for answer in lesson.heard.answers if not answer.whole]
    later = "what would have been asked later is missing"
    return f"the reply to {cut[-1]!r} may be cut, and {later}" if cut else later


def _told_apart(lesson: Lesson, command: str, known_by: str) -> Iterator[str]:
    """What is to be said of how the draft tells its firmware from others."""
    named = [one.statement.text for one in lesson.meaning.bound if one.fact in ("firmware.name", "board.name")]
    vague = not any(name and name in known_by for name in named) and _says_what_many_say(known_by)
    ask = " and name the draft with --id" if lesson.id_ == UNNAMED else ""
    if vague:
        yield (
            f"any board whose answer to {command!r} has a line like {known_by!r} would be read by this draft, for it "
            f"names no firmware: let known_by in [identity] say what only this firmware prints{ask}"
        )
    elif ask:
        yield f"no firmware name was understood; the draft is called {UNNAMED!r}, as others would be: name it with --id"


def _says_what_many_say(known_by: str) -> bool:
    """Whether a line's template has no word of its own: `version: {_:rest}` could stand on every board."""
    literal = re.sub(r"\{[^{}]*\}", " ", known_by.replace("{{", " ").replace("}}", " "))
    return not any(
        len(piece.text) >= _LEAST_NAME and not (piece.concepts or piece.other or piece.neutral or piece.unit)
        for piece in read_name(literal)
    )


def not_known(lesson: Lesson) -> tuple[str, ...]:
    """What of weight the draft does not read, as a person calls it."""
    if lesson.dialect is None:
        return ()
    unread = {*coverage_of(lesson.heard.capture, lesson.dialect).unread_facts}
    return tuple(called for called, facts in _WEIGHTY if unread.intersection(facts))


def as_json(lesson: Lesson) -> dict[str, Any]:
    """Plain values for `json.dumps`. Of what is refused no dialect is told."""
    heard, refused = lesson.heard, refusal(lesson)
    return {
        "console": _habits(heard.habits),
        "asked": [{"command": one.command, "lines": len(one.lines), "whole": one.whole} for one in heard.answers],
        "never_asked": [{"word": one.word.word, "why": one.why} for one in heard.left_out],
        "facts": [_bound(one) for one in lesson.meaning.bound],
        "groups": [_rows(one) for one in lesson.meaning.rows],
        "left": [_unbound(one) for one in lesson.meaning.unbound],
        "dropped": list(lesson.dropped),
        "troubles": list(heard.troubles),
        "usable": lesson.dialect is not None and not refused,
        "why_not": lesson.why_not or None,
        "refused": refused or None,
        "wrong": list(wrong_with(lesson)),
        "not_known": list(not_known(lesson)),
        "dialect": None if lesson.draft is None or refused else lesson.draft.text,
    }


def _habits(habits: Habits) -> dict[str, Any]:
    return {
        "wake": habits.wake.decode("latin-1"),
        "line_end": habits.line_end.decode("latin-1"),
        "echo": habits.echo,
        "prompt": habits.prompt,
        "pager": habits.pager,
        "error": habits.error,
        "typing_s": habits.typing_s,
        "unsure": list(habits.unsure),
    }


def _bound(one: Bound) -> dict[str, Any]:
    return {
        "fact": one.fact,
        "value": one.reading.value,
        "confidence": one.confidence,
        "command": one.statement.command,
        "word": one.statement.word,
        "text": one.statement.text,
        "line": one.statement.line,
        "why": one.why,
        "others": [{"fact": fact, "confidence": confidence} for fact, confidence in one.others],
    }


def _rows(one: BoundRows) -> dict[str, Any]:
    return {
        "group": one.group,
        "rows": len(one.rows.rows),
        "confidence": one.confidence,
        "why": one.why,
        "cells": [{"fact": cell.fact, "column": cell.column, "confidence": cell.confidence} for cell in one.cells],
    }


def _unbound(one: Unbound) -> dict[str, Any]:
    return {
        "command": one.statement.command,
        "word": one.statement.word,
        "text": one.statement.text,
        "line": one.statement.line,
        "guesses": [{"fact": fact, "confidence": confidence} for fact, confidence in one.guesses],
    }
