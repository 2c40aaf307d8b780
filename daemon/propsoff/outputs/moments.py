"""Times as people read them, and when a conversation was held where that was another day than that of its report."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from propsoff.inspection.report import Report


def in_utc(text: str) -> str:
    """An RFC 3339 time to the minute: `2026-03-31 14:00 UTC`."""
    return f"{datetime.fromisoformat(text).astimezone(UTC):%Y-%m-%d %H:%M} UTC"


def held_another_day(report: Report) -> str | None:
    """When the conversation of a report was held (RFC 3339), where that was not the day (UTC) of the report.

    None also where nobody knows when it was held, as of pasted text.
    """
    held = report.capture.started
    return None if held is None or held[:10] == report.created[:10] else held
