"""Inspecting ports that the operator names, once each, side by side."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Sequence
from typing import TYPE_CHECKING

from propsoff.bench.setup import known_boards, policy_of, stopped_by_signals
from propsoff.bench.visit import Bay, Visited, visit
from propsoff.exceptions import PortDeniedError
from propsoff.ports.facts import Port, UsbIdentity
from propsoff.ports.named import identity_at

if TYPE_CHECKING:
    from propsoff.library import Toolbox


def named_port(device: str) -> Port:
    """A port that the operator names, with the USB identity that is known of it. Blocks for file reads."""
    usb = UsbIdentity() if "://" in device else identity_at(device)
    return Port(device, usb, "named")


async def inspect_ports(devices: Sequence[str], tools: Toolbox, favoured: Sequence[str] = ()) -> list[Visited]:
    """Visit each port once, all at the same time; SIGINT and SIGTERM end the conversations, not the reports.

    `favoured` are ids of dialects that the operator expects, best first: the first one's wake is what is sent.

    Raises PortDeniedError, before anything is opened, for a port that the operator denied or that is a bootloader.
    """
    policy = await asyncio.to_thread(policy_of, tools)
    ports = [await asyncio.to_thread(named_port, device) for device in devices]
    for port in ports:
        decision = policy.decide(port, ports)
        if not decision.open:
            raise PortDeniedError(port.device, decision.reason)
    bay = Bay(tools, await asyncio.to_thread(known_boards, tools.settings), favoured=tuple(favoured))
    with stopped_by_signals(bay.stopping):
        visits = await asyncio.gather(*(visit(port, bay) for port in ports))
    for port, visited in zip(ports, visits, strict=True):
        if visited.dialect:
            with contextlib.suppress(OSError):  # not being known costs the next visit its listening window, no more
                await asyncio.to_thread(bay.known.remember, port, visited.dialect)
    return list(visits)
