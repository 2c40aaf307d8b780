"""What happens on a bench, as facts for whoever shows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from propsoff.inspection.report import Report
    from propsoff.ports.facts import Port
    from propsoff.ports.policy import Decision


@dataclass(frozen=True, slots=True)
class Seen:
    """A port appeared, and the policy decided."""

    port: Port
    decision: Decision


@dataclass(frozen=True, slots=True)
class Reading:
    """A board is being read."""

    port: Port


@dataclass(frozen=True, slots=True)
class Reported:
    """A report is finished."""

    port: Port
    report: Report


@dataclass(frozen=True, slots=True)
class Left:
    """A port is gone."""

    port: Port


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something that a person should know; `port` None where it concerns the whole bench."""

    text: str
    port: Port | None = None


Event = Seen | Reading | Reported | Left | Trouble


class Watcher(Protocol):
    """Is told of each event, on the bench's event loop; must return at once."""

    def __call__(self, event: Event) -> None:
        """Take one event."""
