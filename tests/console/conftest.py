"""Boards on real pseudo-terminals for the console room's tests."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable, Iterator

import pytest

from console.toys import Board, Faults, Toy
from propsoff.console.capture import Recorder

MakeBoard = Callable[..., Board]


@pytest.fixture
def board() -> Iterator[MakeBoard]:
    """Makes boards; each is unplugged at the end."""
    made: list[Board] = []

    def make(toy: Toy | None = None, faults: Faults | None = None) -> Board:
        made.append(Board(toy, faults or Faults()))
        return made[-1]

    yield make
    for one in made:
        one.close()


@pytest.fixture
def recorder() -> Recorder:
    """A recorder on the real clock."""
    return Recorder(clock=time.perf_counter, started=1_700_000_000.0, port={"device": "test"}, tool="tests")


async def eventually(holds: Callable[[], bool], within_s: float = 5.0) -> None:
    """Wait for a condition; fails when it does not hold in time."""
    async with asyncio.timeout(within_s):
        while not holds():
            await asyncio.sleep(0.001)


class Gaps:
    """Watches the event loop: `longest_s` is the longest time that it did not turn."""

    def __init__(self) -> None:
        self.longest_s = 0.0
        self._loop = asyncio.get_running_loop()
        self._last = self._loop.time()
        self._timer = self._loop.call_later(0.005, self._tick)

    def __enter__(self) -> Gaps:
        return self

    def __exit__(self, *_: object) -> None:
        self._note()
        self._timer.cancel()

    def _note(self) -> None:
        now = self._loop.time()
        self.longest_s, self._last = max(self.longest_s, now - self._last), now

    def _tick(self) -> None:
        self._note()
        self._timer = self._loop.call_later(0.005, self._tick)
