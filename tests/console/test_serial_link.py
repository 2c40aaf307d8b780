"""The bugs of pyserial-asyncio 0.6, each shown with the stock classes, and the way round each.

Found by reading and running version 0.6. Each test is named after its bug; should a later version not have it any
more, the test says so by failing in the half that shows it with the stock classes.
"""

from __future__ import annotations

import asyncio
import inspect
import os
import termios
import threading
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import asynccontextmanager, contextmanager
from typing import Any

import pytest
import serial
import serial_asyncio

from console.conftest import Gaps, MakeBoard, eventually
from console.toys import QUICK, Board, Faults, plain
from propsoff.console import link as link_module
from propsoff.console import serial_link, serial_port, url_link
from propsoff.console.link import Link
from propsoff.console.serial_port import BenchSerial
from propsoff.exceptions import LinkLostError

DEAF = Faults(deaf=True)
MORE_THAN_A_TERMINAL_HOLDS = b"x" * 40_000
STALL_S = 0.3


class Stock(asyncio.Protocol):
    """What the stock transport tells its protocol."""

    def __init__(self) -> None:
        self.data = b""
        self.ends: list[BaseException | None] = []
        self.at_end: Callable[[], object] = lambda: None

    def data_received(self, data: bytes) -> None:
        self.data += data

    def connection_lost(self, error: BaseException | None) -> None:
        self.at_end()
        self.ends.append(error)


@asynccontextmanager
async def stock(device: str) -> AsyncIterator[tuple[Any, Stock]]:
    """A connection as the package's own documentation makes it; closed at the end, by force."""
    loop = asyncio.get_running_loop()
    transport, protocol = await serial_asyncio.create_serial_connection(loop, Stock, device, baudrate=115200)
    try:
        yield transport, protocol
    finally:
        if not protocol.ends and transport.serial is not None:
            transport.flush()
            transport.abort()
            await eventually(lambda: bool(protocol.ends))


@contextmanager
def complaints() -> Iterator[list[dict[str, Any]]]:
    """What reaches the loop's exception handler: what would be a traceback in the log."""
    loop = asyncio.get_running_loop()
    heard: list[dict[str, Any]] = []
    loop.set_exception_handler(lambda _, context: heard.append(context))
    yield heard
    loop.set_exception_handler(None)


def stalling(call: Callable[..., Any]) -> Callable[..., Any]:
    """The same call, after a stall, as a device that hangs makes it."""

    def stalled(*arguments: Any, **named: Any) -> Any:
        threading.Event().wait(STALL_S)
        return call(*arguments, **named)

    return stalled


async def test_bug_open_blocks_the_loop(board: MakeBoard, monkeypatch: pytest.MonkeyPatch) -> None:
    device = board().device
    monkeypatch.setattr(serial.Serial, "open", stalling(serial.Serial.open))
    with Gaps() as gaps:
        async with stock(device):
            pass
    assert gaps.longest_s >= STALL_S
    with Gaps() as gaps:
        async with await Link.open(device, timings=QUICK):
            pass
    assert gaps.longest_s < STALL_S / 2


async def test_bug_tcdrain_and_close_run_on_the_loop(board: MakeBoard, monkeypatch: pytest.MonkeyPatch) -> None:
    device = board().device
    monkeypatch.setattr(termios, "tcdrain", stalling(termios.tcdrain))
    monkeypatch.setattr(serial.Serial, "close", stalling(serial.Serial.close))
    async with stock(device) as (transport, protocol):
        with Gaps() as gaps:
            transport.abort()
            await eventually(lambda: bool(protocol.ends))
    assert gaps.longest_s >= STALL_S
    link = await Link.open(device, timings=QUICK)
    with Gaps() as gaps:
        assert await link.close()
    assert gaps.longest_s < STALL_S / 2


