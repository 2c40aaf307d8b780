"""The page: how soon a report is on the stream, what viewers cost the boards, and memory.

Targets: 200 ms from a report to its viewers, 32 boards with 5 viewers at most 1.05 times as long as without a page,
150 MB. The viewers are a process of their own, as browsers are.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
import re
import sqlite3
import statistics
import sys
from collections.abc import AsyncIterator, Callable
from pathlib import Path
from typing import NamedTuple

import structlog
from stand import Stand, cpu_s, median_ms, memory_mb, plugger, scratch_folder, tools_for

from propsoff.bench.running import run_bench
from propsoff.page.service import service

BOARDS, VIEWERS, ROUNDS = 32, 5, 24
REPORT = re.compile(rb'"scopes":[^{}]*}\],"report":"([^"]+)"')


async def watch(url: str, viewers: int) -> None:
    """Look on as so many viewers; print the report and the time of each that is told of, in monotonic seconds."""
    host, port = url.removeprefix("http://").split(":")

    async def look() -> None:
        reader, writer = await asyncio.open_connection(host, int(port), limit=1 << 24)
        writer.write(f"GET /api/1/events HTTP/1.1\r\nHost: {host}:{port}\r\n\r\n".encode())
        known: set[str] = set()
        while line := await reader.readline():
            if not line.startswith(b"data: "):
                continue
            if b'"places":' in line:
                print("ready", flush=True)
            elif (found := REPORT.search(line)) and (report := found[1].decode()) not in known:
                known.add(report)
                print(report, asyncio.get_running_loop().time(), flush=True)

    await asyncio.gather(*(look() for _ in range(viewers)))


@contextlib.asynccontextmanager
async def looked_on(scratch: Path, viewers: int) -> AsyncIterator[dict[str, list[float]]]:
    """Viewers of the bench of a folder; the times at which each report reached them."""
    async with asyncio.timeout(60):
        while not (told := scratch / "state" / "service.json").exists():  # noqa: ASYNC110  a file sets no event
            await asyncio.sleep(0.01)
    url = json.loads(told.read_text())["url"]
    process = await asyncio.create_subprocess_exec(
        sys.executable, __file__, "--viewers", url, str(viewers), stdout=asyncio.subprocess.PIPE
    )
    assert process.stdout
    for _ in range(viewers):
        assert (await process.stdout.readline()).strip() == b"ready"
    seen: dict[str, list[float]] = {}

    async def take() -> None:
        assert process.stdout
        while line := await process.stdout.readline():
            report, at = line.split()
            seen.setdefault(report.decode(), []).append(float(at))

    taking = asyncio.create_task(take())
    try:
        yield seen
    finally:
        process.terminate()
        await process.wait()
        await taking


@contextlib.asynccontextmanager
async def bench(scratch: Path, *, page: bool) -> AsyncIterator[Stand]:
    """A bench that runs with nothing plugged in, with its page or without any way in."""
    tools = tools_for(scratch, page={"enabled": page, "socket": page, "port": 0})
    async with plugger(scratch / "sockets") as boards:
        here, stopping = Stand(tools, scratch / "sockets", scratch / "reports", boards), asyncio.Event()
        serve = [service(tools.settings, lambda event, **values: None)] if page else []
        running = asyncio.create_task(
            run_bench(tools, watcher=here.heard, log=structlog.get_logger(), stopping=stopping, serve=serve)
        )
        try:
            yield here
        finally:
            stopping.set()
            await running


class Round(NamedTuple):
    """Seconds from plug to report of each board, and the processor time that the bench took for all of them."""

    times_s: list[float]
    spent_s: float


async def entered(here: Stand, visits: int) -> None:
    """Wait until history has so many visits: what it takes the bench is part of what is compared."""
    file = here.files.parent / "history.sqlite"
    async with asyncio.timeout(60):
        with contextlib.closing(sqlite3.connect(f"{file.as_uri()}?mode=ro", uri=True)) as history:
            while history.execute("SELECT count(*) FROM visits").fetchone()[0] < visits:  # noqa: ASYNC110  as above
                await asyncio.sleep(0.02)


async def plugged(here: Stand) -> Round:
    """32 boards plugged in at once, after one by which everything is loaded."""
    await here.boards.tell("plug", "ossel-hd53", "first", "115200")
    await here.reported(1)
    await entered(here, 1)
    here.reports.clear()
    before = cpu_s()
    at: dict[str, float] = {}
    for number in range(BOARDS):
        link = f"socket-{number}"
        at[link] = await here.boards.tell("plug", "ossel-hd53", link, "115200")
    times = []
    for when, report in await here.reported(BOARDS):
        assert report.verdict == "pass", report.ended
        assert report.port
        assert report.port.device
        times.append(when - at[Path(report.port.device).name])
    await entered(here, BOARDS + 1)
    return Round(times, cpu_s() - before)


async def without(scratch: Path) -> Round:
    """A bench that nobody can look at."""
    async with bench(scratch, page=False) as here:
        return await plugged(here)


async def with_viewers(scratch: Path) -> tuple[Round, list[float]]:
    """A bench with five viewers, and how long each report took to each of them."""
    async with bench(scratch, page=True) as here, looked_on(scratch, VIEWERS) as seen:
        done = await plugged(here)
        async with asyncio.timeout(60):
            told = [seen.setdefault(report.id, []) for _, report in here.reports]
            while sum(map(len, told)) < BOARDS * VIEWERS:  # noqa: ASYNC110  told by another process
                await asyncio.sleep(0.01)
        return done, [at - when for when, report in here.reports for at in seen[report.id]]


def main() -> None:
    """Print the figures."""
    alone: list[Round] = []
    watched: list[Round] = []
    late: list[float] = []
    memory = 0.0
    for number in range(ROUNDS):
        for looked_at in (True, False) if number % 2 else (False, True):  # what comes second finds a warmer machine
            with scratch_folder() as scratch:
                if looked_at:
                    done, took = asyncio.run(with_viewers(scratch))
                    watched.append(done)
                    late += took
                else:
                    alone.append(asyncio.run(without(scratch)))
        memory = memory or memory_mb()
    print(f"report to viewer, {BOARDS} places and {VIEWERS} viewers: {median_ms(late)}", end=", ")
    print(f"99 of 100 within {1000 * statistics.quantiles(late, n=100)[98]:.0f} ms; target 200 ms")
    measures: dict[str, Callable[[Round], float]] = {
        "plug to report, median board": lambda one: statistics.median(one.times_s),
        "plug to report, slowest board": lambda one: max(one.times_s),
        "processor time of the bench": lambda one: one.spent_s,
    }
    for what, of in measures.items():
        one, other = (statistics.median(map(of, rounds)) for rounds in (watched, alone))
        print(
            f"{what}: {1000 * one:.0f} ms with viewers, {1000 * other:.0f} ms without a page; "
            f"ratio {one / other:.3f}; target 1.05 (median of {ROUNDS} rounds each)"
        )
    print(f"memory at most, bench with page, {BOARDS} boards and {VIEWERS} viewers: {memory:.0f} MB; target 150 MB")


if __name__ == "__main__":
    if sys.argv[1:2] == ["--viewers"]:
        asyncio.run(watch(sys.argv[2], int(sys.argv[3])))
    else:
        main()
