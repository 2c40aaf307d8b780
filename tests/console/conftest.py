"""Boards on real pseudo-terminals for the console room's tests."""

from __future__ import annotations

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

    def make(toy: Toy | None = None, faults: Faults = Faults()) -> Board:
        made.append(Board(toy, faults))
        return made[-1]

    yield make
    for one in made:
        one.close()


@pytest.fixture
def recorder() -> Recorder:
    """A recorder on the real clock."""
    return Recorder(clock=time.perf_counter, started=1_700_000_000.0, port={"device": "test"}, tool="tests")
