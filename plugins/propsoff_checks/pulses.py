"""Arithmetic of servo pulses: ends, centre, corrections, ranges of switches. No board, no texts.

All pulses are in microseconds (us). Positions are 1000 to 2000 with the centre at 1500: gpiozero 2.0.1's defaults.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

LOW_US, CENTRE_US, HIGH_US = 1000, 1500, 2000
"""Where a servo channel's travel begins, rests and ends: gpiozero 2.0.1, common practice of the bench."""

LEAST_US, MOST_US = 800, 2200
"""What lies outside is no pulse of a channel: the 11 bits of CRSF reach from 880 to 2159.375 us (computed)."""

NARROW_US = 25
"""A range that is narrower is missed by a switch that is a few microseconds off: common practice."""


def crsf_us(ticks: int) -> float:
    """The pulse that a CRSF channel value means: us = (ticks - 992) * 5/8 + 1500, by the CRSF specification."""
    return (ticks - 992) * 5 / 8 + CENTRE_US


def is_pulse(us: int) -> bool:
    """Whether a channel can have such a pulse at all."""
    return LEAST_US <= us <= MOST_US


@dataclass(frozen=True, slots=True)
class Travel:
    """Where a channel begins, rests and ends. It is `sound` when these stand in this order and are pulses."""

    low: int = LOW_US
    centre: int = CENTRE_US
    high: int = HIGH_US

    @property
    def sound(self) -> bool:
        """Whether a stick could have such a travel."""
        return self.low < self.centre < self.high and is_pulse(self.low) and is_pulse(self.high)

    @property
    def positions(self) -> tuple[tuple[str, int], ...]:
        """The three positions of a switch, in words, and their pulses."""
        return (("low", self.low), ("middle", self.centre), ("high", self.high))


def correction_percent(reading: int, centre: int, wanted: int) -> float | None:
    """The end-point setting that brings a reading to the wanted end, in percent of what it is now.

    Half-range wanted / half-range measured. None where the reading is not on that side of the centre.
    """
    measured, asked = reading - centre, wanted - centre
    return 100 * asked / measured if measured * asked > 0 else None


def off_by(reading: int, wanted: int, tolerance: float) -> int:
    """How far a reading is off, 0 when it is within the tolerance."""
    off = reading - wanted
    return off if abs(off) > tolerance else 0


def meets(low: int, high: int, at: int, tolerance: float = 0) -> bool:
    """Whether a range, both ends included, has a point within the tolerance of a pulse."""
    return low <= at + tolerance and high >= at - tolerance


def within_reach(low: int, high: int, travel: Travel) -> int:
    """How much of a range a stick or switch can reach, in us; 0 or below when it can reach none of it."""
    return min(high, travel.high) - max(low, travel.low)


def covers(low: int, high: int, travel: Travel, tolerance: float = 0) -> bool:
    """Whether a range holds at every position of the travel."""
    return low <= travel.low + tolerance and high >= travel.high - tolerance


def shared_us(one: tuple[int, int], other: tuple[int, int]) -> int:
    """How much two ranges have in common, in us; ranges that only touch, or are apart, have 0."""
    return max(0, min(one[1], other[1]) - max(one[0], other[0]))


def overlapping(ranges: Sequence[tuple[int, int]]) -> Iterable[tuple[int, int]]:
    """The pairs of places whose ranges have more than a point in common, each once."""
    order = sorted(range(len(ranges)), key=lambda at: ranges[at])
    for place, first in enumerate(order):
        for second in order[place + 1 :]:
            if ranges[second][0] >= ranges[first][1]:
                break
            if shared_us(ranges[first], ranges[second]) > 0:
                yield (min(first, second), max(first, second))


def throttle_bound_us(travel: Travel, idle_percent: float | None) -> int:
    """Up to which throttle the motors only idle: the board's idle output, at least 5 and at most 10 percent."""
    percent = min(10.0, max(5.0, idle_percent or 0.0))
    return travel.low + round((travel.high - travel.low) * percent / 100)
