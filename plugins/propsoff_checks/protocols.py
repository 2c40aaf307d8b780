"""Receiver protocols on a UART: what the line must be set to, and where that is written.

Where no public source is at hand the source says `common practice`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from propsoff import Case, Uart


@dataclass(frozen=True)
class Line:
    """One protocol's line: its name, whether the signal is inverted, rates in baud (the source's first), the source."""

    name: str
    inverted: bool
    bauds: tuple[int, ...]
    source: str


LINES: Mapping[str, Line] = MappingProxyType(
    {
        # The specification says 416666; 420000 and 400000 are what boards and receivers round it to (common practice).
        "crsf": Line(
            "CRSF", False, (416666, 420000, 400000), "CRSF protocol specification: 416666 baud 8N1, not inverted"
        ),
        "sbus": Line("SBUS", True, (100000,), "Zephyr's input_sbus.c: SBUS is 100000 baud 8E2, inverted"),
        "ibus": Line("IBUS", False, (115200,), "IBUS is 115200 baud 8N1, not inverted: common practice"),
    }
)


def receiver_uart(case: Case) -> Uart | None:
    """The UART that the receiver is set to, None when that is not known or not there."""
    named = case.craft.receiver.port
    return next((port for port in case.craft.ports or () if port.id == named), None) if named is not None else None


def other_protocol(case: Case) -> Line | None:
    """The protocol for which the receiver's line is set up while another one is chosen; None when there is no such.

    Where the build sheet names the protocol there is no doubt about it: then rate and inversion are what is wrong.
    """
    receiver, port = case.craft.receiver, receiver_uart(case)
    own = LINES.get(receiver.protocol or "")
    if receiver.kind != "serial" or own is None or port is None or case.sheet.expected("receiver.protocol") is not None:
        return None
    if port.baud is None or port.baud in own.bauds:
        return None
    fitting = [
        line for line in LINES.values() if port.baud in line.bauds and receiver.inverted in (None, line.inverted)
    ]
    return fitting[0] if fitting else None
