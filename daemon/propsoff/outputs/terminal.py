"""A report on a terminal: the verdict first, what is well in one line each, what is to be done last and in full."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import IO, TYPE_CHECKING

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from propsoff.inspection.finding import Finding, Outcome, Verdict
from propsoff.outputs.escape import visible

if TYPE_CHECKING:
    from propsoff.inspection.report import Report

_LOOKS = {
    "pass": ("●", "*", "green"),
    "warn": ("▲", "^", "yellow"),
    "unknown": ("?", "?", "magenta"),
    "skipped": ("–", "-", "dim"),
    "error": ("✖", "x", "red"),
    "fail": ("■", "#", "bold red"),
    "incomplete": ("◌", "o", "bold magenta"),
}
_ORDER = (Outcome.SKIPPED, Outcome.PASS, Outcome.WARN, Outcome.UNKNOWN, Outcome.ERROR, Outcome.FAIL)
_QUIET = (Outcome.PASS, Outcome.SKIPPED)
_MAX_TEXT = 600
_MAX_EVIDENCE = 4


def console_for(stream: IO[str], *, colour: bool | None = None) -> Console:
    """A rich console without markup, emoji or highlighting: what a board sent is text and nothing else."""
    width = None if stream.isatty() else 100
    return Console(
        file=stream, markup=False, emoji=False, highlight=False, soft_wrap=False, width=width, no_color=colour is False
    )


def word(outcome: Outcome | Verdict, console: Console) -> Text:
    """The outcome as a shape, a word and a colour: never colour alone."""
    fancy, plain, style = _LOOKS[outcome.value]
    shape = fancy if console.encoding.lower().startswith("utf") else plain
    return Text(f"{shape} {outcome.value}", style=style)


def worst_last(findings: Iterable[Finding]) -> list[Finding]:
    """Findings in the order that they are read on a terminal: what is to be done stands last."""
    return sorted(findings, key=lambda finding: _ORDER.index(finding.outcome))


def headline(report: Report) -> str:
    """Who this report is about, in one line."""
    parts = [report.craft, report.board, report.firmware, place_of(report) or report.capture.file]
    return " · ".join(visible(part, 80) for part in parts if part) or "an unidentified board"


def place_of(report: Report) -> str | None:
    """Where the board was: the device, of a link in a folder its name."""
    port = report.port
    if port is None or port.device is None:
        return None
    return port.device.rpartition("/")[2] if port.origin == "folder" else port.device


def show_report(report: Report, console: Console) -> None:
    """Print a report."""
    console.print()
    console.print(Text.assemble(word(report.verdict, console), "  ", (headline(report), "bold")))
    if not report.complete:
        console.print(Padding(Text(visible(report.ended, _MAX_TEXT)), (0, 0, 0, 2)))
    for step in report.next_steps:
        console.print(Padding(Text(f"do: {visible(step, _MAX_TEXT)}"), (0, 0, 0, 2)))
    for finding in worst_last(report.findings):
        _show_finding(finding, console)
    if report.problems:
        console.print(Padding(Text(f"{len(report.problems)} values on the console could not be read:"), (0, 0, 0, 2)))
        for problem in report.problems[:5]:
            console.print(Padding(Text(visible(f"line {problem.line}: {problem.message}", 200)), (0, 0, 0, 4)))


def _show_finding(finding: Finding, console: Console) -> None:
    line = Text.assemble(word(finding.outcome, console), "  ", (finding.check, "bold"), "  ")
    line.append(visible(finding.summary, _MAX_TEXT))
    console.print(Padding(line, (0, 0, 0, 2)))
    if finding.outcome in _QUIET:
        return
    details = Table.grid(padding=(0, 2))
    details.add_column(no_wrap=True, style="dim")
    details.add_column()
    for label, texts in _details(finding):
        for index, text in enumerate(texts):
            details.add_row(label if index == 0 else "", Text(visible(text, _MAX_TEXT)))
    console.print(Padding(details, (0, 0, 0, 6)))


def _details(finding: Finding) -> list[tuple[str, Sequence[str]]]:
    evidence = [f"line {each.line}: {each.text}" for each in finding.evidence[:_MAX_EVIDENCE]]
    if len(finding.evidence) > _MAX_EVIDENCE:
        evidence.append(f"and {len(finding.evidence) - _MAX_EVIDENCE} more lines in the report")
    rows: list[tuple[str, Sequence[str]]] = [
        ("expected", [finding.expected] if finding.expected else []),
        ("found", [finding.actual] if finding.actual else []),
        ("why", [finding.why] if finding.why else []),
        ("caution", [finding.caution] if finding.caution else []),
        ("type", finding.remedy.console),
        ("do", finding.remedy.steps),
        ("seen", evidence),
    ]
    return [(label, texts) for label, texts in rows if texts]


def row_of(report: Report, console: Console) -> Text:
    """One table row of `propsoff watch`: time, verdict, who, and the first thing to do."""
    worst = worst_last(report.findings)
    first = report.ended if not report.complete else worst[-1].summary if worst else ""
    if report.verdict is Verdict.PASS:
        first = "ready: every check passed"
    at = datetime.fromisoformat(report.created).astimezone()
    row = Text.assemble(f"{at:%H:%M:%S}  ", word(report.verdict, console))
    row.pad_right(max(0, 24 - len(row)))
    row.append(f"{headline(report)}  ", style="bold")
    row.append(visible(first, 200))
    return row
