"""From a capture to a report: a pure function of (capture, dialects, sheets, checks, clock)."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from propsoff.console.transcript import Transcript
from propsoff.craft.model import NAMELESS, Neighbour, name_of_craft
from propsoff.dialects.read import Reading, read_exchanges
from propsoff.dialects.recognise import explain
from propsoff.exceptions import SheetError
from propsoff.inspection.applicable import applicable
from propsoff.inspection.case import Case
from propsoff.inspection.causes import under_their_causes
from propsoff.inspection.conversation import conversation_of, ending_of, unrecognised
from propsoff.inspection.document import Visit, build_report, shown_lines
from propsoff.inspection.examined import WatchedSheet, unexamined
from propsoff.inspection.finding import Finding, Outcome
from propsoff.inspection.mishap import listing_not_whole, sheet_undecided, sheet_unread, sheet_unsure
from propsoff.inspection.noted import noted, unread
from propsoff.inspection.report import PluginUsed, PortIdentity, Report, plain
from propsoff.inspection.runner import CheckRunner
from propsoff.inspection.waivers import today, with_waivers
from propsoff.sheets.choose import Chosen, choose

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.craft.model import Craft
    from propsoff.dialects.model import Dialect
    from propsoff.exceptions import ConfigError
    from propsoff.inspection.check import Check
    from propsoff.notes.model import Hand
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
    early = [*notes, *(sheet_unread(error) for error in sheet_errors), *unread(hand)]
    if recognition.dialect is None:
        ending = unrecognised(capture, recognition)
        return build_report(visit, findings=early, conversation=conversation_of(capture, (), None), ending=ending)
    reading = read_exchanges(recognition.exchanges, recognition.dialect)
    ending = ending_of(capture, reading.exchanges, reading.dialect.manner)
    gaps = [problem for problem in reading.craft.problems if problem.gap]
    if gaps and ending.complete:  # one that broke off is no pass anyway
        early.append(listing_not_whole(gaps, pasted=transcript.pasted))
    chosen, doubts = _choose(sheets, reading.craft, visit.port)
    craft, notes_unused = noted(reading.craft, hand)
    others = _others(capture, craft) if neighbours is None else tuple(neighbours)
    bench = _Bench(reading, craft, chosen.sheet, shown_lines(transcript.lines), runner or CheckRunner(), others)
    findings = under_their_causes([*early, *doubts, *notes_unused, *bench.findings(checks, left_out)])
    return build_report(
        visit,
        findings=with_waivers(findings, chosen.sheet.waivers, today(visit.created)),
        conversation=conversation_of(capture, reading.exchanges, reading.dialect.manner),
        ending=ending,
        craft=craft,
        dialect=reading.dialect,
        chosen=chosen,
    )


@dataclass(frozen=True)
class Meant:
    """A craft that was read whole, and the sheet that it should meet."""

    craft: Craft
    sheet: BuildSheet


def meant(capture: Capture, *, dialects: Sequence[Dialect], sheets: Sequence[BuildSheet]) -> Meant | None:
    """What one conversation is about, before any check: who wants to ask a person about it can know what to ask.

    None when nobody knows what the console speaks, or when the conversation broke off.
    """
    recognition = explain(Transcript(capture), dialects)
    if recognition.dialect is None:
        return None
    reading = read_exchanges(recognition.exchanges, recognition.dialect)
    if not ending_of(capture, reading.exchanges, reading.dialect.manner).complete:
        return None
    return Meant(reading.craft, _choose(sheets, reading.craft, PortIdentity.from_texts(capture.port))[0].sheet)


@dataclass(frozen=True)
class _Bench:
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


def _others(capture: Capture, craft: Craft) -> tuple[Neighbour, ...]:
    """The neighbours in the capture's header; no craft is its own, not even one that was renamed meanwhile."""
    name, board, serial = (plain(text or "") for text in (craft.craft.name, craft.board.name, craft.board.serial))
    own, end = name_of_craft(name, board, serial), name_of_craft("", "", serial).removeprefix(NAMELESS)
    there = ((plain(called), mhz) for called, mhz in capture.neighbours.items())
    return tuple(
        Neighbour(called, mhz) for called, mhz in there if called != own and not (serial and called.endswith(end))
    )


def _choose(sheets: Sequence[BuildSheet], craft: Craft, port: PortIdentity | None) -> tuple[Chosen, list[Finding]]:
    """The sheet for this craft, and findings where it is in doubt; then the house defaults stand in."""
    try:
        chosen = choose(sheets, craft, _names(port))
    except SheetError as error:
        return Chosen(_fallback(sheets), f"house defaults stand in: {error}"), [sheet_undecided(error)]
    return chosen, [sheet_unsure(chosen.undecided)] if chosen.undecided else []


def _names(port: PortIdentity | None) -> tuple[str, ...]:
    """What a match rule may call a port by: its USB path and its device."""
    return tuple(name for name in (port.path, port.device) if name) if port else ()


def _fallback(sheets: Sequence[BuildSheet]) -> BuildSheet:
    from propsoff.sheets.catalogue import built_in_sheets

    return next((sheet for sheet in sheets if sheet.built_in and sheet.house_default), built_in_sheets()[0])


def _left_out(check: Check) -> Finding:
    summary = "left out by the settings of this bench"
    return Finding(check=check.id, outcome=Outcome.SKIPPED, summary=summary, why=check.why)
