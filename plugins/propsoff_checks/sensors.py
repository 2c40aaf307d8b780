"""Which sensors the board found at power-up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from propsoff import Case, Finding, check
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, listed

_TOLD: Mapping[str, str] = {"gyro": "the gyro", "accelerometer": "the accelerometer", "barometer": "the barometer"}
_WITHOUT: Mapping[str, str] = {
    "gyro": "A multirotor cannot fly without a gyro: nothing holds it level or stops it from spinning.",
    "accelerometer": "The craft does not know which way is down: it cannot level itself.",
    "barometer": "The craft does not know how high it is: nothing that holds a height works.",
}
_LOOK_AGAIN = (
    "Propellers off: take the battery and the USB cable away, wait ten seconds, connect again without moving the "
    "craft, and inspect again."
)
_REPLACE = "If it is missing again: the sensor is on the board, and a board that lost it is to be replaced."


@check(
    "sensors",
    title="Sensors: gyro, accelerometer, barometer",
    why="What the board does not find it cannot fly by.",
    reads=("sensors", "switches", "failsafe.action"),
    sources=(
        "a multirotor needs its gyro; self-levelling, landing and returning need the accelerometer: common practice",
        *SAFETY_SOURCES,
    ),
    caution=PROPELLERS_OFF,
)
def sensors(case: Case) -> Iterator[Finding]:
    """The gyro always, the accelerometer where something needs it, all three where the sheet says so."""
    found = [*_unread(case)]
    for name in _TOLD:
        found += _one(case, name)
    yield from found
    if not found:
        there = [name for name in _TOLD if case.craft.value(f"sensors.{name}") == "found"]
        yield case.passed(f"found: {listed(there)}", facts=("sensors",))


def _needs_level(case: Case) -> list[str]:
    """What cannot work without an accelerometer."""
    levels = any((switch.function or "").casefold() == "level" for switch in case.craft.switches or ())
    action = case.craft.failsafe.action
    needs = ["self-levelling, which is on a switch"] if levels else []
    return needs + ([f"the failsafe, which is to {action}"] if action in ("land", "return") else [])


def _unread(case: Case) -> Iterator[Finding]:
    stated = {problem.fact for problem in case.craft.problems}
    missing = []
    for name in _TOLD:
        fact = f"sensors.{name}"
        needed = name == "gyro" or (name == "accelerometer" and bool(_needs_level(case)))
        if case.craft.value(fact) is None and (case.sheet.expected(fact) is not None or needed or fact in stated):
            missing.append(fact)
    if missing:
        yield case.unread(*missing)


def _one(case: Case, name: str) -> Iterator[Finding]:
    fact = f"sensors.{name}"
    state, expected = case.craft.value(fact), case.sheet.expected(fact)
    if state == "found" and expected is not None and not expected.allows(state):
        yield case.fail(
            f"{_TOLD[name]} was found, and the build sheet says that there is none",
            code=f"{name}-unexpected",
            facts=(fact,),
            expected=str(expected),
            actual=state,
            why="This is another board than the build sheet's, or another variant of it.",
            steps=("See which board is fitted, and use the build sheet for it.",),
        )
    elif state == "missing" and name == "gyro":
        yield _missing(case, name, "", bad=True, explains=("arming-blocks/gyro-missing",))
    elif state == "missing" and expected is not None:
        if not expected.allows(state):
            yield _missing(case, name, "; the build sheet asks for it", bad=True)
        elif name == "accelerometer" and (needs := _needs_level(case)):
            yield _missing(case, name, f", and {listed(needs)}, needs it", bad=True)
    elif state == "missing" and name == "accelerometer":
        needs = _needs_level(case)
        yield _missing(case, name, f", and {listed(needs)}, needs it" if needs else "", bad=bool(needs))


def _missing(case: Case, name: str, reason: str, *, bad: bool, explains: tuple[str, ...] = ()) -> Finding:
    tell = case.fail if bad else case.warn
    off = (
        "Without one: take self-levelling off its switch, and let the failsafe drop." if name == "accelerometer" else ""
    )
    return tell(
        f"{_TOLD[name]} was not found{reason}",
        code=f"{name}-missing",
        facts=(f"sensors.{name}",),
        expected="found",
        actual="missing",
        why=_WITHOUT[name],
        steps=tuple(filter(None, (_LOOK_AGAIN, _REPLACE, off))),
        explains=explains,
    )
