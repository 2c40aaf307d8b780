"""The daemon: arrivals in, reports out, one task per port, nothing shared between ports."""

from __future__ import annotations

import asyncio
import contextlib
import time
from collections.abc import Callable, Coroutine, Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, TypeVar

from propsoff.bench.delivery import Deliveries, Parcel, Say
from propsoff.bench.events import Asked, Left, Reading, Reported, Seen, Settled, Trouble, Watcher, guarded
from propsoff.bench.places import place_of
from propsoff.bench.visit import Bay, Visited, visit
from propsoff.exceptions import BeingReadError, NotAllowedError, NothingThereError, PluginError, PropsoffError
from propsoff.plugins import call_bounded
from propsoff.ports.facts import Departure, Movement, Port
from propsoff.ports.flapping import FlapGuard
from propsoff.ports.merging import merged
from propsoff.ports.policy import Decision

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report
    from propsoff.ports.sources import PortSource

T = TypeVar("T")
_CONSENT_POLL_S = 1.0
_LAST_WORDS_S = 2.0
"""How long a stop waits, after its grace, for the reports of what was not examined."""


@dataclass
class _Place:
    """A port on the bench: its last movement's port, the decision about it once there is one, and whether it left."""

    port: Port
    decision: Decision | None = None
    gone: asyncio.Event = field(default_factory=asyncio.Event)
    busy: bool = False


