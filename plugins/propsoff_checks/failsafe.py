"""What the craft does when it hears its transmitter no more."""

from __future__ import annotations

from collections.abc import Iterator

from propsoff import Case, Finding, check
from propsoff_checks.pulses import LEAST_US, MOST_US, is_pulse, throttle_bound_us
from propsoff_checks.sticks import travel_of
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES

_IN_WORDS = {
    "drop": "it stops its motors and falls",
    "hold": "it goes on with the last stick positions that it heard",
    "land": "it comes down by itself",
    "return": "it flies back by itself",
}
_LATE_S = 2.0
_AS_GOOD_AS_HOLD_S = 10.0
_ABSURD_S = 3600.0
_SPEED_MPS = 30
_HOLD_WHY = (
    "It flies away from its pilot, at the throttle that it had. On loss of signal the throttle must go to closed or "
    "idle (BMFA fail-safe article, CAP 658)."
)
_AWAY_WHY = "Until then it flies on without a pilot."
_DELAY_WHY = {
    "at-once": "A short dip of the link makes it fall.",
    "delay-absurd": "Nobody knows what the firmware makes of such a time: it may never act.",
}
_CRSF = "A CRSF receiver waits 1 s by itself before it declares the link lost; this delay comes on top."
_THROTTLE_WHY = "Motors that run on after the link is lost hurt whoever picks the craft up, and carry it away."
_TRY = (
    "Propellers off, craft held down, where local rules allow it: arm it, switch the transmitter off, and see that the "
    "motors do what is set here, in the time that is set."
)
_DROP = "The action drop stops the motors at once, and the craft falls; choose what the place where it flies asks for."
_CAUTION = (
    f"{PROPELLERS_OFF} What a craft must do on loss of the link is also a matter of local rules: they come before the "
    "build sheet."
)


@check(
    "failsafe",
    title="Failsafe: what happens when the radio link is lost",
    why="A craft without a link must come down, or home, by itself: it must not fly on.",
    reads=("failsafe", "ports", "channels", "motors.idle_percent"),
    sources=(
        "BMFA fail-safe article, CAP 658: on loss of signal the throttle goes to closed or idle",
        "EU 2019/945, Annex, Part 2(7): predictable recovery or termination on loss of the link (draft amendment)",
        "CRSF protocol specification: a receiver declares failsafe after 1 s without frames",
        "at 30 m/s a craft is 30 m further each second (computed)",
        "the loss is acted on within about 2 s; a multirotor hovers below half throttle: common practice",
        *SAFETY_SOURCES,
    ),
    caution=_CAUTION,
)
def failsafe(case: Case) -> Iterator[Finding]:
    """Action, delay, throttle."""
    found = [*_unread(case), *_action(case), *_positioning(case), *_delay(case), *_throttle(case)]
    yield from found
    if not found:
        yield case.passed(_well(case), facts=("failsafe",))


def _well(case: Case) -> str:
    lost, crsf = case.craft.failsafe, case.craft.receiver.protocol == "crsf"
    when = (
        f"{lost.delay_s:g} s after the link is lost"
        if lost.delay_s is not None
        else "after a time that this board does not state"
    )
    declared = "; a CRSF receiver says so after 1 s without frames" if crsf else ""
    return f"{lost.action}, {when}: {_IN_WORDS[str(lost.action)]}{declared}"


def _unread(case: Case) -> Iterator[Finding]:
    """The action is always needed; the rest where the sheet expects it, or where what stands there is no value."""
    stated = {problem.fact for problem in case.craft.problems}
    names = ("failsafe.action", "failsafe.delay_s", "failsafe.throttle_us")
    missing = [
        name
        for name in names
        if case.craft.value(name) is None
        and (name == names[0] or case.sheet.expected(name) is not None or name in stated)
    ]
    if missing:
        yield case.unread(*missing)


def _action(case: Case) -> Iterator[Finding]:
    action, expected = case.craft.failsafe.action, case.sheet.expected("failsafe.action")
    if action is None:
        return
    only = expected.only if expected is not None else None
    wanted = only if only not in (None, "hold") else None
    if action == "hold":
        asked = " The build sheet cannot make it safe; whoever must have it waives failsafe/hold, with the reason."
        yield case.fail(
            "on loss of the link the craft holds: it flies on with the last stick positions",
            code="hold",
            facts=("failsafe.action",),
            expected=f"{wanted or 'drop, land or return'}",
            actual="hold",
            why=_HOLD_WHY + (asked if expected is not None and expected.allows("hold") else ""),
            settings=[("failsafe.action", wanted or "drop")],
            steps=(
                *(() if wanted else (_DROP,)),
                _TRY,
            ),
        )
    elif expected is not None and not expected.allows(action):
        yield case.fail(
            f"on loss of the link {_IN_WORDS[action]} ({action}), where {expected} is expected",
            code="action",
            facts=("failsafe.action",),
            expected=str(expected),
            actual=action,
            settings=[("failsafe.action", wanted)] if wanted else (),
            steps=(_TRY,),
        )


