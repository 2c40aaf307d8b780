"""Which USB identities are microcontrollers, bridge chips or bootloaders: a table with its sources, and how to read it.

The table decides two things only: what is never opened (bootloaders), and which modem lines a port is opened with. It
never allows a port to be opened: vid:pid alone proves nothing, other instruments use the same numbers.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from propsoff.ports.facts import UsbIdentity

Kind = Literal["native", "bridge", "bootloader", "unknown"]
"""Microcontroller with its own USB; generic USB-to-serial bridge chip; bootloader (never opened); not in the table."""

USB_IDS = "usb.ids 2025.07.26"
VENDOR_LIBRARY = "the vendor's firmware library"
VENDOR_LIST = "the vendor's list of product ids"
FROM_MEMORY = "from memory; the vendor is not in usb.ids 2025.07.26"

DFU_CLASS = "fe/01"
"""Class and subclass of device firmware upgrade (usb.ids 2025.07.26, section C fe 01)."""
CDC_ACM_CLASS = "02/02"
"""Class and subclass of a modem-like serial port (usb.ids 2025.07.26, section C 02 02)."""


@dataclass(frozen=True, slots=True)
class KnownIdentity:
    """One row of the table. `pid` None means every product of the vendor. `source` says where it was read."""

    vid: int
    pid: int | None
    kind: Kind
    source: str


KNOWN_IDENTITIES: tuple[KnownIdentity, ...] = (
    KnownIdentity(0x0483, 0x5740, "native", USB_IDS),
    KnownIdentity(0x2E3C, 0x5740, "native", VENDOR_LIBRARY),
    KnownIdentity(0x2E8A, 0x0009, "native", VENDOR_LIST),
    KnownIdentity(0x2E8A, 0x000A, "native", VENDOR_LIST),
    KnownIdentity(0x0483, 0xDF11, "bootloader", USB_IDS),
    KnownIdentity(0x28E9, 0x0189, "bootloader", USB_IDS),
    KnownIdentity(0x2E3C, 0xDF11, "bootloader", FROM_MEMORY),
    KnownIdentity(0x2E8A, 0x0003, "bootloader", FROM_MEMORY),
    KnownIdentity(0x2E8A, 0x000F, "bootloader", FROM_MEMORY),
    KnownIdentity(0x0403, None, "bridge", USB_IDS),
    KnownIdentity(0x067B, None, "bridge", USB_IDS),
    KnownIdentity(0x10C4, None, "bridge", USB_IDS),
    KnownIdentity(0x1A86, None, "bridge", USB_IDS),
)


@dataclass(frozen=True, slots=True)
class Classification:
    """What a USB identity is, and in plain words why."""

    kind: Kind
    reason: str


def classify(usb: UsbIdentity) -> Classification:
    """What `usb` is. Bootloaders are looked for first, then exact products, then whole vendors."""
    # A row for a whole vendor has no pid, and an identity without vid and pid is no row's.
    exact = None if usb.pid is None else next((row for row in KNOWN_IDENTITIES if _numbers(row) == _numbers(usb)), None)
    if exact is not None and exact.kind == "bootloader":
        return Classification("bootloader", f"{usb.vid_pid} is a bootloader ({exact.source})")
    if any(name.casefold() == DFU_CLASS for name in usb.classes):
        return Classification("bootloader", f"an interface of class FE/01, device firmware upgrade ({USB_IDS})")
    if exact is not None:
        return Classification(exact.kind, f"{usb.vid_pid} is a microcontroller's own serial port ({exact.source})")
    vendor = next((row for row in KNOWN_IDENTITIES if row.pid is None and row.vid == usb.vid), None)
    if vendor is not None:
        return Classification(vendor.kind, f"vendor {vendor.vid:04x} makes generic bridge chips ({vendor.source})")
    if usb.vid_pid is None:
        return Classification("unknown", "no USB identity is known")
    return Classification("unknown", f"{usb.vid_pid} is not in the table of known identities")


def kind_of(usb: UsbIdentity) -> Kind:
    """The kind alone; `classify` gives the reason too."""
    return classify(usb).kind


def wants_dtr(usb: UsbIdentity) -> bool:
    """Whether to open with DTR (and RTS) raised.

    Native CDC stacks often wait for DTR before they say anything. Behind a bridge chip the same lines are often wired
    to reset, so a bridge, and a device of which nothing is known, is opened with both lowered.
    """
    kind = kind_of(usb)
    return kind == "native" or (kind == "unknown" and CDC_ACM_CLASS in usb.classes)


def _numbers(one: KnownIdentity | UsbIdentity) -> tuple[int | None, int | None]:
    return one.vid, one.pid
