"""A bench at work: everything put together, until somebody stops it."""

from __future__ import annotations

import asyncio
import contextlib
import signal
import threading
from collections.abc import AsyncIterator, Awaitable, Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Protocol, cast

from propsoff.bench.aside import Aside
from propsoff.bench.asks import Asks
from propsoff.bench.bench import Bench
from propsoff.bench.control import Control
from propsoff.bench.delivery import Deliveries
from propsoff.bench.earlier import EarlierAnswers
from propsoff.bench.events import Reported, Trouble, Watcher, guarded
from propsoff.bench.notify import announced
from propsoff.bench.places import PlaceMemory
from propsoff.bench.scene import Scene
from propsoff.bench.setup import (
    Log,
    aloud,
    consent_store,
    history_output,
    known_boards,
    plugin_extras,
    policy_of,
    port_sources,
    stopped_by_signals,
)
from propsoff.bench.visit import Bay
from propsoff.outputs.files import ReportFiles
from propsoff.threads import start

if TYPE_CHECKING:
    from propsoff.bench.events import Event
    from propsoff.library import Toolbox
    from propsoff.outputs.output import Output
    from propsoff.ports.facts import Port
    from propsoff.ports.policy import Decision
    from propsoff.ports.sources import PortSource
    from propsoff.store.output import HistoryOutput

Serve = Callable[[Control], Awaitable[None]]
"""Something that lets others see and ask the bench; it runs beside it and is cancelled when the bench has ended."""

_HISTORY_S = 30.0
"""How long history may take for a report beyond what it waits for others."""
_KEEP_S = 0.5
"""The least time between two writings of the places' past results."""
_READY_S = 2.0
"""How long a bench waits for its history to be open before it looks for boards."""


class Leaving(Protocol):
    """What lets reports leave the bench by itself: outputs of its own, told of each event, at work beside the bench."""

    @property
    def outputs(self) -> Sequence[Output]:
        """What each report is handed to."""

    def watcher(self, event: Event) -> None:
        """Take an event."""

    async def run(self) -> None:
        """Work until `close`."""

    async def close(self, grace_s: float) -> None:
        """End `run`, with so much time for what is under way."""


async def run_bench(
    tools: Toolbox,
    *,
    watcher: Watcher,
    log: Log,
    named: Sequence[str] = (),
    stopping: asyncio.Event | None = None,
    serve: Sequence[Serve] = (),
    leaving: Callable[[Watcher], Leaving | None] = lambda watcher: None,
) -> int:
    """Run a bench until `stopping` is set, or SIGINT or SIGTERM comes; the number of reports that were written nowhere.

    `serve` are those who let others see and ask it; `leaving` makes what lets reports leave it, given whom to tell what
    goes wrong. Raises PortError when no source of ports is left; SettingsError as `leaving` does.
    """
    settings = tools.settings
    shown = _Shown(watcher, tools, log) if serve else None
    leaves = leaving(shown or watcher)
    everyone = _all_of(shown or watcher, leaves, log)
    bay = Bay(
        tools,
        known_boards(settings),
        stopping or asyncio.Event(),
        overhear=None if shown is None else shown.scene.overhear,
        asks=None if shown is None else shown.asks,
    )
    extra_sources = await plugin_extras(tools.plugins, "propsoff_port_sources", "source of ports", settings)
    history = await _history(tools, everyone, log)
    deliveries = await _deliveries(tools, history, everyone, log, () if leaves is None else leaves.outputs)

    def decide(port: Port, attached: Iterable[Port]) -> Decision:
        return policy_of(tools).decide(port, attached)

    sources = [*port_sources(settings, named=named), *cast("list[PortSource]", extra_sources)]
    bench = Bench(bay, sources, decide, deliveries, watcher=everyone, say=log.info)
    tell = guarded(everyone, log.warning)
    for failure in tools.failures:
        tell(Trouble(str(failure)))
    with stopped_by_signals(bay.stopping), _told_of_children():
        async with announced(), _at_work(leaves, settings.bench.grace_s):
            await (bench.run() if shown is None else shown.run(bench, serve, everyone, bay.stopping))
    if history is not None:
        start(history.close, "history")
    return deliveries.lost + bench.lost


@contextlib.contextmanager
def _told_of_children() -> Iterator[None]:
    """Whoever started the bench may have it ignore that children end, and then nobody learns how a command ended."""
    ignored = (
        hasattr(signal, "SIGCHLD")
        and threading.current_thread() is threading.main_thread()
        and signal.getsignal(signal.SIGCHLD) is signal.SIG_IGN
    )
    if ignored:
        signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    try:
        yield
    finally:
        if ignored:
            signal.signal(signal.SIGCHLD, signal.SIG_IGN)


