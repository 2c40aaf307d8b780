"""The serial port as the loop needs it: a `serial.Serial` that never blocks once it is open.

pyserial-asyncio 0.6 drains and closes on the event loop, selects on file descriptors (which fails from 1024 on), and
reports a lost port through the loop's exception handler or not at all. The port itself takes that out of its hands.
Imported only when a port is opened.
"""

from __future__ import annotations

import contextlib
import fcntl
import os
import select
import sys
import termios
from collections.abc import Callable
from typing import Any

import serial

from propsoff.threads import start


class BenchSerial(serial.Serial):
    """A local port. `on_error` is told once, in words, when the port is lost; `on_closed` when it is really closed.

    Build it unopened and set the lines before `open`: the kernel raises DTR and RTS as soon as a port is opened.
    """

    def __init__(self, device: str, *, baud: int, dtr: bool) -> None:
        super().__init__()
        self.on_error: Callable[[str], object] = lambda reason: None
        self.on_closed: Callable[[], object] = lambda: None
        self._failed = False
        self._closing = False
        self.port = device
        self.baudrate = baud
        self.exclusive = True
        self.dtr = self.rts = dtr
        self.timeout = self.write_timeout = 0

    def open(self) -> None:
        """Open, to itself, with what came before dropped. Blocks: for a thread. Raises OSError, termios.error."""
        super().open()
        try:
            # flock (`exclusive`) binds only those who ask; TIOCEXCL makes the kernel refuse everybody but root.
            fcntl.ioctl(self.fileno(), termios.TIOCEXCL)
            self.reset_input_buffer()
        except BaseException:  # cancelled as well: a port that stays open keeps its number; raised again
            super().close()
            raise

    def flush(self) -> None:
        """Nothing: tcdrain would hold the loop for as long as the board takes no bytes."""

    def read(self, size: int = 1) -> bytes:
        """What is there, at most `size` bytes; nothing when the port is lost, which `on_error` is told."""
        try:
            data = os.read(self.fileno(), size)
        except (BlockingIOError, InterruptedError):
            return b""
        except OSError as error:
            self._fail(f"reading failed: {error.strerror or error}; unplugged?")
            return b""
        if not data:
            self._fail("it was unplugged" if self._hung_up() else "another program reads from it")
        return data

    def write(self, data: Any) -> int:
        """Write what the port takes now; how many bytes that were: none when it is lost, which `on_error` is told.

        Raises BlockingIOError when it takes none now.
        """
        try:
            return os.write(self.fileno(), data)
        except (BlockingIOError, InterruptedError):
            raise
        except OSError as error:
            # An error raised here would reach people as a traceback, through the loop's exception handler.
            self._fail(f"writing failed: {error.strerror or error}; unplugged?")
            return 0

    def close(self) -> None:
        """Close in a thread; `on_closed` is called from it, when the port is free for others."""
        # At the interpreter's end a thread never starts, and waiting for it would never end: the system closes then.
        if self._closing or sys.is_finalizing():
            return
        self._closing = True
        if self.is_open:
            start(self._close_now, f"close {self.port}")
        else:
            self.on_closed()

    def _close_now(self) -> None:
        try:
            with contextlib.suppress(OSError, termios.error):
                # Bytes that the board never took would make the kernel's close wait for it, up to half a minute.
                termios.tcflush(self.fileno(), termios.TCIOFLUSH)
            with contextlib.suppress(OSError):
                # The mark would outlive this process where something else holds the terminal open.
                fcntl.ioctl(self.fileno(), termios.TIOCNXCL)
            with contextlib.suppress(OSError):
                super().close()
        finally:
            self.on_closed()

    def _fail(self, reason: str) -> None:
        if not self._failed:
            self._failed = True
            self.on_error(reason)

    def _hung_up(self) -> bool:
        poller = select.poll()
        poller.register(self.fileno(), select.POLLIN)
        return any(events & (select.POLLHUP | select.POLLERR) for _, events in poller.poll(0))
