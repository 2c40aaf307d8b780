"""The rows that `propsoff watch` and `propsoff demo` print as things happen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.text import Text

from propsoff.bench.events import Left, Reading, Reported, Seen, Trouble
from propsoff.inspection.finding import Outcome
from propsoff.outputs.escape import visible
from propsoff.outputs.terminal import row_of, word, worst_last

if TYPE_CHECKING:
    from rich.console import Console

    from propsoff.bench.events import Event
    from propsoff.ports.facts import Port

_TELLING = (Outcome.WARN, Outcome.UNKNOWN, Outcome.ERROR, Outcome.FAIL)


class Rows:
    """A watcher that prints one row for each report, what to look at below it, and why a port stays shut."""

    def __init__(self, console: Console) -> None:
        self._console = console

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
            case Reported(_, report):
                self._console.print(row_of(report, self._console))
                for finding in worst_last(report.findings):
                    if finding.outcome in _TELLING:
                        line = Text.assemble(word(finding.outcome, self._console), f"  {finding.check}: ")
                        line.append(visible(finding.summary, 300))
                        self._console.print(Padding(line, (0, 0, 0, 4)))

    def _say(self, port: Port | None, text: str) -> None:
        where = "bench"
        if port is not None:
            where = port.device.rpartition("/")[2] if port.origin == "folder" else port.device
        self._console.print(Text(f"          {visible(where, 120)}  {visible(text, 500)}", style="dim"))
