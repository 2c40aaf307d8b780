"""Ports by asking for the list again and again: pyserial's list of ports, where there is no udev."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncGenerator, Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.exceptions import PortError
from propsoff.ports.facts import Movement, Port, UsbIdentity
from propsoff.ports.roster import Roster, Sighting
from propsoff.ports.sysfs import interface_classes, read_hex

if TYPE_CHECKING:
    from serial.tools.list_ports_common import ListPortInfo

FAILURES_BEFORE_GIVING_UP = 10
"""A list that breaks once is normal: pyserial raises when a device vanishes while it reads its description."""


def identity_at(device: str) -> UsbIdentity:
    """The USB identity of the port at a path (links are followed); empty where it is no USB port or not there."""
    wanted = Path(device).resolve()
    try:
        found = next((info for info in _comports() if Path(info.device).resolve() == wanted), None)
    except (OSError, TypeError, ValueError):
        found = None
    return UsbIdentity() if found is None else _identity(found)


class ListingSource:
    """USB serial ports, by polling every `interval_s` seconds. `comports` is for tests: it gives the list."""

    name = "listing"

    def __init__(self, interval_s: float = 0.5, comports: Callable[[], Iterable[ListPortInfo]] | None = None) -> None:
        self._interval_s = interval_s
        self._comports = comports or _comports
        self.settled = asyncio.Event()

    async def movements(self) -> AsyncGenerator[Movement, None]:
        """Arrivals of every USB serial port that is there, then what changes. Raises PortError if it keeps failing."""
        loop = asyncio.get_running_loop()
        worker = ThreadPoolExecutor(1, thread_name_prefix="propsoff-listing")
        roster = Roster()
        failures = 0
        try:
            while True:
                try:
                    seen = await loop.run_in_executor(worker, self._seen)
                    failures = 0
                # Measured in pyserial 3.5: int(None, 16) is a TypeError when the device goes while it is described.
                except (OSError, TypeError, ValueError) as error:
                    failures += 1
                    if failures >= FAILURES_BEFORE_GIVING_UP:
                        problem = f"cannot be read, {failures} times in a row: {error}"
                        raise PortError("the list of ports", problem) from error
                else:
                    for movement in roster.settle(seen):
                        yield movement
                    self.settled.set()
                await asyncio.sleep(self._interval_s)
        finally:
            self.settled.set()
            worker.shutdown(wait=False)

    def _seen(self) -> dict[str, Sighting]:
        ports = [info for info in self._comports() if info.vid is not None]
        return {info.device: _sighting(info) for info in ports}


def _comports() -> Iterable[ListPortInfo]:
    from serial.tools.list_ports import comports

    return comports()


def _sighting(info: ListPortInfo) -> Sighting:
    return Sighting(Port(info.device, _identity(info), "listing"), _node(info.device))


def _node(device: str) -> int | None:
    """The device node's own number: a board that left and returned between two polls has a new node."""
    try:
        return Path(device).stat().st_ino or None
    except OSError:
        return None


def _identity(info: ListPortInfo) -> UsbIdentity:
    # On Linux pyserial adds where sysfs describes the port; elsewhere these are missing.
    device: str | None = getattr(info, "usb_device_path", None)
    interface: str | None = getattr(info, "usb_interface_path", None)
    return UsbIdentity(
        vid=info.vid,
        pid=info.pid,
        serial_number=info.serial_number or None,
        manufacturer=info.manufacturer or None,
        product=info.product or None,
        path=Path(interface).name if interface else info.location or None,
        interface=read_hex(Path(interface) / "bInterfaceNumber") if interface else None,
        classes=interface_classes(Path(device)) if device else (),
    )
