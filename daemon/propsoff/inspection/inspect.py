"""From a capture to a report: a pure function of (capture, dialects, sheets, checks, clock)."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from propsoff.console.transcript import Transcript
from propsoff.dialects.read import Reading, read_exchanges
from propsoff.dialects.recognise import explain
from propsoff.exceptions import SheetError
from propsoff.inspection.case import Case
from propsoff.inspection.causes import under_their_causes
from propsoff.inspection.conversation import conversation_of, ending_of, unrecognised
from propsoff.inspection.document import Visit, build_report, shown_lines
from propsoff.inspection.examined import WatchedSheet, unexamined
from propsoff.inspection.finding import Finding, Outcome
from propsoff.inspection.mishap import sheet_undecided, sheet_unread, sheet_unsure
from propsoff.inspection.report import PluginUsed, PortIdentity, Report
from propsoff.inspection.runner import CheckRunner
from propsoff.sheets.choose import Chosen, choose

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.craft.model import Craft
    from propsoff.dialects.model import Dialect
    from propsoff.exceptions import ConfigError
    from propsoff.inspection.check import Check
    from propsoff.sheets.model import BuildSheet

    Runner = Callable[[Sequence[Check], Callable[[Check], Case]], list[Finding]]


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
) -> Report:
    """The report of one conversation. Never raises for what a board, a sheet or a check does.

    `clock` gives Unix time in seconds. `port` defaults to what the capture's header says; `file` is the name of the
    capture's file. `sheet_errors` are sheets that could not be read: each becomes an `error` finding of the id
    `build-sheet`, so that no report passes against the wrong sheet. `notes` are findings of the caller's, put first.
    `left_out` are checks that the operator does not want: each gives a `skipped` finding. `runner` runs the checks in
    isolation: keep one `CheckRunner` for many inspections; a fresh one is made when None.
    """
    visit = Visit(capture, clock(), port or PortIdentity.from_texts(capture.port), file, tuple(plugins))
    transcript = Transcript(capture)
    recognition = explain(transcript, dialects)
    early = [*notes, *(sheet_unread(error) for error in sheet_errors)]
    if recognition.dialect is None:
        ending = unrecognised(capture, recognition.reason)
        return build_report(visit, findings=early, conversation=conversation_of(capture, (), None), ending=ending)
    reading = read_exchanges(recognition.exchanges, recognition.dialect)
    chosen, doubts = _choose(sheets, reading.craft)
    bench = _Bench(reading, chosen.sheet, shown_lines(transcript.lines), runner or CheckRunner())
    return build_report(
        visit,
        findings=under_their_causes([*early, *doubts, *bench.findings(checks, left_out)]),
        conversation=conversation_of(capture, reading.exchanges, reading.dialect.manner),
        ending=ending_of(capture, reading.exchanges, reading.dialect.manner),
        craft=reading.craft,
        dialect=reading.dialect,
        chosen=chosen,
    )


@dataclass(frozen=True)
class _Bench:
    """A craft that was read, laid out for the checks."""

    reading: Reading
    sheet: BuildSheet
    lines: Sequence[str]
    runner: Runner

    def findings(self, checks: Sequence[Check], left_out: Sequence[Check]) -> list[Finding]:
        """What the checks find, what was left out, and what the sheet expects that nobody examined."""
        sheet = WatchedSheet.of(self.sheet)

        def make_case(check: Check) -> Case:
            return Case(check, self.reading.craft, sheet, self.reading.dialect, self.lines)

        found = self.runner(checks, make_case)
        found += [_left_out(check) for check in left_out]
        return found + unexamined(sheet, checks, found, left_out)


def _choose(sheets: Sequence[BuildSheet], craft: Craft) -> tuple[Chosen, list[Finding]]:
    """The sheet for this craft, and findings where it is in doubt; then the house defaults stand in."""
    try:
        chosen = choose(sheets, craft)
    except SheetError as error:
        return Chosen(_fallback(sheets), f"house defaults stand in: {error}"), [sheet_undecided(error)]
    return chosen, [sheet_unsure(chosen.undecided)] if chosen.undecided else []


def _fallback(sheets: Sequence[BuildSheet]) -> BuildSheet:
    from propsoff.sheets.catalogue import built_in_sheets

    return next((sheet for sheet in sheets if sheet.built_in and sheet.house_default), built_in_sheets()[0])


def _left_out(check: Check) -> Finding:
    summary = "left out by the settings of this bench"
    return Finding(check=check.id, outcome=Outcome.SKIPPED, summary=summary, why=check.why)
