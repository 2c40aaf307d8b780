"""A bench at work with what leaves it: how it is told to end."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from pathlib import Path

from propsoff.bench.events import Event
from propsoff.bench.running import run_bench
from propsoff.outputs.output import Output
from tests_support.benches import QuietLog, tools_for


class Leaves:
    """What leaves a bench: it works until it is told to end, and keeps how."""

    outputs: Sequence[Output] = ()

    def __init__(self, stopping: asyncio.Event) -> None:
        self._stopping, self._told = stopping, asyncio.Event()
        self.grace_s: float | None = None
        self.ended = False

    def watcher(self, event: Event) -> None:
        raise AssertionError(event)

    async def run(self) -> None:
        self._stopping.set()
        await self._told.wait()
        self.ended = True

    async def close(self, grace_s: float) -> None:
        self.grace_s = grace_s
        self._told.set()


async def test_what_is_leaving_at_a_stop_has_the_grace_of_the_settings(tmp_path: Path) -> None:
    tools = await asyncio.to_thread(tools_for, tmp_path, bench={"state": str(tmp_path / "state"), "grace_s": 7})
    stopping = asyncio.Event()
    leaves = Leaves(stopping)
    lost = await run_bench(
        tools, watcher=lambda _: None, log=QuietLog(), stopping=stopping, leaving=lambda watcher: leaves
    )
    assert (lost, leaves.grace_s) == (0, 7.0)
