"""Ports by udev events (Linux). pyudev has no asyncio: its socket is watched by the loop, its calls run in one thread.

The source is "udev", not "kernel": an event then comes after the rules were applied, so the port may be opened.
"""

from __future__ import annotations

import asyncio
import os
import socket
from collections.abc import AsyncGenerator, Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.exceptions import PortError
from propsoff.ports.facts import Movement, Port, UsbIdentity
from propsoff.ports.roster import Roster, Sighting
from propsoff.ports.sysfs import hex_or_none, interface_classes

if TYPE_CHECKING:
    import pyudev

EVENTS_AT_ONCE = 500
"""Events taken from the socket in one go; the rest is taken in the next round, so that arrivals are not held back."""
DISCARDS_BEFORE_GIVING_UP = 100
"""Attempts to empty a socket that bursts keep overrunning."""


def why_no_library() -> str | None:
    """Why pyudev does not work here, in plain words; None if it does."""
    try:
        import pyudev

        pyudev.Context()
    except (ImportError, OSError) as error:
        return f"libudev cannot be used: {error}"
    return None


def identity_at(device: str) -> UsbIdentity:
    """The USB identity of the port at a path (links are followed); empty where it is no USB port or not there."""
    import pyudev

    try:
        found = pyudev.Devices.from_device_file(pyudev.Context(), str(Path(device).resolve()))
    except (pyudev.DeviceNotFoundError, OSError, ValueError):
        return UsbIdentity()
    return _identity(found) or UsbIdentity()


class UdevSource:
    """USB serial ports, by udev. `open_monitor` is for tests: it makes the monitor of a context."""

    name = "udev"

    def __init__(self, open_monitor: Callable[[pyudev.Context], pyudev.Monitor] | None = None) -> None:
        self._open_monitor = open_monitor or _open_monitor
        self.settled = asyncio.Event()

    async def movements(self) -> AsyncGenerator[Movement, None]:
        """Arrivals of every USB serial port that is there, then the events. Raises PortError without a usable udev."""
        loop = asyncio.get_running_loop()
        # One thread of its own: libudev is not safe for two threads at once, and the loop's shared threads may all be
        # stuck in a port that does not close.
        worker = ThreadPoolExecutor(1, thread_name_prefix="propsoff-udev")
        roster = Roster()
        fd: int | None = None
        try:
            watch = await loop.run_in_executor(worker, UdevWatch, self._open_monitor)
            fd = watch.fileno()
            changes: list[_Change] = [await loop.run_in_executor(worker, watch.everything)]
            while True:
                for change in changes:
                    for movement in _apply(roster, change):
                        yield movement
                self.settled.set()
                await _readable(loop, fd)
                changes = await loop.run_in_executor(worker, watch.drain)
        finally:
            self.settled.set()
            if fd is not None:
                loop.remove_reader(fd)
            worker.shutdown(wait=False)


_Change = dict[str, Sighting] | tuple[str, Sighting | None]
"""Everything that is there, or one place and what is there now."""


def _apply(roster: Roster, change: _Change) -> list[Movement]:
    if isinstance(change, dict):
        return roster.settle(change)
    place, sighting = change
    return roster.drop(place) if sighting is None else roster.put(place, sighting)


async def _readable(loop: asyncio.AbstractEventLoop, fd: int) -> None:
    ready = asyncio.Event()

    def wake() -> None:
        # The loop's watch is level-triggered: until the events are drained it would call again and again.
        loop.remove_reader(fd)
        ready.set()

    loop.add_reader(fd, wake)
    await ready.wait()


def _open_monitor(context: pyudev.Context) -> pyudev.Monitor:
    import pyudev

    monitor = pyudev.Monitor.from_netlink(context, source="udev")
    monitor.filter_by(subsystem="tty")
    return monitor


