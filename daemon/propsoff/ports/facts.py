"""What is known about a serial port, as frozen facts without I/O.

Identity is never the device name: a board that returns as another ttyACM number is the same board. It is the USB
identity with its serial number where there is one, and the physical path (the socket of the bench) where not.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Origin = Literal["udev", "listing", "folder", "named"]
"""How a port became known: udev event, polled listing, watched folder of links, or named by the operator."""


@dataclass(frozen=True, slots=True)
class UsbIdentity:
    """The USB descriptors of a port. `vid` and `pid` are integers 0..0xFFFF; texts are None where the device has none.

    `path` is the physical path (hub and socket numbers, e.g. ``1-4.2:1.0``): the socket of the bench.
    `interface` is the interface number, None where unknown. `classes` are ``cc/ss`` class codes of the interfaces, e.g. ``02/02``.
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


@dataclass(frozen=True, slots=True)
class Port:
    """A serial port: where it is opened (`device`: path or pyserial URL), what it is, and how it became known."""

    device: str
    usb: UsbIdentity = UsbIdentity()
    origin: Origin = "named"

    @property
    def key(self) -> str:
        """What this port is across re-enumeration: vid:pid, serial number, interface and physical path; else the device.

        The physical path is always part of it, so that two boards with the same serial number stay two.
        """
        usb = self.usb
        parts = [usb.vid_pid, usb.serial_number, None if usb.interface is None else f"if{usb.interface}", usb.path]
        known = [part for part in parts if part]
        return "/".join(known) if known else self.device


@dataclass(frozen=True, slots=True)
class Arrival:
    """A port that appeared (or was there at the start). `seq` rises by one with each arrival or departure of a source."""

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
    """A dialect's word on which USB devices speak it. `product` is a shell-style pattern that the product string must match.

    A hint without a product pattern does not allow a port to be opened automatically: vid:pid alone proves nothing.
    """

    vid: int
    pid: int
    product: str | None
    dialect: str
