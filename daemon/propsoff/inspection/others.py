"""Other craft that were on the bench that day, as a capture's header has them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from propsoff.craft.model import NAMELESS, Craft, Neighbour, name_of_craft
from propsoff.inspection.report import plain

if TYPE_CHECKING:
    from propsoff.console.capture import Capture


def other_craft(capture: Capture, craft: Craft) -> tuple[Neighbour, ...]:
    """The neighbours in the capture's header; no craft is its own, not even one that was renamed meanwhile."""
    name, board, serial = (plain(text or "") for text in (craft.craft.name, craft.board.name, craft.board.serial))
    own, end = name_of_craft(name, board, serial), name_of_craft("", "", serial).removeprefix(NAMELESS)
    there = ((plain(called), mhz) for called, mhz in capture.neighbours.items())
    return tuple(
        Neighbour(called, mhz) for called, mhz in there if called != own and not (serial and called.endswith(end))
    )
