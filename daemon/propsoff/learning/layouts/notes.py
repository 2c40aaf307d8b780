"""Lines of an answer that state nothing themselves: comments, and marks of its end."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from propsoff.console.manner import Line
from propsoff.dialects.templates import compile_template
from propsoff.learning.habits import escaped
from propsoff.learning.measures import measure
from propsoff.learning.model import Statement

_MARKS = ("# ", "#", "; ", ";", "// ", "//", "-- ", "! ", "* ", "% ")
_COUNT = re.compile(r"\b([0-9]{1,4})\b")
CLOSES = re.compile(r"[})\];,.]{1,3}|end|END")
_RULE = re.compile(r"[-=_*~+.# ]{3,}")


def comments_in(lines: Sequence[Line], understood: frozenset[int]) -> tuple[tuple[str, ...], frozenset[int]]:
    """(templates of comment lines, the lines that they are) among those that nothing else understood."""
    left = [line for line in lines if line.number not in understood and line.text.strip()]
    found: dict[str, None] = {}
    known: set[int] = set()
    for line in left:
        text = line.text.strip()
        mark = next((mark for mark in _MARKS if text.startswith(mark)), None)
        if mark is not None and not _RULE.fullmatch(text):
            found.setdefault(escaped(mark.strip()) + ("{_:rest}" if not mark.endswith(" ") else " {_:rest}"))
        elif _RULE.fullmatch(text) or CLOSES.fullmatch(text):
            found.setdefault(escaped(text))
        else:
            continue
        known.add(line.number)
    return tuple(found), frozenset(known)


_ABOVE = re.compile(
    r"\s*(?:#|;|//|--|!)+\s*([^\s:=]+)\s*(?:(?:is )?(?:an? )?((?:bit ?)?mask|flags|bits|sum)(?: of)?\s*)?"
    r"[:=-]\s*(\S.*)",
    re.IGNORECASE,
)


def noted_above(statements: Sequence[Statement], lines: Sequence[Line]) -> list[Statement]:
    """The statements with what remarks such as `# rx-kind: 0 none, 1 serial` say of their keys."""
    notes = {
        match[1].casefold(): f"{match[2]}: {match[3]}" if match[2] else match[3]
        for line in lines
        if (match := _ABOVE.fullmatch(line.text))
    }
    return [
        replace(one, note=notes[key]) if not one.note and (key := _key_in(one, notes)) else one for one in statements
    ]


def _key_in(statement: Statement, notes: Mapping[str, str]) -> str:
    """The key under which a remark speaks of a setting: its whole word, the last of its path, or all but one part."""
    parts = re.split(r"([._/-])", statement.word.casefold())
    without = ("".join((*parts[:at], *parts[at + 2 :])) for at in range(2, len(parts) - 1, 2))
    keys = (statement.word.casefold(), statement.path[-1].casefold(), *without)
    return next((key for key in keys if key in notes), "")


def ends_in(
    lines: Sequence[Line], understood: frozenset[int], templates: Sequence[str] = ()
) -> tuple[Mapping[str, Any], frozenset[int]]:
    """(the end mark with its count, the line that it is), when the last line counts what was understood.

    The count is compared with later only where it is that of all lines before it, or of those that one of the
    `templates` of settings fits; else it is taken and forgotten, where the line is a mark by its looks.
    """
    telling = [line for line in lines if line.text.strip()]
    if not telling or telling[-1].number in understood or len(understood) < 2:
        return {}, frozenset()
    last = telling[-1]
    above = [line for line in lines if line.number < last.number]
    for match in _COUNT.finditer(last.text):
        if int(match[1]) == len(understood) and not _is_of_a_setting(last.text, match.end()):
            marks = _marks(last.text, match, above, templates)
            return marks, frozenset({last.number}) if marks else frozenset()
    return {}, frozenset()


def _is_of_a_setting(text: str, end: int) -> bool:
    """Whether a number is part of a key, as in `5 V Supply: 5.08 V`, or is measured."""
    behind = text[end:].split()
    return bool(behind) and (measure(behind[0]) is not None or _SETTING.search(text, end) is not None)


_SETTING = re.compile(r"[:=]\s*\S")


def _marks(text: str, count: re.Match[str], above: Sequence[Line], templates: Sequence[str]) -> Mapping[str, Any]:
    """The keys of a dialect's read command that say how a reply ends."""

    def ends(field: str) -> str:
        return (escaped(text[: count.start()]) + field + escaped(text[count.end() :])).strip()

    number = int(count[1])
    if number == len(above):
        return {"ends": ends("{count:int}")}
    for template in templates:
        fits = compile_template(template).fits
        if number == sum(fits(line.text) for line in above):
            return {"ends": ends("{count:int}"), "counted": template}
    return {"ends": ends("{_:int}")} if _MARK.match(text.strip()) else {}


_MARK = re.compile(r"(?:#|;|//|--|!|==)|(?:end|ende|fin|fine|fim|slut|koniec|konec)\b", re.IGNORECASE)
