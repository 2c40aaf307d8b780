"""Waivers: findings that the build sheet lets be, with the reason, until a day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

from propsoff.inspection.finding import Finding, Outcome, Remedy, Waived
from propsoff.inspection.mishap import LISTING_ID, SHEET_ID
from propsoff.inspection.noted import NOTES_ID
from propsoff.inspection.report import plain

if TYPE_CHECKING:
    from propsoff.sheets.model import Waiver

_WAIVABLE = (Outcome.WARN, Outcome.FAIL, Outcome.UNKNOWN)
_NEVER = (SHEET_ID, LISTING_ID, NOTES_ID)
_MAX_WORDS = 400


def today(unix_s: float) -> date:
    """The day of a time (Unix, s), in UTC."""
    return datetime.fromtimestamp(unix_s, UTC).date()


def with_waivers(findings: Sequence[Finding], waivers: Sequence[Waiver], day: date) -> list[Finding]:
    """The findings, those marked as waived that a waiver names which holds on this day.

    An expired waiver counts as none; where a finding that it names is there, a finding at the end says so. To waive a
    cause does not waive its effects: each has a name of its own. What broke (`error`) is never waived, nor what was
    found about the sheets or the hand notes themselves, nor that a listing was not read whole.
    """
    holding = [waiver for waiver in waivers if waiver.until is None or day <= waiver.until]
    judged = [_judged(finding, holding) for finding in findings]
    left = [finding for finding in judged if finding.waived is None]
    expired = [waiver for waiver in waivers if waiver not in holding and any(_names(waiver, one) for one in left)]
    return judged + [_expired(waiver) for waiver in expired]


def _names(waiver: Waiver, finding: Finding) -> bool:
    named = waiver.finding in (finding.name, finding.check)
    return named and finding.outcome in _WAIVABLE and finding.check not in _NEVER


def _judged(finding: Finding, holding: Sequence[Waiver]) -> Finding:
    """The finding as the most exact waiver leaves it."""
    fits = sorted((waiver for waiver in holding if _names(waiver, finding)), key=lambda one: "/" not in one.finding)
    if not fits:
        return finding
    waiver = fits[0]
    return finding.model_copy(
        update={"waived": Waived(reason=plain(waiver.reason), until=waiver.until, source=plain(waiver.source))}
    )


def _expired(waiver: Waiver) -> Finding:
    where = f" ({waiver.source})" if waiver.source else ""
    said = f"the waiver of {waiver.finding} held until {waiver.until} and counts no more: {waiver.reason}{where}"
    return Finding(
        check=SHEET_ID,
        outcome=Outcome.WARN,
        code="waiver-expired",
        summary=plain(said)[:_MAX_WORDS],
        expected="a finding that is put right, or a waiver that holds",
        actual=f"{waiver.finding} is still found",
        why="It was let be for a time only. The time is over, and nobody has looked at it since.",
        remedy=Remedy(steps=(f"Put {waiver.finding} right; or decide anew, and write a new date into the sheet.",)),
    )
