"""Ports that the operator names: device paths and URLs."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncGenerator, Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from propsoff.exceptions import TargetError
from propsoff.ports import sources
from propsoff.ports.described import described
from propsoff.ports.facts import Movement, Port, UsbIdentity
from propsoff.ports.identity import kind_of
from propsoff.ports.roster import Roster, Sighting
from propsoff.ports.target import check_url

MISSING = "missing"
"""The stamp of a name at which nothing was seen yet."""
URL = "url"
"""The stamp of a URL: nothing tells whether it is there."""


def identity_at(device: str) -> UsbIdentity:
    """The USB identity of the port at a path: what stands beside it (``NAME.usb.json``), else what the system knows.

    The description comes first because a bench folder is known by it, so that a consent covers a link that is named,
    too. A bootloader that either of the two tells of is one. Blocks for file reads; call it off the event loop.
    """
    system = sources.identity_at(device)
    path = Path(device)
    beside = described(path)[0] if path.name else UsbIdentity()
    return system if beside.vid_pid is None or kind_of(system) == "bootloader" else beside


class NamedSource:
    """The ports at `devices`. Each arrives at once, there or not, so that a missing one is reported, not waited for.

    A path that was seen and vanishes departs; when it is back it arrives again. A URL never departs. `identify` tells
    the USB identity of a path (it blocks), so that a board in its bootloader is known even when it was named.
    """

    name = "named"

    def __init__(
        self, devices: Sequence[str], interval_s: float = 0.5, identify: Callable[[str], UsbIdentity] = identity_at
    ) -> None:
        """Raises TargetError for an empty name, and for a URL that names no port."""
        if any(not device.strip() for device in devices):
            raise TargetError("an empty name is no port: give a device path such as /dev/ttyACM0, or a URL")
        for device in devices:
            if "://" in device:
                check_url(device)
        self._devices = tuple(dict.fromkeys(devices))
        self._interval_s = interval_s
        self._identify = identify
        self.settled = asyncio.Event()

    async def movements(self) -> AsyncGenerator[Movement, None]:
        """One arrival for each name, then what happens to the paths."""
        loop = asyncio.get_running_loop()
        worker = ThreadPoolExecutor(1, thread_name_prefix="propsoff-named")
        roster = Roster()
        here = {device: Sighting(Port(device), MISSING) for device in self._devices}
        try:
            while True:
                here = await loop.run_in_executor(worker, self._look, here)
                for movement in roster.settle(here):
                    yield movement
                self.settled.set()
                await asyncio.sleep(self._interval_s)
        finally:
            self.settled.set()
            worker.shutdown(wait=False)

    def _look(self, before: dict[str, Sighting]) -> dict[str, Sighting]:
        here: dict[str, Sighting] = {}
        for device in self._devices:
            known, stamp = before.get(device), _stamp(device)
            if stamp == MISSING and (known is None or known.stamp != MISSING):
                continue
            if known is not None and known.stamp == stamp:
                here[device] = known
            else:
                usb = UsbIdentity() if stamp == URL else self._identify(device)
                here[device] = Sighting(Port(device, usb), stamp)
        return here


def _stamp(device: str) -> object:
    """What tells two stays at a path apart; always the same for a URL."""
    if "://" in device:
        return URL
    try:
        node = Path(device).stat()
    except OSError:
        return MISSING
    return (node.st_dev, node.st_ino, node.st_rdev)
