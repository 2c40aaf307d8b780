"""Reading USB facts from sysfs, the Linux kernel's own description of its devices."""

from __future__ import annotations

from pathlib import Path


def read_text(path: Path) -> str | None:
    """The stripped content of an attribute file; None if it is missing, empty or unreadable (the device gone)."""
    try:
        return path.read_bytes().decode("utf-8", errors="replace").strip() or None
    except OSError:
        return None


def read_hex(path: Path) -> int | None:
    """A hexadecimal attribute such as ``idVendor`` or ``bInterfaceNumber``; None if it cannot be read."""
    return hex_or_none(read_text(path))


def hex_or_none(text: str | None) -> int | None:
    """The number that hexadecimal digits stand for; None for anything else."""
    try:
        return int(text, 16) if text else None
    except ValueError:
        return None


def interface_classes(usb_device: Path) -> tuple[str, ...]:
    """``cc/ss`` of each interface of a USB device in order of interface directories, e.g. ``("02/02", "0a/00")``.

    An interface is a folder in the device's own whose name has a colon (Linux Documentation/ABI/testing/sysfs-bus-usb).
    """
    try:
        folders = sorted(usb_device.glob("*:*"))
    except OSError:
        return ()
    pairs = [(read_text(folder / "bInterfaceClass"), read_text(folder / "bInterfaceSubClass")) for folder in folders]
    return tuple(f"{cc}/{ss}".casefold() for cc, ss in pairs if cc and ss)
