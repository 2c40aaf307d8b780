"""A local serial port behind pyserial-asyncio's transport. Imported only when a port is opened."""

from __future__ import annotations

import asyncio
from typing import Any, Self

import serial_asyncio

from propsoff.console.link import Link, settle
from propsoff.console.serial_port import BenchSerial
from propsoff.console.timings import Timings
from propsoff.threads import in_thread, tell


class SerialLink(Link, asyncio.Protocol):
    """A `Link` over a `BenchSerial`; also the protocol that its transport calls."""

    def __init__(self, port: BenchSerial, timings: Timings) -> None:
        super().__init__(str(port.port), timings)
        self._port = port
        self._transport: Any = None
        self._held = False
        loop = self._loop
        # Never from within the transport's own read or write: it would schedule its end a second time.
        port.on_error = lambda reason: tell(loop, self._failed, reason)
        port.on_closed = lambda: tell(loop, self._released.set)

    @classmethod
    async def connect(cls, device: str, *, baud: int, dtr: bool, timings: Timings) -> Self:
        """Open off the loop, then hand the port to a transport. Raises OSError, termios.error."""
        port = BenchSerial(device, baud=baud, dtr=dtr)

        def opened() -> BenchSerial:
            port.open()
            return port

        await in_thread(opened, f"open {device}", BenchSerial.close)
        try:
            link = cls(port, timings)
            transport, _ = await serial_asyncio.connection_for_serial(link._loop, lambda: link, port)
        except BaseException:  # cancelled as well: a port that stays open keeps its number; raised again
            port.close()
            raise
        link._transport = transport
        # No high-water mark: `_held` then says whether everything has left, and one command is in flight at a time.
        transport.set_write_buffer_limits(high=0)
        return link

    async def _send(self, data: bytes) -> None:
        # The transport always asks the loop first whether it may write, which costs more than the write.
        left = data if self._held else self._written(data)
        if left:
            await self._hand_over(left, len(data))

    def _written(self, data: bytes) -> bytes:
        """What the port does not take at once."""
        try:
            return data[self._port.write(data) :]
        except (BlockingIOError, InterruptedError):
            return data

    async def _hand_over(self, left: bytes, count: int) -> None:
        self._transport.write(left)
        if not self._held:
            return
        taken = self._writer = self._loop.create_future()
        try:
            async with asyncio.timeout(self._timings.write_s):
                await taken
        except BaseException as error:
            self._drop_unsent()
            if isinstance(error, TimeoutError):
                raise self._refused(count) from None
            raise
        finally:
            self._writer = None

    def _drop_unsent(self) -> None:
        if not self._hung_up:
            self._transport.flush()

    def _hang_up(self) -> None:
        # close() would wait for ever for a board that takes no bytes; flush() drops them.
        self._transport.flush()
        self._transport.abort()

    def _pause(self) -> None:
        self._transport.pause_reading()

    def _resume(self) -> None:
        self._transport.resume_reading()

    def data_received(self, data: bytes) -> None:
        """From the transport."""
        self._received(data)

    def pause_writing(self) -> None:
        """From the transport: not everything has left."""
        self._held = True

    def resume_writing(self) -> None:
        """From the transport: everything has left."""
        self._held = False
        if self._writer is not None:
            settle(self._writer)

    def connection_lost(self, error: BaseException | None) -> None:
        """From the transport. Without an error it still is no clean end: the transport loses errors."""
        self._hung_up = True
        self._failed(str(error) if error else "the connection ended")
