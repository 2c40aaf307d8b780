"""What the board says of its sticks: the travel that it expects, and which channel each stick arrives on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil

from propsoff import Case, Expected, Range
from propsoff_checks.channel_order import CONTROLS, parts_of
from propsoff_checks.pulses import CENTRE_US, HIGH_US, LOW_US, Travel, crsf_us, is_pulse

ENDS: Mapping[str, int] = {"channels.low": LOW_US, "channels.centre": CENTRE_US, "channels.high": HIGH_US}
"""The facts of the travel, and what each is by common practice."""

ENDS_OFF_US = ceil(LOW_US - crsf_us(172))
"""How far the ends may lie from 1000 and 2000 where no sheet names them: CRSF's common ends, 172 and 1811, do."""

LIVE_OFF_US = 5
"""How far a reading may be off: one percent of the half-range, the step in which transmitters set ends (common
practice); eight ticks of CRSF (computed)."""


def live_tolerance(case: Case) -> float:
    """How far a reading of a channel may be off, in us."""
    stated = case.sheet.tolerance("channels.live")
    return LIVE_OFF_US if stated is None else stated


def end_allowed(expected: Expected | None, fact: str, value: int) -> bool:
    """Whether the board's own low end, centre or high end will do, by the sheet or else by common practice."""
    if expected is not None:
        return is_pulse(value) and expected.allows(value)
    return abs(value - ENDS[fact]) <= (LIVE_OFF_US if fact == "channels.centre" else ENDS_OFF_US)


def end_wanted(expected: Expected | None, fact: str) -> int:
    """What this end, or the centre, should be: of what the sheet allows, the nearest to common practice."""
    usual = ENDS[fact]
    if expected is None or expected.allows(usual):
        return usual
    bounds = [side for one in expected.values if isinstance(one, Range) for side in (one.low, one.high)]
    numbers = [int(value) for value in (*expected.plain, *bounds) if isinstance(value, int | float)]
    return min(numbers, key=lambda value: abs(value - usual), default=usual)


def travel_of(case: Case) -> Travel:
    """The travel to hold readings against: the board's, and where that is not right what it should be."""
    found = []
    for fact in ENDS:
        value, expected = case.craft.value(fact), case.sheet.expected(fact)
        found.append(value if value is not None and end_allowed(expected, fact, value) else end_wanted(expected, fact))
    travel = Travel(*found)
    return travel if travel.sound else Travel()


def stick_channels(case: Case) -> dict[str, int]:
    """Each stick's letter and the channel (from 1) that it arrives on; 1 to 4 in order where the order is no order."""
    parts = parts_of(case.craft.channels.order or "")
    if not each_stick_once(parts):
        return {letter: at for at, letter in enumerate("AETR", start=1)}
    return {part: at for at, part in enumerate(parts, start=1) if part in CONTROLS}


def each_stick_once(parts: Sequence[str]) -> bool:
    """Whether an order has each of the four sticks once, and further channels by number."""
    return sorted(part for part in parts if not (part.isascii() and part.isdigit())) == sorted(CONTROLS)


def order_as_meant(case: Case) -> bool:
    """Whether the board's order has each stick once and is the sheet's, so that a channel is known by its stick."""
    order, expected = case.craft.channels.order, case.sheet.expected("channels.order")
    parts = parts_of(order or "")
    if not each_stick_once(parts):
        return False
    if expected is None or expected.allows(order):
        return True
    return any(parts_of(str(value))[:4] == parts[:4] for value in expected.plain)


def link_down(case: Case) -> str | None:
    """Why the readings say nothing: no transmitter is heard. None where they do, or where nobody can tell."""
    live, blocks = case.craft.channels.live, case.craft.arming.blocks
    if blocks is not None and "no-receiver-link" in blocks:
        return "the board hears no transmitter; switch it on and inspect again"
    if blocks is None and live is not None:
        if not any(map(is_pulse, live)):
            return "no channel has a pulse, as without a transmitter; switch it on and inspect again"
        if len(live) > 1 and len(set(live)) == 1:
            return f"every channel reads {live[0]} us, as without a transmitter; switch it on and inspect again"
    return None
