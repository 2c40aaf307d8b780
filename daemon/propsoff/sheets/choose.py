"""Which build sheet is meant for a craft: the most specific of those that match."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase

from propsoff.craft.model import Craft
from propsoff.exceptions import SheetError
from propsoff.sheets.model import BuildSheet, MatchRule

PORT = "port"
"""What a match rule about the socket of the bench looks at, in place of a fact of the craft."""

_WILD = frozenset("*?[")


@dataclass(frozen=True)
class Chosen:
    """The sheet, and in words why this one. `undecided` says which other sheets could not be ruled out, and why."""

    sheet: BuildSheet
    why: str
    undecided: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Met:
    """A rule that the craft meets, and the pattern that did it."""

    rule: MatchRule
    pattern: str
    exact: bool

    @property
    def literals(self) -> int:
        return sum(1 for char in self.pattern if char not in _WILD)


def choose(sheets: Sequence[BuildSheet], craft: Craft, port: Sequence[str] = ()) -> Chosen:
    """The most specific sheet that matches: more rules win, then more rules without wildcards, then longer patterns.

    `port` are the names of the port that the craft is on, its USB path and its device; empty when nobody knows.
    A sheet without rules is a house default: it serves when none matches, the operator's own before the built-in one.
    Abstract sheets never serve. Raises SheetError, naming both, when two match equally well, and when none is there.
    """
    ranked: list[tuple[tuple[int, ...], BuildSheet, list[_Met]]] = []
    undecided: list[str] = []
    for sheet in sheets:
        if sheet.abstract:
            continue
        met, unread, fits = _compare(sheet, craft, port)
        if fits and unread:
            undecided.append(f"{sheet.name} ({', '.join(unread)} not read)")
        elif fits:
            ranked.append((_rank(sheet, met), sheet, met))
    if not ranked:
        raise SheetError("no build sheet serves this craft", hint="add a sheet without [match] as the house default")
    ranked.sort(key=lambda entry: entry[0], reverse=True)
    rank, sheet, met = ranked[0]
    if len(ranked) > 1 and ranked[1][0] == rank:
        raise _tie(sheet, ranked[1][1])
    return Chosen(sheet, _reason(sheet, met), tuple(undecided))


def _compare(sheet: BuildSheet, craft: Craft, port: Sequence[str]) -> tuple[list[_Met], list[str], bool]:
    """Rules met, facts of rules that cannot be told, and whether no rule speaks against it."""
    met: list[_Met] = []
    unread: list[str] = []
    for rule in sheet.match:
        values = _found(rule, craft, port)
        if not values:
            unread.append(rule.fact)
            continue
        tries = (_meet(rule, pattern, value) for pattern in rule.patterns for value in values)
        best = max(tries, key=_closeness)
        if best is None:
            return [], [], False
        met.append(best)
    return met, unread, True


def _found(rule: MatchRule, craft: Craft, port: Sequence[str]) -> Sequence[str]:
    """What a rule is compared with; empty when that was not read."""
    if rule.fact == PORT:
        return port
    value = craft.value(rule.fact)
    return () if value is None else (str(value),)


def _meet(rule: MatchRule, pattern: str, value: str) -> _Met | None:
    wanted, found = pattern.casefold(), value.strip().casefold()
    if wanted == found:
        return _Met(rule, pattern, exact=True)
    if _WILD.intersection(wanted) and fnmatchcase(found, wanted):
        return _Met(rule, pattern, exact=False)
    return None


def _closeness(met: _Met | None) -> tuple[int, ...]:
    return (-1,) if met is None else (int(met.exact), met.literals)


def _rank(sheet: BuildSheet, met: Sequence[_Met]) -> tuple[int, ...]:
    return (len(met), sum(one.exact for one in met), sum(one.literals for one in met), int(not sheet.built_in))


def _reason(sheet: BuildSheet, met: Sequence[_Met]) -> str:
    if sheet.house_default:
        return "no build sheet matches this craft: the house defaults apply"
    return " and ".join(f"{one.rule.key} {'is' if one.exact else 'matches'} {one.pattern}" for one in met)


def _tie(first: BuildSheet, second: BuildSheet) -> SheetError:
    return SheetError(
        f"build sheets {first.name} ({first.source}) and {second.name} ({second.source}) match this craft equally well",
        key="match",
        hint="add a rule to the one that should win",
    )
