"""A bench that others can ask, to test with: the real daemon with its page, its socket and simulated boards."""

from __future__ import annotations

import asyncio
import contextlib
import functools
import json
from collections.abc import AsyncIterator, Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import httpx

from propsoff import hookimpl
from propsoff.bench.control import Control
from propsoff.bench.running import run_bench
from propsoff.page.limits import Limits
from propsoff.page.service import service
from propsoff.ports.facts import Arrival, Departure, Port, UsbIdentity
from tests_support.benches import WAIT_S, Watched, tools_for

if TYPE_CHECKING:
    from propsoff.bench.scene import PlaceNow
    from propsoff.library import Toolbox
    from propsoff_sim.bench import PluggedBoard

QUICK = Limits(per_second=2000.0, burst=10_000, pause_s=0.0)
"""Bounds that a test does not run into unless it means to."""


class Sockets:
    """A source of ports as the system would tell them: with a USB identity and a physical path."""

    name = "sockets"

    def __init__(self) -> None:
        self._moves: asyncio.Queue[Arrival | Departure] = asyncio.Queue()
        self._seq = 0

    @hookimpl
    def propsoff_port_sources(self, settings: Any) -> list[Any]:
        return [self]

    async def movements(self) -> AsyncIterator[Arrival | Departure]:
        while True:
            yield await self._moves.get()

    def plug(self, board: PluggedBoard, path: str, **usb: Any) -> Port:
        """A simulated board arrives in a socket; `usb` are facts other than the board's own."""
        assert board.tty
        facts = {
            "vid": int(board.usb.vid, 16),
            "pid": int(board.usb.pid, 16),
            "serial_number": board.usb.serial_number,
            "product": board.usb.product,
            **usb,
        }
        port = Port(board.tty, UsbIdentity(**facts, path=path), "udev")
        self._seq += 1
        self._moves.put_nowait(Arrival(port, self._seq))
        return port

    def unplug(self, port: Port) -> None:
        """It leaves."""
        self._seq += 1
        self._moves.put_nowait(Departure(port, self._seq))


@dataclass
class Asked(Watched):
    """A running bench and what can be asked of it. `said` is what the service wrote to its log."""

    control: Control = field(init=False)
    said: list[tuple[str, dict[str, Any]]] = field(default_factory=list)

    def place(self, place: str) -> PlaceNow:
        """A place that is there."""
        now = self.control.scene.place(place)
        assert now is not None, [each.place for each in self.control.scene.places]
        return now

    async def until_place(self, place: str, condition: Callable[[PlaceNow], bool]) -> PlaceNow:
        """A place as soon as it is as wanted."""
        scene = self.control.scene
        async with asyncio.timeout(WAIT_S):
            while (now := scene.place(place)) is None or not condition(now):
                await scene.after(scene.changed, WAIT_S)
        return now

    @property
    def state(self) -> Path:
        return self.tools.settings.bench.state

    async def service_file(self) -> dict[str, Any]:
        """Where it serves, as soon as that is told."""
        async with asyncio.timeout(WAIT_S):
            while True:
                with contextlib.suppress(FileNotFoundError):
                    found: dict[str, Any] = json.loads((self.state / "service.json").read_text())
                    return found
                await asyncio.sleep(0.005)

    async def url(self) -> str:
        """Where its page is."""
        url = (await self.service_file())["url"]
        assert isinstance(url, str), self.troubles
        return url

    @contextlib.asynccontextmanager
    async def caller(self, **options: Any) -> AsyncIterator[httpx.AsyncClient]:
        """A program that asks over TCP."""
        async with httpx.AsyncClient(base_url=await self.url(), timeout=WAIT_S, **options) as client:
            yield client

    @contextlib.asynccontextmanager
    async def neighbour(self, **options: Any) -> AsyncIterator[httpx.AsyncClient]:
        """A program of this user, over the Unix socket."""
        transport = httpx.AsyncHTTPTransport(uds=(await self.service_file())["socket"])
        async with httpx.AsyncClient(base_url="http://bench", transport=transport, timeout=WAIT_S, **options) as client:
            yield client


@contextlib.asynccontextmanager
async def asked(
    folder: Path,
    *,
    tools: Toolbox | None = None,
    extra: Sequence[tuple[str, object]] = (),
    limits: Limits = QUICK,
    served: bool = True,
    **options: dict[str, object],
) -> AsyncIterator[Asked]:
    """A bench over `folder/sockets` until the end of the block, with its page on a free port where it is `served`."""
    settings: dict[str, dict[str, object]] = {
        "page": {"enabled": True, "port": 0},
        "store": {"url": f"sqlite:///{folder}/history.sqlite", "waiting": str(folder / "waiting")},
    }
    for section, values in options.items():
        settings[section] = {**settings.get(section, {}), **values}
    gathered = tools
    if gathered is None:
        gathered = await asyncio.to_thread(functools.partial(tools_for, folder, extra=extra, **settings))
    bench, there = Asked(gathered, folder, asyncio.Event()), asyncio.Event()

    async def take(control: Control) -> None:
        bench.control = control
        there.set()

    def say(event: str, **values: object) -> None:
        bench.said.append((event, values))

    serve = [take, service(gathered.settings, say, limits)] if served else [take]
    running = asyncio.create_task(
        run_bench(gathered, watcher=bench, log=bench.log, stopping=bench.stopping, serve=serve)
    )
    try:
        there_too = asyncio.create_task(there.wait())
        await asyncio.wait({there_too, running}, return_when=asyncio.FIRST_COMPLETED)
        there_too.cancel()
        yield bench
    finally:
        bench.stopping.set()
        bench.lost = await running
