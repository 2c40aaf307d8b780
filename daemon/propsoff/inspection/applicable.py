"""Which checks apply to a craft: those that its build sheet does not take out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from propsoff.inspection.finding import Finding, Outcome, Remedy
from propsoff.inspection.mishap import SHEET_ID
from propsoff.inspection.report import plain
from propsoff.tomlfile import nearest

if TYPE_CHECKING:
    from propsoff.inspection.check import Check
    from propsoff.sheets.model import BuildSheet

_MAX_WORDS = 400


@dataclass(frozen=True)
class Applicable:
    """The checks that apply, those that do not, and a finding for each of these and for each name of no check."""

    checks: tuple[Check, ...]
    out: tuple[Check, ...]
    findings: tuple[Finding, ...]


def applicable(sheet: BuildSheet, checks: Sequence[Check], left_out: Sequence[Check]) -> Applicable:
    """Which of `checks` the sheet wants; `left_out` are checks that there are too, but that do not run here."""
    known = [check.id for check in (*checks, *left_out)]
    out = {check.id: reason for check in checks if (reason := _reason(sheet, check)) is not None}
    skipped = [check for check in checks if check.id in out]
    findings = [_skipped(check, out[check.id]) for check in skipped]
    return Applicable(
        tuple(check for check in checks if check.id not in out),
        tuple(skipped),
        (*findings, *_no_such(sheet, known)),
    )


def _reason(sheet: BuildSheet, check: Check) -> str | None:
    """Why the sheet takes a check out; None when it does not."""
    if check.id in sheet.skip:
        return f"the sheet {sheet.name} takes it out: {sheet.skip[check.id]}"
    if sheet.only is not None and check.id not in sheet.only:
        return f"the sheet {sheet.name} names the checks that apply, and not this one"
    return None


def _skipped(check: Check, reason: str) -> Finding:
    return Finding(check=check.id, outcome=Outcome.SKIPPED, summary=plain(reason)[:_MAX_WORDS], why=check.why)


def _no_such(sheet: BuildSheet, known: Sequence[str]) -> Iterator[Finding]:
    """Names of checks that there are not: what should have run or been left out, nobody can tell."""
    for name in dict.fromkeys((*(sheet.only or ()), *sheet.skip)):
        if name not in known:
            like = nearest(name, known)
            hint = f"did you mean {like}?" if like else "see which there are: propsoff checks"
            key = "checks.skip" if name in sheet.skip else "checks.only"
            place = sheet.origins.get(f"checks.skip.{name}") or sheet.origins.get(key) or sheet.source
            yield Finding(
                check=SHEET_ID,
                outcome=Outcome.UNKNOWN,
                code="no-such-check",
                summary=plain(f"the sheet names a check {name!r} that is not loaded ({place}); {hint}")[:_MAX_WORDS],
                why="What was meant may not have been examined, and must not count as passed.",
                remedy=Remedy(steps=("Correct the name in the sheet, or load the plug-in that brings the check.",)),
            )
