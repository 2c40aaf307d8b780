"""The craft that this bench saw today and that send an analogue picture: their transmitters may disturb each other.

What is known when a visit begins goes into its capture, so that the capture alone gives the same findings later.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from propsoff.console.capture import MAX_NEIGHBOURS

if TYPE_CHECKING:
    from propsoff.inspection.report import Report
    from propsoff.ports.facts import Port


@dataclass(frozen=True, slots=True)
class _Seen:
    """A craft: what it is called, its frequency in MHz, and the serial numbers that it was known by."""

    name: str
    frequency_mhz: int
    serials: frozenset[str]


class Neighbours:
    """Remembers the last 32 craft of one local day, in memory. Times are Unix time in seconds."""

    def __init__(self) -> None:
        self._day: date | None = None
        self._seen: list[_Seen] = []

    def of(self, port: Port, now_s: float) -> dict[str, int]:
        """The neighbours of the board on this port by name, with their frequencies in MHz, the latest last.

        The board itself is left out where its USB serial number tells.
        """
        self._turn_over(now_s)
        own = port.usb.serial_number
        return {seen.name: seen.frequency_mhz for seen in self._seen if own not in seen.serials}

    def note(self, port: Port, report: Report, now_s: float) -> None:
        """Note the craft of a report; one that was there before is replaced, and one that is not analogue forgotten."""
        self._turn_over(now_s)
        name, serials = report.called, frozenset(_serials(port, report))
        self._seen = [seen for seen in self._seen if seen.name != name and not (seen.serials & serials)]
        facts = {fact.name: fact.value for fact in report.facts}
        mhz = facts.get("video.frequency_mhz")
        if facts.get("video.link") == "analog" and isinstance(mhz, int):
            self._seen = [*self._seen, _Seen(name, mhz, serials)][-MAX_NEIGHBOURS:]

    def _turn_over(self, now_s: float) -> None:
        """Forget what was seen on another day."""
        today = datetime.fromtimestamp(now_s).date()
        if today != self._day:
            self._day, self._seen = today, []


def _serials(port: Port, report: Report) -> Iterator[str]:
    for serial in (report.board_serial, port.usb.serial_number):
        if serial:
            yield serial
