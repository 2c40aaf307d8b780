"""A bench to test with: the real daemon on a folder of links, what it tells, and where it writes."""

from __future__ import annotations

import asyncio
import contextlib
import functools
import json
import threading
from collections.abc import AsyncIterator, Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from propsoff.bench.events import Event, Reported, Seen, Trouble
from propsoff.bench.running import run_bench
from propsoff.inspection.report import Report
from propsoff.library import Toolbox, toolbox
from propsoff.plugins import build_plugins
from propsoff.settings_sources import load_settings

WAIT_S = 40.0


class QuietLog:
    """A structlog logger that keeps what it is told."""

    def __init__(self) -> None:
        self.said: list[tuple[str, dict[str, Any]]] = []

    def info(self, event: str, **values: object) -> None:
        self.said.append((event, values))

    warning = info


@dataclass
class Watched:
    """A running bench and what was seen of it."""

    tools: Toolbox
    folder: Path
    stopping: asyncio.Event
    log: QuietLog = field(default_factory=QuietLog)
    events: list[Event] = field(default_factory=list)
    threads: set[int] = field(default_factory=set)
    breaks_at: tuple[type[Event], ...] = ()
    lost: int | None = None
    _more: asyncio.Event = field(default_factory=asyncio.Event)

    def __call__(self, event: Event) -> None:
        self.events.append(event)
        self.threads.add(threading.get_ident())
        self._more.set()
        if isinstance(event, self.breaks_at):
            raise BrokenPipeError(32, "Broken pipe")

    async def until(self, condition: Callable[[], bool]) -> None:
        """Wait for a condition on what was seen."""
        async with asyncio.timeout(WAIT_S):
            while not condition():
                self._more.clear()
                await self._more.wait()

    @property
    def reports(self) -> list[Report]:
        return [event.report for event in self.events if isinstance(event, Reported)]

    @property
    def troubles(self) -> list[str]:
        return [event.text for event in self.events if isinstance(event, Trouble)]

    @property
    def decisions(self) -> list[Seen]:
        return [event for event in self.events if isinstance(event, Seen)]

    async def report(self, count: int = 1) -> Report:
        """The `count`th report, waited for."""
        await self.until(lambda: len(self.reports) >= count)
        return self.reports[count - 1]

    async def files(self, count: int) -> list[dict[str, Any]]:
        """So many report files, waited for."""
        async with asyncio.timeout(WAIT_S):
            while len(found := sorted((self.folder / "reports").glob("*.json"))) < count:
                await asyncio.sleep(0.01)
        return [json.loads(path.read_text()) for path in found]


def tools_for(folder: Path, *, extra: Sequence[tuple[str, object]] = (), **options: dict[str, object]) -> Toolbox:
    """The toolbox of a bench that watches `folder/sockets`. Call it outside of an event loop, or in a thread."""
    (folder / "sockets").mkdir(exist_ok=True)
    settings: dict[str, dict[str, object]] = {
        "ports": {"source": "none", "folder": str(folder / "sockets")},
        "bench": {"state": str(folder / "state")},
        "output": {"folder": str(folder / "reports"), "retry_s": 0.05},
        "timings": {"listen_s": 0.05},
    }
    for section, values in options.items():
        settings[section] = {**settings.get(section, {}), **values}
    plugins = build_plugins(third_party=False, extra=extra)
    return toolbox(load_settings(settings, folder=folder).settings, plugins=plugins)


@contextlib.asynccontextmanager
async def watched(folder: Path, tools: Toolbox | None = None, **options: dict[str, object]) -> AsyncIterator[Watched]:
    """A bench that runs until the end of the block."""
    gathered = tools
    if gathered is None:
        gathered = await asyncio.to_thread(functools.partial(tools_for, folder, extra=(), **options))
    bench = Watched(gathered, folder, asyncio.Event())
    running = asyncio.create_task(run_bench(gathered, watcher=bench, log=bench.log, stopping=bench.stopping))
    try:
        yield bench
    finally:
        bench.stopping.set()
        bench.lost = await running
