"""Answers that say what the keys of another answer mean, a key a line."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from propsoff.learning.layouts.keys import rows_of
from propsoff.learning.model import Layout, Statement

_FEWEST = 6
_SHARE = 0.5
_WORDS = 1.6
"""So many words has a meaning on average."""
_HEAD = re.compile(r"[^,:;(]+")


def with_meanings(layouts: Sequence[Layout]) -> tuple[Layout, ...]:
    """The layouts without those that only say what keys mean; what they say is noted with the settings themselves."""
    tellers = [one for one in layouts if any(_tells(one, other) for other in layouts if other is not one)]
    if not tellers:
        return tuple(layouts)
    meanings = {statement.word: statement.text for one in tellers for statement in one.statements}
    return tuple(_noted(one, meanings) for one in layouts if one not in tellers)


def _tells(one: Layout, other: Layout) -> bool:
    """Whether an answer has the keys of another one, with several words beside each."""
    if one.grammar != "pairs" or other.grammar not in ("pairs", "sections") or len(one.statements) < _FEWEST:
        return False
    keys = {statement.path[-1] for statement in other.statements}
    shared = [statement for statement in one.statements if statement.word in keys]
    words = [len(re.findall(r"[^\W\d_]{2,}", statement.text)) for statement in shared]
    return len(shared) >= max(_FEWEST, _SHARE * len(keys)) and sum(words) >= _WORDS * len(words)


def _noted(layout: Layout, meanings: Mapping[str, str]) -> Layout:
    statements = tuple(_with(statement, meanings) for statement in layout.statements)
    if statements == layout.statements:
        return layout
    rows = rows_of(layout.command, statements) if layout.grammar in ("pairs", "sections") else layout.rows
    return replace(layout, statements=statements, rows=rows)


def _with(statement: Statement, meanings: Mapping[str, str]) -> Statement:
    said = meanings.get(statement.path[-1]) or next(
        (text for key, text in meanings.items() if _is_pattern_of(key, statement.path[-1])), ""
    )
    if not said:
        return statement
    head = _HEAD.match(said)
    return replace(statement, note=statement.note or _beside(said), called=head.group().strip() if head else "")


def _beside(said: str) -> str:
    """What a meaning says behind its first phrase: a unit, a legend, the parts of a value."""
    return said[match.end() :].strip(" ,:;()") if (match := _HEAD.match(said)) else said


def _is_pattern_of(pattern: str, key: str) -> bool:
    """Whether `UARTn` or `SW_x` stands for a key."""
    lead = re.fullmatch(r"(.*[^\Wa-z]_?)[a-z]", pattern)
    return lead is not None and key.startswith(lead[1]) and len(key) > len(lead[1])
