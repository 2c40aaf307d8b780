"""A port that pyserial reaches by URL, behind two threads: such ports have no descriptor that a loop could watch.

Imported only when a port is opened.
"""

from __future__ import annotations

import asyncio
import contextlib
import os
import select
import threading
from typing import Any, Self

import serial

from propsoff.console.link import Link, settle
from propsoff.console.timings import Timings
from propsoff.threads import in_thread, start, tell

_LOOK_UP_S = 0.2
_CHUNK = 4096
_CHUNKS_UNDER_WAY = 16


class UrlLink(Link):
    """A `Link` over pyserial's URL handlers."""

    def __init__(self, port: Any, device: str, timings: Timings) -> None:
        super().__init__(device, timings)
        self._port = port
        self._ending = False
        self._room = threading.Event()
        self._room.set()
        self._under_way = threading.Semaphore(_CHUNKS_UNDER_WAY)
        self._descriptor = port.fileno() if device.lower().startswith("socket://") else None
        self._pumping = start(self._pump, f"read {device}")

    @classmethod
    async def connect(cls, device: str, *, baud: int, dtr: bool, timings: Timings) -> Self:
        """Open off the loop. Raises OSError, ValueError for an unknown kind of URL or a wrong one."""
        port = await in_thread(lambda: _opened(device, baud, dtr), f"open {device}", lambda late: late.close())
        return cls(port, device, timings)

    async def _send(self, data: bytes) -> None:
        taken = self._writer = self._loop.create_future()
        start(lambda: self._write(data, taken), f"write {self.device}")
        try:
            async with asyncio.timeout(self._timings.write_s):
                await taken
        except TimeoutError:
            raise self._refused(len(data)) from None
        finally:
            self._writer = None

    def _write(self, data: bytes, taken: asyncio.Future[None]) -> None:
        try:
            self._port.write(data)
        except Exception as error:  # noqa: BLE001  whatever a handler raises, the port is lost
            tell(self._loop, self._failed, f"writing failed: {error}")
        else:
            tell(self._loop, settle, taken)

    def _hang_up(self) -> None:
        self._ending = True
        self._room.set()
        start(self._close_now, f"close {self.device}")

    def _close_now(self) -> None:
        # A descriptor that is closed under a reader may be somebody else's by the time that it is read.
        self._pumping.join(_LOOK_UP_S * 5)
        try:
            with contextlib.suppress(Exception):
                self._port.close()
        finally:
            tell(self._loop, self._released.set)

    def _pause(self) -> None:
        self._room.clear()

    def _resume(self) -> None:
        self._room.set()

    def _pump(self) -> None:
        """In its thread: hand over what the port gives, until it ends."""
        reason = "the connection ended"
        try:
            while not self._ending:
                self._room.wait()
                if data := self._take():
                    self._under_way.acquire()
                    tell(self._loop, self._hand_over, data)
        except Exception as error:  # noqa: BLE001  whatever a handler raises, the port is lost
            reason = str(error) or reason
        if not self._ending:
            tell(self._loop, self._failed, reason)

    def _hand_over(self, data: bytes) -> None:
        self._under_way.release()
        self._received(data)

    def _take(self) -> bytes:
        """What has come; waits for the first byte, but no longer than it takes to look up whether to go on."""
        if self._descriptor is None:
            first: bytes = self._port.read(1)
            waiting = self._port.in_waiting if first else 0
            return first + bytes(self._port.read(min(waiting, _CHUNK)) if waiting else b"")
        # pyserial's socket handler knows only whether anything waits: it would be read byte by byte, and by select().
        poller = select.poll()
        poller.register(self._descriptor, select.POLLIN)
        if not poller.poll(_LOOK_UP_S * 1000):
            return b""
        data = os.read(self._descriptor, _CHUNK)
        if not data:
            raise OSError("the other end hung up")
        return data


def _opened(device: str, baud: int, dtr: bool) -> Any:
    port = serial.serial_for_url(device, do_not_open=True, baudrate=baud, timeout=_LOOK_UP_S, exclusive=True)
    port.dtr = port.rts = dtr
    port.open()
    return port
