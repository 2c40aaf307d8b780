"""Reports that come back from a file: whether one is a report at all, and says nothing against itself."""

from __future__ import annotations

from pydantic import ValidationError

from propsoff.inspection.finding import Verdict, verdict_of
from propsoff.inspection.report import Report

_MAX_WHAT = 160
_HARM = (Verdict.PASS, Verdict.WARN, Verdict.UNKNOWN, Verdict.INCOMPLETE, Verdict.ERROR, Verdict.FAIL)


def sound_report(text: str | bytes) -> Report:
    """The report in a file or an export, none of which needs to be as propsoff wrote it.

    Raises ValueError, in words for people, when it is no report, or when its verdict is better than what it found: a
    report that somebody edited must not pass.
    """
    try:
        report = Report.from_json(text)
    except ValidationError as error:
        raise ValueError(_in_words(error)) from None
    made = verdict_of((finding.counts_as for finding in report.findings), complete=report.complete)
    # After a fault of our own it is `error`, whatever was found.
    if report.verdict is not Verdict.ERROR and _HARM.index(report.verdict) < _HARM.index(made):
        raise ValueError(f"its verdict is {report.verdict.value}, but what it found makes it {made.value}")
    return report


def _in_words(error: ValidationError) -> str:
    first = error.errors(include_url=False)[0]
    if first["type"] == "json_invalid":
        return f"it is no JSON ({first['ctx']['error']})"[:_MAX_WHAT]
    where = "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in first["loc"]).lstrip(".")
    what = first["msg"][0].lower() + first["msg"][1:]
    more = f", and {error.error_count() - 1} more" if error.error_count() > 1 else ""
    return (f"{where}: {what}" if where else what)[:_MAX_WHAT] + more
