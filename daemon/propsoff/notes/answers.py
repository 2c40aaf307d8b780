"""What can be the answer to a question: in a file, where values have types, and at a prompt, where all is text."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime

from propsoff.craft.model import Scalar
from propsoff.sheets.model import Question
from propsoff.versions import compare_versions

LONGEST = 400
"""How long an answer may be, in characters."""

_NO_VERSION = 'a version in quotation marks that begins with a digit and can be compared, such as "1.10.0"'
_YES, _NO = ("y", "yes"), ("n", "no")
_INSTANT = re.compile(r"\d{4}-\d\d-\d\d[Tt ]\d\d:\d\d:\d\d(\.\d+)?([Zz]|[+-]\d\d:\d\d)\Z", re.ASCII)


def wanted_answer(question: Question, value: object) -> str | None:
    """None when a value can be the answer to a question, else in words what it should be instead."""
    match question.kind:
        case "yes-no":
            return None if isinstance(value, bool) else "true or false, without quotation marks"
        case "version":
            return None if isinstance(value, str) and is_version(value) else _NO_VERSION
        case "choice":
            return None if chosen(question, value) is not None else f"one of {_quoted(question.choices)}"
        case _:
            return None if isinstance(value, str) and value.strip() else "a text in quotation marks, not empty"


def is_version(text: str) -> bool:
    """Whether a text is a version that can be told older from newer."""
    return bool(re.match(r"[0-9]", text)) and compare_versions(text, text) == 0


def chosen(question: Question, value: object) -> str | None:
    """The choice that a value means, capitals aside; None when it means none."""
    if not isinstance(value, str):
        return None
    return next((one for one in question.choices if one.casefold() == value.strip().casefold()), None)


def answer_of(question: Question, typed: str) -> Scalar:
    """The answer that a person typed; a choice by its number, or by its words where these are no number.

    Raises ValueError, with what to type instead, for what is none.
    """
    text = typed.strip()
    if len(text) > LONGEST or not text.isprintable():
        raise ValueError(f"at most {LONGEST} characters, all of which print")
    match question.kind:
        case "yes-no":
            if text.casefold() in (*_YES, *_NO):
                return text.casefold() in _YES
            raise ValueError("y or n")
        case "version":
            if is_version(text):
                return text
            raise ValueError("a version that begins with a digit and can be compared, such as 1.10.0")
        case "choice":
            return _numbered(question, text)
        case _:
            if text:
                return text
            raise ValueError("a text")


def _numbered(question: Question, text: str) -> str:
    many = len(question.choices)
    if text.isascii() and text.isdigit():
        if len(text) <= len(str(many)) + 4 and 1 <= int(text) <= many:
            return question.choices[int(text) - 1]
    elif (words := chosen(question, text)) is not None:
        return words
    raise ValueError(f"a number from 1 to {many}")


def instant_of(value: object) -> str | None:
    """A time with its offset from UTC as RFC 3339 text; None for what is none: another type, or a time without one."""
    if isinstance(value, str):
        if not _INSTANT.match(value):
            return None
        try:
            value = datetime.fromisoformat(value.upper())
        except ValueError:
            return None
    if not isinstance(value, datetime) or value.tzinfo is None:
        return None
    return value.isoformat().replace("+00:00", "Z")


def _quoted(choices: Sequence[str]) -> str:
    return ", ".join(f'"{one}"' for one in choices)
