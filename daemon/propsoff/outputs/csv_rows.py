"""Findings as CSV (RFC 4180), one a row, for a spreadsheet: no cell of it is a formula."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from propsoff.outputs.escape import visible

if TYPE_CHECKING:
    from propsoff.inspection.finding import Finding
    from propsoff.inspection.report import Report
    from propsoff.outputs.document import Told

_OF_REPORT = (
    "label",
    "report",
    "created",
    "verdict",
    "ended",
    "bench",
    "craft",
    "board",
    "board_serial",
    "firmware",
    "sheet",
    "dialect",
    "capture_sha256",
)
_OF_FINDING = (
    "check",
    "code",
    "outcome",
    "counts_as",
    "summary",
    "expected",
    "found",
    "why",
    "caution",
    "type",
    "do",
    "lines",
    "because",
    "waived",
    "waived_until",
)
COLUMNS = (*_OF_REPORT, *_OF_FINDING)
_FORMULA = re.compile("[' ]*[=+\\-@\t\r\uff0b\uff0d\uff1d\uff20]")
"""What a spreadsheet may take for a formula: OWASP's list, with the full-width forms that some take for the same.

Also behind blanks, which some drop."""


def csv_rows(told: Iterable[Told]) -> bytes:
    """The table as UTF-8 without a mark, lines ended by CR LF, every cell in quotes, `COLUMNS` as its head.

    A report without findings, or an inspection without a report, is one row whose finding cells are empty.
    """
    file = io.StringIO(newline="")
    writer = csv.writer(file, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for each in told:
        for row in _rows(each):
            writer.writerow([cell(text) for text in row])
    return file.getvalue().encode()


def cell(text: str) -> str:
    """Harmless in a spreadsheet: an apostrophe before what would begin a formula.

    Text that begins with apostrophes or blanks and then such a sign gets one more: taking one away gives it back.
    """
    return f"'{text}" if _FORMULA.match(text) else text


def _rows(told: Told) -> Iterable[Sequence[str]]:
    if told.report is None:
        known = {"label": told.label, "verdict": "error", "ended": told.problem}
        return [[visible(known.get(column, "")) for column in COLUMNS]]
    head = _of_report(told.label, told.report)
    return [[*head, *_of_finding(finding)] for finding in told.report.findings] or [[*head, *[""] * len(_OF_FINDING)]]


def _of_report(label: str, report: Report) -> list[str]:
    texts = (
        label,
        report.id,
        report.created,
        report.verdict.value,
        report.ended,
        report.bench,
        report.craft,
        report.board,
        report.board_serial,
        report.firmware,
        None if report.sheet is None else report.sheet.name,
        None if report.dialect is None else report.dialect.id,
        report.capture.sha256,
    )
    return [visible(text or "") for text in texts]


def _of_finding(finding: Finding) -> list[str]:
    waived = finding.waived
    texts = (
        finding.check,
        finding.code,
        finding.outcome.value,
        finding.counts_as.value,
        finding.summary,
        finding.expected,
        finding.actual,
        finding.why,
        finding.caution,
    )
    lists = (finding.remedy.console, finding.remedy.steps, [str(each.line) for each in finding.evidence])
    return [
        *[visible(text or "") for text in texts],
        *["\n".join(visible(item) for item in items) for items in lists],
        visible(finding.because or ""),
        "" if waived is None else visible(waived.reason),
        "" if waived is None or waived.until is None else waived.until.isoformat(),
    ]
