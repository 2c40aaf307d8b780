"""What a person said becomes facts of the craft, if it was said of this craft; findings where it cannot."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from propsoff.exceptions import NotesError
from propsoff.inspection.finding import Finding, Outcome, Remedy
from propsoff.inspection.report import plain

if TYPE_CHECKING:
    from propsoff.craft.model import Craft
    from propsoff.notes.model import Hand

NOTES_ID = "notes-file"
"""The id of findings about files of hand notes; no check may use it."""

_MAX_WORDS = 400


def unread(hand: Hand | None) -> list[Finding]:
    """A finding where there are hand notes that cannot be read."""
    if not isinstance(hand, NotesError):
        return []
    said = " ".join(plain(str(hand)).split())
    return [
        Finding(
            check=NOTES_ID,
            outcome=Outcome.ERROR,
            code="unreadable",
            summary=f"the hand notes could not be read: {said}"[:_MAX_WORDS],
            why="What a person saw on this craft was not taken into account.",
            remedy=Remedy(steps=("Correct the file, or take it away; then inspect again.",)),
        )
    ]


def noted(craft: Craft, hand: Hand | None) -> tuple[Craft, list[Finding]]:
    """The craft with what a person said of it; without it, and with a finding, when that was said of another one."""
    if hand is None or isinstance(hand, NotesError):
        return craft, []
    other = hand.of_another(craft)
    if other is None:
        return replace(craft, hand=hand.stated()), []
    source = f" {plain(hand.source)}" if hand.source else ""
    return craft, [
        Finding(
            check=NOTES_ID,
            outcome=Outcome.UNKNOWN,
            code="other-craft",
            summary=f"the hand notes{source} were not used: {plain(other)}"[:_MAX_WORDS],
            why="What was seen on another craft says nothing of this one.",
            remedy=Remedy(
                steps=("Give the notes of this craft; or correct `craft` and `serial` in them, if they are.",)
            ),
        )
    ]
