"""Whether the speed controllers are driven by a signal that fits the control loop, the motors and the build sheet."""

from __future__ import annotations

from collections.abc import Iterator

from propsoff import Case, Expected, Finding, Range, check
from propsoff_checks.against_sheet import against_sheet, by_sheet, figure, garbled
from propsoff_checks.dshot import KBIT_PER_S, fits, frame_us, period_us, rates_in_doubt, slowest_that_fits
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, cut, typed

_PULSES = {
    "pwm": "servo pulses of 1000 to 2000 us",
    "oneshot125": "pulses of 125 to 250 us",
}
_USUAL_POLES = (12, 14)
_MOST_POLES, _FASTEST_HZ = 60, 100_000
_HIGH_IDLE, _MOST_IDLE, _USUAL_IDLE = 15.0, 30.0, 5.0
_COUNT = "Count the magnets on the bell of a motor (not the coils of the stator), and set that number."
_TRY = "Then without propellers: every motor must start by itself and keep turning at the lowest throttle."
_DIRECTION = (
    "Without propellers, start one motor at a time and see which way it turns; then see that the propellers which are "
    "to be fitted match."
)


@check(
    "motor-output",
    title="Motors: signal, loop, poles, idle and direction",
    why="A motor that misses its commands, stops in the air or turns the wrong way flips the craft.",
    reads=("motors",),
    sources=(
        "ESP-IDF, dshot_esc_encoder.c: a DShot frame is 11 bits of value, one telemetry bit and 4 bits of check",
        "16 bits at 150, 300, 600 and 1200 kbit/s take 106.667, 53.333, 26.667 and 13.333 us (computed)",
        "TI SPRUHJ1I: rpm = 60 f / pole pairs, pole pairs = poles / 2",
        "12 or 14 magnets are typical: from memory",
        "motors idle at some per cent, so that they never stop in the air: common practice",
        "pulses need every speed controller calibrated, digital signals do not: common practice",
        *SAFETY_SOURCES,
    ),
    caution=f"{PROPELLERS_OFF} Never try motors with propellers on.",
)
def motor_output(case: Case) -> Iterator[Finding]:
    """The signal, the loop, what comes back, idle and direction."""
    wrong = _against_the_sheet(case)
    missing = [] if case.craft.motors.protocol else ["motors.protocol"]
    if case.craft.motors.bidirectional and case.craft.motors.poles is None:
        missing.append("motors.poles")
    missing += garbled(case, "motors.bidirectional", "motors.poles", "motors.idle_percent", "motors.loop_hz")
    missing = [fact for fact in dict.fromkeys(missing) if case.sheet.expected(fact) is None]
    wrong += [case.unread(*missing)] if missing else []
    wrong += [*_signal(case), *_loop(case), *_two_way(case), *_poles(case), *_idle(case)]
    yield from wrong
    if not wrong:
        yield case.passed(_well(case), facts=("motors",), actual=cut(case.craft.motors.protocol or ""))


def _against_the_sheet(case: Case) -> list[Finding]:
    mine = ("motor-output/two-way-without-dshot", "motor-output/frame-too-long", "motor-output/pulses")
    other = (*mine, "motor-output/unfamiliar-protocol")
    return [
        *against_sheet(case, "motors.protocol", "the motor signal", code="protocol", explains=other, steps=(
            "Make sure that the speed controllers which are fitted speak it.", _TRY)),
        *against_sheet(case, "motors.loop_hz", "the control loop's rate", code="loop", unit="Hz", fits=_rate_fits,
            explains=("motor-output/frame-too-long",),
            why="Filters and gains that were tuned at one rate of the loop do not fit at another.",
            steps=("Set a rate that the build sheet allows, and a motor signal that fits it.",)),
        *against_sheet(case, "motors.bidirectional", "the answer of the speed controllers (bidirectional)",
            code="two-way", words=("off", "on"), explains=("motor-output/two-way-without-dshot",),
            why="Without motor speeds the filters cannot follow the motors; with them switched on where the speed "
            "controllers cannot answer, the craft does not arm.",
            steps=("Make sure that the firmware of the speed controllers can answer.",)),
        *against_sheet(case, "motors.poles", "the number of magnets", code="poles", steps=(_COUNT,),
            explains=("motor-output/odd-poles", "motor-output/unusual-poles", "motor-output/absurd-poles"),
            why=_poles_why(case)),
        *against_sheet(case, "motors.idle_percent", "idle", code="idle", unit="%", steps=(_TRY,),
            explains=("motor-output/no-idle", "motor-output/high-idle", "motor-output/absurd-idle")),
        *against_sheet(case, "motors.reversed", "the motors' direction", code="direction",
            words=("the usual one", "reversed"),
            why="Motors that turn against their propellers push the craft down or flip it at take-off.",
            steps=(_DIRECTION,)),
    ]  # fmt: skip


