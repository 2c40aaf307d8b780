"""Run by the system's Python under umockdev-wrapper: a made-up USB bus that gives real udev events to its child.

Usage: umockdev-wrapper /usr/bin/python3 udev_testbed.py CHILD [ARGUMENT...]

Standard input: one command a line, a JSON object. Each is answered by a line on standard output, on which the child
writes its own lines too. The properties are those that udev 252 sets (seen with `udevadm test` on these devices).
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import gi  # type: ignore[import-untyped, import-not-found, unused-ignore]  # Debian's python3-gi, not in our environment

gi.require_version("UMockdev", "1.0")
from gi.repository import UMockdev  # type: ignore[import-untyped, import-not-found, unused-ignore]  # noqa: E402  as above

CLOCK_US = iter(range(1_000_000, 10_000_000_000, 1_000))


class Bus:
    """One USB bus with boards in its sockets; each has a CDC ACM port, or a bridge's, on a pseudo-terminal."""

    def __init__(self) -> None:
        self.testbed = UMockdev.Testbed.new()
        self.devices = Path(self.testbed.get_root_dir()) / "dev"
        self.devices.mkdir(parents=True, exist_ok=True)
        self.plugged: dict[str, tuple[list[str], tuple[int, int]]] = {}

    def plug(
        self,
        tty: str,
        socket: str,
        usb: dict[str, str],
        bridge: bool = False,
        dfu: bool = False,
        unfinished: bool = False,
    ) -> None:
        """A board in `socket` (``4.2``) that becomes `tty`. `usb`: vid, pid; optional serial, product, manufacturer."""
        names = {"vid": "idVendor", "pid": "idProduct"}
        texts = [word for key, value in usb.items() for word in (names.get(key, key), f"{value}\n")]
        attributes = [*texts, "bNumInterfaces", " 2\n"]
        device = self._add("usb", f"1-{socket}", None, attributes, ["DEVTYPE", "usb_device"])
        # The tty first of all: umockdev sends each event at once, and the interfaces must be there by then.
        second = ("FE", "01") if dfu else ("0a", "00")
        data = self._interface(device, socket, 1, *second)
        control = self._interface(device, socket, 0, *(("ff", "00") if bridge else ("02", "02")))
        added = [device, data, control]
        parent = control
        if bridge:
            parent = self._add("usb-serial", tty, control, ["port_number", "0\n"], [])
            added.append(parent)
        self._terminal(tty)
        path = f"pci-0000:00:14.0-usb-0:{socket}:1.0"
        since = str(next(CLOCK_US))
        finished = ["ID_PATH", path, "ID_BUS", "usb", "USEC_INITIALIZED", since]
        properties = ["DEVNAME", f"/dev/{tty}", *(() if unfinished else finished)]
        number = os.fstat(self.plugged[tty][1][1]).st_rdev
        major, minor = str(os.major(number)), str(os.minor(number))
        numbers = ["dev", f"{major}:{minor}\n"]
        properties += ["MAJOR", major, "MINOR", minor]
        added.append(self._add("tty", tty, parent, numbers, properties, link="../../" + Path(parent).name))
        self.plugged[tty] = (added, self.plugged[tty][1])

    def unplug(self, tty: str, silently: bool = False) -> None:
        """The board is pulled. `silently`: without events, as if a burst had swept them away."""
        added, descriptors = self.plugged.pop(tty)
        for path in reversed(added):
            if not silently:
                self.testbed.uevent(path, "remove")
            self.testbed.remove_device(path)
        number = os.fstat(descriptors[1]).st_rdev
        links = Path(self.testbed.get_sys_dir()) / "dev" / "char"
        # What umockdev leaves behind.
        for leftover in (self.devices / tty, links / f"{os.major(number)}:{os.minor(number)}"):
            leftover.unlink(missing_ok=True)
        for descriptor in descriptors:
            os.close(descriptor)

    def event(self, tty: str, action: str) -> None:
        """One more event for a port that is there."""
        self.testbed.uevent(self.plugged[tty][0][-1], action)

    def finish(self, tty: str, socket: str) -> None:
        """udev has applied its rules to a port that was plugged unfinished."""
        path = self.plugged[tty][0][-1]
        self.testbed.set_property(path, "ID_PATH", f"pci-0000:00:14.0-usb-0:{socket}:1.0")
        self.testbed.set_property(path, "USEC_INITIALIZED", str(next(CLOCK_US)))
        self.testbed.uevent(path, "add")

    def plain(self, tty: str) -> None:
        """A serial port that is not USB."""
        self._terminal(tty)
        path = self._add("tty", tty, None, [], ["DEVNAME", f"/dev/{tty}", "USEC_INITIALIZED", str(next(CLOCK_US))])
        self.plugged[tty] = ([path], self.plugged[tty][1])

    def _interface(self, device: str, socket: str, number: int, cls: str, sub: str) -> str:
        numbers = [
            "bInterfaceNumber",
            f"{number:02x}\n",
            "bInterfaceClass",
            f"{cls}\n",
            "bInterfaceSubClass",
            f"{sub}\n",
        ]
        return self._add("usb", f"1-{socket}:1.{number}", device, numbers, ["DEVTYPE", "usb_interface"])

    def _terminal(self, tty: str) -> None:
        descriptors = os.openpty()
        (self.devices / tty).symlink_to(os.ttyname(descriptors[1]))
        self.plugged[tty] = ([], descriptors)

    def _add(
        self,
        subsystem: str,
        name: str,
        parent: str | None,
        attributes: list[str],
        properties: list[str],
        link: str | None = None,
    ) -> str:
        path: str = self.testbed.add_device(subsystem, name, parent, attributes, properties)
        if link is not None:
            self.testbed.set_attribute_link(path, "device", link)
        return path


def main() -> None:
    bus = Bus()
    commands: dict[str, Callable[..., Any]] = {
        "plug": bus.plug,
        "unplug": bus.unplug,
        "event": bus.event,
        "finish": bus.finish,
        "plain": bus.plain,
    }
    child: subprocess.Popen[bytes] | None = None
    for line in sys.stdin:
        arguments = json.loads(line)
        word = arguments.pop("do")
        if word == "start":
            child = subprocess.Popen(sys.argv[1:], stdin=subprocess.PIPE)
        else:
            commands[word](**arguments)
        sys.stdout.write(json.dumps({"done": word}) + "\n")
        sys.stdout.flush()
    if child is not None:
        child.communicate()
        sys.exit(child.returncode)


main()
