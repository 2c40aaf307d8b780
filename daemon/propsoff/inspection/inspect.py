"""From a capture to a report: a pure function of (capture, dialects, sheets, checks, clock)."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from propsoff.console.transcript import Transcript
from propsoff.craft.model import Neighbour
from propsoff.dialects.read import Reading, read_exchanges
from propsoff.dialects.recognise import explain
from propsoff.inspection.causes import under_their_causes
from propsoff.inspection.conversation import conversation_of, ending_of, unrecognised
from propsoff.inspection.document import Visit, build_report, shown_lines
from propsoff.inspection.examination import Examination
from propsoff.inspection.finding import Finding
from propsoff.inspection.mishap import listing_not_whole, sheet_unread
from propsoff.inspection.noted import noted, unread
from propsoff.inspection.others import other_craft
from propsoff.inspection.report import PluginUsed, PortIdentity, Report
from propsoff.inspection.runner import CheckRunner
from propsoff.inspection.sheet_choice import sheet_for
from propsoff.inspection.waivers import today, with_waivers

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.dialects.model import Dialect
    from propsoff.exceptions import ConfigError
    from propsoff.inspection.check import Check
    from propsoff.inspection.examination import Runner
    from propsoff.notes.model import Hand
    from propsoff.sheets.model import BuildSheet


def inspect_capture(
    capture: Capture,
    *,
    dialects: Sequence[Dialect],
    sheets: Sequence[BuildSheet],
    checks: Sequence[Check],
    clock: Callable[[], float] = time.time,
    port: PortIdentity | None = None,
    file: str | None = None,
    plugins: Sequence[PluginUsed] = (),
    sheet_errors: Sequence[ConfigError] = (),
    notes: Sequence[Finding] = (),
    left_out: Sequence[Check] = (),
    runner: Runner | None = None,
    neighbours: Sequence[Neighbour] | None = None,
    hand: Hand | None = None,
) -> Report:
    """The report of one conversation. Never raises for what a board, a sheet or a check does.

    `clock` gives Unix time in seconds. `port` defaults to what the capture's header says; `file` is the name of the
    capture's file. `sheet_errors` are sheets that could not be read: each becomes an `error` finding of the id
    `build-sheet`, so that no report passes against the wrong sheet. `notes` are findings of the caller's, put first.
    `left_out` are checks that the operator does not want: each gives a `skipped` finding. `runner` runs the checks in
    isolation: keep one `CheckRunner` for many inspections; a fresh one is made when None. `neighbours` are other craft
    on the bench that day; by default what the capture's header says. `hand` is what a person answered to the sheet's
    questions, or why that cannot be read: then an `error` finding of the id `notes-file` says so.
    """
    visit = Visit(capture, clock(), port or PortIdentity.from_texts(capture.port), file, tuple(plugins))
    transcript = Transcript(capture)
    recognition = explain(transcript, dialects)
    early: list[Finding] = [*notes, *(sheet_unread(error) for error in sheet_errors), *unread(hand)]
    if recognition.dialect is None:
        ending = unrecognised(capture, recognition)
        return build_report(visit, findings=early, conversation=conversation_of(capture, (), None), ending=ending)
    reading = read_exchanges(recognition.exchanges, recognition.dialect)
    desk = _Desk(sheets, checks, left_out, runner or CheckRunner(), neighbours, hand)
    return desk.judged(visit, transcript, reading, early)


@dataclass(frozen=True)
class _Desk:
    """What a craft that was read is judged with."""

    sheets: Sequence[BuildSheet]
    checks: Sequence[Check]
    left_out: Sequence[Check]
    runner: Runner
    neighbours: Sequence[Neighbour] | None
    hand: Hand | None

    def judged(self, visit: Visit, transcript: Transcript, reading: Reading, early: Sequence[Finding]) -> Report:
        """The report; `early` are findings that were made before."""
        capture = visit.capture
        ending = ending_of(capture, reading.exchanges, reading.dialect.manner)
        gaps = [problem for problem in reading.craft.problems if problem.gap]
        if gaps and ending.complete:  # one that broke off is no pass anyway
            early = [*early, listing_not_whole(gaps, pasted=transcript.pasted)]
        chosen, doubts = sheet_for(self.sheets, reading.craft, visit.port)
        craft, notes_unused = noted(reading.craft, self.hand)
        others = other_craft(capture, craft) if self.neighbours is None else tuple(self.neighbours)
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
