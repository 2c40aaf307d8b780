"""Craft of one kind side by side: in which setting one stands against the others, and which has which fault."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from propsoff.records.named import IDENTITY, READINGS, Named

ABSENT = "not stated"
"""How a setting is shown that a board was read whole without."""


@dataclass(frozen=True, slots=True)
class Sibling:
    """One craft by its newest visit. `faults` are CHECK/CODE to (outcome, summary) of what wants doing.

    `left` says why its findings are those of that day and not today's; empty when they are today's. `found` are
    all findings that are no pass, also those that a build sheet lets be and effects of others; `asked` are the checks
    that had something to say of it, `unsure` those among them that could not tell. `ended` says how its conversation
    broke off; empty when it did not. `without` names the build sheet and the checks of the day of its visit that are
    not here.
    """

    label: str
    report: str
    created: str
    facts: Named
    faults: Mapping[str, tuple[str, str]]
    left: str = ""
    found: frozenset[str] = frozenset()
    asked: frozenset[str] = frozenset()
    unsure: frozenset[str] = frozenset()
    ended: str = ""
    without: tuple[str, ...] = ()

    def has(self, fault: str) -> bool:
        """Whether this fault was found on it, whatever came of it there."""
        return fault in self.faults or fault in self.found

    def may_have(self, fault: str) -> bool:
        """Whether nobody can say that it does not have this fault, which was not found on it."""
        check = fault.partition("/")[0]
        return not self.facts.whole or check in self.unsure or (bool(self.left) and check not in self.asked)


@dataclass(frozen=True, slots=True)
class Odd:
    """A setting that is not the same on all. `usual` is the value that most have; none where no value leads.

    `values` are the values as text, each with the labels of who has it, the most usual first. `unreadable` are those
    on which nobody knows.
    """

    name: str
    usual: str | None
    values: tuple[tuple[str, tuple[str, ...]], ...]
    unreadable: tuple[str, ...]

    @property
    def odd_ones(self) -> tuple[str, ...]:
        """Who stands against the others; nobody where no value leads."""
        if self.usual is None:
            return ()
        return tuple(label for value, labels in self.values if value != self.usual for label in labels)


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault that one of them has at least.

    `unknown` are those of which nobody can tell: not all was read, or the check was not there yet on that day.
    """

    name: str
    summary: str
    outcome: str
    has: tuple[str, ...]
    has_not: tuple[str, ...]
    unknown: tuple[str, ...]

    @property
    def shared(self) -> bool:
        """Whether it is not one craft's alone."""
        return len(self.has) > 1


def odd_settings(siblings: Sequence[Sibling]) -> tuple[Odd, ...]:
    """The settings that are not the same on all, in the order of their names; readings and identity are none."""
    names = {name for one in siblings for name in (*one.facts.values, *one.facts.unreadable)}
    found = [_odd(name, siblings) for name in sorted(names - READINGS - IDENTITY)]
    return tuple(one for one in found if one is not None)


def _odd(name: str, siblings: Sequence[Sibling]) -> Odd | None:
    by_value: dict[str, list[str]] = {}
    unreadable: list[str] = []
    for one in _comparable(name, siblings):
        if one.facts.is_unreadable(name):
            unreadable.append(one.label)
        else:
            by_value.setdefault(shown(one.facts, name), []).append(one.label)
    if len(by_value) < 2:
        return None
    values = sorted(by_value.items(), key=lambda pair: (-len(pair[1]), pair[0]))
    leads = len(values[0][1]) > len(values[1][1])
    return Odd(
        name,
        values[0][0] if leads else None,
        tuple((value, tuple(labels)) for value, labels in values),
        tuple(unreadable),
    )


def _comparable(name: str, siblings: Sequence[Sibling]) -> Sequence[Sibling]:
    """Those that can have this setting: a port's name is its board's own, and says nothing of another board."""
    if not name.startswith("ports["):
        return siblings
    boards = {_board(one) for one in siblings if name in one.facts.values or name in one.facts.unreadable}
    return [one for one in siblings if _board(one) in boards]


def _board(one: Sibling) -> Any:
    return one.facts.values.get("board.name")


def shown(facts: Named, name: str) -> str:
    """A fact's value as text, with its unit."""
    return text_of(facts.values[name], facts.units.get(name)) if name in facts.values else ABSENT


def text_of(value: Any, unit: str | None = None) -> str:
    """A value in words: lists parted by commas, yes and no, numbers with their unit."""
    if value is None:
        return ABSENT
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (list, tuple)):
        return ", ".join(text_of(one) for one in value) or "none"
    said = f"{value:g}" if isinstance(value, float) else str(value)
    return f"{said} {unit}" if unit else said


def faults_of(siblings: Sequence[Sibling]) -> tuple[Fault, ...]:
    """Every fault that one of them has, what most have first; and who has it not, or nobody knows of."""
    first: dict[str, tuple[str, str]] = {}
    for one in siblings:
        for name, told in one.faults.items():
            first.setdefault(name, told)
    found = []
    for name, (outcome, summary) in first.items():
        has = tuple(one.label for one in siblings if one.has(name))
        others = [one for one in siblings if not one.has(name)]
        has_not = tuple(one.label for one in others if not one.may_have(name))
        unknown = tuple(one.label for one in others if one.may_have(name))
        found.append(Fault(name, summary, outcome, has, has_not, unknown))
    return tuple(sorted(found, key=lambda one: (-len(one.has), one.name)))
