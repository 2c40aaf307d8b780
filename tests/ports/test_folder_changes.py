"""A folder in which names come and go without end: the event loop goes on, and the folder is looked at."""

from __future__ import annotations

import asyncio
import sys
from contextlib import aclosing
from pathlib import Path
from typing import Any, cast

import pytest

from propsoff.ports.folder_changes import _change, by_inotify

FLOOD = """
import os, sys, time
until = time.monotonic() + float(sys.argv[2])
number = 0
while time.monotonic() < until:
    path = sys.argv[1] + str(number % 7)
    os.close(os.open(path, os.O_CREAT | os.O_WRONLY))
    os.unlink(path)
    number += 1
"""
FLOOD_S = 3.0


@pytest.mark.parametrize("name", ["board-", ".part-"])
async def test_a_flood_of_changes_does_not_hold_up_the_loop(tmp_path: Path, name: str) -> None:
    loop = asyncio.get_running_loop()
    gaps: list[float] = []
    looks: list[float] = []

    async def beat() -> None:
        last = loop.time()
        while True:
            await asyncio.sleep(0.005)
            gaps.append(loop.time() - last)
            last = loop.time()

    async def look() -> None:
        async with aclosing(by_inotify(tmp_path, 200)) as changes:
            async for _ in changes:
                looks.append(loop.time())  # noqa: PERF401  it is the time of each that counts

    tasks = [asyncio.create_task(beat()), asyncio.create_task(look())]
    flood = await asyncio.create_subprocess_exec(sys.executable, "-c", FLOOD, str(tmp_path / name), str(FLOOD_S))
    await flood.wait()
    for task in tasks:
        task.cancel()
    await asyncio.gather(*tasks, return_exceptions=True)
    # Without a bound the loop stands still for as long as the flood lasts; a busy machine may stop us for a while.
    assert max(gaps) < FLOOD_S / 2
    # A name with a dot is no reason to look, but the time that has passed is.
    assert len(looks) >= 4


class _Notice:
    def __init__(self, name: str) -> None:
        self.name = Path(name)


class Endless:
    """Notices that never end, as from a writer that is faster than we read: `get` never has to wait."""

    def __init__(self, name: str) -> None:
        self._notice = _Notice(name)
        self.given = 0

    async def get(self) -> _Notice:
        return self._given()

    def sync_get(self) -> _Notice:
        return self._given()

    def _given(self) -> _Notice:
        self.given += 1
        assert self.given < 10_000_000, "it is read without end"
        return self._notice


async def test_notices_without_end_lead_to_a_look_after_a_bounded_number() -> None:
    notices = Endless("board")
    await _change(cast(Any, notices), 10)
    assert notices.given < 10_000


async def test_notices_without_end_of_names_with_a_dot_respect_the_deadline_and_the_loop() -> None:
    beats = 0

    async def beat() -> None:
        nonlocal beats
        while True:
            beats += 1
            await asyncio.sleep(0)

    beating = asyncio.create_task(beat())
    await _change(cast(Any, Endless(".part")), 0.05)
    beating.cancel()
    assert beats > 10
