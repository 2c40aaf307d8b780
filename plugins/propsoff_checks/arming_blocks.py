"""Why the board would refuse to arm now, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from propsoff import Case, Finding, check
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, cut, listed

NORMAL: Mapping[str, str] = {
    "usb-connected": "the USB cable is in: it goes away with the cable",
    "no-receiver-link": "no transmitter is heard: normal while none is switched on",
}
"""Reasons that are usual on a bench (common practice), and what each means."""


@dataclass(frozen=True, slots=True)
class _Reason:
    """What a reason means, what to do, and whether something is broken."""

    means: str
    why: str
    step: str
    broken: bool = False
    arms: bool = False


_REASONS: Mapping[str, _Reason] = {
    "throttle-not-low": _Reason(
        "the throttle stick is not at its low end",
        "The motors would run at that throttle as soon as the craft is armed.",
        "Pull the throttle stick to its low end and inspect again. If it is there already, see channel-range and "
        "channel-order: the end does not reach, the channel is reversed, or it is another stick's.",
        arms=True,
    ),
    "not-level": _Reason(
        "the craft does not lie level",
        "If it does lie level, the board takes a tilt for level: self-levelling flies the craft off to one side.",
        "Lay it level and inspect again. If it is level already, calibrate the accelerometer with the craft level, and "
        "see whether the board is fitted at an angle that it was not told.",
    ),
    "gyro-missing": _Reason(
        "the board found no gyro",
        "A multirotor cannot fly without a gyro.",
        "Take battery and USB away, wait ten seconds, connect again and inspect again. If it stays, replace the board.",
        broken=True,
    ),
    "arm-switch-on": _Reason(
        "the arm switch is on",
        "When the other reasons go away the craft arms, without a warning.",
        "Switch arm off and inspect again. If it is off already, see switch-plan: its range is wrong.",
        arms=True,
    ),
}
_KEEP_CLEAR = (
    f"{PROPELLERS_OFF} This reason is what keeps the motors still: take the propellers off before it is put right."
)


@check(
    "arming-blocks",
    title="Arming: why the board would refuse to arm",
    why="A craft that will not arm does not fly, and one that says why has said what is wrong with it.",
    reads=("arming.blocks", "sensors.gyro"),
    sources=(
        "a USB cable and the lack of a radio link keep a craft from arming on a bench: common practice",
        *SAFETY_SOURCES,
    ),
    caution=PROPELLERS_OFF,
)
def arming_blocks(case: Case) -> Iterator[Finding]:
    """Each reason once; those that are usual on a bench are told and pass."""
    blocks = case.craft.arming.blocks
    if blocks is None:
        yield case.unread("arming.blocks")
        return
    usual = {*NORMAL, *case.sheet.arming_normal}
    left = [reason for reason in dict.fromkeys(blocks) if reason not in usual]
    for reason in left:
        if reason in _REASONS:
            yield _known(case, reason, _REASONS[reason])
    strange = [reason for reason in left if reason not in _REASONS]
    if strange:
        yield _unfamiliar(case, strange)
    if not left:
        yield case.passed(_well(case, blocks), facts=("arming.blocks",))


def _well(case: Case, blocks: tuple[str, ...]) -> str:
    if not blocks:
        return "nothing prevents arming: this craft would arm now, on the bench, with its switch"
    house = "usual on this bench, by the build sheet"
    told = [f"{cut(reason)} ({NORMAL.get(reason, house)})" for reason in dict.fromkeys(blocks)]
    return f"only what is usual on a bench: {'; '.join(told)}"[:400]


def _known(case: Case, reason: str, known: _Reason) -> Finding:
    tell = case.fail if known.broken else case.warn
    heard = "no-receiver-link" not in (case.craft.arming.blocks or ())
    steps = [known.step]
    if known.arms and not heard:
        steps.insert(
            0, "No transmitter is heard, so this may be the receiver's rest: switch it on first and look again."
        )
    if reason == "gyro-missing" and case.craft.sensors.gyro == "found":
        steps.insert(0, "The board lists a gyro among its sensors and says here that there is none: read it again.")
    return tell(
        f"it would not arm: {known.means} ({reason})",
        code=reason,
        facts=("arming.blocks",),
        expected=f"nothing but {listed(NORMAL)} on a bench",
        actual=reason,
        why=known.why,
        steps=steps,
        caution=_KEEP_CLEAR if known.arms else None,
    )


def _unfamiliar(case: Case, reasons: list[str]) -> Finding:
    said = listed(f"'{cut(reason)}'" for reason in reasons)
    names = ", ".join(f'"{cut(reason)}"' for reason in reasons[:6])
    return case.warn(
        f"it would not arm, for a reason that this check does not know: {said}",
        code="unfamiliar",
        facts=("arming.blocks",),
        expected=f"nothing but {listed(NORMAL)} on a bench",
        actual=said,
        why="These are the firmware's own words: what they mean stands in its documentation.",
        steps=(
            "Look the word up in the firmware's documentation, put it right and inspect again.",
            f"If it is usual on this bench, name it in the build sheet: [arming] normal = [{names}].",
        ),
    )
