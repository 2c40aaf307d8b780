"""What was learned, as JSON: how the console talks, what is bound with confidence and evidence, what is left."""

from __future__ import annotations

from typing import Any

from propsoff.learning.learn import Lesson
from propsoff.learning.model import Bound, BoundRows, Habits, Unbound


def as_json(lesson: Lesson) -> dict[str, Any]:
    """Plain values for `json.dumps`."""
    heard = lesson.heard
    return {
        "console": _habits(heard.habits),
        "asked": [{"command": one.command, "lines": len(one.lines), "whole": one.whole} for one in heard.answers],
        "never_asked": [{"word": one.word.word, "why": one.why} for one in heard.left_out],
        "facts": [_bound(one) for one in lesson.meaning.bound],
        "groups": [_rows(one) for one in lesson.meaning.rows],
        "left": [_unbound(one) for one in lesson.meaning.unbound],
        "dropped": list(lesson.dropped),
        "troubles": list(heard.troubles),
        "usable": lesson.dialect is not None,
        "why_not": lesson.why_not or None,
        "dialect": None if lesson.draft is None else lesson.draft.text,
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