def _poles_why(case: Case) -> str | None:
    """By how much the speeds are off, where the sheet says what is fitted."""
    expected, found = case.sheet.expected("motors.poles"), case.craft.motors.poles
    only = expected.only if expected is not None else None
    if not isinstance(only, int) or isinstance(only, bool) or found is None or found < 1 or only < 1:
        return None
    off = abs(only / found - 1)
    return (
        f"The motors' speed is worked out from it: with {found} for {only} magnets it reads {off:.0%} too "
        f"{_high(only > found)}, and the filters that follow the motors look beside the noise."
    )


def _high(value: bool) -> str:
    return "high" if value else "low"


def _rate_fits(expected: Expected, found: object) -> bool:
    """Whether the rate is as expected, allowing for a console that counts the loop in whole microseconds."""
    if expected.allows(found) or not isinstance(found, int) or found < 1:
        return expected.allows(found)
    low, high = rates_in_doubt(found)
    ends = [end for one in expected.values if isinstance(one, Range) for end in (one.low, one.high)]
    within = [one for one in (*expected.plain, *ends) if isinstance(one, int | float) and low <= one <= high]
    return any(expected.allows(one) for one in within)


def _signal(case: Case) -> Iterator[Finding]:
    protocol = case.craft.motors.protocol
    if not protocol or protocol in KBIT_PER_S or by_sheet(case, "motors.protocol"):
        return
    if protocol in _PULSES:
        yield case.warn(
            f"the motors are driven by {_PULSES[protocol]} ({protocol})",
            code="pulses",
            facts=("motors.protocol",),
            expected=f"{', '.join(KBIT_PER_S)}, or what the build sheet names",
            actual=protocol,
            why="Pulses are measured, not counted: every speed controller must be calibrated to them, noise moves "
            "them, and nothing comes back.",
            steps=(
                f"See whether the speed controllers can do DShot; if so, set the one that fits the loop{_dshot(case)}.",
                f"If they cannot, calibrate all of them without propellers, and say so in the build sheet: "
                f'[motors] protocol = "{protocol}".',
            ),
        )
    else:
        yield case.warn(
            f"{cut(protocol)} is no motor signal that this check knows: whether it fits the loop was not examined",
            code="unfamiliar-protocol",
            facts=("motors.protocol",),
            expected=f"{', '.join((*KBIT_PER_S, *_PULSES))}, or what the build sheet names",
            actual=cut(protocol),
            steps=(f'If it is right, say so in the build sheet: [motors] protocol = "{cut(protocol)}".',),
        )


def _loop(case: Case) -> Iterator[Finding]:
    protocol, loop_hz = case.craft.motors.protocol or "", case.craft.motors.loop_hz
    if loop_hz is None:
        return
    if not 0 < loop_hz <= _FASTEST_HZ:
        yield case.fail(
            f"a control loop at {figure(loop_hz)} Hz cannot be",
            code="absurd-loop",
            facts=("motors.loop_hz",),
            expected=f"1 to {_FASTEST_HZ} Hz",
            actual=f"{figure(loop_hz)} Hz",
            steps=("Set the rate that the firmware has for this board; 8 kHz and its halves are common.",),
        )
    elif protocol in KBIT_PER_S and not fits(protocol, loop_hz):
        yield _too_long(case, protocol, loop_hz)


def _too_long(case: Case, protocol: str, loop_hz: int) -> Finding:
    frame, period = frame_us(protocol), period_us(loop_hz)
    faster = slowest_that_fits(KBIT_PER_S, loop_hz)
    slower = int(1_000_000 / frame)
    or_faster = f"Set {faster} or a faster signal, if the speed controllers can do it; else a" if faster else "Set a"
    return case.fail(
        f"a {protocol} frame takes {frame:.1f} us, but the control loop comes round every {period:.1f} us",
        code="frame-too-long",
        facts=("motors.protocol", "motors.loop_hz"),
        expected=f"a frame within {period:.1f} us" + (f": {faster}" if faster else ""),
        actual=f"{protocol}, {frame:.1f} us",
        why="Frames run into each other or are left out: motors stutter, or do not start.",
        settings=[("motors.protocol", faster)] if faster and case.sheet.expected("motors.protocol") is None else (),
        steps=(f"{or_faster} loop of at most {slower} Hz.", _TRY),
    )


def _two_way(case: Case) -> Iterator[Finding]:
    motors = case.craft.motors
    if motors.bidirectional and motors.protocol and motors.protocol not in KBIT_PER_S:
        yield case.fail(
            f"the speed controllers are to answer (bidirectional) on {cut(motors.protocol)}, which has no way back",
            code="two-way-without-dshot",
            facts=("motors.bidirectional", "motors.protocol"),
            expected="bidirectional with DShot only",
            actual=f"bidirectional, {cut(motors.protocol)}",
            why="The board waits for motor speeds that never come: it does not arm, or its filters follow nothing.",
            settings=[("motors.bidirectional", False)] if case.sheet.expected("motors.bidirectional") is None else (),
            steps=("If the speed controllers can do DShot, set that instead and leave bidirectional on.", _TRY),
            explains=("motor-output/pulses", "motor-output/unfamiliar-protocol"),
        )


