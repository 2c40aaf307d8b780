"""Getting finished reports out: every output has its own queue, so that a slow or failing one holds up nobody.

A report that could not leave stays in memory, is tried again, and that is said aloud. At the end, what is still
unwritten goes to the temporary folder, or failing that into the log: a report is never lost in silence.
"""

from __future__ import annotations

import asyncio
import contextlib
import tempfile
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.bench.events import Kept, NotKept, guarded
from propsoff.exceptions import PropsoffError
from propsoff.isolation import NotBackError, run_bounded
from propsoff.outputs.files import ReportFiles
from propsoff.outputs.output import TakesCapture

if TYPE_CHECKING:
    from propsoff.bench.events import Watcher
    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report
    from propsoff.outputs.output import Output

Say = Callable[..., object]
"""A structlog method: `say("what happened", key=value)`."""


@dataclass(frozen=True)
class Parcel:
    """A finished report and the conversation that it was read from."""

    report: Report
    capture: Capture


def _nobody(event: object) -> None:
    """The watcher that does not look, and the next who wants nothing."""


class Delivery:
    """The queue of one output. `keep` reports wait at the most; beyond it the oldest goes to the fallback at once.

    `say` is the log, `watcher` is told of each report whether it was kept. `then` is given each report that is out.
    """

    def __init__(
        self,
        output: Output,
        *,
        retry_s: float,
        keep: int,
        deadline_s: float,
        say: Say,
        fallback: Path,
        watcher: Watcher = _nobody,
        then: Callable[[Parcel], None] = _nobody,
    ) -> None:
        self._then = then
        self._output, self._say, self._fallback, self._watcher = output, say, fallback, guarded(watcher, say)
        self._retry_s, self._keep, self._deadline_s = retry_s, max(keep, 1), deadline_s
        self._waiting: deque[Parcel] = deque()
        self._more = asyncio.Event()
        self._idle = asyncio.Event()
        self._idle.set()
        self._problem: str | None = None
        self.lost = 0
        self._task: asyncio.Task[None] | None = None

    def put(self, parcel: Parcel) -> None:
        """Take a report; returns at once."""
        if len(self._waiting) >= self._keep:
            self._abandon(self._waiting.popleft(), "too many reports wait")
        self._waiting.append(parcel)
        if self._problem is not None:
            self._tell_not_kept(parcel, self._problem)
        self._idle.clear()
        self._more.set()
        if self._task is None:
            self._task = asyncio.create_task(self._run(), name=f"output {self._output.name}")

    async def close(self, grace_s: float) -> None:
        """Wait up to `grace_s` seconds for what still waits, then put the rest into the fallback folder."""
        if self._task is not None:
            if self._problem is None:
                with contextlib.suppress(TimeoutError):
                    await asyncio.wait_for(self._idle.wait(), grace_s)
            self._task.cancel()
            with contextlib.suppress(asyncio.CancelledError):
                await self._task
        while self._waiting:
            self._abandon(self._waiting.popleft(), "the bench stops")

    async def _run(self) -> None:
        while True:
            await self._more.wait()
            while self._waiting:
                parcel = self._waiting[0]
                if await self._written(parcel):
                    if self._waiting and self._waiting[0] is parcel:
                        self._waiting.popleft()
                else:
                    await asyncio.sleep(self._retry_s)
            self._more.clear()
            self._idle.set()

    async def _written(self, parcel: Parcel) -> bool:
        try:
            written = await run_bounded(lambda: self._hand_over(parcel), self._deadline_s)
        except NotBackError:
            problem = f"did not come back within {self._deadline_s:g} s"
        except (OSError, PropsoffError) as error:
            problem = str(error)
        except Exception as error:  # noqa: BLE001  an output of a plug-in may raise anything; it is named and tried again
            problem = f"{type(error).__name__}: {error}"
        else:
            if self._problem is not None:
                self._say("reports can be written again", output=self._output.name)
            self._problem = None
            if isinstance(written, Path):
                self._watcher(Kept(parcel.report, written))
            self._then(parcel)
            return True
        self._say(
            "a report could not be written; it is kept in memory and tried again",
            output=self._output.name,
            problem=problem,
            report=parcel.report.id,
            waiting=len(self._waiting),
            again_in_s=self._retry_s,
        )
        if self._problem is None:
            for each in self._waiting:
                self._tell_not_kept(each, problem)
        self._problem = problem
        return False

    def _tell_not_kept(self, parcel: Parcel, problem: str) -> None:
        self._watcher(NotKept(parcel.report, self._output.name, f"{problem}; it is tried again"))

    def _hand_over(self, parcel: Parcel) -> object:
        if isinstance(self._output, TakesCapture):
            return self._output.keep(parcel.report, parcel.capture)
        return self._output.write(parcel.report)

    def _abandon(self, parcel: Parcel, reason: str) -> None:
        """The last resort for a report that never could be written."""
        try:
            path = ReportFiles(self._fallback).keep(parcel.report, parcel.capture)
        except OSError as error:
            whole = parcel.report.to_json(indent=None)
            self.lost += 1
            self._say("a report could not be written anywhere", problem=str(error), reason=reason, report_json=whole)
            self._watcher(NotKept(parcel.report, self._output.name, f"{error}; it stands in the log only"))
        else:
            self._say("a report was put aside", output=self._output.name, reason=reason, file=str(path))
            self._watcher(Kept(parcel.report, path))
        self._then(parcel)


class Deliveries:
    """All outputs of a bench. `after` is the output that gets a report once the first of the others has it."""

    def __init__(
        self,
        outputs: Sequence[Output],
        *,
        retry_s: float,
        keep: int,
        deadline_s: float,
        say: Say,
        watcher: Watcher = _nobody,
        after: Output | None = None,
        after_deadline_s: float = 60.0,
    ) -> None:
        def delivery(output: Output, deadline_s: float, then: Callable[[Parcel], None] = _nobody) -> Delivery:
            return Delivery(
                output,
                retry_s=retry_s,
                keep=keep,
                deadline_s=deadline_s,
                say=say,
                fallback=Path(tempfile.gettempdir()) / "propsoff-unwritten",
                watcher=watcher,
                then=then,
            )

        self._after = None if after is None else delivery(after, after_deadline_s)
        first = _nobody if self._after is None else self._after.put
        self._all = [delivery(output, deadline_s, _nobody if at else first) for at, output in enumerate(outputs)]

    def put(self, parcel: Parcel) -> None:
        """Hand a report to every output; returns at once."""
        for delivery in self._all:
            delivery.put(parcel)

    @property
    def lost(self) -> int:
        """How many reports could be written nowhere; each stands whole in the log."""
        return sum(delivery.lost for delivery in (*self._all, *self._last))

    async def close(self, grace_s: float) -> None:
        """Finish every output within `grace_s` seconds."""
        await asyncio.gather(*(delivery.close(grace_s) for delivery in self._all))
        for delivery in self._last:
            await delivery.close(grace_s)

    @property
    def _last(self) -> list[Delivery]:
        return [] if self._after is None else [self._after]
