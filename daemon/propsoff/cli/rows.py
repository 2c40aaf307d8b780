"""The rows that `propsoff watch` and `propsoff demo` print as things happen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.text import Text

from propsoff.bench.events import Kept, Left, NotKept, Reading, Reported, Seen, Trouble
from propsoff.inspection.finding import Finding, Outcome, Verdict
from propsoff.outputs.escape import visible
from propsoff.outputs.terminal import also_seen, causes_worst_last, finding_line, first_step, place_of, row_of

if TYPE_CHECKING:
    from pathlib import Path

    from rich.console import Console

    from propsoff.bench.events import Event
    from propsoff.inspection.report import Report
    from propsoff.ports.facts import Port

_TELLING = (Outcome.WARN, Outcome.UNKNOWN, Outcome.ERROR, Outcome.FAIL)
_MAX_PATH = 4096


class Rows:
    """A watcher that prints one row for each report, what to do below it, and why a port stays shut.

    `files`: also the name of each report that needs a person.
    """

    def __init__(self, console: Console, *, files: bool = True) -> None:
        self.console, self._files = console, files
        self._not_kept: set[str] = set()

    def __call__(self, event: Event) -> None:
        """Print what a person wants to see of an event."""
        match event:
            case Seen(port, decision) if not decision.open:
                self._say(port, f"stays shut: {decision.reason}")
            case Reading(port):
                self._say(port, "is being read")
            case Left(port):
                self._say(port, "unplugged")
            case Trouble(text, port):
                self._say(port, text)
            case NotKept(report, output, problem):
                self._not_kept.add(report.id)
                text = f"the report could not be written ({output}): {problem}"
                self.console.print(Text(f"          {_place(report)}  {visible(text, 500)}", style="bold"))
            case Kept(report, path):
                self._show_file(report, path)
            case Reported(_, report):
                self._show(report)

    def _show(self, report: Report) -> None:
        self.console.print(row_of(report, self.console))
        if report.next_steps:
            self._below(Text(f"do: {visible(report.next_steps[0], 300)}"), 4)
        for finding, effects in causes_worst_last(report.findings):
            if not _tells(finding, report):
                continue
            self._below(finding_line(finding, self.console), 4)
            if finding.waived is None and (step := first_step(finding)):
                self._below(Text(step), 8)
            for effect in effects:
                self._below(also_seen(effect), 8)

    def _below(self, text: Text, left: int) -> None:
        self.console.print(Padding(text, (0, 0, 0, left), expand=False))

    def _show_file(self, report: Report, path: Path) -> None:
        late = report.id in self._not_kept
        self._not_kept.discard(report.id)
        if late or (self._files and report.verdict is not Verdict.PASS):
            # Unwrapped, so that it can be copied whole.
            where = visible(str(path), _MAX_PATH)
            self.console.print(Text(f"    report: {where}", style="dim"), soft_wrap=True)
            self.console.print(Text(f"    all of it: propsoff show {where}", style="dim"), soft_wrap=True)

    def _say(self, port: Port | None, text: str) -> None:
        where = "bench"
        if port is not None:
            where = port.device.rpartition("/")[2] if port.origin == "folder" else port.device
        self.console.print(Text(f"          {visible(where, _MAX_PATH)}  {visible(text, 500)}", style="dim"))


def _tells(finding: Finding, report: Report) -> bool:
    """Whether a person should hear of it. What was not read because the conversation broke off is told by that."""
    return finding.outcome in _TELLING and (report.complete or finding.outcome is not Outcome.UNKNOWN)


def _place(report: Report) -> str:
    return visible(place_of(report) or "bench", _MAX_PATH)
