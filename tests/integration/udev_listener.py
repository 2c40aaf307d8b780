"""Run by our Python below udev_testbed.py: the real source, its movements as JSON lines on standard output.

Usage: udev_listener.py udev|overrun|listing|identity [DEVICE]

`overrun`: the first poll that has an event throws away all that waits and raises, as pyudev does when a burst of events
overran its socket. Ends when standard input does.
"""

from __future__ import annotations

import asyncio
import json
import sys
from collections.abc import AsyncGenerator
from dataclasses import asdict
from typing import Any

import pyudev

from propsoff.ports import listing, udev
from propsoff.ports.facts import Movement


class Overrun:
    """A monitor that loses what waits, once."""

    def __init__(self, context: pyudev.Context) -> None:
        self._monitor = pyudev.Monitor.from_netlink(context, source="udev")
        self._monitor.filter_by(subsystem="tty")
        self._lost = False

    def __getattr__(self, name: str) -> Any:
        return getattr(self._monitor, name)

    def poll(self, timeout: float) -> Any:
        device = self._monitor.poll(timeout)
        if device is None or self._lost:
            return device
        self._lost = True
        say(lost=device.sys_name)
        raise OSError(f"Error while polling fd: {self._monitor.fileno()}")


def say(**line: Any) -> None:
    sys.stdout.write(json.dumps(line) + "\n")
    sys.stdout.flush()


def source(word: str) -> AsyncGenerator[Movement, None]:
    if word == "listing":
        return listing.ListingSource(0.02).movements()
    return udev.UdevSource(Overrun if word == "overrun" else None).movements()


async def listen(word: str) -> None:
    async for movement in source(word):
        port = movement.port
        say(
            movement=type(movement).__name__.lower(),
            seq=movement.seq,
            device=port.device,
            key=port.key,
            origin=port.origin,
            socket=port.usb.socket,
            usb=asdict(port.usb),
        )


async def main() -> None:
    loop = asyncio.get_running_loop()
    listening = asyncio.create_task(listen(sys.argv[1]))
    ended = loop.run_in_executor(None, sys.stdin.read)
    await asyncio.wait({listening, ended}, return_when=asyncio.FIRST_COMPLETED)
    listening.cancel()
    await asyncio.gather(listening, return_exceptions=True)


if sys.argv[1] == "identity":
    for module in (udev, listing):
        say(identity=asdict(module.identity_at(sys.argv[2])))
else:
    asyncio.run(main())
