"""Putting a bench together from settings: its sources of ports, its policy, its outputs, its watchful loop."""

from __future__ import annotations

import asyncio
import contextlib
import functools
import signal
from collections.abc import AsyncGenerator, Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Protocol

from propsoff.bench.events import Trouble, Watcher, guarded
from propsoff.bench.known import KnownBoards
from propsoff.plugins import Plugins, items_of, shown
from propsoff.ports.consent_store import ConsentStore
from propsoff.ports.facts import Arrival, Departure, Port
from propsoff.ports.folder import FolderSource
from propsoff.ports.merging import merged
from propsoff.ports.named import NamedSource
from propsoff.ports.policy import Policy
from propsoff.ports.sources import PortSource, best_source
from propsoff.threads import tell as tell_loop

if TYPE_CHECKING:
    from propsoff.library import Toolbox
    from propsoff.settings import Settings
    from propsoff.store.output import HistoryOutput

_SNAPSHOT_S = 15.0
"""How long the sources are given to tell which ports there are."""
_SNAPSHOT_QUIET_S = 0.1
"""How long what they told may take from them to us."""


class Log(Protocol):
    """The part of a structlog logger that a bench needs."""

    def info(self, event: str, **values: object) -> object:
        """What happened."""

    def warning(self, event: str, **values: object) -> object:
        """What a person should look at."""


def consent_store(settings: Settings) -> ConsentStore:
    """The operator's consents of this bench."""
    return ConsentStore(settings.bench.state / "consents.json")


def known_boards(settings: Settings) -> KnownBoards:
    """The boards that this bench has seen."""
    return KnownBoards(settings.bench.state / "known-boards.json")


def policy_of(tools: Toolbox) -> Policy:
    """The policy as it stands now. Raises ConfigError when the consents cannot be read."""
    hints = [hint for dialect in tools.dialects for hint in dialect.hints]
    return Policy(consent_store(tools.settings).all(), hints)


def port_sources(settings: Settings, *, named: Sequence[str] = ()) -> list[PortSource]:
    """The sources that the settings ask for; what the operator named goes before what the system reports."""
    sources: list[PortSource] = []
    if named:
        sources.append(NamedSource(named))
    if settings.ports.folder is not None:
        sources.append(FolderSource(settings.ports.folder))
    if settings.ports.source == "udev":
        from propsoff.ports.udev import UdevSource

        sources.append(UdevSource())
    elif settings.ports.source == "listing":
        from propsoff.ports.listing import ListingSource

        sources.append(ListingSource(settings.ports.poll_s))
    elif settings.ports.source == "auto":
        sources.append(best_source(settings.ports.poll_s))
    return sources


async def plugin_extras(plugins: Plugins, hook: str, kind: str, settings: Settings) -> list[object]:
    """What plug-ins add to a bench: port sources or outputs. Nonsense is a failure that names the plug-in."""
    needs = {"source of ports": "movements", "output": "write"}[kind]
    extras: list[object] = []
    gathered = functools.partial(plugins.gather, hook, deadline_s=settings.plugins.deadline_s, settings=settings)
    for name, answer in await asyncio.to_thread(gathered):
        for item in items_of(plugins, name, hook, answer) if isinstance(answer, Iterable) else (answer,):
            if _has(item, needs):
                extras.append(item)
            else:
                plugins.failed(name, hook, f"{hook} gave {shown(item)}, which is no {kind}")
    return extras


def _has(item: object, method: str) -> bool:
    """Whether somebody else's object has a name and this method."""
    try:
        return callable(getattr(item, method, None)) and isinstance(getattr(item, "name", None), str)
    except Exception:  # noqa: BLE001  its attributes may be code that raises anything
        return False


async def attached_ports(settings: Settings, *, on_trouble: Callable[[str], None]) -> list[Port]:
    """The ports that are plugged in now."""
    sources = port_sources(settings)
    here: dict[str, Port] = {}
    if not sources:
        return []

    async def take() -> None:
        stream: AsyncGenerator[Arrival | Departure, None] = merged(sources, lambda trouble: on_trouble(str(trouble)))
        async with contextlib.aclosing(stream):
            async for movement in stream:
                if isinstance(movement, Arrival):
                    here[movement.port.device] = movement.port
                else:
                    here.pop(movement.port.device, None)

    taking = asyncio.create_task(take())
    settling = asyncio.create_task(_settled(sources))
    try:
        await asyncio.wait({taking, settling}, timeout=_SNAPSHOT_S, return_when=asyncio.FIRST_COMPLETED)
        if not taking.done() and not settling.done():
            on_trouble(f"not every source of ports told within {_SNAPSHOT_S:g} s what is there; ports may be missing")
        await asyncio.wait({taking}, timeout=_SNAPSHOT_QUIET_S)
        if taking.done():
            taking.result()
    finally:
        settling.cancel()
        taking.cancel()
        await asyncio.gather(taking, settling, return_exceptions=True)
    return list(here.values())


async def _settled(sources: Sequence[PortSource]) -> None:
    for source in sources:
        settled = getattr(source, "settled", None)
        if isinstance(settled, asyncio.Event):
            await settled.wait()


def history_output(tools: Toolbox, say: Callable[[str], object]) -> HistoryOutput | None:
    """History as an output; None where the settings want none. `say` is called in whichever thread enters."""
    store = tools.settings.store
    if not store.enabled:
        return None
    from propsoff.store.output import HistoryOutput

    return HistoryOutput(store.url, store.waiting, lock_s=store.lock_s, say=say, rules=tools.rules_of)


def aloud(watcher: Watcher, log: Log) -> Callable[[str], object]:
    """What says something to the log and, on this loop, to the watcher, from any thread."""
    loop, told = asyncio.get_running_loop(), guarded(watcher, log.warning)

    def say(text: str) -> None:
        log.warning("history", told=text)
        tell_loop(loop, told, Trouble(text))

    return say


@contextlib.contextmanager
def stopped_by_signals(stopping: asyncio.Event) -> Iterator[None]:
    """SIGINT and SIGTERM set `stopping`, where the event loop can take signals."""
    loop = asyncio.get_running_loop()
    taken: list[signal.Signals] = []
    for number in (signal.SIGINT, signal.SIGTERM):
        with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):  # Windows, or not the main thread
            loop.add_signal_handler(number, stopping.set)
            taken.append(number)
    try:
        yield
    finally:
        for number in taken:
            loop.remove_signal_handler(number)
