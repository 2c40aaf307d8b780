"""Links by URL: RFC 2217 against pyserial's own PortManager, raw sockets, and the loop-back of pyserial."""

from __future__ import annotations

import asyncio
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any, cast

import pytest
import serial
import serial.rfc2217

from console.conftest import eventually
from console.toys import MANNERS, QUICK, Toy, paged, plain
from propsoff.console.capture import Recorder
from propsoff.console.conversation import converse
from propsoff.console.link import Link
from propsoff.exceptions import DeadlineError, LinkLostError

# pyserial 3.5's rfc2217 sets up its thread in a way that Python 3.10 deprecates.
pytestmark = pytest.mark.filterwarnings("ignore:set(Daemon|Name):DeprecationWarning")


class Server:
    """One client on a socket, served by a toy console in a thread; `hang_up` ends it from this side."""

    def __init__(self, toy: Toy | None, deaf: bool = False) -> None:
        self.listener = socket.create_server(("127.0.0.1", 0))
        self.port = self.listener.getsockname()[1]
        self.client: socket.socket | None = None
        self.gone = threading.Event()
        self._toy, self._deaf = toy, deaf
        self._thread = threading.Thread(target=self._serve, daemon=True)
        self._thread.start()

    def _serve(self) -> None:
        try:
            self.client, _ = self.listener.accept()
            while not self._deaf and (data := self.client.recv(4096)):
                if self._toy is not None:
                    self.client.sendall(self._toy.take(data))
        except OSError:
            pass
        if not self._deaf:
            self.gone.set()

    def hang_up(self) -> None:
        assert self.client is not None
        self.client.shutdown(socket.SHUT_RDWR)

    def close(self) -> None:
        for end in (self.client, self.listener):
            if end is not None:
                end.close()


@contextmanager
def served(toy: Toy | None = None, deaf: bool = False) -> Iterator[Server]:
    server = Server(toy, deaf)
    try:
        yield server
    finally:
        server.close()


async def test_a_whole_conversation_over_a_socket(recorder: Recorder) -> None:
    with served(paged()) as server:
        async with await Link.open(f"socket://127.0.0.1:{server.port}", timings=QUICK) as link:
            conversation = await converse(link, MANNERS, recorder, timings=QUICK)
        await eventually(server.gone.is_set)
    assert (conversation.dialect, conversation.ending) == ("paged", "done")
    assert {exchange.state for exchange in conversation.exchanges} == {"complete"}


async def test_a_socket_that_is_hung_up_fails_a_pending_read() -> None:
    with served(plain()) as server:
        link = await Link.open(f"socket://127.0.0.1:{server.port}", timings=QUICK)
        reading = asyncio.create_task(link.read())
        await eventually(lambda: server.client is not None)
        server.hang_up()
        with pytest.raises(LinkLostError, match="hung up"):
            await reading
        with pytest.raises(LinkLostError):
            await link.write(b"x")
        assert await link.close()


async def test_a_socket_that_takes_no_bytes_ends_the_write_at_its_deadline() -> None:
    with served(deaf=True) as server:
        waits = replace(QUICK, write_s=0.2)
        async with await Link.open(f"socket://127.0.0.1:{server.port}", timings=waits) as link:
            with pytest.raises(DeadlineError):
                await link.write(b"x" * 20_000_000)


async def test_a_sockets_inbox_is_bounded_and_loses_nothing() -> None:
    toy = plain(rows=tuple(f"row{at:02} = {'x' * 200}" for at in range(2000)))
    expected = toy.take(b"list\r")
    with served(toy) as server:
        waits = replace(QUICK, inbox_bytes=3000)
        async with await Link.open(f"socket://127.0.0.1:{server.port}", timings=waits) as link:
            await link.write(b"list\r")
            await eventually(lambda: link._paused)
            with pytest.raises(TimeoutError):
                await eventually(lambda: len(link._inbox) > 3000 + 20 * 4096, within_s=0.3)
            received = b""
            async with asyncio.timeout(10):
                while len(received) < len(expected):
                    received += await link.read()
    assert received == expected


async def test_nobody_at_the_other_end_is_the_systems_error() -> None:
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    with pytest.raises(OSError):
        await Link.open(f"socket://127.0.0.1:{port}", timings=QUICK)


async def test_closing_ends_a_pending_read_of_a_socket() -> None:
    with served(plain()) as server:
        link = await Link.open(f"socket://127.0.0.1:{server.port}", timings=QUICK)
        reading = asyncio.create_task(link.read())
        await asyncio.sleep(0)
        assert await link.close()
        with pytest.raises(LinkLostError, match="closed"):
            await reading
        await eventually(server.gone.is_set)


async def test_loop_back() -> None:
    async with await Link.open("loop://", timings=QUICK) as link:
        await link.write(bytes(range(256)))
        received = b""
        async with asyncio.timeout(5):
            while len(received) < 256:
                received += await link.read()
        assert received == bytes(range(256))
        assert await link.read(0.01) == b""


class Rfc2217Server(Server):
    """A console offered by RFC 2217 (Telnet COM port control), by pyserial's PortManager over its loop-back port."""

    def _serve(self) -> None:
        try:
            self.client, _ = self.listener.accept()
            port: Any = serial.serial_for_url("loop://")
            manager = serial.rfc2217.PortManager(port, cast(Any, self))  # the stubs name classes too narrow for it
            while data := self.client.recv(1024):
                if self._toy is not None and (typed := b"".join(manager.filter(data))):
                    self.write(b"".join(manager.escape(self._toy.take(typed))))
        except OSError:
            pass
        self.gone.set()

    def write(self, data: bytes) -> None:
        """What the PortManager sends, too."""
        assert self.client is not None
        self.client.sendall(data)


@contextmanager
def served_by_rfc_2217(toy: Toy) -> Iterator[tuple[Rfc2217Server, str]]:
    server = Rfc2217Server(toy)
    try:
        yield server, f"rfc2217://127.0.0.1:{server.port}"
    finally:
        server.close()


async def test_a_whole_conversation_over_rfc_2217(recorder: Recorder) -> None:
    toy = plain(rows=(*(f"row{at:02} = \xff {at}" for at in range(30)),))
    with served_by_rfc_2217(toy) as (server, url):
        async with await Link.open(url, timings=QUICK) as link:
            conversation = await converse(link, MANNERS, recorder, timings=QUICK)
        await eventually(server.gone.is_set)
    assert (conversation.dialect, conversation.ending) == ("plain", "done")
    assert conversation.exchanges[1].state == "complete"
    assert conversation.exchanges[1].lines[3].text == "row03 = \xff 3"


async def test_an_rfc_2217_server_that_goes_away_fails_a_pending_read() -> None:
    with served_by_rfc_2217(plain()) as (server, url):
        link = await Link.open(url, timings=QUICK)
        reading = asyncio.create_task(link.read())
        await asyncio.sleep(0)
        server.hang_up()
        with pytest.raises(LinkLostError):
            async with asyncio.timeout(5):
                await reading
        assert await link.close()
