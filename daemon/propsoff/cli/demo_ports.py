"""A socket of the demonstration that nobody has allowed: what is plugged in there waits for a person's word."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncGenerator

from propsoff.ports.facts import Arrival, Departure, Movement, Port, UsbIdentity

_SOCKET = "9-1"
_VID, _PID = 0x1209, 0x0001
"""The identity that pid.codes keeps for tests: no dialect names it."""


class Unlisted:
    """A source of ports that nobody has named, over a simulated board: no USB device is needed for it."""

    name = "demo"

    def __init__(self) -> None:
        self._moves: asyncio.Queue[Movement] = asyncio.Queue()
        self._there: Port | None = None

    async def movements(self) -> AsyncGenerator[Movement, None]:
        """What is plugged in and taken out, until the bench ends."""
        while True:
            yield await self._moves.get()

    def plug(self, device: str, serial: str) -> None:
        """Something that says only that it is a bridge is plugged in; it can be opened at `device`."""
        usb = UsbIdentity(_VID, _PID, serial, product="Serial Bridge", path=f"{_SOCKET}:1.0")
        self._there = Port(device, usb, "listing")
        self._moves.put_nowait(Arrival(self._there))

    def unplug(self) -> None:
        """It is taken out, where it is there."""
        if self._there is not None:
            self._moves.put_nowait(Departure(self._there))
        self._there = None