async def test_bug_empty_writes_raise_for_ever(board: MakeBoard) -> None:
    with complaints() as heard:
        async with stock(board().device) as (transport, _):
            transport.write(b"")
            await eventually(lambda: len(heard) > 10)
    silent = board()
    with complaints() as heard:
        async with await Link.open(silent.device, timings=QUICK) as link:
            await link.write(b"")
            assert await link.read(0.02) == b""  # the loop turns
            await link.write(b"one")
            await eventually(lambda: silent.received == b"one")
    assert heard == []


async def test_bug_abort_after_close_or_loss_raises_on_none(board: MakeBoard) -> None:
    async with stock(board().device) as (transport, protocol):
        transport.close()
        transport.abort()
        with complaints() as heard:
            await eventually(lambda: bool(heard))
        assert protocol.ends
    gone = board()
    with complaints() as heard:
        link = await Link.open(gone.device, timings=QUICK)
        gone.unplug()
        with pytest.raises(LinkLostError):
            await link.read(5)
        await link.close()
        await link.close()
        again = await Link.open(board().device, timings=QUICK)
        await asyncio.gather(again.close(), again.close())
        await asyncio.sleep(0)
    assert heard == []


async def test_bug_close_waits_for_ever_for_a_peer_that_stalls(board: MakeBoard) -> None:
    async with stock(board(None, DEAF).device) as (transport, protocol):
        transport.write(MORE_THAN_A_TERMINAL_HOLDS)
        await eventually(lambda: transport.get_write_buffer_size() < len(MORE_THAN_A_TERMINAL_HOLDS))
        transport.close()
        with pytest.raises(TimeoutError):
            await eventually(lambda: bool(protocol.ends), within_s=0.5)
    link = await Link.open(board(None, DEAF).device, timings=QUICK)
    writing = asyncio.create_task(link.write(MORE_THAN_A_TERMINAL_HOLDS))
    await asyncio.sleep(0)
    async with asyncio.timeout(0.5):
        assert await link.close()
    with pytest.raises(LinkLostError, match="closed"):
        await writing


async def test_bug_connection_lost_runs_before_the_port_is_closed(board: MakeBoard) -> None:
    async with stock(board().device) as (transport, protocol):
        descriptor = transport.serial.fileno()
        seen: list[bool] = []
        protocol.at_end = lambda: seen.append(is_open(descriptor))
        transport.abort()
        await eventually(lambda: bool(protocol.ends))
    assert seen == [True]
    link = await Link.open(board().device, timings=QUICK)
    descriptor = link._port.fileno()  # type: ignore[attr-defined]  # a serial link's
    assert is_open(descriptor)
    assert await link.close()
    assert not is_open(descriptor)


def is_open(descriptor: int) -> bool:
    try:
        os.fstat(descriptor)
    except OSError:
        return False
    return True


async def test_bug_a_read_error_with_writes_queued_is_dropped(board: MakeBoard) -> None:
    deaf: Board = board(None, DEAF)
    with complaints():
        async with stock(deaf.device) as (transport, protocol):
            transport.write(MORE_THAN_A_TERMINAL_HOLDS)
            await eventually(lambda: transport.get_write_buffer_size() < len(MORE_THAN_A_TERMINAL_HOLDS))
            transport.serial.read = failing_read
            transport._read_ready()
            with pytest.raises(TimeoutError):  # nobody is told for as long as the peer stalls
                await eventually(lambda: bool(protocol.ends), within_s=0.2)
    deaf = board(None, DEAF)
    link = await Link.open(deaf.device, timings=QUICK)
    writing = asyncio.create_task(link.write(MORE_THAN_A_TERMINAL_HOLDS))
    await asyncio.sleep(0)
    deaf.unplug()
    with pytest.raises(LinkLostError, match=r"unplugged"):
        await writing
    with pytest.raises(LinkLostError, match=r"unplugged"):
        await link.read()
    await link.close()


def failing_read(size: int) -> bytes:
    raise serial.SerialException("read failed")


