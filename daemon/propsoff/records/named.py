"""Facts under names that mean the same in every report: rows are called by what they are, and not by their place."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from propsoff.craft.names import CALLED_BY
from propsoff.inspection.mishap import LISTING_ID

if TYPE_CHECKING:
    from propsoff.inspection.report import Report

READINGS = frozenset({"battery.volts", "channels.live", "logger.free_bytes", "arming.blocks"})
"""What a board measures or says of the moment: it differs from one minute to the next, and nobody set it."""

IDENTITY = frozenset({"board.serial", "craft.name"})
"""What tells one craft from another: it differs between two craft that are set alike."""

NOT_WHOLE = f"{LISTING_ID}/not-whole"
"""The finding that something a board said is missing, and nobody can tell what."""

_ROW = re.compile(r"(ports|switches|overlay\.elements)\[([0-9]+)\](?:\.(.+))?")


@dataclass(frozen=True, slots=True)
class Named:
    """Facts by name (`ports[UART2].baud`), and the names or beginnings of names of what could not be read."""

    values: Mapping[str, Any]
    units: Mapping[str, str]
    unreadable: frozenset[str]
    whole: bool = True
    """Whether all that the board had to say was read: else what is not there may only have been missed."""

    def is_unreadable(self, name: str) -> bool:
        """Whether a fact that is not there may be there all the same."""
        if name in self.values:
            return name in self.unreadable
        row = name.rpartition(".")[0]
        return not self.whole or bool({name, row, name.partition("[")[0], name.partition(".")[0]} & self.unreadable)


def named_facts(facts: Mapping[str, Any]) -> dict[str, Any]:
    """The facts with rows called by their own names: `ports[1].baud` is `ports[UART2].baud`, wherever it stands.

    A row without a name keeps its number; of two with one name the second is `ports[UART2 #2]`. The name itself is no
    fact besides, where the row says anything else.
    """
    rows = _rows(facts)
    return {_renamed(name, rows): value for name, value in facts.items() if not _only_names(name, facts)}


def named(report: Report) -> Named:
    """The facts of a report under such names, and what it could not read."""
    facts = {fact.name: fact.value for fact in report.facts}
    rows = _rows(facts)
    units = {_renamed(fact.name, rows): fact.unit for fact in report.facts if fact.unit}
    values = named_facts(facts)
    gaps = any(one.name == NOT_WHOLE for one in report.findings)
    return Named(values, units, _unread(report, rows), report.complete and not gaps)


def _unread(report: Report, rows: Mapping[tuple[str, str], str]) -> frozenset[str]:
    found: set[str] = set()
    for problem in report.problems:
        if problem.fact is None:
            continue
        name = _renamed(problem.fact, rows)
        # A row that nobody can name may be any of its group.
        lost = _ROW.fullmatch(problem.fact)
        found.add(lost[1] if lost is not None and (lost[1], lost[2]) not in rows else name)
    return frozenset(found)


def _rows(facts: Mapping[str, Any]) -> dict[tuple[str, str], str]:
    """By group and number what each row is called."""
    found: dict[tuple[str, str], str] = {}
    taken: dict[tuple[str, str], int] = {}
    for name in _indices(facts):
        group, number = name
        own = facts.get(f"{group}[{number}].{CALLED_BY[group]}")
        called = str(own) if own not in (None, "") else f"row {int(number) + 1}"
        count = taken[group, called] = taken.get((group, called), 0) + 1
        found[name] = called if count == 1 else f"{called} #{count}"
    return found


def _only_names(name: str, facts: Mapping[str, Any]) -> bool:
    match = _ROW.fullmatch(name)
    if match is None or match[3] != CALLED_BY[match[1]]:
        return False
    row = f"{match[1]}[{match[2]}]."
    return any(other.startswith(row) and other != name for other in facts)


def _indices(names: Iterable[str]) -> dict[tuple[str, str], None]:
    matches = (_ROW.fullmatch(name) for name in names)
    return dict.fromkeys((match[1], match[2]) for match in matches if match is not None)


def _renamed(name: str, rows: Mapping[tuple[str, str], str]) -> str:
    match = _ROW.fullmatch(name)
    if match is None or (called := rows.get((match[1], match[2]))) is None:
        return name
    return f"{match[1]}[{called}]" + (f".{match[3]}" if match[3] else "")
