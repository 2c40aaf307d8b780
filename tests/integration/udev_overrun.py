"""Run by our Python in a network namespace of its own (`unshare --map-root-user --net`): a real burst of real events.

There a process may send device events to the kernel, which broadcasts them to this namespace alone (Linux,
lib/kobject_uevent.c, uevent_net_rcv). A socket with a small buffer is overrun by them as a hub with many boards would.
Prints one JSON line: what each of three drains gave.
"""

from __future__ import annotations

import json
import os
import select
import socket
import struct
import sys

import pyudev

from propsoff.ports.udev import UdevWatch

NETLINK_KOBJECT_UEVENT = 15  # linux/netlink.h
NLM_F_REQUEST = 1


def open_monitor(context: pyudev.Context) -> pyudev.Monitor:
    # "kernel": without a udev in this namespace nobody sends the other kind. The socket behaves the same.
    monitor = pyudev.Monitor.from_netlink(context, source="kernel")
    monitor.filter_by(subsystem="tty")
    with socket.socket(fileno=os.dup(monitor.fileno())) as same:
        same.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
    return monitor


def send(kernel: socket.socket, number: int) -> None:
    """An event for a terminal that every Linux has, so that the device can be looked up."""
    path = f"/devices/virtual/tty/tty{number}"
    facts = f"ACTION=change\0DEVPATH={path}\0SUBSYSTEM=tty\0DEVNAME=tty{number}\0MAJOR=4\0MINOR={number}\0"
    body = f"change@{path}\0{facts}".encode()
    kernel.sendto(struct.pack("=IHHII", 16 + len(body), 16, NLM_F_REQUEST, 0, 0) + body, (0, 0))


def drained(watch: UdevWatch) -> list[str]:
    select.select([watch.fileno()], [], [], 10.0)
    changes = watch.drain()
    return ["everything" if isinstance(change, dict) else change[0].rsplit("/", 1)[1] for change in changes]


def main() -> None:
    watch = UdevWatch(open_monitor)
    with socket.socket(socket.AF_NETLINK, socket.SOCK_RAW, NETLINK_KOBJECT_UEVENT) as kernel:
        kernel.bind((0, 0))
        send(kernel, 1)
        before = drained(watch)
        for number in range(500):
            send(kernel, number % 60)
        burst = drained(watch)
        send(kernel, 2)
        after = drained(watch)
    sys.stdout.write(json.dumps({"before": before, "burst": burst, "after": after}) + "\n")


main()
