"""Reports to test with: real ones, of conversations that say nothing."""

from __future__ import annotations

from propsoff.console.capture import Capture, Event
from propsoff.inspection.inspect import inspect_capture
from propsoff.inspection.report import Report
from propsoff.sheets.catalogue import built_in_sheets

WHEN_S = 1_800_000_000.0


def a_report(name: str) -> tuple[Report, Capture]:
    """An incomplete report, and the capture that it is about; both differ by name."""
    events = (Event(0.0, "o", f"{name}\r\n"), Event(0.1, "m", "end: the test ended it"))
    capture = Capture(events, WHEN_S, port={"device": f"/dev/{name}"})
    report = inspect_capture(
        capture, dialects=(), sheets=built_in_sheets(), checks=(), clock=lambda: WHEN_S, file=f"{name}.cast"
    )
    return report, capture
