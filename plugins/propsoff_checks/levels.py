"""A version or a date against what a build sheet allows: too old, too new, another one, or not to be told."""

from __future__ import annotations

from typing import Literal

from propsoff import Expected, Range, compare_versions
from propsoff_checks.words import cut

Level = Literal["fits", "old", "new", "other", "unclear"]
_FIRST: tuple[Level, ...] = ("fits", "unclear")


def level(found: object, expected: Expected) -> Level:
    """Where a version stands. `old` and `new` only when it is so for everything that is allowed."""
    if expected.allows(found):
        return "fits"
    verdicts = {_one(str(found), one) for one in expected.values}
    for verdict in _FIRST:
        if verdict in verdicts:
            return verdict
    return verdicts.pop() if len(verdicts) == 1 else "other"


def _one(found: str, allowed: object) -> Level:
    if isinstance(allowed, Range):
        return _in_range(found, allowed)
    if not isinstance(allowed, str):
        return "other"
    order = compare_versions(found, allowed)
    if order is None:
        return "unclear"
    return "fits" if order == 0 else "old" if order < 0 else "new"


def _in_range(found: str, allowed: Range) -> Level:
    low = 0 if allowed.low is None else compare_versions(found, str(allowed.low))
    high = 0 if allowed.high is None else compare_versions(found, str(allowed.high))
    if low is not None and low < 0:
        return "old"
    if high is not None and high > 0:
        return "new"
    return "unclear" if low is None or high is None else "fits"


def wanted(expected: Expected, verdict: Level) -> str:
    """What to bring it to, in words."""
    only = expected.values[0] if len(expected.values) == 1 else None
    if isinstance(only, Range) and verdict == "old":
        above = "" if only.high is None else f", at most {only.high}"
        return cut(f"{only.low} or newer{above}")
    if isinstance(only, Range) and verdict == "new":
        below = "" if only.low is None else f", at least {only.low}"
        return cut(f"{only.high} or older{below}")
    return cut(str(expected))
