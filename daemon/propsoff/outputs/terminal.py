"""A report on a terminal: the verdict first, what is well in one line each, what is to be done last and in full."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import IO, TYPE_CHECKING, Any, cast

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from propsoff.inspection.finding import Finding, Outcome, Verdict
from propsoff.outputs.escape import visible
from propsoff.outputs.moments import held_another_day, in_utc
from propsoff.outputs.nowhere import lead_nowhere

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
_MAX_SEEN = 160
_MAX_PATH = 4096
_MAX_EVIDENCE = 4
_UNLIMITED = 100_000
_TRAILING = re.compile(r" +(?=\n)")


class _RightTrimmed:
    """A stream whose lines end where their text ends."""

    def __init__(self, stream: IO[str]) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        self._stream.write(_TRAILING.sub("", text))
        return len(text)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


class _Console(Console):
    """One whose reader may go away (`| head`): the command goes on, and its exit code stays its own."""

    def on_broken_pipe(self) -> None:
        """Write the rest nowhere. The usual way is to exit with 1, which says that a check failed."""
        self.quiet = True
        lead_nowhere(sys.stdout)


def console_for(stream: IO[str], *, colour: bool | None = None) -> Console:
    """A rich console without markup, emoji or highlighting: what a board sent is text and nothing else.

    On a terminal it wraps at the terminal's width; `colour` None leaves colour to the terminal and to NO_COLOR. What
    goes into a pipe or a file is for another program: neither wrapped nor padded.
    """
    terminal = stream.isatty()
    return _Console(
        file=stream if terminal else cast("IO[str]", _RightTrimmed(stream)),
        markup=False,
        emoji=False,
        highlight=False,
        soft_wrap=False,
        width=None if terminal else _UNLIMITED,
        no_color=None if colour is None else not colour,
    )


def word(outcome: Outcome | Verdict, console: Console) -> Text:
    """The outcome as a shape, a word and a colour: never colour alone."""
    fancy, plain, style = _LOOKS[outcome.value]
    shape = fancy if console.encoding.lower().startswith("utf") else plain
    return Text(f"{shape} {outcome.value}", style=style)


def worst_last(findings: Iterable[Finding]) -> list[Finding]:
    """Findings in the order that they are read on a terminal: what is to be done stands last."""
    return sorted(findings, key=lambda finding: (_ORDER.index(finding.counts_as), _ORDER.index(finding.outcome)))


def effects_of(findings: Sequence[Finding]) -> Mapping[int, Sequence[Finding]]:
    """For each finding by its place: those that are only effects of it. One whose cause is not there is nobody's."""
    places: dict[str, int] = {}
    for at, finding in enumerate(findings):
        if finding.because is None:
            places.setdefault(finding.name, at)
    effects: dict[int, list[Finding]] = {}
    for finding in findings:
        if finding.because in places:
            effects.setdefault(places[finding.because], []).append(finding)
    return effects


def causes_worst_last(findings: Sequence[Finding]) -> list[tuple[Finding, Sequence[Finding]]]:
    """What stands for itself, worst last, and with each what is only an effect of it."""
    effects = effects_of(findings)
    under = {id(effect) for group in effects.values() for effect in group}
    places = {id(finding): at for at, finding in enumerate(findings)}
    alone = [finding for finding in findings if id(finding) not in under]
    return [(finding, effects.get(places[id(finding)], ())) for finding in worst_last(alone)]


def headline(report: Report, *, of_file: bool = False) -> str:
    """Who this report is about, in one line; `of_file`: the place where it once was plugged in is left out."""
    place = None if of_file else place_of(report) or report.capture.file
    parts = [visible(part, 80) for part in (report.craft, report.board, report.firmware) if part]
    if place:
        parts.append(visible(place, _MAX_PATH))
    return " · ".join(parts) or "an unidentified board"


def place_of(report: Report) -> str | None:
    """Where the board was: the device, of a link in a folder its name."""
    port = report.port
    if port is None or port.device is None:
        return None
    return port.device.rpartition("/")[2] if port.origin == "folder" else port.device


def show_report(report: Report, console: Console, *, file: str | None = None) -> None:
    """Print a report; `file` is the capture that it was read from, where that was a file."""
    console.print()
    console.print(Text.assemble(word(report.verdict, console), "  ", (headline(report, of_file=bool(file)), "bold")))
    if file:
        console.print(Text(f"  file: {visible(file, _MAX_PATH)}"), soft_wrap=True)
    if held := held_another_day(report):
        said = f"held: {in_utc(held)}; this report of it was made {in_utc(report.created)}"
        console.print(Text(f"  {said}"), soft_wrap=True)
    if judges := _judges(report):
        _indented(Text(judges), 2, console)
    if not report.complete:
        _indented(Text(visible(report.ended, _MAX_TEXT)), 2, console)
    for step in report.next_steps:
        _indented(Text(f"do: {visible(step, _MAX_TEXT)}"), 2, console)
    for finding, effects in causes_worst_last(report.findings):
        _show_finding(finding, console)
        for effect in effects:
            _indented(also_seen(effect), 6, console)
    _show_problems(report, console)


