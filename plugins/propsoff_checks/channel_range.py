"""Where the sticks begin, rest and end: what the board expects, and what it reads now."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from propsoff import Case, Finding, check
from propsoff_checks.channel_order import CONTROLS
from propsoff_checks.pulses import LEAST_US, MOST_US, Travel, correction_percent, is_pulse, off_by
from propsoff_checks.sticks import (
    ENDS,
    end_allowed,
    end_wanted,
    link_down,
    live_tolerance,
    order_as_meant,
    stick_channels,
    travel_of,
)
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, listed

_AT_END_US = 60
_AT_REST_US = 100
_MOST_PERCENT = 150.0
"""No transmitter widens an end further: common practice."""
_NAMES = {"channels.low": "low end", "channels.centre": "centre", "channels.high": "high end"}
_CODES = {"channels.low": "low-end", "channels.centre": "centre", "channels.high": "high-end"}
_RAISED_WHY = "The motors would run at once when the craft is armed, or it will not arm at all."
_DRIFT_WHY = "The craft rolls, pitches or turns by itself, and the pilot steers against it all the time."
_ENDS_WHY = "Full stick is not full deflection, or it is reached too early."
_HOLD = (
    "Propellers off, transmitter on: hold one stick at an end and inspect again; it must read {low} us, and {high} us "
    "at the other end. One reading shows the sticks only where they stand."
)

_REST = (
    "Propellers off, transmitter on: let go of the sticks and inspect again; roll, pitch and yaw must read {centre} us."
)


@check(
    "channel-range",
    title="Channel range: every stick reaches its ends and rests at its centre",
    why=_ENDS_WHY,
    reads=("channels.low", "channels.centre", "channels.high", "channels.live", "channels.order", "arming.blocks"),
    sources=(
        "gpiozero 2.0.1: servo pulses from 1000 to 2000 us, centre 1500",
        "CRSF protocol specification: us = (ticks - 992) * 5/8 + 1500, so 192, 992 and 1792 are 1000, 1500 and 2000",
        "CRSF ticks 172 and 1811 (987.5 and 2011.875 us) are common ends: from memory, computed",
        "ends that read 1000 and 2000 us, within 5 us of them and of the centre: common practice",
        *SAFETY_SOURCES,
    ),
    caution=PROPELLERS_OFF,
)
def channel_range(case: Case) -> Iterator[Finding]:
    """The ends and the centre that the board expects; then the sticks at rest."""
    channels = case.craft.channels
    if channels.live is None and all(case.craft.value(fact) is None for fact in ENDS):
        yield case.unread(*ENDS, "channels.live")
        return
    found = [*_unread(case), *_ends(case)]
    why_not = _not_judged(case)
    if why_not is None:
        found += _sticks(case)
    yield from found
    if not found and why_not is not None and channels.live is not None:
        yield case.skipped(f"{_expects(case)}; the sticks are not judged: {why_not}")
    elif not found:
        yield case.passed(_well(case), facts=("channels.low", "channels.centre", "channels.high", "channels.live"))


def _expects(case: Case) -> str:
    known = [f"{_NAMES[fact]} {case.craft.value(fact)} us" for fact in ENDS if case.craft.value(fact) is not None]
    return listed(known) if known else "neither ends nor centre were read"


def _well(case: Case) -> str:
    if case.craft.channels.live is None:
        return f"{_expects(case)}; this board does not say where the sticks stand"
    readings = listed(f"{name} {_reading(case, letter)}" for letter, name in CONTROLS.items())
    return f"{_expects(case)}; the sticks at rest, in us: {readings}; the ends show only while a stick is held there"


def _reading(case: Case, letter: str) -> int:
    return (case.craft.channels.live or ())[stick_channels(case)[letter] - 1]


def _unread(case: Case) -> Iterator[Finding]:
    """What the sheet expects, or what nobody can do without, and was not read."""
    problems = {problem.fact for problem in case.craft.problems}
    missing = [
        fact
        for fact in ENDS
        if case.craft.value(fact) is None and (case.sheet.expected(fact) is not None or fact in problems)
    ]
    if case.craft.channels.live is None and "channels.live" in problems:
        missing.append("channels.live")
    if case.craft.channels.live is not None and case.craft.channels.order is None:
        missing.append("channels.order")
    if missing:
        yield case.unread(*missing)


def _not_judged(case: Case) -> str | None:
    """Why the readings are not looked at, None when they are."""
    live = case.craft.channels.live
    if live is None or case.craft.channels.order is None:
        return "nothing to judge by was read"
    if (down := link_down(case)) is not None:
        return down
    return None if order_as_meant(case) else "the channel order is not the one that is expected (see channel-order)"


def _ends(case: Case) -> Iterator[Finding]:
    stated = {fact: case.craft.value(fact) for fact in ENDS if case.craft.value(fact) is not None}
    absurd = [fact for fact, value in stated.items() if not is_pulse(value)]
    if absurd:
        yield _absurd(case, absurd)
        return
    in_order = list(stated.values())
    if any(first >= second for first, second in pairwise(in_order)):
        yield _reversed(case, list(stated))
        return
    for fact, value in stated.items():
        expected = case.sheet.expected(fact)
        if not end_allowed(expected, fact, value):
            yield _end(case, fact, value)


def _wanted(case: Case) -> dict[str, int]:
    return {fact: end_wanted(case.sheet.expected(fact), fact) for fact in ENDS}


def _settings(case: Case, facts: list[str]) -> list[tuple[str, object]]:
    """What puts these right; nothing where the sheet allows several and nobody knows which is meant."""
    expected = {fact: case.sheet.expected(fact) for fact in facts}
    known = all(one is None or one.only is not None for one in expected.values())
    return [(fact, end_wanted(one, fact)) for fact, one in expected.items()] if known else []


def _absurd(case: Case, facts: list[str]) -> Finding:
    wanted = _wanted(case)
    said = listed(f"{_NAMES[fact]} {case.craft.value(fact)} us" for fact in facts)
    return case.fail(
        f"no stick can be there: {said}",
        code="absurd",
        facts=facts,
        expected=f"pulses between {LEAST_US} and {MOST_US} us; {listed(str(us) for us in wanted.values())} are usual",
        actual=said,
        why="The board divides by these: the sticks do nothing, or everything at once.",
        settings=_settings(case, facts),
        steps=(_HOLD.format(low=wanted["channels.low"], high=wanted["channels.high"]),),
    )


def _reversed(case: Case, facts: list[str]) -> Finding:
    wanted = _wanted(case)
    return case.fail(
        f"the low end, the centre and the high end are not in this order: {_expects(case)}",
        code="reversed",
        facts=facts,
        expected=f"{listed(str(us) for us in wanted.values())} us",
        actual=_expects(case),
        why="Up is taken for down: the throttle stick at its low end is full throttle.",
        settings=_settings(case, facts),
        steps=("A stick that works the wrong way round is reversed in the transmitter, not here.",),
    )


def _end(case: Case, fact: str, value: int) -> Finding:
    expected, wanted = case.sheet.expected(fact), _wanted(case)[fact]
    tell = case.fail if expected is not None or fact == "channels.centre" else case.warn
    ends = _wanted(case)
    steps = [_REST.format(centre=wanted)]
    if fact != "channels.centre":
        steps = [_HOLD.format(low=ends["channels.low"], high=ends["channels.high"])]
    percent = correction_percent(value, travel_of(case).centre, wanted)
    if fact != "channels.centre" and percent is not None:
        steps.insert(
            0,
            f"If the board was set to this because the sticks reach no further, or too far: set that end of the "
            f"channels in the transmitter to {percent:.1f} % of what it is, and the board to {wanted} us.",
        )
    return tell(
        f"the board takes {value} us for the {_NAMES[fact]} of the sticks, where {wanted} us "
        f"{'is expected' if expected is not None else 'is usual'}",
        code=_CODES[fact],
        facts=(fact,),
        expected=f"{expected} us" if expected is not None else f"{wanted} us (common practice)",
        actual=f"{value} us",
        why=_DRIFT_WHY if fact == "channels.centre" else _ENDS_WHY,
        settings=_settings(case, [fact]),
        steps=steps,
    )


def _sticks(case: Case) -> Iterator[Finding]:
    """The sticks at rest: throttle at its low end, the others at their centre."""
    live, channels = case.craft.channels.live or (), stick_channels(case)
    absent = [letter for letter, channel in channels.items() if channel > len(live)]
    if absent:
        yield _absent(case, absent)
    here = {letter: live[channel - 1] for letter, channel in channels.items() if letter not in absent}
    silent = [letter for letter, us in here.items() if not is_pulse(us)]
    if silent:
        yield _silent(case, silent)
    travel = travel_of(case)
    for letter, us in here.items():
        if letter not in silent:
            yield from _throttle(case, us, travel) if letter == "T" else _centred(case, letter, us, travel)


def _channel(case: Case, letter: str) -> int:
    return stick_channels(case)[letter]


def _absent(case: Case, letters: list[str]) -> Finding:
    count = len(case.craft.channels.live or ())
    return case.fail(
        f"only {count} channels arrive: nothing drives {listed(CONTROLS[letter] for letter in letters)}",
        code="stick-missing",
        facts=("channels.live", "channels.order"),
        expected=listed(f"{CONTROLS[letter]} on channel {_channel(case, letter)}" for letter in letters),
        actual=f"{count} channels",
        why="A control without a channel cannot be flown.",
        steps=("Let the transmitter and the receiver send all channels, and inspect again.",),
    )


def _silent(case: Case, letters: list[str]) -> Finding:
    reads = " reads" if len(letters) == 1 else ""
    said = listed(f"{CONTROLS[letter]}{reads} {_reading(case, letter)} us" for letter in letters)
    every = len(letters) == len(CONTROLS)
    return case.fail(
        f"{'no stick has a pulse' if every else 'no pulse'}: {said}",
        code="no-pulse",
        facts=("channels.live",),
        expected=f"pulses between {LEAST_US} and {MOST_US} us",
        actual=said,
        why="This is no position of a stick: what the board makes of it nobody knows.",
        steps=(
            "Propellers off, transmitter on, receiver bound: inspect again. If it stays, see the receiver's wiring and "
            "protocol.",
        ),
        explains=("arming-blocks/throttle-not-low",) if "T" in letters else (),
    )


def _throttle(case: Case, us: int, travel: Travel) -> Iterator[Finding]:
    off = off_by(us, travel.low, live_tolerance(case))
    if not off:
        return
    percent = correction_percent(us, travel.centre, travel.low)
    end = f"set the low end of channel {_channel(case, 'T')} in the transmitter to {percent or 0:.1f} % of what it is"
    if off > _AT_END_US:
        can = percent is not None and percent <= _MOST_PERCENT
        yield _raised(case, us, travel, f"If the stick is at its low end: {end}." if can else "")
        return
    beyond = off < 0
    tell = case.warn if beyond and case.sheet.tolerance("channels.live") is None else case.fail
    yield tell(
        f"throttle at its low end reads {us} us, {abs(off)} us {'beyond' if beyond else 'short of'} {travel.low} us",
        code="throttle-beyond" if beyond else "throttle-short",
        facts=("channels.live", "channels.order"),
        expected=f"{travel.low} us within {live_tolerance(case):g} us",
        actual=f"{us} us",
        why=_ENDS_WHY if beyond else _RAISED_WHY,
        steps=(
            f"In the transmitter: {end} ({travel.centre - travel.low}/{travel.centre - us}, half-range wanted by "
            "half-range measured).",
            _HOLD.format(low=travel.low, high=travel.high),
        ),
        explains=() if beyond else ("arming-blocks/throttle-not-low",),
    )


def _raised(case: Case, us: int, travel: Travel, end: str) -> Finding:
    turned = us >= travel.high - _AT_END_US
    place = "at its high end" if turned else "not at its low end"
    turn = "If the stick is at its low end already: reverse the throttle channel in the transmitter." if turned else end
    return case.fail(
        f"throttle reads {us} us: the stick is {place}{', or the channel is reversed' if turned else ''}",
        code="throttle-raised",
        facts=("channels.live", "channels.order"),
        expected=f"{travel.low} us within {live_tolerance(case):g} us",
        actual=f"{us} us",
        why=_RAISED_WHY,
        steps=tuple(filter(None, ("Pull the throttle stick to its low end and inspect again.", turn))),
        explains=("arming-blocks/throttle-not-low",),
    )


def _centred(case: Case, letter: str, us: int, travel: Travel) -> Iterator[Finding]:
    off = off_by(us, travel.centre, live_tolerance(case))
    if not off:
        return
    away = abs(off) > _AT_REST_US
    trim = f"in the transmitter, move the centre trim of channel {_channel(case, letter)} by {-off:+d} us"
    yield case.fail(
        f"{CONTROLS[letter]} reads {us} us, {abs(off)} us {'above' if off > 0 else 'below'} its centre"
        f"{'' if not away else ': the stick is held, or another control is on this channel'}",
        code="stick-away" if away else "centre-trim",
        facts=("channels.live", "channels.order"),
        expected=f"{travel.centre} us within {live_tolerance(case):g} us",
        actual=f"{us} us",
        why=_DRIFT_WHY,
        steps=(
            "Let go of the sticks and inspect again.",
            f"If it stays: {trim}."
            if not away
            else "If it stays: see in the transmitter what is sent on this channel.",
        ),
    )
