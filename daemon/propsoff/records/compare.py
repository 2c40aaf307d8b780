"""Two inspections side by side: which settings differ, which only one has, and which findings came and went."""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from propsoff.inspection.finding import Outcome
from propsoff.records.named import IDENTITY, READINGS, named

if TYPE_CHECKING:
    from propsoff.inspection.report import Report


@dataclass(frozen=True, slots=True)
class Difference:
    """A fact that is not the same on both sides. `a` and `b` are None where that side does not have it."""

    name: str
    a: Any
    b: Any
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class Changed:
    """A finding by name (CHECK/CODE) with its outcome on both sides; None where it was not found."""

    name: str
    a: str | None
    b: str | None
    summary: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """What two inspections have and do not have in common.

    `unreadable` are facts that one side at least could not read: they never count as equal. `readings` are set apart,
    since they differ from one minute to the next; `identity` tells one craft from another.
    """

    equal: int
    differs: tuple[Difference, ...]
    only_a: tuple[Difference, ...]
    only_b: tuple[Difference, ...]
    unreadable: tuple[Difference, ...]
    readings: tuple[Difference, ...]
    identity: tuple[Difference, ...]
    findings: tuple[Changed, ...]

    @property
    def same(self) -> bool:
        """Whether every setting was read on both sides and is the same, and so is every finding."""
        return not (self.differs or self.only_a or self.only_b or self.unreadable or self.findings)

    @property
    def different(self) -> bool:
        """Whether something is known to differ."""
        return bool(self.differs or self.only_a or self.only_b or self.findings)


def compare(a: Report, b: Report) -> Comparison:
    """Compare two reports, whatever they are of."""
    left, right = named(a), named(b)
    # A craft that was renamed has another setting; two craft have two names.
    one_craft = (serial := left.values.get("board.serial")) is not None and serial == right.values.get("board.serial")
    identity = IDENTITY - {"craft.name"} if one_craft else IDENTITY
    found: dict[str, list[Difference]] = {}
    equal = 0
    for name in dict.fromkeys((*left.values, *right.values)):
        one = Difference(
            name, left.values.get(name), right.values.get(name), left.units.get(name) or right.units.get(name)
        )
        lost = left.is_unreadable(name) or right.is_unreadable(name)
        kind = _kind(one, identity, lost=lost, in_a=name in left.values, in_b=name in right.values)
        if kind is None:
            equal += 1
        else:
            found.setdefault(kind, []).append(one)
    for name in sorted(left.unreadable | right.unreadable):
        if name not in left.values and name not in right.values:
            found.setdefault("unreadable", []).append(Difference(name, None, None))
    parts = {kind: tuple(found.get(kind, ())) for kind in _KINDS}
    return Comparison(equal, **parts, findings=findings_changed(a, b))


_KINDS = ("differs", "only_a", "only_b", "unreadable", "readings", "identity")


def _kind(one: Difference, identity: Set[str], *, lost: bool, in_a: bool, in_b: bool) -> str | None:
    """Which part of a comparison a fact belongs to; None when it is the same."""
    same = in_a and in_b and one.a == one.b and isinstance(one.a, bool) == isinstance(one.b, bool)
    if one.name in READINGS:
        return None if same and not lost else "readings"
    if lost:
        return "unreadable"
    if same:
        return None
    if one.name in identity:
        return "identity"
    return "differs" if in_a and in_b else "only_a" if in_a else "only_b"


def findings_changed(a: Report, b: Report) -> tuple[Changed, ...]:
    """Findings that are not the same on both sides, in the order in which they were made."""
    left, right = _findings(a), _findings(b)
    changed = []
    for name in dict.fromkeys((*left, *right)):
        before, after = left.get(name), right.get(name)
        if (before and before[0]) != (after and after[0]):
            told = after or before
            assert told is not None
            changed.append(Changed(name, before and before[0], after and after[0], told[1]))
    return tuple(changed)


_SAYS_NOTHING = (Outcome.PASS, Outcome.SKIPPED)


def _findings(report: Report) -> Mapping[str, tuple[str, str]]:
    """By name the outcome that counts and the summary of what is no pass; a waived one is called so."""
    found: dict[str, tuple[str, str]] = {}
    for one in report.findings:
        if one.outcome in _SAYS_NOTHING:
            continue
        outcome = one.outcome.value if one.waived is None else f"{one.outcome.value}, waived"
        found.setdefault(one.name, (outcome, one.summary))
    return found