def _poles(case: Case) -> Iterator[Finding]:
    poles, used = case.craft.motors.poles, case.craft.motors.bidirectional is not False
    if poles is None:
        return
    if not 2 <= poles <= _MOST_POLES:
        yield case.fail(
            f"a motor with {figure(poles)} magnets cannot be",
            code="absurd-poles",
            facts=("motors.poles",),
            expected="an even number; 12 or 14 are typical",
            actual=figure(poles),
            why="Motor speeds are divided by it: they are all wrong.",
            steps=(_count(case),),
        )
    elif poles % 2:
        judge = case.fail if used else case.warn
        yield judge(
            f"{poles} magnets cannot be: poles come in pairs",
            code="odd-poles",
            facts=("motors.poles", "motors.bidirectional"),
            expected="an even number; 12 or 14 are typical",
            actual=str(poles),
            why="The motors' speed is worked out from it: filters that follow the motors look beside the noise."
            if used
            else "It is not used as long as the speed controllers do not answer, but will be wrong when they do.",
            steps=(_count(case),),
        )
    elif used and poles not in _USUAL_POLES and not by_sheet(case, "motors.poles"):
        yield case.warn(
            f"{poles} magnets are set; 12 or 14 are typical",
            code="unusual-poles",
            facts=("motors.poles",),
            expected="12 or 14, or what the build sheet names",
            actual=str(poles),
            why="The motors' speed is worked out from it: with the wrong number the filters look beside the noise.",
            steps=(_count(case), f"If it is right, say so in the build sheet: [motors] poles = {poles}."),
        )


def _count(case: Case) -> str:
    """What to do about a number of magnets that nobody counted."""
    return f"{_COUNT.removesuffix('.')}{typed(case.say([('motors.poles', 14)]), 'for 14 type')}."


def _dshot(case: Case) -> str:
    """What to type for the slowest usual DShot that fits the loop; of an unknown loop, nothing."""
    loop_hz = case.craft.motors.loop_hz
    # dshot150 leaves 18.3 us of an 8 kHz loop (computed): too little for an answer.
    usual = {name: rate for name, rate in KBIT_PER_S.items() if name != "dshot150"}
    fitting = slowest_that_fits(usual, loop_hz) if loop_hz and loop_hz > 0 else None
    return typed(case.say([("motors.protocol", fitting)]), f"for {fitting} type") if fitting else ""


def _idle(case: Case) -> Iterator[Finding]:
    idle = case.craft.motors.idle_percent
    if idle is None:
        return
    usual: tuple[tuple[str, object], ...] = (("motors.idle_percent", _USUAL_IDLE),)
    settings = usual if case.sheet.expected("motors.idle_percent") is None else ()
    if not 0 <= idle <= 100:
        yield case.fail(
            f"an idle of {figure(idle)} % cannot be",
            code="absurd-idle",
            facts=("motors.idle_percent",),
            expected=f"above 0 and up to {_HIGH_IDLE:g} %",
            actual=f"{figure(idle)} %",
            settings=settings,
            steps=(_TRY,),
        )
    elif idle == 0 and not by_sheet(case, "motors.idle_percent"):
        yield case.fail(
            "idle is 0 %: armed motors stand still",
            code="no-idle",
            facts=("motors.idle_percent",),
            expected=f"above 0 and up to {_HIGH_IDLE:g} %; about {_USUAL_IDLE:g} % is common",
            actual="0 %",
            why="At low throttle motors stop in the air and do not start again in time: the craft tumbles. On the "
            "ground nobody sees that it is armed.",
            settings=settings,
            steps=(_TRY,),
        )
    elif idle > _HIGH_IDLE and not by_sheet(case, "motors.idle_percent"):
        judge = case.fail if idle > _MOST_IDLE else case.warn
        yield judge(
            f"idle is {figure(idle)} %: motors spin fast as soon as the craft is armed",
            code="high-idle",
            facts=("motors.idle_percent",),
            expected=f"up to {_HIGH_IDLE:g} %; about {_USUAL_IDLE:g} % is common",
            actual=f"{figure(idle)} %",
            why="A light craft may lift off or skid when it is armed, and does not sink at low throttle.",
            settings=settings,
            steps=(_TRY,),
        )


def _well(case: Case) -> str:
    motors = case.craft.motors
    protocol = motors.protocol or ""
    parts = [cut(protocol)]
    if motors.loop_hz and protocol in KBIT_PER_S:
        parts = [f"{protocol}, {frame_us(protocol):.1f} us of the {period_us(motors.loop_hz):.1f} us of a loop"]
    elif protocol in _PULSES:
        parts = [f"{_PULSES[protocol]} ({protocol}), as the build sheet has it"]
    if motors.bidirectional is not None:
        parts.append("speeds come back" if motors.bidirectional else "no speeds come back")
    if motors.poles is not None:
        parts.append(f"{motors.poles} magnets ({motors.poles // 2} pole pairs)")
    if motors.idle_percent is not None:
        parts.append(f"idle {figure(motors.idle_percent, '%')}")
    if motors.reversed is not None:
        parts.append("direction reversed" if motors.reversed else "usual direction")
    return ", ".join(parts)
