"""Getting finished reports out: every output has its own queue, so that a slow or failing one holds up nobody.

A report that could not leave stays in memory, is tried again, and that is said aloud. At the end, what is still
unwritten is put aside in another folder, or failing that into the log: a report is never lost in silence.
"""

from __future__ import annotations

import asyncio
import contextlib
import functools
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.bench.aside import Aside
from propsoff.bench.events import Kept, NotKept, guarded
from propsoff.exceptions import PropsoffError
from propsoff.isolation import NotBackError, run_bounded
from propsoff.outputs.output import TakesCapture
from propsoff.threads import in_thread

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
    """The queue of one output. `keep` reports wait at the most; beyond it the oldest is put aside.

    `say` is the log, `watcher` is told of each report whether it was kept. `then` is given each report that is out.
    An attempt that takes longer than `deadline_s` is left behind and made again; of an output of `ours`, whose thread
    comes to its end, that is said, and the same attempt is waited for.
    """

    def __init__(
        self,
        output: Output,
        *,
        retry_s: float,
        keep: int,
        deadline_s: float,
        say: Say,
        aside: Aside,
        watcher: Watcher = _nobody,
        then: Callable[[Parcel], None] = _nobody,
        ours: bool = False,
    ) -> None:
        self._then, self._ours = then, ours
        self._output, self._say, self._aside, self._watcher = output, say, aside, guarded(watcher, say)
        self._retry_s, self._keep, self._deadline_s = retry_s, max(keep, 1), deadline_s
        self._waiting: deque[Parcel] = deque()
        self._too_many: deque[Parcel] = deque()
        self._more = asyncio.Event()
        self._idle = asyncio.Event()
        self._idle.set()
        self._problem: str | None = None
        self._under_way = False
        self._closed = False
        self.lost = 0
        self._task: asyncio.Task[None] | None = None
        self._relief: asyncio.Task[None] | None = None

    def put(self, parcel: Parcel) -> None:
        """Take a report; returns at once. What comes after `close` is put aside, before it returns."""
        if self._closed:
            self._abandon(parcel, "the bench has stopped")
            return
        if len(self._waiting) >= self._keep:
            self._too_many.append(self._waiting.popleft())
            if self._relief is None or self._relief.done():
                self._relief = asyncio.create_task(self._relieve(), name=f"output {self._output.name}, too many")
        self._waiting.append(parcel)
        if self._problem is not None:
            self._tell_not_kept(parcel, self._problem)
        self._idle.clear()
        self._more.set()
        if self._task is None:
            self._task = asyncio.create_task(self._run(), name=f"output {self._output.name}")

    async def close(self, grace_s: float) -> None:
        """Wait up to `grace_s` seconds for what still waits, then put the rest aside."""
        try:
            if self._task is not None:
                if self._problem is None or self._under_way:
                    with contextlib.suppress(TimeoutError):
                        await asyncio.wait_for(self._idle.wait(), grace_s)
                self._task.cancel()
                with contextlib.suppress(asyncio.CancelledError):
                    await self._task
            if self._relief is not None:
                await self._relief
            await self._put_aside(self._waiting, "the bench stops")
        finally:  # nobody works the queue any more, also when it is stopped
            self._closed = True
            for parcel in (*self._too_many, *self._waiting):
                self._abandon(parcel, "the bench stops")
            self._too_many.clear()
            self._waiting.clear()

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
            written = await self._attempt(parcel)
        except NotBackError:
            problem = self._not_back()
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
        self._have_problem(problem)
        return False

    def _have_problem(self, problem: str) -> None:
        if self._problem is None:
            for each in self._waiting:
                self._tell_not_kept(each, problem)
        self._problem = problem

    def _not_back(self) -> str:
        return f"did not come back within {self._deadline_s:g} s"

    async def _attempt(self, parcel: Parcel) -> object:
        """One attempt to hand a report over. Raises what the output raises, NotBackError."""
        if not self._ours:
            return await run_bounded(lambda: self._hand_over(parcel), self._deadline_s)
        attempt = asyncio.ensure_future(in_thread(lambda: self._hand_over(parcel), f"output {self._output.name}"))
        self._under_way = True
        try:
            done, _ = await asyncio.wait({attempt}, timeout=self._deadline_s)
            if not done:
                self._say(
                    "a report is not written yet; it is waited for",
                    output=self._output.name,
                    problem=self._not_back(),
                    report=parcel.report.id,
                    waiting=len(self._waiting),
                )
                self._have_problem(self._not_back())
            return await attempt
        finally:
            self._under_way = False
            attempt.cancel()

    def _tell_not_kept(self, parcel: Parcel, problem: str) -> None:
        self._watcher(NotKept(parcel.report, self._output.name, f"{problem}; it is tried again"))

    def _hand_over(self, parcel: Parcel) -> object:
        if isinstance(self._output, TakesCapture):
            return self._output.keep(parcel.report, parcel.capture)
        return self._output.write(parcel.report)

    async def _relieve(self) -> None:
        await self._put_aside(self._too_many, "too many reports wait")

    async def _put_aside(self, parcels: deque[Parcel], reason: str) -> None:
        """The last resort for reports that never could be written."""
        while parcels:
            parcel = parcels[0]
            where = await in_thread(functools.partial(self._kept_aside, parcel), "reports put aside")
            parcels.popleft()
            self._tell_aside(parcel, reason, where)

    def _abandon(self, parcel: Parcel, reason: str) -> None:
        """The same at once: the event loop may end before a thread does."""
        self._tell_aside(parcel, reason, self._kept_aside(parcel))

    def _kept_aside(self, parcel: Parcel) -> Path | OSError:
        try:
            return self._aside.keep(parcel.report, parcel.capture)
        except OSError as error:
            return error

    def _tell_aside(self, parcel: Parcel, reason: str, where: Path | OSError) -> None:
        if isinstance(where, OSError):
            whole = parcel.report.to_json(indent=None)
            self.lost += 1
            self._say("a report could not be written anywhere", problem=str(where), reason=reason, report_json=whole)
            self._watcher(NotKept(parcel.report, self._output.name, f"{where}; it stands in the log only"))
        else:
            self._say("a report was put aside", output=self._output.name, reason=reason, file=str(where))
            self._watcher(Kept(parcel.report, where))
        self._then(parcel)


class Deliveries:
    """All outputs of a bench: `ours`, then `outputs`, which are plug-ins' and have a deadline that counts.

    What cannot be written is put `aside`. `after` is the output that gets a report once the first of the others has it.
    """

    def __init__(
        self,
        outputs: Sequence[Output],
        *,
        retry_s: float,
        keep: int,
        deadline_s: float,
        say: Say,
        aside: Aside | None = None,
        ours: Sequence[Output] = (),
        watcher: Watcher = _nobody,
        after: Output | None = None,
        after_deadline_s: float = 60.0,
    ) -> None:
        aside = aside or Aside()
        made = functools.partial(Delivery, retry_s=retry_s, keep=keep, say=say, aside=aside, watcher=watcher)
        self._after = None if after is None else made(after, deadline_s=after_deadline_s)
        self._all: list[Delivery] = []
        for output in (*ours, *outputs):
            then = _nobody if self._all or self._after is None else self._after.put
            own = len(self._all) < len(ours)
            self._all.append(made(output, deadline_s=deadline_s, then=then, ours=own))

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