async def test_a_clean_end_of_the_transport_is_still_a_loss(board: MakeBoard) -> None:
    link = await Link.open(board().device, timings=QUICK)
    reading = asyncio.create_task(link.read())
    await asyncio.sleep(0)
    link._transport.abort()  # type: ignore[attr-defined]  # a serial link's
    with pytest.raises(LinkLostError, match="the connection ended"):
        await reading
    assert await link.close()


async def test_bug_select_breaks_from_descriptor_1024_on(board: MakeBoard) -> None:
    first, second = board(plain()), board(plain())
    held = [os.open("/dev/null", os.O_RDONLY) for _ in range(1024)]
    try:
        with complaints() as heard:
            async with stock(first.device) as (transport, protocol):
                assert transport.serial.fileno() >= 1024
                transport.write(b"what\r")
                await eventually(lambda: len(heard) > 10)
                assert protocol.data == b""
        with complaints() as heard:
            async with await Link.open(second.device, timings=QUICK) as link:
                assert link._port.fileno() >= 1024  # type: ignore[attr-defined]  # a serial link's
                await link.write(b"what\r")
                assert await link.read(5) != b""
        assert heard == []
    finally:
        for descriptor in held:
            os.close(descriptor)


async def test_bug_the_buffer_size_is_summed_on_each_write(board: MakeBoard, monkeypatch: pytest.MonkeyPatch) -> None:
    handed_over: list[bytes] = []
    stock_write, port_write = serial_asyncio.SerialTransport.write, BenchSerial.write

    def write(transport: Any, data: bytes) -> None:
        assert transport.get_write_buffer_size() == 0
        handed_over.append(data)
        stock_write(transport, data)

    def half(port: BenchSerial, data: Any) -> int:
        return port_write(port, data[: len(data) // 2 or 1])

    monkeypatch.setattr(serial_asyncio.SerialTransport, "write", write)
    silent = board()
    async with await Link.open(silent.device, timings=QUICK) as link:
        await link.write(b"one line\r")
        assert handed_over == []  # the port took it whole: the transport need not be asked
        monkeypatch.setattr(BenchSerial, "write", half)
        await link.write(b"another line\r")
        await eventually(lambda: silent.received.endswith(b"another line\r"))
    assert handed_over == [b"another line\r"[6:]]
    assert silent.received == b"one line\ranother line\r"


async def test_bug_a_bytearray_is_kept_by_reference(board: MakeBoard) -> None:
    silent, line = board(), bytearray(b"what\r")
    async with stock(silent.device) as (transport, _):
        transport.write(line)
        line[:] = b"?????"
        await eventually(lambda: len(silent.received) == 5)
    assert silent.received == b"?????"
    silent, line = board(), bytearray(b"what\r")
    async with await Link.open(silent.device, timings=QUICK) as link:
        writing = asyncio.create_task(link.write(line))
        await asyncio.sleep(0)
        line[:] = b"?????"
        await writing
        await eventually(lambda: len(silent.received) == 5)
    assert silent.received == b"what\r"


def test_bug_methods_that_are_missing_are_not_called() -> None:
    missing = ("set_protocol", "get_protocol", "is_reading")
    stock_class = serial_asyncio.SerialTransport
    assert all(name not in vars(stock_class) and hasattr(asyncio.Transport, name) for name in missing)
    for module in (link_module, serial_link, serial_port, url_link):
        source = inspect.getsource(module)
        assert not any(f".{name}(" in source for name in missing)


async def test_losing_a_port_is_no_complaint_in_the_log(board: MakeBoard) -> None:
    gone: Board = board(None, DEAF)
    with complaints() as heard:
        link = await Link.open(gone.device, timings=QUICK)
        writing = asyncio.create_task(link.write(MORE_THAN_A_TERMINAL_HOLDS))
        await asyncio.sleep(0)
        gone.unplug()
        with pytest.raises(LinkLostError):
            await writing
        await link.close()
    assert heard == []