def _indented(what: Text | Table, left: int, console: Console) -> None:
    console.print(Padding(what, (0, 0, 0, left), expand=False))


def _judges(report: Report) -> str:
    """By which sheet and dialect it was judged; empty where the console was not recognised."""
    said = []
    if report.sheet is not None:
        said.append(f"judged by: sheet {visible(report.sheet.name, 80)} ({visible(report.sheet.why, _MAX_TEXT)})")
    if report.dialect is not None:
        said.append(f"read by: dialect {visible(f'{report.dialect.id} {report.dialect.version}'.strip(), 80)}")
    return "; ".join(said)


def _show_problems(report: Report, console: Console) -> None:
    told = "\n".join(finding.summary for finding in report.findings)
    problems = [one for one in report.problems if f"line {one.line}: {one.message}" not in told]
    count = len(problems)
    if not count:
        return
    _indented(Text(f"{count} value{'' if count == 1 else 's'} on the console could not be read:"), 2, console)
    for problem in problems[:5]:
        where = "" if problem.line is None else f"line {problem.line}: "
        _indented(Text(visible(f"{where}{problem.message}", 200)), 4, console)
    if count > 5:
        _indented(Text(f"and {count - 5} more in the report"), 4, console)


def also_seen(effect: Finding) -> Text:
    """One line for a finding that goes away with its cause."""
    return Text(f"also seen: {effect.check}: {visible(effect.summary, _MAX_TEXT)}")


def finding_line(finding: Finding, console: Console) -> Text:
    """Outcome, check and summary in one line; of a waived one, by whose word it may be so."""
    line = word(finding.outcome, console)
    if finding.waived is not None:
        until = f" until {finding.waived.until}" if finding.waived.until else ""
        line.append(f" waived{until}: {visible(finding.waived.reason, _MAX_TEXT)}")
    line = Text.assemble(line, "  ", (finding.check, "bold"), "  ")
    return line.append(visible(finding.summary, _MAX_TEXT))


def _show_finding(finding: Finding, console: Console) -> None:
    _indented(finding_line(finding, console), 2, console)
    if finding.outcome in _QUIET or finding.waived is not None:
        return
    details = Table.grid(padding=(0, 2))
    details.add_column(no_wrap=True, style="dim")
    details.add_column()
    for label, texts in _details(finding):
        for index, text in enumerate(texts):
            details.add_row(label if index == 0 else "", Text(visible(text, _MAX_TEXT)))
    _indented(details, 6, console)


def _details(finding: Finding) -> list[tuple[str, Sequence[str]]]:
    evidence = [f"line {each.line}: {visible(each.text, _MAX_SEEN)}" for each in finding.evidence[:_MAX_EVIDENCE]]
    if more := len(finding.evidence[_MAX_EVIDENCE:]):
        evidence.append(f"and {more} more line{'' if more == 1 else 's'} in the report")
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


def first_step(finding: Finding) -> str | None:
    """The first thing to do about a finding: a line to type, else a step for hands; None when it names none."""
    console, steps = finding.remedy.console, finding.remedy.steps
    if console:
        more = f"  (and {len(console) - 1} more line{'s' * (len(console) > 2)})" if len(console) > 1 else ""
        return f"type: {visible(console[0], _MAX_TEXT)}{more}"
    return f"do: {visible(steps[0], _MAX_TEXT)}" if steps else None


def row_of(report: Report, console: Console) -> Text:
    """One table row of `propsoff watch`: time, verdict, who; how it ended, where no finding below tells that."""
    first = "" if report.complete else report.ended
    if report.verdict is Verdict.PASS:
        waived = sum(finding.waived is not None for finding in report.findings)
        first = f"ready: every check passed{f', {waived} waived' if waived else ''}"
    at = datetime.fromisoformat(report.created).astimezone()
    row = Text.assemble(f"{at:%H:%M:%S}  ", word(report.verdict, console))
    row.pad_right(max(0, 24 - len(row)))
    row.append(f"{headline(report)}  ", style="bold")
    row.append(visible(first, _MAX_TEXT))
    row.rstrip()
    return row
