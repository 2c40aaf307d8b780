"""What happens on a bench, as facts for whoever shows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

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
class Kept:
    """A report was written to a file; its capture stands beside it."""

    report: Report
    path: Path


@dataclass(frozen=True, slots=True)
class NotKept:
    """A report could not leave by an output. Told when it first fails, and again when it is given up."""

    report: Report
    output: str
    problem: str


@dataclass(frozen=True, slots=True)
class Left:
    """A port is gone."""

    port: Port


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something that a person should know; `port` None where it concerns the whole bench."""

    text: str
    port: Port | None = None


@dataclass(frozen=True, slots=True)
class Asked:
    """Questions about the craft of a port wait for a person's answers, by this id."""

    port: Port
    ask: str


@dataclass(frozen=True, slots=True)
class Settled:
    """The questions of a place were answered, put off, or are out of date."""

    place: str


Event = Seen | Reading | Reported | Kept | NotKept | Left | Trouble | Asked | Settled


class Watcher(Protocol):
    """Is told of each event, on the bench's event loop; must return at once."""

    def __call__(self, event: Event) -> None:
        """Take one event."""


def guarded(watcher: Watcher, say: Callable[..., object]) -> Watcher:
    """The watcher as the bench calls it: what it raises goes to the log `say`, and never costs a report."""

    def tell(event: Event) -> None:
        try:
            watcher(event)
        except Exception as error:  # noqa: BLE001  a display that broke must not stop the bench
            say("the display failed", told=type(event).__name__, problem=f"{type(error).__name__}: {error}")

    return tell
