"""Lines of the same kind as rows that are bound, but left out: whoever reads the rows would take them for all."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from propsoff.console.manner import Line
from propsoff.craft.names import CALLED_BY
from propsoff.learning.model import Answer, BoundRows, Meaning

_NUMBERED = re.compile(r"([^\W\d_]{1,8})([ _-]?)([0-9]{1,2})")
_LEAST_LEAD = 3
"""So many letters stand before a name where what they are tells the kind of a line."""


def without_partial(meaning: Meaning, answers: Sequence[Answer]) -> tuple[Meaning, tuple[str, ...]]:
    """(the meaning without groups of rows of which lines are left out, the names of these groups)."""
    by_command = {answer.command: answer for answer in answers}
    asked = [(one, by_command.get(one.rows.command)) for one in meaning.rows]
    partial = [one for one, answer in asked if answer is not None and (any(left_out(one, answer)) or _is_mixed(one))]
    if not partial:
        return meaning, ()
    rows = tuple(one for one in meaning.rows if all(one is not other for other in partial))
    unbound = (*meaning.unbound_rows, *(one.rows for one in partial))
    kept = Meaning(meaning.bound, rows, meaning.unbound, unbound)
    return kept, tuple(one.group for one in partial)


def _is_mixed(bound: BoundRows) -> bool:
    """Whether a row of the ports has a name that no port has: then it is another thing, called and written alike."""
    names = [cell for cell in bound.cells if cell.fact == "ports[].id"]
    return any(reading is None for cell in names for reading in cell.readings)


def left_out(bound: BoundRows, answer: Answer) -> Iterator[Line]:
    """The lines of an answer that look like further rows.

    A port has a number behind the same letters as the bound ones, in the same place; of other groups a line is one
    where it begins with the same words, and rows are told by these.
    """
    if bound.is_list or "path" in bound.rows.place:
        return
    own = next((cell.column for cell in bound.cells if cell.fact.endswith(f"[].{CALLED_BY[bound.group]}")), None)
    texts = {line.number: line.text for line in answer.lines}
    named = [row[own] for row in bound.rows.rows if own in row] if own else []
    ids = {cell.text.removeprefix(bound.rows.before).strip() for cell in named}
    used = {cell.line for row in bound.rows.rows for cell in row.values()}
    leads = {_lead(texts.get(cell.line, ""), cell.text.removeprefix(bound.rows.before).strip()) for cell in named}
    for line in answer.lines:
        further = (_is_further(line.text, lead, ids, bound) for lead in leads if lead is not None)
        if line.number not in used and any(further):
            yield line


def _lead(text: str, id_: str) -> str | None:
    """What stands before a name on its line; None when it does not stand there."""
    at = text.find(id_)
    if at < 0:
        return None
    lead = " ".join(text[:at].split())
    return f"{lead} " if lead and text[at - 1].isspace() else lead


def _is_further(text: str, lead: str, ids: set[str], bound: BoundRows) -> bool:
    """Whether a line has after the same lead a name like those, and none of them."""
    plain = " ".join(text.split())
    if not plain.startswith(lead) or not (rest := plain[len(lead) :]):
        return False
    if bound.group == "ports":
        letters = {match[1] + match[2] for one in ids if (match := _NUMBERED.fullmatch(one))}
        match = _NUMBERED.match(rest)
        if match and match[1] + match[2] in letters:
            return match.group() not in ids and not rest[match.end() : match.end() + 1].isalnum()
        number = re.match(r"[0-9]{1,2}(?![\w.])", rest)
        counted = all(one.isdigit() for one in ids) and _tells(lead)
        return counted and number is not None and number.group() not in ids
    word = re.match(r"[\w-]+", rest)
    return "line" in bound.rows.place and _tells(lead) and word is not None and not any(map(rest.startswith, ids))


def _tells(lead: str) -> bool:
    return sum(map(str.isalpha, lead)) >= _LEAST_LEAD
