"""What a craft that was read is judged with, and the report that comes of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from propsoff.inspection.causes import under_their_causes
from propsoff.inspection.conversation import conversation_of, ending_of
from propsoff.inspection.document import Visit, build_report, shown_lines
from propsoff.inspection.examination import Examination
from propsoff.inspection.meant import Meant
from propsoff.inspection.mishap import listing_not_whole
from propsoff.inspection.noted import noted
from propsoff.inspection.others import other_craft
from propsoff.inspection.sheet_choice import sheet_for
from propsoff.inspection.waivers import today, with_waivers

if TYPE_CHECKING:
    from propsoff.console.transcript import Transcript
    from propsoff.dialects.read import Reading
    from propsoff.inspection.check import Check
    from propsoff.inspection.examination import Runner
    from propsoff.inspection.finding import Finding
    from propsoff.inspection.report import Report
    from propsoff.notes.model import Hand
    from propsoff.sheets.model import BuildSheet


@dataclass(frozen=True)
class Desk:
    """Sheets, checks and whatever else is known that day."""

    sheets: Sequence[BuildSheet]
    checks: Sequence[Check]
    left_out: Sequence[Check]
    runner: Runner
    hand: Hand | None

    def judged(
        self,
        visit: Visit,
        transcript: Transcript,
        reading: Reading,
        early: Sequence[Finding],
        tell: Callable[[Meant], None] | None = None,
    ) -> Report:
        """The report; `early` are findings that were made before. `tell` as in `inspect_capture`."""
        capture = visit.capture
        ending = ending_of(capture, reading.exchanges, reading.dialect.manner)
        gaps = [problem for problem in reading.craft.problems if problem.gap]
        if gaps and ending.complete:  # one that broke off is no pass anyway
            early = [*early, listing_not_whole(gaps, pasted=transcript.pasted)]
        chosen, doubts = sheet_for(self.sheets, reading.craft, visit.port)
        if tell is not None and ending.complete:
            tell(Meant(reading.craft, chosen.sheet))
        craft, notes_unused = noted(reading.craft, self.hand)
        others = other_craft(capture, craft)
        examination = Examination(reading, craft, chosen.sheet, shown_lines(transcript.lines), self.runner, others)
        found = examination.findings(self.checks, self.left_out)
        findings = under_their_causes([*early, *doubts, *notes_unused, *found])
        return build_report(
            visit,
            findings=with_waivers(findings, chosen.sheet.waivers, today(visit.created)),
            conversation=conversation_of(capture, reading.exchanges, reading.dialect.manner),
            ending=ending,
            craft=craft,
            dialect=reading.dialect,
            chosen=chosen,
        )
