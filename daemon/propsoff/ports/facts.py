"""What is known about a serial port, as frozen facts without I/O.

Identity is never the device name: a board that returns as another ttyACM number is the same board. It is the USB
identity with its serial number where there is one, and the physical path (the socket of the bench) where not.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Literal

Origin = Literal["udev", "listing", "folder", "named"]
"""How a port became known: udev event, polled listing, watched folder of links, or named by the operator."""

_USB_PATH = re.compile(r"(?P<socket>(?:.*usb(?:v\d)?-\d+:|\d+-)\d+(?:\.\d+)*)(?::\d+\.\d+)?(?:-port\d+)?")


@dataclass(frozen=True, slots=True)
class UsbIdentity:
    """The USB descriptors of a port. `vid` and `pid` are integers 0..0xFFFF; texts are None where the device has none.

    `path` is the physical path (hub and socket numbers, e.g. ``1-4.2:1.0``): the socket of the bench.
    `interface` is the interface number, None where unknown. `classes` are ``cc/ss`` class codes of the interfaces, e.g.
    ``02/02``.
    """

    vid: int | None = None
    pid: int | None = None
    serial_number: str | None = None
    manufacturer: str | None = None
    product: str | None = None
    path: str | None = None
    interface: int | None = None
    classes: tuple[str, ...] = ()

    @property
    def vid_pid(self) -> str | None:
        """``vid:pid`` in four lower-case hexadecimal digits each, or None."""
        if self.vid is None or self.pid is None:
            return None
        return f"{self.vid:04x}:{self.pid:04x}"

    @property
    def socket(self) -> str | None:
        """The physical path without interface and port number: the socket, whatever is plugged in. None if unknown.

        Another board in the same socket may have its console at another interface, so those numbers are left off:
        ``pci-0000:00:14.0-usb-0:4.2:1.0`` and ``1-4.2:1.0`` give ``pci-0000:00:14.0-usb-0:4.2`` and ``1-4.2``.
        """
        if not self.path:
            return None
        usb_path = _USB_PATH.fullmatch(self.path)
        return usb_path["socket"] if usb_path else self.path


@dataclass(frozen=True, slots=True)
class Port:
    """A serial port: where it is opened (`device`: path or pyserial URL), what it is, and how it became known.

    `problem` says in plain words what could not be read about it (None: nothing); it is no part of what the port is.
    """

    device: str
    usb: UsbIdentity = UsbIdentity()
    origin: Origin = "named"
    problem: str | None = field(default=None, compare=False)

    @property
    def key(self) -> str:
        """What this port is across re-enumeration: vid:pid, serial number, interface, physical path; else the device.

        The physical path is always part of it, so that two boards with the same serial number stay two. Without path
        and serial number the device is part of it, so that two boards of one kind stay two.
        """
        usb = self.usb
        if not usb.path and not usb.serial_number:
            return f"{usb.vid_pid}@{self.device}" if usb.vid_pid else self.device
        parts = [usb.vid_pid, usb.serial_number, None if usb.interface is None else f"if{usb.interface}", usb.path]
        return "/".join(part for part in parts if part)


@dataclass(frozen=True, slots=True)
class Arrival:
    """A port that appeared (or was there at the start). `seq` rises by one with each movement of a source."""

    port: Port
    seq: int = 0


@dataclass(frozen=True, slots=True)
class Departure:
    """A port that is gone. `port` is as it was when it arrived."""

    port: Port
    seq: int = 0


Movement = Arrival | Departure


@dataclass(frozen=True, slots=True)
class UsbHint:
    """A dialect's word on which USB devices speak it. `product` is a shell-style pattern for the product string.

    A hint without a product pattern does not allow a port to be opened automatically: vid:pid alone proves nothing.
    """

    vid: int
    pid: int
    product: str | None
    dialect: str
