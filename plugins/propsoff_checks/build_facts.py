"""What a build sheet may name and no other check looks at: names, serial number, flight recorder."""

from __future__ import annotations

from collections.abc import Iterator

from propsoff import Case, Finding, check
from propsoff_checks.against_sheet import against_sheet
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES

_WRONG_CRAFT = "This may be another craft than the one that the sheet was written for, or a board that was exchanged."
_LOOK_AT_LABEL = ("Compare the label of the craft and of its box with the sheet.",)
_NO_RECORD = "After a crash or a fault nobody can see what the craft did."


@check(
    "build-facts",
    title="Names, serial number and flight recorder against the build sheet",
    why="What the sheet asks for and nobody compares would pass unseen.",
    reads=("board.name", "board.serial", "craft.name", "logger"),
    sources=("the build sheet alone decides; a recorder with room on it: common practice", *SAFETY_SOURCES),
    caution=PROPELLERS_OFF,
)
def build_facts(case: Case) -> Iterator[Finding]:
    """Each fact that the sheet names."""
    named = [fact for fact in _FACTS if case.sheet.expected(fact) is not None]
    if not named:
        yield case.skipped("the build sheet names neither board, craft nor flight recorder")
        return
    wrong = [finding for fact in named for finding in _compared(case, fact)]
    yield from wrong
    if not wrong:
        yield case.passed("board, craft and flight recorder are as the build sheet has them", facts=tuple(named))


_FACTS = {
    "board.name": ("the board", "board", "", _WRONG_CRAFT, _LOOK_AT_LABEL),
    "board.serial": ("the board's serial number", "serial", "", _WRONG_CRAFT, _LOOK_AT_LABEL),
    "craft.name": ("the craft's name", "name", "", "Two craft of one name cannot be told apart in reports.", ()),
    "logger.device": (
        "the flight recorder",
        "recorder",
        "",
        _NO_RECORD,
        ("See which recorder is fitted; if it is a card, whether it is in its slot.",),
    ),
    "logger.free_bytes": (
        "the room left on the flight recorder",
        "recorder-room",
        "bytes",
        _NO_RECORD,
        ("Save what is on the recorder, then empty it.",),
    ),
}


def _compared(case: Case, fact: str) -> list[Finding]:
    what, code, unit, why, steps = _FACTS[fact]
    explains = ("build-facts/recorder-room",) if code == "recorder" else ()
    return against_sheet(case, fact, what, code=code, unit=unit, why=why, steps=steps, explains=explains)
