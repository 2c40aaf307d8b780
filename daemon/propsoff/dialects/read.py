"""From a capture to a craft."""

from __future__ import annotations

from dataclasses import dataclass, field

from propsoff.console.capture import Capture
from propsoff.console.manner import Exchange
from propsoff.craft.model import Craft
from propsoff.dialects.model import Dialect


@dataclass(frozen=True)
class Reading:
    """What one capture says in one dialect."""

    craft: Craft
    exchanges: tuple[Exchange, ...]
    dialect: Dialect = field(repr=False)


def read_craft(capture: Capture, dialect: Dialect) -> Reading:
    """Every fact that the capture states. Pure; never raises for what a board said: that becomes a problem of the craft."""
    raise NotImplementedError