class Bench:
    """Watches `sources`, asks `decide` about each port, visits those that may be opened, hands reports to `deliveries`.

    `decide` reads the policy anew at each call, so that consent given meanwhile counts. `watcher` is told what happens,
    `say` is the log.
    """

    def __init__(
        self,
        bay: Bay,
        sources: Sequence[PortSource],
        decide: Callable[[Port, Iterable[Port]], Decision],
        deliveries: Deliveries,
        *,
        watcher: Watcher,
        say: Say,
    ) -> None:
        self._bay, self._sources, self._decide, self._deliveries = bay, sources, decide, deliveries
        self._watcher, self._say = guarded(watcher, say), say
        self._places: dict[str, _Place] = {}
        self._flaps = FlapGuard(time.monotonic)
        self._tasks: set[asyncio.Task[Any]] = set()
        self._policy_problem: str | None = None
        self.lost = 0
        """How many boards were read, or were being read, and have no report."""

    async def run(self) -> None:
        """Watch until `bay.stopping` is set, then let every visit finish its report.

        Raises PortError when no source of ports is left.
        """
        consents = asyncio.create_task(self._heed_consents(), name="consents")
        moves = asyncio.create_task(self._take_movements(), name="movements")
        stopping = asyncio.create_task(self._bay.stopping.wait(), name="stopping")
        try:
            await asyncio.wait({moves, stopping}, return_when=asyncio.FIRST_COMPLETED)
            if moves.done():
                moves.result()
        finally:
            await self._wind_up(consents, moves, stopping)

    async def _wind_up(self, *tasks: asyncio.Task[Any]) -> None:
        self._bay.stopping.set()
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)
        grace_s = self._bay.tools.settings.bench.grace_s
        await self._all_done(grace_s)
        self._bay.hurry.set()
        await self._all_done(_LAST_WORDS_S)
        late = list(self._tasks)
        for task in late:
            task.cancel()
        await asyncio.gather(*late, return_exceptions=True)
        await self._deliveries.close(grace_s)

    async def _all_done(self, within_s: float) -> None:
        """Wait for every visit and every moment, also for those that others of them begin."""
        with contextlib.suppress(TimeoutError):
            async with asyncio.timeout(within_s):
                while self._tasks:
                    await asyncio.wait(self._tasks)

    async def _take_movements(self) -> None:
        async for movement in merged(self._sources, lambda trouble: self._trouble(str(trouble))):
            # One after the other, so that what is told of them keeps their order.
            await self._take(movement)

    async def _take(self, movement: Movement) -> None:
        port = movement.port
        if isinstance(movement, Departure):
            self._start(self._moment("propsoff_departed", departure=movement), "propsoff_departed")
            self._leave(port)
            self._watcher(Left(port))
            self._say("port left", port=port.device)
            return
        self._leave(port)
        self._places[_place(port)] = place = _Place(port)
        pause = self._flaps.arrived(port)
        if any(self._bay.tools.plugins.calls("propsoff_arrived")):
            self._start(self._announce(place, movement, pause), "propsoff_arrived")
        else:
            self._consider(place, await self._decision(port), pause)

    def _leave(self, port: Port) -> None:
        """Nobody opens what stood at this place: another board may be next there."""
        if (place := self._places.pop(_place(port), None)) is not None:
            place.gone.set()

    async def _announce(self, place: _Place, arrival: Movement, pause: Any) -> None:
        await self._moment("propsoff_arrived", arrival=arrival)
        if place.gone.is_set():
            return
        decision = await self._decision(place.port)
        if not place.gone.is_set():
            self._consider(place, decision, pause)

    async def _decision(self, port: Port) -> Decision:
        return self._heard(await asyncio.to_thread(self._asked, port))

    def _asked(self, port: Port) -> Decision | PropsoffError:
        try:
            return self._decide(port, [place.port for place in list(self._places.values())])
        except PropsoffError as error:
            return error

    def _heard(self, answer: Decision | PropsoffError) -> Decision:
        """The decision; a policy that cannot be read allows nothing, and that is said once for each reason."""
        if isinstance(answer, Decision):
            self._policy_problem = None
            return answer
        if str(answer) != self._policy_problem:
            self._policy_problem = str(answer)
            self._trouble(str(answer))
        return Decision(open=False, rule="not-allowed", reason=f"the policy could not be read: {answer}")

    def _consider(self, place: _Place, decision: Decision, pause: Any = None) -> None:
        port, place.decision = place.port, decision
        self._watcher(Seen(port, decision))
        self._say("port seen", port=port.device, opened=decision.open, rule=decision.rule, reason=decision.reason)
        if pause is not None and pause.notice:
            self._trouble(pause.notice, port)
        if decision.open and not place.busy:
            self._begin(place, pause.delay_s if pause is not None else 0.0)

    async def _heed_consents(self) -> None:
        """Look again at refused ports while they wait: consent may be given in another terminal."""
        while True:
            await asyncio.sleep(_CONSENT_POLL_S)
            await self.heed()

    async def again(self, device: str, *, named: bool = False) -> None:
        """Inspect what is plugged in as `device` once more; returns when that has begun.

        `named`: the operator names this very port, which is the consent for this once. Raises NothingThereError,
        BeingReadError, and NotAllowedError with the reason.
        """
        self._refuse_when_stopping(device)
        place = next((each for each in self._places.values() if each.port.device == device), None)
        if place is None:
            raise NothingThereError(f"{device}: nothing is plugged in there")
        if place.busy:
            raise BeingReadError(f"{device}: is being read; its report comes by itself")
        asked = replace(place.port, origin="named") if named and place.port.origin != "folder" else place.port
        decision = await self._decision(asked)
        if not decision.open:
            raise NotAllowedError(f"{device}: {decision.reason}")
        self._refuse_when_stopping(device)
        if place.gone.is_set():
            raise NothingThereError(f"{device}: was unplugged just now")
        if place.busy:
            raise BeingReadError(f"{device}: is being read; its report comes by itself")
        self._begin(place, 0.0)

    def _refuse_when_stopping(self, device: str) -> None:
        if self._bay.stopping.is_set():
            raise NotAllowedError(f"{device}: the bench is stopping; it reads no board any more")

    async def finish(self, work: Coroutine[Any, Any, T], lost: str, port: Port) -> T:
        """What `work` gives, which ends in a report: a stop waits for it as for a visit, also when nobody else does.

        `lost` is told of the port when the stop does not wait any longer.
        """

        async def to_its_end() -> T:
            try:
                return await work
            except asyncio.CancelledError:
                self.lost += 1
                self._trouble(lost, port)
                raise
            except Exception as error:
                self.lost += 1
                self._trouble(f"a fault in propsoff itself: {type(error).__name__}: {error}", port)
                raise

        return await asyncio.shield(self._start(to_its_end(), f"work for {port.device}"))

    async def heed(self) -> None:
        """Look again at the ports that stay shut: what the operator allows may have changed just now."""
        for place in [place for place in self._places.values() if place.decision and not place.decision.open]:
            decision = await self._decision(place.port)
            if decision.open and not (place.gone.is_set() or place.busy or self._bay.stopping.is_set()):
                self._consider(place, decision)

    def _begin(self, place: _Place, delay_s: float) -> None:
        place.busy = True
        self._start(self._busy_with(place, delay_s), f"visit of {place.port.device}")

    async def _busy_with(self, place: _Place, delay_s: float) -> None:
        try:
            await self._visit(place, delay_s)
        finally:
            place.busy = False

    async def _visit(self, place: _Place, delay_s: float) -> None:
        port = place.port
        if delay_s:
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(self._bay.stopping.wait(), delay_s)
            if self._bay.stopping.is_set() or place.gone.is_set():
                return
        if self._bay.asks is not None and self._bay.asks.drop(place_of(port)):
            self._watcher(Settled(place_of(port)))
        self._watcher(Reading(port))
        try:
            visited = await visit(port, self._bay, lambda text: self._trouble(text, port), place.gone)
        except asyncio.CancelledError:
            self.lost += 1
            self._trouble("was still being read when the bench stopped; there is no report of it", port)
            raise
        except Exception as error:  # noqa: BLE001  a fault of ours on one port must not take the other ports along
            self.lost += 1
            self._trouble(f"a fault in propsoff itself: {type(error).__name__}: {error}", port)
            self._say("fault", port=port.device, exc_info=error)
            return
        if visited.report.complete:
            # Boards that are plugged in one after another are no bad wire.
            self._flaps.settled(port)
        try:
            await self._remember(port, visited)
            await self._moment("propsoff_report_ready", report=visited.report)
        finally:  # also when the stop does not wait any longer
            self._hand_over(port, visited)
        self._ask(port, visited)

    def _ask(self, port: Port, visited: Visited) -> None:
        """Put the questions of the build sheet to whoever may answer, if anybody does and the craft was read whole."""
        asks, meant = self._bay.asks, visited.meant
        if asks is not None and visited.report.complete and meant is not None and meant.sheet.questions:
            self._watcher(Asked(port, asks.put(port, visited.report, visited.capture, meant).id))

    def deliver(self, port: Port, report: Report, capture: Capture) -> None:
        """Hand out a report that was made anew of a visit of this bench."""
        self._deliveries.put(Parcel(report, capture))
        self._watcher(Reported(port, report))
        self._say("report", port=port.device, verdict=report.verdict.value, report=report.id)

    async def _remember(self, port: Port, visited: Visited) -> None:
        if visited.dialect:
            try:
                await asyncio.to_thread(self._bay.known.remember, port, visited.dialect)
            except OSError as error:
                self._say("the board could not be noted as known", problem=str(error))

    def _hand_over(self, port: Port, visited: Visited) -> None:
        self.deliver(port, visited.report, visited.capture)
        if not visited.examined:
            self._trouble("was not examined before the bench stopped; its capture is kept, inspect that", port)

    async def _moment(self, hook: str, **arguments: Any) -> None:
        """Tell every plug-in of a moment; one that fails is named in the log."""
        deadline_s = self._bay.tools.settings.plugins.deadline_s
        for name, call in self._bay.tools.plugins.calls(hook, **arguments):
            try:
                await call_bounded(name, hook, call, deadline_s)
            except PluginError as error:
                self._trouble(str(error))

    def _start(self, work: Coroutine[Any, Any, T], name: str) -> asyncio.Task[T]:
        task = asyncio.create_task(work, name=name)
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)
        return task

    def _trouble(self, text: str, port: Port | None = None) -> None:
        self._watcher(Trouble(text, port))
        self._say("trouble", text=text, port=port.device if port else None)


def _place(port: Port) -> str:
    """What a movement is matched by while it lasts: the port's own key and the name under which it stands there now."""
    return f"{port.key}\0{port.device}"
