"""What is plugged in now, and the movements that lead from one state to the next. Pure.

Every source keeps one: it says what it sees, the roster says what that means. The same place with another port, or with
the same port under a newer stamp, is a departure followed by an arrival.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from propsoff.ports.facts import Arrival, Departure, Movement, Port


@dataclass(frozen=True, slots=True)
class Sighting:
    """A port as a source sees it. `stamp` differs between two stays of the same port; None says nothing about that."""

    port: Port
    stamp: object = None

    def is_same_stay_as(self, other: Sighting) -> bool:
        """True if nothing tells the two sightings apart."""
        stamps_differ = self.stamp is not None and other.stamp is not None and self.stamp != other.stamp
        return self.port == other.port and not stamps_differ


class Roster:
    """The ports of one source by place (device node, link name, ...), and the running number of its movements."""

    def __init__(self) -> None:
        self._present: dict[str, Sighting] = {}
        self._seq = 0

    def settle(self, seen: Mapping[str, Sighting]) -> list[Movement]:
        """The movements from what was there to exactly what is `seen` now; departures first."""
        movements = [move for place in list(self._present) if place not in seen for move in self.drop(place)]
        for place, sighting in seen.items():
            movements += self.put(place, sighting)
        return movements

    def put(self, place: str, sighting: Sighting) -> list[Movement]:
        """`sighting` is at `place` now."""
        known = self._present.get(place)
        if known is not None and known.is_same_stay_as(sighting):
            return []
        movements = self.drop(place)
        self._present[place] = sighting
        return [*movements, Arrival(sighting.port, self._next())]

    def drop(self, place: str) -> list[Movement]:
        """Nothing is at `place` any more."""
        known = self._present.pop(place, None)
        return [] if known is None else [Departure(known.port, self._next())]

    def _next(self) -> int:
        self._seq += 1
        return self._seq
