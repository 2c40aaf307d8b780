"""From the conversation with a craft that is right to the text of a build sheet that it meets."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from propsoff.console.transcript import Transcript
from propsoff.dialects.read import read_exchanges
from propsoff.dialects.recognise import explain
from propsoff.exceptions import CaptureError
from propsoff.inspection.case import Case
from propsoff.inspection.examined import WatchedSheet, missed_by
from propsoff.inspection.inspect import inspect_capture
from propsoff.inspection.report import PortIdentity, Report
from propsoff.inspection.runner import run_checks
from propsoff.sheets.catalogue import built_in_sheets
from propsoff.sheets.draft import draft_of
from propsoff.sheets.load import sheet_from

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.dialects.model import Dialect
    from propsoff.inspection.check import Check


@dataclass(frozen=True)
class Draft:
    """The text of the sheet, and the report of the same craft against it: it passes when the craft is right."""

    text: str
    report: Report


def drafted(
    capture: Capture,
    *,
    dialects: Sequence[Dialect],
    checks: Sequence[Check],
    source: str,
    clock: Callable[[], float] = time.time,
) -> Draft:
    """A sheet for the craft of a conversation. `source` names the conversation; `clock` gives Unix time in seconds.

    What no check asks a sheet for stands in it as a comment. Raises CaptureError when nobody knows what the console
    speaks.
    """
    recognition = explain(Transcript(capture), dialects)
    if recognition.dialect is None:
        raise CaptureError(f"{source}: no sheet can be drafted: {recognition.reason}")
    craft = read_exchanges(recognition.exchanges, recognition.dialect).craft.as_read_whole()
    port = PortIdentity.from_texts(capture.port)
    names = tuple(name for name in (port.path, port.device) if name) if port else ()
    sheet = WatchedSheet.of(sheet_from(draft_of(craft, source=source, port=names), "draft"))
    found = run_checks(checks, lambda check: Case(check, craft, sheet, recognition.dialect))
    missed = missed_by(sheet, checks, found, ())
    text = draft_of(craft, source=source, port=names, unexamined=missed)
    report = inspect_capture(
        capture,
        dialects=dialects,
        sheets=(*built_in_sheets(), sheet_from(text, "draft")),
        checks=checks,
        clock=clock,
    )
    return Draft(text, report)
