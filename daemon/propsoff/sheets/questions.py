"""The questions that a sheet asks, because no console can answer them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from propsoff.sheets.expect import Expected
from propsoff.sheets.form import Fault, Path, near
from propsoff.sheets.grammar import answer_of
from propsoff.sheets.model import Question


def questions_of(
    entries: Sequence[Mapping[str, Any]], place: Callable[[Path], str]
) -> tuple[tuple[Question, ...], list[Fault]]:
    """The questions of well-formed entries, and what they say that cannot be. `place` tells where a path stands."""
    faults: list[Fault] = []
    questions = [_question(entry, ("questions", at), place, faults) for at, entry in enumerate(entries)]
    return tuple(questions), faults


def _question(entry: Mapping[str, Any], path: Path, place: Callable[[Path], str], faults: list[Fault]) -> Question:
    kind, choices = entry["kind"], tuple(entry.get("choices", ()))
    if (kind == "choice") is not bool(choices):
        said = (
            "there are no answers to choose from" if kind == "choice" else f"a question of kind {kind} has no choices"
        )
        hint = 'choices = ["...", "..."]' if kind == "choice" else "take them away, or make its kind choice"
        faults.append(Fault((*path, "choices"), said, hint))
    expected: Expected | None = None
    if "expected" in entry:
        where = (*path, "expected")
        shape = answer_of(kind)
        faults += shape.contradictions(entry["expected"], where)
        expected = shape.read(entry["expected"], place(where))
        for value in expected.plain if choices else ():
            if value not in choices:
                faults.append(Fault(where, f"{value!r} is not among the choices", near(value, choices)))
    return Question(
        id=entry["id"],
        ask=entry["ask"].strip(),
        kind=kind,
        choices=choices,
        expected=expected,
        why=entry.get("why", "").strip(),
        remedy=entry.get("remedy", "").strip(),
    )
