"""Which function is on which switch, and whether it can be reached, and not by accident."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from propsoff import Case, Finding, Switch, SwitchPlan, check
from propsoff_checks.positions import in_words, name_of, say_switch, span_of, told
from propsoff_checks.pulses import NARROW_US, covers, meets, overlapping, within_reach
from propsoff_checks.sticks import link_down, live_tolerance, stick_channels, travel_of
from propsoff_checks.switchboard import ARMS, LINE_UP, Switchboard, planned_words
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, cut, listed

_MOST_SWITCHES = 64
_MOST_PAIRS = 8
_MOST_CHANNELS = 18
_PPM_CHANNELS = 8
_WORD = re.compile(r"[a-z0-9-]{1,60}\Z")
_MOMENTARY = ("beeper", "turtle")
_NEVER_TOGETHER = frozenset({frozenset({"arm", "turtle"})})
_ARMED_WHY = "The motors can start when nobody means it: at power-up, on loss of the link, or at a touch of a stick."
_DEAD_WHY = "The pilot moves the switch and nothing happens."


@check(
    "switch-plan",
    title="Switches: every function where it is meant, and none by accident",
    why="A switch that does something else than the pilot means is found out in the air.",
    reads=("switches", "channels", "arming.blocks", "receiver.kind"),
    sources=(
        "gpiozero 2.0.1: servo pulses from 1000 to 2000 us, centre 1500",
        "CRSF protocol specification: 16 channels; Zephyr's input_sbus.c: 16 and two more",
        "mftech.de: a PPM frame has eight channels",
        "arming on a switch of its own, off at its low end and its centre; ranges of 25 us or more: common practice",
        *SAFETY_SOURCES,
    ),
    caution=PROPELLERS_OFF,
)
def switch_plan(case: Case) -> Iterator[Finding]:
    """What is missing, then each switch, then functions on top of each other."""
    switches, plan = case.craft.switches, case.sheet.switches
    if switches is None:
        yield case.unread("switches")
        return
    found = [*_missing(case, switches, plan), *_unread(case, switches)]
    board = Switchboard(case, switches, plan, travel_of(case))
    if len(switches) > _MOST_SWITCHES:
        found.append(_too_many(case, len(switches)))
    beyond = _not_arriving(board)
    if beyond:
        found.append(_beyond(board, beyond))
    for at, switch in enumerate(switches[:_MOST_SWITCHES]):
        whole = switch.function is not None and None not in (switch.channel, switch.from_us, switch.to_us)
        if whole and at not in beyond:
            found += _one(board, at, switch)
    found += [*_armed_twice(board), *_overlaps(board)]
    yield from found
    if not found:
        words = in_words(switches, board.travel)
        yield case.passed(words[:400], facts=("switches",), actual=words)


def _missing(case: Case, switches: Sequence[Switch], plan: SwitchPlan) -> Iterator[Finding]:
    there = {(switch.function or "").casefold() for switch in switches}
    hidden = any(switch.function is None for switch in switches)
    for function in dict.fromkeys(("arm", *(each.casefold() for each in plan.required))):
        if function in there or hidden:
            continue
        where = next((at for name, at in plan.planned.items() if name.casefold() == function), None)
        asked = function in {each.casefold() for each in plan.required}
        place = planned_words(where) if where is not None else "on a switch of its own, not on channels 1 to 4"
        summary = f"no switch {'arms the craft' if function == 'arm' else f'has the function {cut(function)}'}"
        yield case.fail(
            f"{summary}{'; the build sheet asks for it' if asked else ''}",
            code=f"missing-{function}" if _WORD.match(function) else "missing",
            facts=("switches",),
            expected=f"{function}: {place}",
            actual=listed(name_of(switch) for switch in switches) or "no switch at all",
            why="It cannot be armed, or it is armed by something else." if function == "arm" else _DEAD_WHY,
            steps=(
                f"Give {function} a range on a free channel, for example from 1700 to 2100 us: off at the low end and "
                "at the centre of its switch."
                if where is None
                else f"Give {function} its place: {place}.",
                LINE_UP,
            ),
        )


def _unread(case: Case, switches: Sequence[Switch]) -> Iterator[Finding]:
    facts = [
        f"switches[{at}].{name}"
        for at, switch in enumerate(switches[:_MOST_SWITCHES])
        for name in ("function", "channel", "from_us", "to_us")
        if getattr(switch, name) is None
    ]
    if facts:
        yield case.unread(*facts[:8])


def _too_many(case: Case, count: int) -> Finding:
    return case.fail(
        f"the board lists {count} switches, more than any flight controller has",
        code="too-many",
        facts=("switches[0]",),
        expected=f"at most {_MOST_SWITCHES}",
        actual=str(count),
        steps=("Read the board again: the listing cannot be right.",),
    )


def _one(board: Switchboard, at: int, switch: Switch) -> Iterator[Finding]:
    """What is wrong with one switch: of several things the first, as to mend it mends or moves the others."""
    found = _on_stick(board, at, switch) or _range(board, at, switch)
    if found is None and name_of(switch).casefold() == "arm":
        found = _arm(board, at, switch)
    found = found or _always(board, at, switch) or _off_plan(board, at, switch)
    if found is not None:
        yield found
    if name_of(switch).casefold() == "arm" and (found is None or found.code == "off-plan"):
        yield from _on_now(board, at, switch)


def _arriving(case: Case) -> tuple[int, bool]:
    """How many channels there are, and whether that was seen just now."""
    live = case.craft.channels.live
    if live and link_down(case) is None:
        return len(live), True
    return (_PPM_CHANNELS if case.craft.receiver.kind == "ppm" else _MOST_CHANNELS), False


def _not_arriving(board: Switchboard) -> list[int]:
    """The switches on channels that there are not."""
    most, _ = _arriving(board.case)
    channels = [switch.channel for switch in board.switches[:_MOST_SWITCHES]]
    return [at for at, channel in enumerate(channels) if channel is not None and not 1 <= channel <= most]


def _beyond(board: Switchboard, places: Sequence[int]) -> Finding:
    most, seen = _arriving(board.case)
    first = board.switches[places[0]]
    who = listed(f"{name_of(board.switches[at])} on channel {board.switches[at].channel}" for at in places)
    arrive = f"only {most} channels arrive" if seen else f"there are at most {most} channels"
    where = board.planned(first.function or "")
    target = {"channel": where.channel} if where is not None and len(places) == 1 else {}
    return board.case.fail(
        f"nothing moves {who}: {arrive}",
        code="channel-missing",
        facts=tuple(f"switches[{at}]" for at in places),
        expected=f"a channel from 1 to {most}",
        actual="; ".join(f"{name_of(board.switches[at])}: {told(board.switches[at])}" for at in places[:6]),
        why=_DEAD_WHY,
        console=say_switch(board.case, board.switches, places[0], target),
        steps=(
            "See in the transmitter and the receiver how many channels are sent, and send them all; else give each "
            "function a channel that arrives.",
            LINE_UP,
        ),
    )


def _on_stick(board: Switchboard, at: int, switch: Switch) -> Finding | None:
    name, channel = name_of(switch), switch.channel or 0
    if channel not in stick_channels(board.case).values():
        return None
    if name.casefold() == "arm":
        return board.fail(
            at,
            f"arm is on channel {channel}, which is a stick's",
            "arm-on-stick",
            _ARMED_WHY,
            "a switch of its own",
            steps=("Take the battery off before anything else. Then give arm a channel on which there is a switch.",),
            caution=ARMS,
        )
    summary = f"{name} is on channel {channel}, which is a stick's"
    return board.fail(
        at, summary, "on-stick", "A stick switches it on and off in flight.", "a switch of its own", warn=True
    )


def _range(board: Switchboard, at: int, switch: Switch) -> Finding | None:
    name, (low, high) = name_of(switch), span_of(switch)
    travel = board.travel
    if low >= high:
        swap = {"from_us": high, "to_us": low} if within_reach(high, low, travel) >= NARROW_US else {}
        summary = f"the range of {name} ends before it begins: from {low} to {high} us"
        return board.fail(at, summary, "range-turned", _DEAD_WHY, "from the lower to the higher", wanted=swap)
    reach = within_reach(low, high, travel)
    ends = f"{travel.low} to {travel.high} us"
    if reach >= NARROW_US:
        return None
    if reach > 0 or meets(low, high, travel.low) or meets(low, high, travel.high):
        summary = f"{name} has {max(reach, 0)} us of the travel, too little to be hit: from {low} to {high} us"
        expected = f"at least {NARROW_US} us within {ends}"
        step = f"Widen it: a switch at an end reads {travel.low} or {travel.high} us, give or take a few."
        return board.fail(at, summary, "range-narrow", _DEAD_WHY, expected, steps=(step,))
    summary = f"{name} is out of reach: from {low} to {high} us, and channels go from {ends}"
    step = f"Give it a range within {ends}."
    return board.fail(at, summary, "out-of-reach", _DEAD_WHY, f"a range within {ends}", steps=(step,))


def _arm(board: Switchboard, at: int, switch: Switch) -> Finding | None:
    (low, high), travel, off = span_of(switch), board.travel, live_tolerance(board.case)
    expected = "active at the high end alone, for example from 1700 to 2100 us"
    step = "Give arm a range that leaves out the low end and the centre of its switch."
    if covers(low, high, travel, off):
        what, code = "over the whole travel: the craft is armed whatever the switch does", "arm-always"
    elif meets(low, high, travel.low, off):
        what, code = "at the low end of its switch, where a receiver without a link often leaves it", "arm-at-low"
    elif meets(low, high, travel.centre, off):
        what, code = "at the centre of its switch, where a receiver without a link often leaves it", "arm-at-centre"
    else:
        return None
    summary = f"arm is active {what}"
    return board.fail(at, summary, code, _ARMED_WHY, expected, steps=(step,), caution=ARMS, explains=_ON_NOW)


_ON_NOW = ("arming-blocks/arm-switch-on",)


def _on_now(board: Switchboard, at: int, switch: Switch) -> Iterator[Finding]:
    live, channel = board.case.craft.channels.live, switch.channel or 0
    if live is None or link_down(board.case) is not None or not 1 <= channel <= len(live):
        return
    now = live[channel - 1]
    if meets(*span_of(switch), now):
        yield board.case.fail(
            f"the arm switch is on: channel {channel} reads {now} us",
            code="arm-on",
            facts=(f"switches[{at}]", "channels.live"),
            expected="off, while it lies on a bench",
            actual=f"{now} us, active from {switch.from_us} to {switch.to_us} us",
            why=_ARMED_WHY,
            steps=("Switch it off and inspect again.",),
            caution=ARMS,
            explains=_ON_NOW,
        )


def _armed_twice(board: Switchboard) -> Iterator[Finding]:
    rows = [at for at, switch in enumerate(board.switches[:_MOST_SWITCHES]) if name_of(switch).casefold() == "arm"]
    if len(rows) > 1:
        yield board.case.warn(
            f"{len(rows)} ranges arm the craft: {listed(told(board.switches[at]) for at in rows)}",
            code="arm-twice",
            facts=tuple(f"switches[{at}]" for at in rows),
            expected="one range of one switch",
            actual=f"{len(rows)} ranges",
            why=_ARMED_WHY,
            steps=("Keep the one that the pilot uses, and take the others away.", LINE_UP),
            caution=ARMS,
        )


def _always(board: Switchboard, at: int, switch: Switch) -> Finding | None:
    name = name_of(switch)
    low, high = span_of(switch)
    if name.casefold() not in _MOMENTARY or not covers(low, high, board.travel, live_tolerance(board.case)):
        return None
    summary = f"{name} is active over the whole travel: no switch turns it off"
    expected = "off at some position of its switch"
    return board.fail(at, summary, "always-on", "It is on all the time.", expected, warn=True)


def _off_plan(board: Switchboard, at: int, switch: Switch) -> Finding | None:
    where = board.planned(switch.function or "")
    if where is None:
        return None
    pairs = ((where.channel, switch.channel), (where.from_us, switch.from_us), (where.to_us, switch.to_us))
    if all(planned in (None, found) for planned, found in pairs):
        return None
    summary = f"{name_of(switch)} is on {told(switch)}; the house plan has it {planned_words(where)}"
    why = "Who flies by the house plan moves another switch than this craft listens to."
    return board.fail(at, summary, "off-plan", why, "")


def _overlaps(board: Switchboard) -> Iterator[Finding]:
    """Functions that one position of a switch has on together, where neither sheet nor custom lets them."""
    by_channel: dict[int, list[int]] = {}
    for at, switch in enumerate(board.switches[:_MOST_SWITCHES]):
        if switch.function and switch.channel is not None and switch.from_us is not None and switch.to_us is not None:
            by_channel.setdefault(switch.channel, []).append(at)
    stated = board.plan != SwitchPlan()
    pairs = 0
    for places in by_channel.values():
        ranges = [span_of(board.switches[at]) for at in places]
        for one, other in overlapping(ranges):
            first, second = places[one], places[other]
            names = frozenset((board.switches[at].function or "").casefold() for at in (first, second))
            if len(names) > 1 and names not in _allowed(board.plan) and pairs < _MOST_PAIRS:
                pairs += 1
                yield _overlap(board, first, second, bad=stated)


def _allowed(plan: SwitchPlan) -> frozenset[frozenset[str]]:
    return frozenset(frozenset(name.casefold() for name in pair) for pair in plan.together)


def _overlap(board: Switchboard, first: int, second: int, *, bad: bool) -> Finding:
    one, other = board.switches[first], board.switches[second]
    never = frozenset((name_of(one).casefold(), name_of(other).casefold())) in _NEVER_TOGETHER
    together = f'[switches] together = [["{name_of(one)}", "{name_of(other)}"]]'
    tell = board.case.fail if bad or never else board.case.warn
    armed = "arm" in (name_of(one).casefold(), name_of(other).casefold())
    low, high = max(span_of(one)[0], span_of(other)[0]), min(span_of(one)[1], span_of(other)[1])
    return tell(
        f"{name_of(one)} and {name_of(other)} are on together: channel {one.channel}, {low} to {high} us",
        code="overlap",
        facts=(f"switches[{first}]", f"switches[{second}]"),
        expected="a switch, or a position, for each",
        actual=f"{name_of(one)}: {told(one)}; {name_of(other)}: {told(other)}",
        why=f"One movement of the pilot's does two things{': it arms, and more' if armed else ''}.",
        steps=(
            "Give one of them another channel or another range.",
            *(() if never else (f"If both are meant together, let the build sheet say so: {together}.",)),
            LINE_UP,
        ),
    )
