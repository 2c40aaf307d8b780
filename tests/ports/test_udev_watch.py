"""What of the udev source can be seen without udev. (Events: tests/integration/test_udev.py.)"""

from __future__ import annotations

import asyncio
import os
from collections.abc import Callable
from contextlib import aclosing

import pytest
import pyudev

from propsoff.exceptions import PortError
from propsoff.ports.udev import UdevSource, UdevWatch, _readable


async def test_the_loop_is_not_called_again_and_again_while_events_wait() -> None:
    read_end, write_end = os.pipe()
    try:
        os.write(write_end, b"x")
        loop = asyncio.get_running_loop()
        async with asyncio.timeout(10):
            await _readable(loop, read_end)
        assert not loop.remove_reader(read_end)
    finally:
        os.close(read_end)
        os.close(write_end)


async def test_a_monitor_that_cannot_be_made_is_a_port_error() -> None:
    def refused(_: pyudev.Context) -> pyudev.Monitor:
        raise OSError("Could not create udev monitor")

    async with aclosing(UdevSource(refused).movements()) as movements:
        with pytest.raises(PortError, match=r"udev: its events cannot be had .*use the polled list"):
            await anext(movements)


def test_a_socket_that_stays_broken_is_a_port_error() -> None:
    class Broken:
        def __init__(self, context: pyudev.Context) -> None:
            self._monitor = pyudev.Monitor.from_netlink(context)

        def start(self) -> None:
            self._monitor.start()

        def fileno(self) -> int:
            return int(self._monitor.fileno())

        def poll(self, timeout: float) -> None:
            raise OSError(f"Error while polling fd: {self.fileno()}")

    with pytest.raises(PortError, match="its events broke off"):
        UdevWatch(Broken).drain()


async def test_a_source_that_waits_can_be_cancelled_and_leaves_no_reader(monkeypatch: pytest.MonkeyPatch) -> None:
    loop, waits = asyncio.get_running_loop(), asyncio.Event()
    descriptors: list[int] = []
    real = loop.add_reader

    def add_reader(descriptor: int, call: Callable[[], None]) -> None:
        real(descriptor, call)
        descriptors.append(descriptor)
        waits.set()

    monkeypatch.setattr(loop, "add_reader", add_reader)

    async def read() -> None:
        async with aclosing(UdevSource(pyudev.Monitor.from_netlink).movements()) as movements:
            async for _ in movements:
                pass

    reading = asyncio.create_task(read())
    async with asyncio.timeout(10):
        await waits.wait()
    reading.cancel()
    with pytest.raises(asyncio.CancelledError):
        await reading
    assert not loop.remove_reader(descriptors[0])
