"""Connections that take without end: each wait has its own."""

from __future__ import annotations

import asyncio
import contextlib
from pathlib import Path

import pytest

from propsoff.page.limits import Limits
from tests_support.served import asked


async def opened(url: str) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
    host, port = url.removeprefix("http://").split(":")
    return await asyncio.open_connection(host, int(port))


async def rest(reader: asyncio.StreamReader) -> bytes:
    """What comes until the connection is closed, or cut."""
    try:
        return await reader.read()
    except ConnectionResetError:
        return b""


@pytest.mark.parametrize("said", [b"", b"GET /api/1/health HT", b"GET / HTTP/1.1\r\nHost: loc"])
async def test_a_caller_that_does_not_finish_its_head_is_cut_off(tmp_path: Path, said: bytes) -> None:
    async with asked(tmp_path, limits=Limits(head_s=0.2)) as bench:
        reader, writer = await opened(await bench.url())
        writer.write(said)
        async with asyncio.timeout(10):
            assert await rest(reader) == b""
        writer.close()


async def test_a_second_head_on_one_connection_has_its_time_too(tmp_path: Path) -> None:
    async with asked(tmp_path, limits=Limits(head_s=0.3)) as bench:
        reader, writer = await opened(await bench.url())
        for _ in range(3):
            writer.write(b"GET /api/1/health HTTP/1.1\r\nHost: localhost\r\n\r\n")
            assert await reader.readuntil(b'{"status":"alive"}')
        writer.write(b"GET /api/1/he")
        async with asyncio.timeout(10):
            assert await rest(reader) == b""
        writer.close()


async def test_a_wait_longer_than_a_head_may_take_is_not_cut_off(tmp_path: Path) -> None:
    places: dict[str, object] = {"places": {"bay": "the bay"}}
    async with asked(tmp_path, limits=Limits(head_s=0.1), bench=places) as bench, bench.caller() as client:
        answer = await client.get("/api/1/places/bay/report?wait_s=0.5")
        assert answer.status_code == 204


async def test_more_connections_than_there_may_be_are_closed_and_the_others_served(tmp_path: Path) -> None:
    async with asked(tmp_path, limits=Limits(connections=3, head_s=30.0)) as bench:
        url = await bench.url()
        several = [await opened(url) for _ in range(3)]
        for reader, writer in several:
            writer.write(b"GET /api/1/health HTTP/1.1\r\nHost: localhost\r\n\r\n")
            assert await reader.readuntil(b'{"status":"alive"}')
        reader, turned_away = await opened(url)
        async with asyncio.timeout(10):
            assert await rest(reader) == b""
        turned_away.close()
        for reader, writer in several:
            writer.write(b"GET /api/1/health HTTP/1.1\r\nHost: localhost\r\n\r\n")
            assert await reader.readuntil(b'{"status":"alive"}')
            writer.close()
            await writer.wait_closed()
        async with asyncio.timeout(20), bench.caller() as client:
            assert (await client.get("/api/1/health")).status_code == 200


async def test_a_body_without_end_is_cut_off(tmp_path: Path) -> None:
    limits = Limits(capture_bytes=1000, body_bytes=1000, body_s=30.0)
    async with asked(tmp_path, limits=limits) as bench:
        _, writer = await opened(await bench.url())
        writer.write(
            b"POST /api/1/captures HTTP/1.1\r\nHost: localhost\r\nContent-Type: text/plain\r\n"
            b"Transfer-Encoding: chunked\r\n\r\n"
        )
        sent = 0
        async with asyncio.timeout(20):
            while not writer.is_closing():
                writer.write(b"10000\r\n" + b"x" * 0x10000 + b"\r\n")
                sent += 0x10000
                with contextlib.suppress(ConnectionError):
                    await writer.drain()
        assert sent < 50_000_000
        async with bench.caller() as client:
            assert (await client.get("/api/1/health")).status_code == 200


REFUSED = [
    b"POST /api/1/asks/x HTTP/1.1\r\nHost: localhost\r\nContent-Type: text/html\r\nContent-Length: 60000\r\n\r\n",
    b"POST /api/1/session HTTP/1.1\r\nHost: localhost\r\nContent-Length: 6000000\r\n\r\n",
    b"POST /api/1/session HTTP/1.1\r\nHost: elsewhere.example\r\nTransfer-Encoding: chunked\r\n\r\n",
]


@pytest.mark.parametrize("head", REFUSED)
async def test_a_body_that_nobody_waits_for_does_not_hold_a_connection_open(tmp_path: Path, head: bytes) -> None:
    async with asked(tmp_path, limits=Limits(body_s=0.3, head_s=0.3)) as bench:
        reader, writer = await opened(await bench.url())
        writer.write(head)
        assert (await reader.readuntil(b"\r\n")).startswith(b"HTTP/1.1 4")
        gone = asyncio.create_task(rest(reader))
        async with asyncio.timeout(10):
            while not gone.done():
                writer.write(b"1\r\na\r\n" if b"chunked" in head else b"a")
                await asyncio.wait({gone}, timeout=0.05)
        writer.close()


async def test_one_caller_cannot_take_every_connection(tmp_path: Path) -> None:
    limits = Limits(connections=6, connections_of_one=3, head_s=30.0)
    async with asked(tmp_path, limits=limits) as bench:
        url = await bench.url()
        several = [await opened(url) for _ in range(3)]
        for reader, writer in several:
            writer.write(b"GET /api/1/health HTTP/1.1\r\nHost: localhost\r\n\r\n")
            assert await reader.readuntil(b'{"status":"alive"}')
        reader, turned_away = await opened(url)
        async with asyncio.timeout(10):
            assert await rest(reader) == b""
        turned_away.close()
        port = int(url.rpartition(":")[2])
        reader, another = await asyncio.open_connection("127.0.0.1", port, local_addr=("127.0.0.2", 0))
        another.write(b"GET /api/1/health HTTP/1.1\r\nHost: localhost\r\n\r\n")
        async with asyncio.timeout(10):
            assert await reader.readuntil(b'{"status":"alive"}')
        for writer in (another, *(writer for _, writer in several)):
            writer.close()


def test_what_may_come_through_one_proxy_fits_into_its_connections() -> None:
    limits = Limits()
    assert limits.streams + limits.waits <= limits.connections_of_one < limits.connections
