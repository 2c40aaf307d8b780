"""Several sources as one stream of movements.

Two sources may see the same port: the operator names /dev/ttyACM0, and udev sees it too. It must not be opened twice,
so for each real device only the sighting of the earliest source in the list is passed on.
"""

from __future__ import annotations

import asyncio
import logging
import os
from collections.abc import AsyncGenerator, AsyncIterator, Callable, Sequence
from dataclasses import dataclass

from propsoff.exceptions import PortError
from propsoff.isolation import ordinary
from propsoff.ports.facts import Arrival, Departure, Movement, Port
from propsoff.ports.sources import PortSource

CLOSING_DEADLINE_S = 2.0
"""Longest wait for the sources to release what they hold; one that hangs is left behind."""
QUEUE_LENGTH = 64
"""Movements that wait for the consumer; the sources are held up beyond that."""


@dataclass(frozen=True, slots=True)
class SourceTrouble:
    """A source that ended with an error. `lost` are the ports it had announced, which nothing watches any more."""

    source: str
    problem: str
    lost: tuple[Port, ...] = ()

    def __str__(self) -> str:
        lost = ", ".join(port.device for port in self.lost)
        return f"source of ports {self.source}: {self.problem}{f' (no longer watched: {lost})' if lost else ''}"


def _log(trouble: SourceTrouble) -> None:
    logging.getLogger(__name__).warning("%s", trouble)


async def merged(
    sources: Sequence[PortSource], on_trouble: Callable[[SourceTrouble], None] = _log
) -> AsyncGenerator[Movement, None]:
    """The movements of all `sources` with one rising `seq`; earlier sources go before later ones for the same device.

    A source that raises, or yields what is no movement, is told to `on_trouble` and the others go on. Ends when every
    source has ended. Raises PortError when every one ended with an error, so that nobody waits for nothing.
    """
    queue: asyncio.Queue[tuple[int, Movement | _End]] = asyncio.Queue(QUEUE_LENGTH)
    tasks = [asyncio.create_task(_pump(rank, source, queue)) for rank, source in enumerate(sources)]
    ranking, seq, running = _Ranking(), 0, len(tasks)
    troubles: list[SourceTrouble] = []
    try:
        while running:
            rank, item = await queue.get()
            if isinstance(item, _End):
                running -= 1
                if item.problem is not None:
                    troubles.append(SourceTrouble(sources[rank].name, item.problem, ranking.ports_of(rank)))
                    on_trouble(troubles[-1])
                continue
            for movement in ranking.apply(rank, item):
                seq += 1
                yield type(movement)(movement.port, seq)
        if troubles and len(troubles) == len(sources):
            raise PortError("sources of ports", "none is left: " + "; ".join(str(trouble) for trouble in troubles))
    finally:
        for task in tasks:
            task.cancel()
        if tasks:
            await asyncio.wait(tasks, timeout=CLOSING_DEADLINE_S)


@dataclass(frozen=True, slots=True)
class _End:
    problem: str | None


async def _pump(rank: int, source: PortSource, queue: asyncio.Queue[tuple[int, Movement | _End]]) -> None:
    problem: str | None = None
    stream: AsyncIterator[Movement] | None = None
    try:
        stream = source.movements()
        async for movement in stream:
            if not isinstance(movement, Arrival | Departure):
                problem = f"yielded {movement!r:.80}, which is no movement"
                break
            await queue.put((rank, movement))
    except BaseException as error:  # a plug-in may raise anything; the others must go on
        if _ours(error):
            raise
        problem = _told(error)
    finally:
        problem = await _closed(stream) or problem
    await queue.put((rank, _End(problem)))


async def _closed(stream: AsyncIterator[Movement] | None) -> str | None:
    """Let a source release what it holds; what went wrong then, or None."""
    close = getattr(stream, "aclose", None)
    try:
        if close is not None:
            await close()
    except BaseException as error:  # as above
        if _ours(error):
            raise
        return f"could not be closed: {_told(error)}"
    return None


def _ours(error: BaseException) -> bool:
    """Whether it is the end of this task rather than something that a source raised."""
    try:
        task = asyncio.current_task()
    except RuntimeError:  # the loop is gone, and what was left of it is being closed
        return True
    return task is None or (isinstance(error, asyncio.CancelledError) and task.cancelling() > 0)


def _told(error: BaseException) -> str:
    return str(ordinary(error)) or type(error).__name__


class _Ranking:
    """Which source speaks for a real device: of those that see it, the one with the lowest rank."""

    def __init__(self) -> None:
        self._seen: dict[str, dict[tuple[int, str], Port]] = {}
        self._homes: dict[tuple[int, str], str] = {}

    def ports_of(self, rank: int) -> tuple[Port, ...]:
        return tuple(port for places in self._seen.values() for place, port in places.items() if place[0] == rank)

    def apply(self, rank: int, movement: Movement) -> list[Movement]:
        """What `movement` of the source of that rank means for the merged stream; `seq` is not set."""
        place = (rank, movement.port.device)
        if isinstance(movement, Arrival):
            # Followed now and remembered: when the port departs the link may lead nowhere.
            self._homes.setdefault(place, _home(movement.port.device))
        home = self._homes.get(place)
        if home is None:
            return []
        places = self._seen.setdefault(home, {})
        before = _speaker(places)
        if isinstance(movement, Arrival):
            places[place] = movement.port
        else:
            del places[place], self._homes[place]
        after = _speaker(places)
        if not places:
            del self._seen[home]
        return _between(before, after)


def _home(device: str) -> str:
    return device if "://" in device else os.path.realpath(device)


def _speaker(places: dict[tuple[int, str], Port]) -> Port | None:
    """The first seen of those with the lowest rank."""
    return places[min(places, key=lambda place: place[0])] if places else None


def _between(before: Port | None, after: Port | None) -> list[Movement]:
    if before == after:
        return []
    leaving: list[Movement] = [] if before is None else [Departure(before)]
    return leaving if after is None else [*leaving, Arrival(after)]