class UdevWatch:
    """A started monitor; every method runs in the source's one thread."""

    def __init__(self, open_monitor: Callable[[pyudev.Context], pyudev.Monitor]) -> None:
        """Raises PortError."""
        try:
            import pyudev

            self._context = pyudev.Context()
            self._monitor = open_monitor(self._context)
            # Started before anything is enumerated, or a port that comes in between is missed.
            self._monitor.start()
        except (ImportError, OSError) as error:
            raise PortError("udev", f"its events cannot be had ({error}); use the polled list of ports") from error

    def fileno(self) -> int:
        return int(self._monitor.fileno())

    def everything(self) -> dict[str, Sighting]:
        """Every USB serial port that udev is done with; for the others an event is still to come."""
        devices = self._context.list_devices(subsystem="tty")
        seen = ((device.sys_path, _sighting(device)) for device in devices if _since(device))
        return {place: sighting for place, sighting in seen if sighting is not None}

    def drain(self) -> list[_Change]:
        """What the waiting events say, in their order. Raises PortError when the socket is broken."""
        changes: list[_Change] = []
        try:
            for device in self._waiting():
                sighting = None if device.action == "remove" else _sighting(device)
                changes.append((device.sys_path, sighting))
        except OSError:
            # Measured: after a burst overran the socket, pyudev 0.24's poll raises an OSError without errno.
            self._discard()
            changes.append(self.everything())
        return changes

    def _waiting(self) -> Iterator[pyudev.Device]:
        for _ in range(EVENTS_AT_ONCE):
            device = self._monitor.poll(0)
            if device is None:
                return
            yield device

    def _discard(self) -> None:
        """Throw away what a burst left: an old "add" whose "remove" was lost would announce a port that is gone.

        Raises PortError when the socket stays broken.
        """
        wrong: OSError | None = None
        for _ in range(DISCARDS_BEFORE_GIVING_UP):
            # Reading the pending error clears it; until then each poll raises again, for ever (measured).
            with socket.socket(fileno=os.dup(self.fileno())) as same:
                same.getsockopt(socket.SOL_SOCKET, socket.SO_ERROR)
            try:
                while self._monitor.poll(0) is not None:
                    pass
            except OSError as error:
                wrong = error
            else:
                return
        raise PortError("udev", f"its events broke off ({wrong}); start again") from wrong


def _sighting(device: pyudev.Device) -> Sighting | None:
    """None for what is not a USB serial port, or is gone already."""
    identity = _identity(device)
    if identity is None or not device.device_node:
        return None
    return Sighting(Port(device.device_node, identity, "udev"), _since(device))


def _since(device: pyudev.Device) -> str | None:
    """When udev was done with this stay of the device (microseconds since boot, as text); None before that.

    It also tells a board that left and returned while events were lost.
    """
    since: str | None = device.properties.get("USEC_INITIALIZED")
    return since


def _identity(device: pyudev.Device) -> UsbIdentity | None:
    usb = device.find_parent("usb", "usb_device")
    if usb is None:
        return None
    interface = device.find_parent("usb", "usb_interface")
    return UsbIdentity(
        vid=hex_or_none(_attribute(usb, "idVendor")),
        pid=hex_or_none(_attribute(usb, "idProduct")),
        # Attributes, not ID_MODEL and ID_SERIAL_SHORT: udev puts underscores for blanks there.
        serial_number=_attribute(usb, "serial"),
        manufacturer=_attribute(usb, "manufacturer"),
        product=_attribute(usb, "product"),
        path=_path(device, interface or usb),
        interface=None if interface is None else hex_or_none(_attribute(interface, "bInterfaceNumber")),
        classes=interface_classes(Path(usb.sys_path)),
    )


def _path(device: pyudev.Device, place: pyudev.Device) -> str:
    """The name that the port has in /dev/serial/by-path (60-serial.rules of systemd 252); without it, sysfs's name."""
    path = device.properties.get("ID_PATH") or place.sys_name
    bridge = device.find_parent("usb-serial")
    number = None if bridge is None else _attribute(bridge, "port_number")
    return f"{path}-port{number}" if number else str(path)


def _attribute(device: pyudev.Device, name: str) -> str | None:
    raw = device.attributes.get(name)
    return raw.decode("utf-8", errors="replace").strip() or None if raw is not None else None
