"""The way into a queue: an output of the bench that only writes the queue's file."""

from __future__ import annotations

import time
from collections.abc import Collection
from typing import TYPE_CHECKING

from propsoff.outgoing.outbox import Head
from propsoff.outgoing.standing import place_in

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report
    from propsoff.outgoing.outbox import Outbox


class QueueOutput:
    """Puts each report of these `verdicts` (none: each report) into a queue. It blocks: to be called off a loop."""

    def __init__(self, name: str, outbox: Outbox, verdicts: Collection[str] = ()) -> None:
        self.name, self._outbox, self._verdicts = name, outbox, frozenset(verdicts)

    def keep(self, report: Report, capture: Capture) -> None:
        """Have a report wait; its capture is kept by whoever writes files. Raises OSError."""
        self.write(report)

    def write(self, report: Report) -> None:
        """Have a report wait. Raises OSError."""
        if self._verdicts and report.verdict.value not in self._verdicts:
            return
        head = Head(
            report=report.id,
            verdict=report.verdict.value,
            place=place_in(report),
            craft=report.called,
            capture=report.capture.file,
            made_s=time.time(),
        )
        self._outbox.put(head, report.to_json(indent=None).encode())
