"""A whole bench with what leaves it, wired as the daemon wires it; as a process of its own, to be stopped or killed.

`python -m tests_support.outgoing_bench FOLDER` watches FOLDER/sockets; FOLDER/outgoing.json is the section's JSON.
"""

from __future__ import annotations

import asyncio
import contextlib
import functools
import json
import os
import subprocess
import sys
from collections.abc import AsyncIterator, Iterator, Sequence
from pathlib import Path

from propsoff import hookimpl
from propsoff.bench.events import Event
from propsoff.bench.running import run_bench
from propsoff.outgoing.outgoing import Outgoing
from propsoff.outgoing.section import OutgoingSection
from tests_support.benches import QuietLog, Watched, tools_for
from tests_support.outgoing import WithOutgoing


class Outputs:
    """A plug-in that gives the queues to the bench as outputs."""

    def __init__(self) -> None:
        self.outgoing: Outgoing | None = None

    @hookimpl
    def propsoff_outputs(self) -> Sequence[object]:
        """The outputs."""
        return self.outgoing.outputs if self.outgoing else []


@contextlib.asynccontextmanager
async def bench_with_outgoing(folder: Path, section: OutgoingSection) -> AsyncIterator[tuple[Watched, Outgoing]]:
    """A real bench on simulated sockets with what leaves it, until the end of the block."""
    plugin = Outputs()
    bench: dict[str, object] = {"state": str(folder / "state"), "name": "Bench 7", "grace_s": 5}
    gather = functools.partial(tools_for, folder, extra=[("outgoing", plugin)], bench=bench, store={"enabled": False})
    tools = await asyncio.to_thread(gather)
    seen = Watched(tools, folder, asyncio.Event())
    settings = WithOutgoing(tools.settings.bench, tools.settings.output, section)
    plugin.outgoing = outgoing = Outgoing(settings, QuietLog(), seen)

    def watcher(event: Event) -> None:
        outgoing.watcher(event)
        seen(event)

    working = asyncio.create_task(outgoing.run())
    running = asyncio.create_task(run_bench(tools, watcher=watcher, log=seen.log, stopping=seen.stopping))
    try:
        yield seen, outgoing
    finally:
        seen.stopping.set()
        seen.lost = await running
        await outgoing.close()
        await working


@contextlib.contextmanager
def bench_process(folder: Path, section: OutgoingSection) -> Iterator[subprocess.Popen[bytes]]:
    """The same as a process; killed at the end of the block if it runs then."""
    (folder / "sockets").mkdir(exist_ok=True)
    (folder / "outgoing.json").write_text(section.model_dump_json())
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[1])}
    with (folder / "bench.log").open("ab") as log:
        process = subprocess.Popen(
            [sys.executable, "-m", "tests_support.outgoing_bench", str(folder)], env=environment, stdout=log, stderr=log
        )
    try:
        yield process
    finally:
        process.kill()
        process.wait(20)


async def _main(folder: Path) -> None:
    section = OutgoingSection.model_validate(json.loads((folder / "outgoing.json").read_text()))
    async with bench_with_outgoing(folder, section) as (bench, _):
        await bench.stopping.wait()


if __name__ == "__main__":
    import signal

    signal.signal(signal.SIGTERM, lambda *_: None)  # the bench sets its own
    asyncio.run(_main(Path(sys.argv[1])))
