"""The line that tells a firmware apart, without what changes from version to version and from board to board."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping

from propsoff.dialects.templates import TemplateError, compile_template
from propsoff.learning.habits import escaped
from propsoff.learning.model import Answer, Bound, Meaning

_TELLING = 6
"""So many letters has a line that tells a firmware apart, where nothing is known of it."""
_NUMBERED = re.compile(r"[\w.+-]*[0-9][\w.+-]*")
"""A version, a date, a number or a serial number."""


def identity_of(answers: Mapping[str, Answer], layouts: Collection[str], meaning: Meaning) -> tuple[str, str] | None:
    """The command whose answer tells the firmware apart, and the line of it that does so."""
    for fact in ("firmware.name", "firmware.version", "board.name"):
        bound = next((one for one in meaning.bound if one.fact == fact), None)
        if bound is None or answers[bound.statement.command].way:  # it is asked first of all, in no menu
            continue
        answer = answers[bound.statement.command]
        line = next((line.text for line in answer.lines if line.number == bound.statement.line), None)
        if line is not None and (known := _known_by(line, bound, meaning)) is not None:
            return answer.command, known
    whole = sorted(
        (answer for answer in answers.values() if answer.whole and answer.lines and not answer.way),
        key=lambda one: len(one.lines),
    )
    for answer in whole:
        if answer.command in layouts:
            first = next((line.text.strip() for line in answer.lines if line.text.strip()), "")
            if (known := _unnumbered(first)) is not None:
                return answer.command, known
    return None


def _unnumbered(text: str) -> str | None:
    """A line as a template, up to its first number; None when too little of it is left to tell."""
    number = _NUMBERED.search(text)
    kept = text[: number.start()] if number else text
    if sum(map(str.isalpha, kept)) < _TELLING:
        return None
    return escaped(kept) + ("{_:rest}" if number else "")


def _own_text(bound: Bound) -> str:
    """The value as it is written, where it is one part of several without the others."""
    if bound.form is None or bound.part is None:
        return bound.statement.text
    return (compile_template(bound.form).match(bound.statement.text) or {}).get(bound.part, bound.statement.text)


def _known_by(line: str, bound: Bound, meaning: Meaning) -> str | None:
    """A line as a template, up to the name that tells: what stands behind it differs from board to board."""
    text, value = line.strip(), _own_text(bound)
    at = text.find(value)
    if at < 0:
        return None
    name = value if bound.fact != "firmware.version" else ""
    before, behind = text[:at], text[at + len(name) :]
    if not any(char.isalpha() for char in before or name) or not (before + name).strip():
        return None
    varies = [_own_text(one) for one in meaning.bound if one.statement.line == bound.statement.line]
    closed = bound.part is not None and re.fullmatch(r"[^\w\s]{0,2}", behind) is not None
    template = _start(before, [one for one in varies if one != value and len(one) > 2]) + escaped(name)
    if behind:
        closing = " " if template.endswith(" ") else ""
        template = template + escaped(behind) if closed else f"{template.rstrip()}{closing}{{_:rest}}"
    try:
        return template if compile_template(template).match(text) is not None else None
    except TemplateError:
        return None


def _start(before: str, varies: Collection[str]) -> str:
    """What stands before the name as a template: without the values that are known, and without any number."""
    known = escaped(before)
    for one in sorted(varies, key=len, reverse=True):
        known = known.replace(escaped(one), "{_:word}", 1)
    return "".join(part if part.startswith("{_:") else _NUMBERED.sub("{_:word}", part) for part in _FIELD.split(known))


_FIELD = re.compile(r"(\{_:word\})")
