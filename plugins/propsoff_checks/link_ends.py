"""What only a person can tell of a video link: the firmware of its two ends, and whether the antenna is fitted."""

from __future__ import annotations

from collections.abc import Iterator

from propsoff import Case, Finding, compare_versions
from propsoff_checks.levels import level, wanted
from propsoff_checks.words import cut, listed

ENDS = {
    "hand.video-transmitter-firmware": "the video transmitter",
    "hand.goggles-firmware": "the goggles",
}
"""The answers that say which firmware an end runs, and which end it is."""
ANTENNA = "hand.antenna-fitted"
_CODES = {"hand.video-transmitter-firmware": "transmitter", "hand.goggles-firmware": "goggles"}
_SAID = {**{fact: f"the firmware of {what}" for fact, what in ENDS.items()}, ANTENNA: "whether its antenna is fitted"}
_UPDATE = "Bring {what} to {wanted}. A transmitter needs its antenna, a fan, and often an adapter while it is updated."
_ASK = "Look before it is powered, answer the questions of the sheet (`propsoff inspect --ask`), and inspect again."


def by_hand(case: Case) -> Iterator[Finding]:
    """The antenna, each end against the sheet, one end against the other, and what nobody said though it was asked."""
    if case.craft.value(ANTENNA) is False:
        yield _no_antenna(case)
    for fact in ENDS:
        yield from _one_end(case, fact)
    yield from _both_ends(case)
    missing = [fact for fact in (*ENDS, ANTENNA) if _usable(case, fact) is None and _wanted(case, fact)]
    if missing:
        yield case.unknown(
            f"not said of the video link, or not so that it can be used: {listed(_SAID[fact] for fact in missing)}",
            code="unanswered",
            facts=missing,
            steps=(_ASK,),
        )


def told(case: Case) -> str:
    """What both ends run, for a report that is well; empty where it was not said."""
    values = [_usable(case, fact) for fact in ENDS]
    return "" if None in values else f"both ends run {cut(str(values[0]))}"


def _usable(case: Case, fact: str) -> object:
    """The answer, None where there is none or it is of another kind: yes or no for the antenna, else a text."""
    value = case.craft.value(fact)
    if fact == ANTENNA:
        return value if isinstance(value, bool) else None
    return value.strip() or None if isinstance(value, str) else None


def _wanted(case: Case, fact: str) -> bool:
    """Whether the sheet asks for it, or somebody answered in a way that cannot be used."""
    asked = case.sheet.expected(fact) is not None or any(one.fact == fact for one in case.sheet.questions)
    return asked or case.craft.value(fact) is not None


def _no_antenna(case: Case) -> Finding:
    return case.fail(
        "the video transmitter has no antenna",
        code="no-antenna",
        facts=(ANTENNA,),
        expected="the antenna fitted before anything is powered",
        actual="no antenna",
        why="What is not radiated heats the transmitter: it may burn out within seconds.",
        steps=("Take the power off now. Fit the antenna, then inspect again.",),
        explains=("hand-notes/antenna-fitted",),
    )


def _both_ends(case: Case) -> Iterator[Finding]:
    values = [_usable(case, fact) for fact in ENDS]
    if None in values:
        return
    transmitter, goggles = map(str, values)
    order = compare_versions(transmitter, goggles)
    alike = transmitter.casefold() == goggles.casefold() if order is None else order == 0
    if alike:
        return
    older = {1: "the goggles", -1: "the video transmitter"}.get(order or 0, "the older end")
    yield case.fail(
        f"the video transmitter runs {cut(transmitter)} and the goggles run {cut(goggles)}",
        code="ends-differ",
        facts=tuple(ENDS),
        expected="matching firmware on both ends",
        actual=f"{cut(transmitter)} and {cut(goggles)}",
        why="Ends that do not match may show no picture, no overlay, or lose both in flight.",
        steps=(_UPDATE.format(what=older, wanted="the version of the other end"),),
    )


def _one_end(case: Case, fact: str) -> Iterator[Finding]:
    found, expected, what = _usable(case, fact), case.sheet.expected(fact), ENDS[fact]
    if found is None or expected is None or (verdict := level(found, expected)) == "fits":
        return
    if verdict == "unclear":
        yield case.unknown(
            f"it cannot be told whether {cut(str(found))} on {what} will do, where {cut(str(expected))} is expected",
            code=f"{_CODES[fact]}-unclear",
            facts=(fact,),
            steps=("Compare the two by hand.",),
        )
        return
    yield case.fail(
        f"the firmware of {what} is {cut(str(found))}, where {cut(str(expected))} is expected",
        code=f"{_CODES[fact]}-firmware",
        facts=(fact,),
        expected=cut(str(expected)),
        actual=cut(str(found)),
        why="Picture and overlay were tried with what the sheet names; another level may lack one of them.",
        steps=(_UPDATE.format(what=what, wanted=wanted(expected, verdict)),),
        explains=(f"hand-notes/{fact.removeprefix('hand.')}", "video-link/ends-differ"),
    )
