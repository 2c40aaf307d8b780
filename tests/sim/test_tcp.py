"""Devices on TCP, opened by pyserial's own URL handlers."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

import pytest
import serial

from propsoff_sim.tcp import TcpBoard
from propsoff_sim.text import console_bytes

# pyserial 3.5 starts the reader of rfc2217:// with methods of Thread that Python has deprecated.
pytestmark = pytest.mark.filterwarnings("ignore:set(Daemon|Name)\\(\\) is deprecated:DeprecationWarning")

URLS = [pytest.param(False, id="socket"), pytest.param(True, id="rfc2217")]


def talk(url: str, sends: bytes, until: bytes, baud: int = 115200) -> bytes:
    """Open, send, read until the answer ends so, close."""
    port: Any = serial.serial_for_url(url, baudrate=baud, timeout=5)
    try:
        port.write(sends)
        return bytes(port.read_until(until))
    finally:
        port.close()


async def in_thread(act: Callable[..., bytes], *arguments: object) -> bytes:
    """pyserial blocks; the board answers on this loop."""
    return await asyncio.wait_for(asyncio.to_thread(act, *arguments), 20)


@pytest.mark.parametrize("rfc2217", URLS)
@pytest.mark.parametrize(
    ("name", "sends", "until", "words"),
    [
        ("ossel-hd53", b"\rwho\r", b"191C\r\nossel> ", "who"),
        ("brindle-hd53", b"\rbadge\r", b"00421\r\n\x1b[36m[brindle]\x1b[0m % ", "badge"),
        ("corvane-hd53", b"\rtell setup\r", b"@done setup\n:: ", "tell setup"),
    ],
)
async def test_a_board_says_over_tcp_what_its_console_says(
    rfc2217: bool, name: str, sends: bytes, until: bytes, words: str
) -> None:
    async with TcpBoard(name, rfc2217=rfc2217) as served:
        assert served.url.startswith("rfc2217://127.0.0.1:" if rfc2217 else "socket://127.0.0.1:")
        assert await in_thread(talk, served.url, sends, until) == console_bytes(name, words)
        assert served.received == sends
        assert served.written == []


@pytest.mark.parametrize("rfc2217", URLS)
async def test_each_connection_is_a_fresh_plug_in(rfc2217: bool) -> None:
    async with TcpBoard("ossel-hd53", rfc2217=rfc2217) as served:
        for _ in range(2):
            assert b"Ossel flight core." in await in_thread(talk, served.url, b"\r", b"ossel> ")
        assert served.received == b"\r\r"


async def test_bytes_of_the_telnet_protocol_s_own_value_pass_whole() -> None:
    """RFC 854: 255 is sent doubled; the name of this craft holds it."""
    async with TcpBoard("ossel-hd53+name-invalid-utf8", rfc2217=True) as served:
        text = await in_thread(talk, served.url, b"\rrecite\r", b"entries\r\nossel> ")
        assert b"craft.label := Teal \xff\xfe\xc3 Wren\r\n" in text


async def test_the_rate_of_an_rfc2217_opener_counts() -> None:
    async with TcpBoard("ossel-hd53", rfc2217=True, faults=["baud-mismatch:57600"]) as served:
        assert b"ossel> " in await in_thread(talk, served.url, b"\r", b"ossel> ", 57600)
        port: Any = await asyncio.to_thread(serial.serial_for_url, served.url, baudrate=115200, timeout=0.3)
        await asyncio.to_thread(port.write, b"\r")
        assert b"ossel" not in await asyncio.to_thread(port.read, 100)
        await asyncio.to_thread(port.close)


async def test_a_second_opener_is_turned_away() -> None:
    async with TcpBoard("ossel-hd53") as served:
        host, port = served.url.removeprefix("socket://").split(":")
        reader, writer = await asyncio.open_connection(host, int(port))
        writer.write(b"\r")
        await asyncio.wait_for(reader.readuntil(b"ossel> "), 5)
        late, late_writer = await asyncio.open_connection(host, int(port))
        assert await asyncio.wait_for(late.read(), 5) == b""
        writer.write(b"\r")
        assert await asyncio.wait_for(reader.readuntil(b"ossel> "), 5) == b"\r\nossel> "
        for each in (writer, late_writer):
            each.close()
            await each.wait_closed()


async def test_an_unplugged_board_closes_the_connection_after_exactly_so_many_bytes() -> None:
    async with TcpBoard("ossel-hd53", faults=["unplug:300"]) as served:
        host, port = served.url.removeprefix("socket://").split(":")
        reader, writer = await asyncio.open_connection(host, int(port))
        writer.write(b"\rrecite\r")
        assert len(await asyncio.wait_for(reader.read(), 5)) == 300
        writer.close()
        await writer.wait_closed()
        with pytest.raises(OSError, match=r"refused|Connect call failed"):
            await asyncio.open_connection(host, int(port))


async def test_an_opener_that_does_not_read_loses_nothing() -> None:
    async with TcpBoard("ossel-hd53+name-4k") as served:
        host, port = served.url.removeprefix("socket://").split(":")
        reader, writer = await asyncio.open_connection(host, int(port), limit=2**14)
        writer.write(b"\r" + b"recite\r" * 200)
        text = b""
        while text.count(b"; end of recital") < 200:
            text += await asyncio.wait_for(reader.read(2**14), 10)
        assert text.count(b"craft.label := Teal Wren ") == 200
        writer.close()
        await writer.wait_closed()


async def test_a_board_that_restarts_can_be_opened_again() -> None:
    async with TcpBoard("ossel-hd53") as served:
        host, port = served.url.removeprefix("socket://").split(":")
        reader, writer = await asyncio.open_connection(host, int(port))
        writer.write(b"\rlet glass.cols := 50\rkeep\ragain\r")
        assert (await asyncio.wait_for(reader.read(), 5)).endswith(b"; starting again\r\n")
        writer.close()
        await writer.wait_closed()
        text = await in_thread(talk, served.url, b"\rrecite\r", b"entries\r\nossel> ")
        assert b"glass.cols := 50\r\n" in text
