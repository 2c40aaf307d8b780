"""Bytes to and from one port: a local serial port, or what pyserial reaches by URL (``rfc2217://``, ``socket://``)."""

from __future__ import annotations

import asyncio
from abc import ABC, abstractmethod
from types import TracebackType
from typing import Self

from propsoff.console.timings import Timings
from propsoff.exceptions import DeadlineError, LinkLostError

BAUD = 115200


class Link(ABC):
    """One open port. One task reads, one writes; every wait has its deadline.

    When the port is lost, every pending wait fails at once with LinkLostError and its reason, and the port is closed at
    once: a file descriptor that stays open would keep the device's number, and the board would come back under another.
    """

    def __init__(self, device: str, timings: Timings) -> None:
        self.device = device
        self._timings = timings
        self._loop = asyncio.get_running_loop()
        self._inbox = bytearray()
        self._reader: asyncio.Future[None] | None = None
        self._writer: asyncio.Future[None] | None = None
        self._lost: str | None = None
        self._closed = False
        self._paused = False
        self._hung_up = False
        self._released = asyncio.Event()

    @staticmethod
    async def open(device: str, *, dtr: bool = True, timings: Timings | None = None, baud: int = BAUD) -> Link:
        """Open a port off the loop, exclusively, with DTR and RTS set to `dtr` first; what it heard before is dropped.

        `dtr`: True for a board with USB of its own (many send nothing without), False behind a bridge chip, where
        the lines reset the board. One attempt; `ports.opening.open_when_ready` tries again and puts errors in words.

        Raises OSError (pyserial's SerialException is one), termios.error, ValueError for an unknown kind of URL.
        """
        waits = timings or Timings()
        if "://" in device:
            from propsoff.console.url_link import UrlLink

            return await UrlLink.connect(device, baud=baud, dtr=dtr, timings=waits)
        from propsoff.console.serial_link import SerialLink

        return await SerialLink.connect(device, baud=baud, dtr=dtr, timings=waits)

    @property
    def lost(self) -> str | None:
        """Why the port was lost, in words; None while it is not."""
        return self._lost

    @property
    def closed(self) -> bool:
        """Whether the port is closed for certain, and free for others."""
        return self._released.is_set()

    async def read(self, timeout_s: float | None = None) -> bytes:
        """What the board has sent since the last read; waits for the first byte, at most `timeout_s`, then b"".

        Raises LinkLostError when the port is lost or closed and everything before that was read.
        """
        if not self._inbox:
            self._check()
            await self._wait_for_input(timeout_s)
        data = bytes(self._inbox)
        self._inbox.clear()
        if self._paused and not self._hung_up:
            self._paused = False
            self._resume()
        return data

    async def write(self, data: bytes | bytearray) -> None:
        """Send all of `data`; returns when the system has taken it.

        Raises LinkLostError, and DeadlineError when the board does not take it within `write_s`.
        """
        self._check()
        if data:
            await self._send(bytes(data))

    async def close(self) -> bool:
        """Close at once, dropping what is not sent. True when the port is closed, False when `close_s` was too short:
        the closing then goes on in its thread, and `closed` tells when the port may be opened again.
        """
        if not self._closed:
            self._closed = True
            self._fail_waits("it was closed")
            self._part()
        try:
            async with asyncio.timeout(self._timings.close_s):
                await self._released.wait()
        except TimeoutError:
            return False
        return True

    async def __aenter__(self) -> Self:
        return self

    async def __aexit__(
        self, kind: type[BaseException] | None, error: BaseException | None, traceback: TracebackType | None
    ) -> None:
        await self.close()

    async def _wait_for_input(self, timeout_s: float | None) -> None:
        if self._reader is not None:
            raise RuntimeError(f"{self.device}: two tasks read from one link")
        if timeout_s is not None and timeout_s <= 0:
            # What has come already is at hand when the loop has looked at the port once; it looks in its second round.
            await asyncio.sleep(0)
            await asyncio.sleep(0)
            if not self._inbox:
                self._check()
            return
        arrived = self._reader = self._loop.create_future()
        timer = None if timeout_s is None else self._loop.call_later(timeout_s, settle, arrived)
        try:
            await arrived
        finally:
            self._reader = None
            if timer is not None:
                timer.cancel()

    def _check(self) -> None:
        if self._lost is not None:
            raise LinkLostError(f"{self.device}: {self._lost}")
        if self._closed:
            raise LinkLostError(f"{self.device}: it was closed")

    def _received(self, data: bytes) -> None:
        """From the port: the board sent this."""
        self._inbox += data
        if self._reader is not None:
            settle(self._reader)
        if len(self._inbox) >= self._timings.inbox_bytes and not self._paused and not self._hung_up:
            self._paused = True
            self._pause()

    def _failed(self, reason: str) -> None:
        """From the port: it is lost."""
        if self._lost is None and not self._closed:
            self._lost = reason
            self._fail_waits(reason)
            self._part()

    def _fail_waits(self, reason: str) -> None:
        for wait in (self._reader, self._writer):
            if wait is not None and not wait.done():
                wait.set_exception(LinkLostError(f"{self.device}: {reason}"))

    def _part(self) -> None:
        if not self._hung_up:
            self._hung_up = True
            self._hang_up()

    def _refused(self, count: int) -> DeadlineError:
        return DeadlineError(
            f"{self.device}: the board did not take {count} bytes within {self._timings.write_s:g} s; "
            "unplug it and plug it in again"
        )

    @abstractmethod
    async def _send(self, data: bytes) -> None:
        """Send all of `data`, at least one byte, within `write_s`."""

    @abstractmethod
    def _hang_up(self) -> None:
        """Begin to close, without blocking; `_released` is set when the port is closed. Called once."""

    @abstractmethod
    def _pause(self) -> None:
        """Take no more from the port until `_resume`."""

    @abstractmethod
    def _resume(self) -> None:
        """Take again."""


def settle(future: asyncio.Future[None]) -> None:
    """End a wait that has not ended yet."""
    if not future.done():
        future.set_result(None)
