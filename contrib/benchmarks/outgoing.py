"""What leaving the bench costs it: an entry into a queue, and a board's report while every target hangs.

python contrib/benchmarks/outgoing.py
"""

from __future__ import annotations

import asyncio
import os
import socket
import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from types import SimpleNamespace

from propsoff import hookimpl
from propsoff.bench.events import Event, Kept
from propsoff.bench.running import run_bench
from propsoff.console.capture import load_capture
from propsoff.inspection.report import Report
from propsoff.library import inspect_file, toolbox
from propsoff.outgoing.outbox import Outbox
from propsoff.outgoing.outgoing import Outgoing
from propsoff.outgoing.output import QueueOutput
from propsoff.outgoing.section import OutgoingSection
from propsoff.plugins import build_plugins
from propsoff.settings_sources import load_settings
from propsoff_sim.bench import SimBench

ENTRIES, BOARDS = 300, 30
CAPTURE = Path(__file__).parents[2] / "fixtures" / "captures" / "ossel-hd53-sound.cast"


def told(name: str, times_s: Sequence[float]) -> None:
    """One line of figures in milliseconds."""
    ms = sorted(each * 1000 for each in times_s)
    print(f"{name:<46} median {statistics.median(ms):8.2f} ms   95% {ms[int(len(ms) * 0.95)]:8.2f} ms   n {len(ms)}")


def entries() -> None:
    """The cost of an entry, forced to the disk and not."""
    report, capture = inspect_file(CAPTURE), load_capture(CAPTURE)
    print(f"a report of {len(report.to_json(indent=None))} bytes")
    for sync in (True, False):
        with tempfile.TemporaryDirectory() as folder:
            output = QueueOutput("x", Outbox(Path(folder), keep=ENTRIES, sync=sync, say=print))
            times = []
            for number in range(ENTRIES):
                one = report.model_copy(update={"id": f"{report.id[:-12]}{number:012x}"})
                before = time.perf_counter()
                output.keep(one, capture)
                times.append(time.perf_counter() - before)
        told(f"an entry, {'forced to the disk' if sync else 'left to the system'}", times)


class Log:
    """Says nothing."""

    def info(self, event: str, **values: object) -> None:
        """What happened."""

    warning = info


class Outputs:
    """Gives the queues to the bench."""

    def __init__(self) -> None:
        self.outgoing: Outgoing | None = None

    @hookimpl
    def propsoff_outputs(self) -> Sequence[object]:
        """The outputs."""
        return self.outgoing.outputs if self.outgoing else []


async def bench(folder: Path, outgoing: dict[str, object]) -> tuple[list[float], list[float]]:
    """Seconds from plugging in to the report's file for each board, and how late the loop was, looked at each 5 ms."""
    (folder / "sockets").mkdir()
    given = {
        "ports": {"source": "none", "folder": str(folder / "sockets")},
        "bench": {"state": str(folder / "state"), "grace_s": 1},
        "output": {"folder": str(folder / "reports")},
        "timings": {"listen_s": 0.05},
        "store": {"enabled": False},
    }
    plugin = Outputs()
    plugins = build_plugins(third_party=False, extra=[("outgoing", plugin)])
    tools = await asyncio.to_thread(lambda: toolbox(load_settings(given, folder=folder).settings, plugins=plugins))
    section = OutgoingSection.model_validate(outgoing)
    kept: asyncio.Queue[Report] = asyncio.Queue()
    parts = SimpleNamespace(bench=tools.settings.bench, output=tools.settings.output, outgoing=section)
    leaving = plugin.outgoing = Outgoing(parts, Log(), lambda event: None)

    def watcher(event: Event) -> None:
        leaving.watcher(event)
        if isinstance(event, Kept):
            kept.put_nowait(event.report)

    late: list[float] = []

    async def look() -> None:
        while True:
            before = time.perf_counter()
            await asyncio.sleep(0.005)
            late.append(time.perf_counter() - before - 0.005)

    stopping = asyncio.Event()
    working = asyncio.create_task(leaving.run())
    running = asyncio.create_task(run_bench(tools, watcher=watcher, log=Log(), stopping=stopping))
    looking = asyncio.create_task(look())
    times = []
    async with SimBench(folder / "sockets") as sockets:
        for number in range(BOARDS):
            before = time.perf_counter()
            sockets.plug("ossel-hd53", f"s{number}")
            await kept.get()
            times.append(time.perf_counter() - before)
            sockets.unplug(f"s{number}")
        looking.cancel()
        stopping.set()
        await running
        await leaving.close(0.5)
        await working
    return times[1:], late


async def main() -> None:
    """Both figures."""
    with socket.create_server(("127.0.0.1", 0), backlog=256) as silent, tempfile.TemporaryDirectory() as keys:
        secret = Path(keys) / "key"
        secret.write_text("whsec_" + "A" * 44)
        secret.chmod(0o600)
        url = f"http://127.0.0.1:{silent.getsockname()[1]}/"
        calls = [
            {"name": f"c{at}", "url": url, "secret_file": str(secret), "deadline_s": 0.5, "verdicts": []}
            for at in range(4)
        ]
        commands = [{"name": "stuck", "argv": [sys.executable, "-c", "input(); import signal; signal.pause()"]}]
        hanging: dict[str, object] = {"calls": calls, "commands": commands, "back_off_s": 0.05, "back_off_most_s": 0.1}
        for name, outgoing in (("nothing leaves", dict[str, object]()), ("4 calls and a command hang", hanging)):
            with tempfile.TemporaryDirectory() as folder:
                times, late = await bench(Path(folder), outgoing)
            told(f"plug to report, {name}", times)
            told(f"lateness of the bench's loop, {name}", late)


if __name__ == "__main__":
    print(f"{os.cpu_count()} processors, Python {sys.version.split()[0]}")
    entries()
    asyncio.run(main())
