"""Two inspections side by side: which settings differ, which only one has, and which findings came and went."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from propsoff.records.named import IDENTITY, READINGS, named
from propsoff.records.verdicts import Verdicts, is_certain

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
    """A finding by name (CHECK/CODE) with its outcome on both sides.

    None where it was not found, `not known` where its check did not run or could not tell.
    """

    name: str
    a: str | None
    b: str | None
    summary: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """What two inspections have and do not have in common.

    `unreadable` are facts that one side at least could not read: they never count as equal. `readings` are set apart,
    since they differ from one minute to the next; `identity` tells one craft from another. `findings` are those that
    are known to differ, `findings_unknown` those of which one side could not tell.
    """

    equal: int
    differs: tuple[Difference, ...]
    only_a: tuple[Difference, ...]
    only_b: tuple[Difference, ...]
    unreadable: tuple[Difference, ...]
    readings: tuple[Difference, ...]
    identity: tuple[Difference, ...]
    findings: tuple[Changed, ...]
    findings_unknown: tuple[Changed, ...] = ()

    @property
    def same(self) -> bool:
        """Whether every setting was read on both sides and is the same, and so is every finding."""
        return not (self.different or self.unreadable or self.findings_unknown)

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
    changed = findings_changed(a, b)
    known = tuple(one for one in changed if is_certain(one.a) and is_certain(one.b))
    unknown = tuple(one for one in changed if one not in known)
    return Comparison(equal, **parts, findings=known, findings_unknown=unknown)


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
    left, right = Verdicts.of(a), Verdicts.of(b)
    changed = []
    for name in dict.fromkeys((*left.told, *right.told)):
        before, after = left.outcome(name), right.outcome(name)
        if before != after:
            _, summary = right.told.get(name) or left.told[name]
            changed.append(Changed(name, before, after, summary))
    return tuple(changed)
