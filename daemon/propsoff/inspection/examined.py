"""What a build sheet expects and no check looked at: that must not look like a pass."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, fields
from typing import TYPE_CHECKING, Any

from propsoff.inspection.finding import Finding, Outcome
from propsoff.inspection.mishap import expectation_unexamined
from propsoff.sheets.expect import Expected
from propsoff.sheets.model import BuildSheet, Grid

if TYPE_CHECKING:
    from propsoff.inspection.check import Check


_ATTRIBUTES = {
    "elements_required": "overlay.elements",
    "roles_allowed": "ports",
    "roles_required": "ports",
    "switches": "switches",
}
"""What a sheet says by attributes of its own, and the fact that this is an expectation of."""


@dataclass(frozen=True)
class WatchedSheet(BuildSheet):
    """A build sheet that remembers which of its expectations the checks asked for."""

    asked: set[str] = field(default_factory=set, compare=False, repr=False)

    @classmethod
    def of(cls, sheet: BuildSheet) -> WatchedSheet:
        """The same sheet, watched."""
        return cls(**{each.name: getattr(sheet, each.name) for each in fields(BuildSheet)})

    def __getattribute__(self, name: str) -> Any:
        if name in _ATTRIBUTES:
            self.asked.add(_ATTRIBUTES[name])
        return super().__getattribute__(name)

    def expected(self, fact: str) -> Expected | None:
        """As `BuildSheet.expected`."""
        self.asked.add(fact)
        return super().expected(fact)

    def grids_for(self, link: str | None) -> tuple[Grid, ...]:
        """As `BuildSheet.grids_for`."""
        self.asked.add("overlay.columns")
        return super().grids_for(link)


def unexamined(
    sheet: WatchedSheet, checks: Sequence[Check], findings: Sequence[Finding], left_out: Sequence[Check]
) -> list[Finding]:
    """One `unknown` finding when the sheet expects what nobody asked it for; none when nothing was missed."""
    missed = missed_by(sheet, checks, findings, left_out)
    return [expectation_unexamined(missed, sheet.name)] if missed else []


def missed_by(
    sheet: WatchedSheet, checks: Sequence[Check], findings: Sequence[Finding], left_out: Sequence[Check]
) -> list[str]:
    """What the sheet expects and nobody asked it for, as names of facts.

    A check that did not pass may have stopped before it asked for all that it reads: what it reads is not missed then.
    Nor is what a check reads that the operator left out. A check that reads `hand` goes through the sheet's questions.
    """
    asked = frozenset(sheet.asked)
    failed = {finding.check for finding in findings if finding.outcome not in (Outcome.PASS, Outcome.WARN)}
    covered = [read for check in checks if check.id in failed for read in check.reads]
    covered += [read for check in left_out for read in check.reads]
    covered += [read for check in checks for read in check.reads if read == "hand"]
    return [fact for fact in sheet.reads() if fact not in asked and not _below(fact, covered)]


def _below(fact: str, reads: Sequence[str]) -> bool:
    return any(fact == read or fact.startswith(f"{read}.") for read in reads)
