"""Lets others see and ask a bench: opens the doors, tells where they are, and serves until the bench ends.

FastAPI and uvicorn take a second and some tens of megabytes: they are loaded when somebody comes, or at once where the
page is to be served; in a thread, so that no board waits.
"""

from __future__ import annotations

import asyncio
import contextlib
import functools
import socket
from typing import TYPE_CHECKING

from propsoff.exceptions import SettingsError
from propsoff.page.callers import Callers, is_loopback
from propsoff.page.desk import Desk, Say
from propsoff.page.guard import Door
from propsoff.page.limits import Limits
from propsoff.page.service_file import remove_service, write_service
from propsoff.page.sockets import LocalSocket, local_socket, tcp_socket
from propsoff.page.token import Token, read_token
from propsoff.threads import in_thread

if TYPE_CHECKING:
    from propsoff.bench.control import Control
    from propsoff.bench.running import Serve
    from propsoff.page.guard import Guard
    from propsoff.settings import Settings


def service(settings: Settings, say: Say, limits: Limits | None = None) -> Serve:
    """What serves the bench of these settings: to be handed to `run_bench`. `say` is the log.

    Raises SettingsError for an address that others can reach without a token, and for a token that cannot be used.
    """
    token = _token_of(settings)

    async def serve(control: Control) -> None:
        await _Service(control, settings, say, limits or Limits(), token).run()

    return serve


def _token_of(settings: Settings) -> Token | None:
    page = settings.page
    if not page.enabled:
        return None
    token = None if page.token_file is None else read_token(page.token_file)
    if token is None and not is_loopback(page.address):
        raise SettingsError(
            f"{page.address} can be reached from other machines, so the page needs a token",
            key="page.address",
            hint="set page.token_file, or serve it at 127.0.0.1",
        )
    return token


class _Service:
    def __init__(self, control: Control, settings: Settings, say: Say, limits: Limits, token: Token | None) -> None:
        self._control, self._settings, self._say, self._limits = control, settings, say, limits
        self._desk = Desk(control, say, limits, token)
        self._tcp: socket.socket | None = None
        self._local: LocalSocket | None = None
        self._second = False
        self._told = False

    async def run(self) -> None:
        """Serve until this is cancelled."""
        try:
            for trouble in await asyncio.to_thread(self._open):
                self._control.tell(trouble)
            if self._tcp is None and self._local is None:
                return
            await self._tell_where()
            if self._tcp is None and self._local is not None:
                await _somebody_comes(self._local.listener)
            await self._serve()
        finally:
            self._desk.shelf.close()
            self._withdraw()
            if self._tcp is not None:
                self._tcp.close()
            if self._local is not None:
                self._local.remove()

    def _withdraw(self) -> None:
        """Nobody is told of the doors any more."""
        if self._told:
            self._told = False
            with contextlib.suppress(OSError):
                remove_service(self._settings.bench.state)
        if self._local is not None:
            self._local.withdraw()

    def _open(self) -> list[str]:
        """Both doors, each for itself; why one is not open is told, and the other one is."""
        page, troubles = self._settings.page, []
        if page.enabled:
            try:
                self._tcp = tcp_socket(page.address, page.port)
            except SettingsError as error:
                troubles.append(f"the page is not served: {error}")
        if page.socket:
            try:
                self._local = local_socket(self._settings.bench.state)
            except (SettingsError, OSError) as error:
                troubles.append(f"programs of this user cannot ask this bench: {error}")
                self._second = isinstance(error, SettingsError)
        return troubles

    async def _tell_where(self) -> None:
        """Write where the doors are; beside another bench at work with this state folder the file stays that one's."""
        state, name = self._settings.bench.state, self._settings.bench.name
        url, local = self._url(), None if self._local is None else self._local.path
        if not self._second:
            write = functools.partial(write_service, state, bench=name, socket=local, url=url)
            try:
                await asyncio.to_thread(write)
            except OSError as error:
                self._control.tell(f"{state}: where the bench serves could not be noted: {error.strerror or error}")
            self._told = True
        self._say("served", url=url, socket=None if local is None else str(local))

    def _url(self) -> str | None:
        if self._tcp is None:
            return None
        host, port = self._tcp.getsockname()[:2]
        shown = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(host, host)
        return f"http://[{shown}]:{port}" if ":" in shown else f"http://{shown}:{port}"

    async def _serve(self) -> None:
        guards = await in_thread(self._guards, "page")
        from propsoff.page.server import serve_doors

        await serve_doors(guards, self._limits, self._say, ending=self._withdraw)

    def _guards(self) -> list[tuple[socket.socket, Guard]]:
        """The doors with the application behind them; here everything heavy is loaded."""
        from propsoff.page import server  # noqa: F401  loaded here, in a thread
        from propsoff.page.app import build_app
        from propsoff.page.guard import Guard
        from propsoff.page.metrics import Metrics

        metrics = Metrics(self._desk)
        app, page = build_app(self._desk, metrics), self._settings.page
        doors: list[tuple[socket.socket, Guard]] = []
        if self._tcp is not None:
            port = self._tcp.getsockname()[1]
            door = Door(Callers(page.address, page.hosts), f"propsoff-{port}")
            doors.append((self._tcp, Guard(app, door, self._desk, metrics)))
        if self._local is not None:
            doors.append((self._local.listener, Guard(app, Door(None), self._desk, metrics)))
        return doors


async def _somebody_comes(listener: socket.socket) -> None:
    """Wait until somebody connects; nobody is let in yet."""
    loop, came = asyncio.get_running_loop(), asyncio.Event()
    loop.add_reader(listener.fileno(), came.set)
    try:
        await came.wait()
    finally:
        loop.remove_reader(listener.fileno())