def _positioning(case: Case) -> Iterator[Finding]:
    """A craft that is to fly home must know where it is."""
    ports, expected = case.craft.ports, case.sheet.expected("failsafe.action")
    if case.craft.failsafe.action != "return" or (expected is not None and not expected.allows("return")):
        return
    if ports is None:
        yield case.unread("ports")
    elif not any("positioning" in (port.roles or ()) for port in ports) and all(port.roles for port in ports):
        asked = expected is not None
        yield case.fail(
            "on loss of the link the craft is to return, and no UART carries positioning: it cannot tell where home is",
            code="return-without-positioning",
            facts=("failsafe.action", "ports"),
            expected="a UART with the role positioning"
            if asked
            else "a UART with the role positioning, or drop or land",
            actual="return, and no positioning",
            why="It flies off in some direction, or does whatever the firmware does instead.",
            settings=() if asked else [("failsafe.action", "drop")],
            steps=(
                "If a positioning receiver is fitted, give the UART that it is wired to the role positioning and keep "
                "return. If none is fitted, the craft cannot return.",
                _TRY,
            ),
        )


def _delay(case: Case) -> Iterator[Finding]:
    delay, expected = case.craft.failsafe.delay_s, case.sheet.expected("failsafe.delay_s")
    if delay is None:
        return
    wanted = expected.only if expected is not None else 1.0
    put_right = [("failsafe.delay_s", wanted)] if wanted is not None else []
    if not 0 <= delay <= _ABSURD_S:
        summary, code, tell = f"the failsafe delay is {delay:g} s, which cannot be", "delay-absurd", case.fail
        limit = f"0 to {_LATE_S:g} s"
    elif expected is not None:
        if expected.allows(delay):
            return
        summary, code, tell = f"the failsafe acts after {delay:g} s, where {expected} s is expected", "delay", case.fail
        limit = f"{expected} s"
    elif delay == 0:
        summary, code, tell = "the failsafe acts at once: a single lost frame is enough", "at-once", case.warn
        limit = f"more than 0 and at most {_LATE_S:g} s (common practice)"
    elif delay > _LATE_S:
        far = f"{delay * _SPEED_MPS:.0f} m further at {_SPEED_MPS} m/s"
        summary, code = f"the failsafe waits {delay:g} s: the craft is {far} by then", "late"
        tell = case.fail if delay > _AS_GOOD_AS_HOLD_S else case.warn
        limit = f"at most {_LATE_S:g} s (common practice)"
    else:
        return
    yield tell(
        summary,
        code=code,
        facts=("failsafe.delay_s",),
        expected=str(expected) + " s" if expected is not None else limit,
        actual=f"{delay:g} s",
        why=_DELAY_WHY.get(code, _AWAY_WHY),
        settings=put_right,
        steps=(*((_CRSF,) if case.craft.receiver.protocol == "crsf" else ()), _TRY),
    )


def _throttle(case: Case) -> Iterator[Finding]:
    throttle, expected = case.craft.failsafe.throttle_us, case.sheet.expected("failsafe.throttle_us")
    action, travel = case.craft.failsafe.action, travel_of(case)
    if throttle is None:
        return
    idle = throttle_bound_us(travel, case.craft.motors.idle_percent)
    only = expected.only if expected is not None else None
    if not is_pulse(throttle):
        yield _wrong_throttle(
            case, f"the failsafe throttle is {throttle} us, no pulse", "throttle-absurd", f"{LEAST_US} to {MOST_US} us"
        )
    elif expected is not None:
        if not expected.allows(throttle):
            summary = f"the failsafe throttle is {throttle} us, where {expected} us is expected"
            yield _wrong_throttle(case, summary, "throttle", f"{expected} us", settable=only is not None)
    elif action in ("drop", "hold") and throttle > idle:
        summary = f"the failsafe throttle is {throttle} us, above idle, while the craft is to {action}"
        yield _wrong_throttle(case, summary, "throttle", f"at most {idle} us: closed or idle")
    elif action == "land" and throttle > travel.centre:
        summary = f"the failsafe throttle is {throttle} us, above half, while the craft is to land: it may climb"
        yield _wrong_throttle(case, summary, "throttle", f"at most {travel.centre} us, below what it hovers at")
    elif action == "land" and throttle > idle:
        yield case.warn(
            f"the failsafe throttle is {throttle} us, above idle, while the craft lands: it must not hover at it",
            code="landing-throttle",
            facts=("failsafe.throttle_us", "failsafe.action"),
            expected=f"at most {idle} us, or what the build sheet names",
            actual=f"{throttle} us",
            why="With more throttle than it hovers at it does not come down at all.",
            steps=(
                f"If this craft sinks at {throttle} us when tried, say so in the build sheet: [failsafe] throttle_us = "
                f"{throttle}.",
            ),
        )


def _wrong_throttle(case: Case, summary: str, code: str, expected: str, *, settable: bool = True) -> Finding:
    stated = case.sheet.expected("failsafe.throttle_us")
    only = stated.only if stated is not None else travel_of(case).low
    return case.fail(
        summary,
        code=code,
        facts=("failsafe.throttle_us", "failsafe.action"),
        expected=expected,
        actual=f"{case.craft.failsafe.throttle_us} us",
        why=_THROTTLE_WHY,
        settings=[("failsafe.throttle_us", only)] if settable and only is not None else (),
        steps=(_TRY,),
    )
