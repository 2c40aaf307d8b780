"""A test console behind a real pseudo-terminal."""

from __future__ import annotations

import os
import select
import threading
import time
import tty
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests_support.other_consoles.console import Console

_TURN_S = 0.02


@contextmanager
def served(console: Console) -> Iterator[Path]:
    """The device of a console that is plugged in; it is unplugged at the end.

    What a console says before anybody listens is lost, as on a real port: `plugged_in` may never be heard.
    """
    ours, theirs = os.openpty()
    tty.setraw(theirs)
    stop_read, stop_write = os.pipe()
    device = Path(os.ttyname(theirs))
    thread = threading.Thread(
        target=_serve, args=(console, ours, stop_read), name=f"console {console.name}", daemon=True
    )
    thread.start()
    try:
        yield device
    finally:
        os.write(stop_write, b"x")
        thread.join(5)
        for handle in (ours, theirs, stop_read, stop_write):
            os.close(handle)


def _serve(console: Console, handle: int, stop: int) -> None:
    _write(handle, console.plugged_in(), stop)
    while True:
        ready, _, _ = select.select([handle, stop], [], [], _TURN_S)
        if stop in ready:
            return
        now = time.monotonic()
        if handle in ready:
            data = os.read(handle, 4096)
            if not _write(handle, console.type(data, now), stop):
                return
        if not _write(handle, console.idle(now), stop):
            return


def _write(handle: int, data: bytes | str, stop: int) -> bool:
    """False when it was told to stop before everything was taken."""
    left = memoryview(data.encode() if isinstance(data, str) else data)
    while left:
        readable, writable, _ = select.select([stop], [handle], [], 1.0)
        if readable:
            return False
        if writable:
            left = left[os.write(handle, left[:1024]) :]
    return True
