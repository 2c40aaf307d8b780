"""The house plan of the switches, as a sheet states it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Any

from propsoff.sheets.form import Fault
from propsoff.sheets.model import PlannedSwitch, SwitchPlan

_LISTS = ("required", "together")


def switch_plan_of(table: Mapping[str, Any]) -> SwitchPlan:
    """The plan of a well-formed table."""
    pairs = (frozenset(pair) for group in table.get("together", ()) for pair in combinations(group, 2))
    return SwitchPlan(tuple(table.get("required", ())), _planned(table), frozenset(pairs))


def _planned(table: Mapping[str, Any]) -> dict[str, PlannedSwitch]:
    return {
        function: PlannedSwitch(*(_whole(where.get(key)) for key in ("channel", "from_us", "to_us")))
        for function, where in table.items()
        if function not in _LISTS
    }


def _whole(value: float | None) -> int | None:
    return None if value is None else int(value)


def switch_faults(table: Mapping[str, Any]) -> Iterator[Fault]:
    """Ranges that end before they begin, and functions on top of each other that nobody said may be."""
    planned, together = _planned(table), switch_plan_of(table).together
    for function, where in planned.items():
        if where.from_us is not None and where.to_us is not None and where.from_us > where.to_us:
            problem = f"from {where.from_us} to {where.to_us} us is no range: it ends before it begins"
            yield Fault(("switches", function, "from_us"), problem, "exchange the two")
    for first, second in combinations(planned, 2):
        if _overlap(planned[first], planned[second]) and frozenset((first, second)) not in together:
            problem = f"{first} and {second} are both active at some position of channel {planned[first].channel}"
            hint = f'move one of them, or allow it: together = [["{first}", "{second}"]] under [switches]'
            yield Fault(("switches", second), problem, hint)


def _overlap(one: PlannedSwitch, other: PlannedSwitch) -> bool:
    """Whether one position of a switch has both on. Ranges that only touch do not overlap; a value in one does."""
    if one.channel is None or one.channel != other.channel:
        return False
    low = max(one.from_us or 0, other.from_us or 0)
    highs = [each.to_us for each in (one, other) if each.to_us is not None]
    single = any(each.from_us is not None and each.from_us == each.to_us for each in (one, other))
    return not highs or low < min(highs) or (single and low == min(highs))
