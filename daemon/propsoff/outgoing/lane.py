"""One target and its queue, worked in order: a target that fails or hangs costs only its own queue."""

from __future__ import annotations

import asyncio
import contextlib
import random
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from propsoff.threads import in_thread

if TYPE_CHECKING:
    from propsoff.outgoing.outbox import Entry, Outbox


_CHANCE_S = 60.0
"""How long every report is tried at the least."""

_REASONS = 5
"""So many reasons are told to people before it works again; the log has them all."""


@dataclass(frozen=True, slots=True)
class Sent:
    """The target has it."""


@dataclass(frozen=True, slots=True)
class Later:
    """It did not work; it may another time, not before `after_s` seconds where the target said so."""

    why: str
    after_s: float | None = None


@dataclass(frozen=True, slots=True)
class Never:
    """The target will not take it."""

    why: str


Outcome = Sent | Later | Never


class Target(Protocol):
    """Where reports go."""

    @property
    def name(self) -> str:
        """What it is called for people, such as `web call rig`."""

    async def ready(self) -> None:
        """Comes back when an attempt makes sense."""

    async def attempt(self, entry: Entry) -> Outcome:
        """Try once to hand a report over; within the target's own deadline."""


class Voice(Protocol):
    """Where it is said what becomes of a report. May be called from any thread."""

    def log(self, event: str, **values: object) -> None:
        """What happened, for the log only."""

    def trouble(self, text: str) -> None:
        """What a person should know."""


@dataclass(frozen=True, slots=True)
class BackOff:
    """Pauses in seconds that double from `first_s` to `most_s`, each shortened by chance by up to a half.

    So benches that lost the same target do not all come back at the same moment.
    """

    first_s: float
    most_s: float
    chance: Callable[[], float] = random.random

    def pause_s(self, failures: int, asked_s: float | None = None) -> float:
        """The pause after so many failures in a row (from 1); never shorter than the target asked."""
        doubled = self.first_s * 2.0 ** min(failures - 1, 60)
        own = min(doubled, self.most_s) * (1 - self.chance() / 2)
        return max(own, asked_s or 0.0)


class Lane:
    """Hands the reports of one queue to one target, in order, one at a time.

    `calm` is set while nothing is under way: the queue is empty, or the target is waited for.
    """

    def __init__(self, target: Target, outbox: Outbox, *, back_off: BackOff, max_age_s: float, voice: Voice) -> None:
        self._target, self._outbox, self._voice = target, outbox, voice
        self._back_off, self._max_age_s = back_off, max_age_s
        self._more = asyncio.Event()
        self.calm = asyncio.Event()
        self._resting = False
        self._told: set[str] = set()

    def wake(self) -> None:
        """Something was put into the queue; called on the lane's loop."""
        if not self._resting:
            self.calm.clear()
        self._more.set()

    async def run(self) -> None:
        """Work until cancelled; what waits then is on disk."""
        while True:
            self._more.clear()
            entry = await self._next()
            if entry is not None:
                await self._carry(entry)
            elif not self._more.is_set():
                self.calm.set()
                await self._more.wait()

    async def _next(self) -> Entry | None:
        """The oldest that waits; one that cannot be read now is tried again for as long as one that cannot be sent."""
        failures, clock = 0, asyncio.get_running_loop().time
        until = clock() + self._max_age_s
        while True:
            last_try = clock() >= until
            try:
                return await in_thread(lambda: self._outbox.first(last_try=last_try), "outgoing queue")  # noqa: B023  it is waited for
            except OSError as error:
                failures += 1
                pause_s, why = self._back_off.pause_s(failures), str(error)
            self._voice.log("an outgoing queue cannot be read", target=self._target.name, problem=why)
            self._tell_once(why, f"{self._target.name}: what waits cannot be read: {why}; it is tried again")
            async with self._rest():
                await asyncio.sleep(pause_s)

    async def _carry(self, entry: Entry) -> None:
        """Try until it is out, given up, or no longer in the queue."""
        failures, clock = 0, asyncio.get_running_loop().time
        # Also one that is too old already, by a clock that may have been wrong, is given a chance.
        until = clock() + max(self._max_age_s - entry.age_s, min(_CHANCE_S, self._max_age_s))
        while True:
            async with self._rest():
                with contextlib.suppress(TimeoutError):
                    async with asyncio.timeout_at(until):
                        await self._target.ready()
            if not self._outbox.hold(entry.path):
                return
            try:
                outcome = await self._tried(entry)
            finally:
                self._outbox.release()
            if not isinstance(outcome, Later):
                break
            failures += 1
            if clock() >= until:
                outcome = Never(f"{outcome.why}; it has waited longer than {self._max_age_s / 3600:g} h")
                break
            pause_s = self._back_off.pause_s(failures, outcome.after_s)
            self._failed(entry, outcome.why, pause_s)
            async with self._rest():
                await asyncio.sleep(min(pause_s, max(until - clock(), 0)))
        await in_thread(lambda: self._outbox.done(entry.path), "outgoing queue")
        self._ended(entry, outcome, failures)

    async def _tried(self, entry: Entry) -> Outcome:
        try:
            return await self._target.attempt(entry)
        except Exception as error:  # noqa: BLE001  a fault of ours must not stop the queue; it is named and tried again
            return Later(f"a fault in propsoff itself: {type(error).__name__}: {error}")

    def _failed(self, entry: Entry, why: str, pause_s: float) -> None:
        waiting = len(self._outbox)
        self._voice.log(
            "an outgoing report is tried again",
            target=self._target.name,
            report=entry.head.report,
            problem=why,
            again_in_s=round(pause_s, 1),
            waiting=waiting,
        )
        self._tell_once(
            why,
            f"{self._target.name}: report {entry.head.report} did not get out: {why}; it is tried again "
            f"({waiting} waiting)",
        )

    def _tell_once(self, why: str, text: str) -> None:
        """Tell people of a reason once until it works again, and of so many reasons at the most."""
        if why not in self._told and len(self._told) < _REASONS:
            self._told.add(why)
            self._voice.trouble(text)

    def _ended(self, entry: Entry, outcome: Sent | Never, failures: int) -> None:
        name, report = self._target.name, entry.head.report
        if isinstance(outcome, Never):
            self._voice.log("an outgoing report is given up", target=name, report=report, problem=outcome.why)
            self._voice.trouble(f"{name}: report {report} is given up: {outcome.why}")
            return
        self._voice.log("an outgoing report is out", target=name, report=report, attempts=failures + 1)
        if self._told:
            self._told.clear()
            self._voice.trouble(f"{name}: works again; report {report} is out ({len(self._outbox)} waiting)")

    @contextlib.asynccontextmanager
    async def _rest(self) -> AsyncIterator[None]:
        """The target is waited for: a stop need not wait for this lane."""
        self._resting = True
        self.calm.set()
        try:
            yield
        finally:
            self._resting = False
            self.calm.clear()
