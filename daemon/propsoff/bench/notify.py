"""Telling systemd that the bench is ready, alive and stopping (sd_notify(3)): one datagram each, no library needed."""

from __future__ import annotations

import asyncio
import contextlib
import os
import socket
from collections.abc import AsyncIterator, Mapping


def notify(message: str, environment: Mapping[str, str] = os.environ) -> bool:
    """Send one message to the service manager; False where there is none, or it does not listen."""
    address = environment.get("NOTIFY_SOCKET", "")
    if not address.startswith(("/", "@")):
        return False
    if address.startswith("@"):
        address = "\0" + address[1:]
    try:
        with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM | socket.SOCK_CLOEXEC) as sender:
            sender.sendto(message.encode(), address)
    except OSError:
        return False
    return True


def watchdog_s(environment: Mapping[str, str] = os.environ) -> float | None:
    """The watchdog's period in seconds, None where this process has none."""
    period, pid = environment.get("WATCHDOG_USEC", ""), environment.get("WATCHDOG_PID", "")
    if not period.isdecimal() or int(period) == 0 or (pid and pid != str(os.getpid())):
        return None
    return int(period) / 1e6


@contextlib.asynccontextmanager
async def announced(environment: Mapping[str, str] = os.environ) -> AsyncIterator[None]:
    """Ready at the start, stopping at the end, and between them a sign of life from the event loop itself."""
    notify("READY=1\nSTATUS=watching", environment)
    period_s = watchdog_s(environment)
    pinging = asyncio.create_task(_ping(period_s / 2, environment)) if period_s else None
    try:
        yield
    finally:
        if pinging is not None:
            pinging.cancel()
        notify("STOPPING=1", environment)


async def _ping(every_s: float, environment: Mapping[str, str]) -> None:
    """A sign of life; it comes from the loop, so a loop that hangs is not taken for one that lives."""
    while True:
        notify("WATCHDOG=1", environment)
        await asyncio.sleep(every_s)
