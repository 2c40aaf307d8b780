"""What a source of ports is, and which one this machine gets."""

from __future__ import annotations

import os
import sys
from collections.abc import AsyncIterator
from importlib.util import find_spec
from pathlib import Path
from typing import Protocol, runtime_checkable

from propsoff.ports.facts import Movement, UsbIdentity

UDEV_CONTROL = Path("/run/udev/control")
"""libudev's own sign that udev runs: without this socket its monitor connects to nothing (systemd 252, sd-device)."""


@runtime_checkable
class PortSource(Protocol):
    """Something that sees ports come and go. `name` is for logs and error texts.

    One that also has `settled`, an asyncio.Event, sets it when all that was there at the start has arrived, or it
    ended.
    """

    @property
    def name(self) -> str:
        """A short name, e.g. ``udev``."""

    def movements(self) -> AsyncIterator[Movement]:
        """Arrivals of everything already there, then arrivals and departures as they happen, until closed or cancelled.

        An async generator: what it holds is released in its `finally`. `seq` of its movements rises by one.
        Raises PortError or TargetError when the source cannot go on.
        """


def why_no_udev(control: Path = UDEV_CONTROL) -> str | None:
    """Why udev events cannot be had here, in plain words; None if they can."""
    if sys.platform != "linux":
        return "udev exists on Linux only"
    if find_spec("pyudev") is None:
        return "the Python package pyudev is not installed"
    if not os.access(control, os.F_OK):
        return f"udev does not run here: {control} is missing (usual in a container)"
    from propsoff.ports.udev import why_no_library

    return why_no_library()


def best_source(poll_s: float = 0.5) -> PortSource:
    """udev events where they can be had, else the list of ports, polled every `poll_s` seconds."""
    if why_no_udev() is None:
        from propsoff.ports.udev import UdevSource

        return UdevSource()
    from propsoff.ports.listing import ListingSource

    return ListingSource(poll_s)


def identity_at(device: str) -> UsbIdentity:
    """The USB identity of the port at a path (links are followed); empty where it has none or none can be read.

    Blocks for file reads; call it off the event loop.
    """
    if why_no_udev() is None:
        from propsoff.ports import udev

        return udev.identity_at(device)
    from propsoff.ports import listing

    return listing.identity_at(device)
