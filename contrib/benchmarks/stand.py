"""What the benchmarks share: a bench under test in this process, its simulated boards in another."""

from __future__ import annotations

import asyncio
import contextlib
import resource
import statistics
import sys
import tempfile
import time
from collections.abc import AsyncIterator, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import structlog

from propsoff.bench.events import Event, Reported
from propsoff.bench.once import inspect_ports
from propsoff.bench.running import run_bench
from propsoff.console.capture import Capture
from propsoff.inspection.report import Report
from propsoff.library import Toolbox, toolbox
from propsoff.settings_sources import load_settings
from propsoff_sim.board import BoardState
from propsoff_sim.threaded import ThreadedBench

HERE = Path(__file__).parent
structlog.configure(wrapper_class=structlog.make_filtering_bound_logger(50))


class Plugger:
    """The process that plugs boards in."""

    def __init__(self, process: asyncio.subprocess.Process) -> None:
        self._process = process

    async def tell(self, *words: str) -> float:
        """Give one command; the time at which it took effect, in seconds of the monotonic clock."""
        assert self._process.stdin
        assert self._process.stdout
        self._process.stdin.write((" ".join(words) + "\n").encode())
        answer = (await self._process.stdout.readline()).split()
        return float(answer[1])


@contextlib.asynccontextmanager
async def plugger(folder: Path) -> AsyncIterator[Plugger]:
    """A plugger for a folder of links."""
    process = await asyncio.create_subprocess_exec(
        sys.executable,
        str(HERE / "plugger.py"),
        str(folder),
        stdin=asyncio.subprocess.PIPE,
        stdout=asyncio.subprocess.PIPE,
    )
    try:
        yield Plugger(process)
    finally:
        assert process.stdin
        process.stdin.close()
        await process.wait()


@dataclass
class Stand:
    """A running bench. `reports` are (time of the monotonic clock, report), `files` the folder they are written to."""

    tools: Toolbox
    sockets: Path
    files: Path
    boards: Plugger
    reports: list[tuple[float, Report]] = field(default_factory=list)
    more: asyncio.Event = field(default_factory=asyncio.Event)

    def heard(self, event: Event) -> None:
        """Take an event of the bench."""
        if isinstance(event, Reported):
            self.reports.append((asyncio.get_running_loop().time(), event.report))
            self.more.set()

    async def reported(self, count: int) -> list[tuple[float, Report]]:
        """Wait for so many reports in all."""
        async with asyncio.timeout(120):
            while len(self.reports) < count:
                self.more.clear()
                await self.more.wait()
        return self.reports

    async def written(self, report: Report) -> float:
        """Wait for a report's file; the time at which it was there."""
        assert report.capture.file
        path = self.files / report.capture.file.replace(".cast", ".json")
        async with asyncio.timeout(30):
            while not path.exists():  # noqa: ASYNC110  a file that another thread writes sets no event
                await asyncio.sleep(0.001)
        return asyncio.get_running_loop().time()


def tools_for(scratch: Path, **settings: dict[str, object]) -> Toolbox:
    """A toolbox whose bench watches `scratch/sockets` and listens to no board before it speaks to it."""
    (scratch / "sockets").mkdir(exist_ok=True)
    options: dict[str, dict[str, object]] = {
        "ports": {"source": "none", "folder": str(scratch / "sockets")},
        "bench": {"state": str(scratch / "state")},
        "output": {"folder": str(scratch / "reports")},
        "store": {"url": f"sqlite:///{scratch / 'history.sqlite'}", "waiting": str(scratch / "waiting")},
        "timings": {"listen_s": 0},
        "plugins": {"third_party": False},
    }
    for section, values in settings.items():
        options[section] = {**options.get(section, {}), **values}
    return toolbox(load_settings(options, folder=scratch).settings)


@contextlib.asynccontextmanager
async def stand(tools: Toolbox, scratch: Path) -> AsyncIterator[Stand]:
    """A bench that runs, with nothing plugged in."""
    async with plugger(scratch / "sockets") as boards:
        here = Stand(tools, scratch / "sockets", scratch / "reports", boards)
        stopping = asyncio.Event()
        running = asyncio.create_task(
            run_bench(tools, watcher=here.heard, log=structlog.get_logger(), stopping=stopping)
        )
        try:
            yield here
        finally:
            stopping.set()
            await running


def recorded(name_or_board: str | BoardState) -> Capture:
    """The conversation with one simulated board, recorded live."""
    with scratch_folder() as scratch, ThreadedBench(scratch / "sockets") as sockets:
        plugged = sockets.plug(name_or_board)
        return asyncio.run(inspect_ports([str(plugged.path)], tools_for(scratch)))[0].capture


@contextlib.contextmanager
def scratch_folder() -> Iterator[Path]:
    """A temporary folder."""
    with tempfile.TemporaryDirectory(prefix="propsoff-benchmark-") as name:
        yield Path(name)


def memory_mb() -> float:
    """The most memory that this process has held so far, in MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000


def cpu_s() -> float:
    """The processor time of this process so far, in seconds."""
    return time.process_time()


def median_ms(values_s: Sequence[float]) -> str:
    """Median, least and most, in milliseconds."""
    return (
        f"median {1000 * statistics.median(values_s):.1f} ms "
        f"(least {1000 * min(values_s):.1f}, most {1000 * max(values_s):.1f}, n={len(values_s)})"
    )