def _all_of(watcher: Watcher, leaves: Leaving | None, log: Log) -> Watcher:
    """Who is told of each event; what the one raises costs the other nothing."""
    if leaves is None:
        return watcher
    first, second = guarded(watcher, log.warning), guarded(leaves.watcher, log.warning)

    def tell(event: Event) -> None:
        first(event)
        second(event)

    return tell


@contextlib.asynccontextmanager
async def _at_work(leaves: Leaving | None, grace_s: float) -> AsyncIterator[None]:
    if leaves is None:
        yield
        return
    working = asyncio.create_task(leaves.run(), name="outgoing")
    try:
        yield
    finally:
        # What does not get out is on disk, and does the next time.
        await leaves.close(grace_s)
        working.cancel()
        await asyncio.gather(working, return_exceptions=True)


async def _history(tools: Toolbox, watcher: Watcher, log: Log) -> HistoryOutput | None:
    history = history_output(tools, aloud(watcher, log))
    if history is not None:
        # To load a database's driver holds up every thread for a moment: better now than while a board talks.
        await asyncio.to_thread(start(history.prepare, "history").join, _READY_S)
    return history


async def _deliveries(
    tools: Toolbox, history: HistoryOutput | None, watcher: Watcher, log: Log, more: Sequence[Output]
) -> Deliveries:
    settings = tools.settings
    extra = await plugin_extras(tools.plugins, "propsoff_outputs", "output", settings)
    files: Output = ReportFiles(settings.output.folder, sync=settings.output.sync)
    return Deliveries(
        cast("list[Output]", extra),
        ours=[files, *more],
        retry_s=settings.output.retry_s,
        keep=settings.output.keep,
        deadline_s=settings.plugins.deadline_s,
        say=log.warning,
        aside=Aside(settings.bench.state / "unwritten"),
        watcher=watcher,
        after=history,
        after_deadline_s=3 * settings.store.lock_s + _HISTORY_S,
    )


class _Shown:
    """A bench that others may see and ask: passes each event on to the scene and to the watcher."""

    def __init__(self, watcher: Watcher, tools: Toolbox, log: Log) -> None:
        self._watcher, self._tools, self._log = guarded(watcher, log.warning), tools, log
        self._memory = PlaceMemory(tools.settings.bench.state / "places.json")
        self.scene = Scene(tools.settings.bench.places, self._memory)
        self.asks = Asks(EarlierAnswers(tools.settings.bench.state / "answers.json"))
        self._keeping: asyncio.Task[None] | None = None
        self._more_to_keep = False
        self._ending = asyncio.Event()

    def __call__(self, event: Event) -> None:
        """Take an event."""
        try:
            self.scene(event)
        finally:
            self._watcher(event)
        if isinstance(event, Reported):
            self._more_to_keep = True
            if self._keeping is None or self._keeping.done():
                self._keeping = asyncio.create_task(self._keep(), name="places")

    async def _keep(self) -> None:
        """Write what is new, the first at once; what follows soon is written together."""
        while self._more_to_keep:
            self._more_to_keep = False
            try:
                await asyncio.to_thread(self._memory.keep)
            except OSError as error:
                self._log.warning("the places could not be noted", problem=str(error))
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(self._ending.wait(), _KEEP_S)

    async def run(self, bench: Bench, serve: Sequence[Serve], watcher: Watcher, stopping: asyncio.Event) -> None:
        """Run the bench, and beside it those who serve; what they raise is said and does not end the bench.

        `watcher` is told of what they do.
        """
        tell = guarded(watcher, self._log.warning)
        consents = consent_store(self._tools.settings)
        control = Control(bench, self._tools, self.scene, self.asks, consents, tell, stopping)
        serving = [asyncio.create_task(self._served(each, control, tell), name="service") for each in serve]
        try:
            await bench.run()
        finally:
            self.scene.end()
            self._ending.set()
            for task in serving:
                task.cancel()
            await asyncio.gather(*serving, return_exceptions=True)
            if self._keeping is not None:
                await asyncio.gather(self._keeping, return_exceptions=True)

    async def _served(self, serve: Serve, control: Control, tell: Watcher) -> None:
        try:
            await serve(control)
        except Exception as error:  # noqa: BLE001  the bench goes on without those who look at it
            tell(Trouble(f"the page and the interface are not served: {error}"))
