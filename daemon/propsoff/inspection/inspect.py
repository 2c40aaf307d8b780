"""From a capture to a report: a pure function of (capture, dialects, sheets, checks, clock)."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from propsoff.console.transcript import Transcript
from propsoff.dialects.read import read_exchanges
from propsoff.dialects.recognise import explain
from propsoff.inspection.conversation import conversation_of, unrecognised
from propsoff.inspection.desk import Desk
from propsoff.inspection.document import Visit, build_report
from propsoff.inspection.finding import Finding
from propsoff.inspection.mishap import sheet_unread
from propsoff.inspection.noted import unread
from propsoff.inspection.report import PluginUsed, PortIdentity, Report
from propsoff.inspection.runner import CheckRunner

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.dialects.model import Dialect
    from propsoff.exceptions import ConfigError
    from propsoff.inspection.check import Check
    from propsoff.inspection.examination import Runner
    from propsoff.inspection.meant import Meant
    from propsoff.notes.model import Hand
    from propsoff.sheets.model import BuildSheet


def inspect_capture(
    capture: Capture,
    *,
    dialects: Sequence[Dialect],
    sheets: Sequence[BuildSheet],
    checks: Sequence[Check],
    clock: Callable[[], float] = time.time,
    file: str | None = None,
    plugins: Sequence[PluginUsed] = (),
    sheet_errors: Sequence[ConfigError] = (),
    notes: Sequence[Finding] = (),
    left_out: Sequence[Check] = (),
    runner: Runner | None = None,
    hand: Hand | None = None,
    tell: Callable[[Meant], None] | None = None,
) -> Report:
    """The report of one conversation. Never raises for what a board, a sheet or a check does.

    `clock` gives Unix time in seconds; `file` is the name of the capture's file. `sheet_errors` are sheets that could
    not be read: each becomes an `error` finding of the id `build-sheet`, so that no report passes against the wrong
    sheet. `notes` are findings of the caller's, put first. `left_out` are checks that the operator does not want: each
    gives a `skipped` finding. `runner` runs the checks in isolation: keep one `CheckRunner` for many inspections; a
    fresh one is made when None. `hand` is what a person answered to the sheet's questions, or why that cannot be read:
    then an `error` finding of the id `notes-file` says so. `tell` is told what the conversation is about, where the
    console was read whole, before anything is judged.
    """
    visit = Visit(capture, clock(), PortIdentity.from_texts(capture.port), file, tuple(plugins))
    transcript = Transcript(capture)
    recognition = explain(transcript, dialects)
    early: list[Finding] = [*notes, *(sheet_unread(error) for error in sheet_errors), *unread(hand)]
    if recognition.dialect is None:
        ending = unrecognised(capture, recognition)
        return build_report(visit, findings=early, conversation=conversation_of(capture, (), None), ending=ending)
    reading = read_exchanges(recognition.exchanges, recognition.dialect)
    desk = Desk(sheets, checks, left_out, runner or CheckRunner(), hand)
    return desk.judged(visit, transcript, reading, early, tell)
