"""A craft that was read, laid out before the checks, and everything that they find."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from propsoff.craft.model import Craft, Neighbour
from propsoff.dialects.read import Reading
from propsoff.inspection.applicable import applicable
from propsoff.inspection.case import Case
from propsoff.inspection.examined import WatchedSheet, unexamined
from propsoff.inspection.finding import Finding, Outcome

if TYPE_CHECKING:
    from propsoff.inspection.check import Check
    from propsoff.sheets.model import BuildSheet

    Runner = Callable[[Sequence[Check], Callable[[Check], Case]], list[Finding]]


@dataclass(frozen=True)
class Examination:
    """A craft that was read, with what a person said of it, laid out for the checks."""

    reading: Reading
    craft: Craft
    sheet: BuildSheet
    lines: Sequence[str]
    runner: Runner
    neighbours: tuple[Neighbour, ...] = ()

    def findings(self, checks: Sequence[Check], left_out: Sequence[Check]) -> list[Finding]:
        """What the checks find, what was left out, and what the sheet expects that nobody examined."""
        sheet, craft = WatchedSheet.of(self.sheet), self.craft.as_read_whole()

        def make_case(check: Check) -> Case:
            return Case(check, craft, sheet, self.reading.dialect, self.lines, self.neighbours)

        wanted = applicable(self.sheet, checks, left_out)
        found = self.runner(wanted.checks, make_case)
        found += [_left_out(check) for check in left_out]
        found += wanted.findings
        return found + unexamined(sheet, wanted.checks, found, (*left_out, *wanted.out))


def _left_out(check: Check) -> Finding:
    summary = "left out by the settings of this bench"
    return Finding(check=check.id, outcome=Outcome.SKIPPED, summary=summary, why=check.why)
