"""32 boards plugged in at once against one alone; memory; and an idle bench. Targets: 2 x, 120 MB, 0.5 % of a core."""

from __future__ import annotations

import asyncio
import statistics
import sys
from pathlib import Path

from stand import cpu_s, memory_mb, scratch_folder, stand, tools_for

BOARDS = 32
BAUD = "115200"
IDLE_S = 30.0


async def plugged_together(scratch: Path, count: int, pace: tuple[str, ...]) -> list[float]:
    """Seconds from plug to report of each of `count` boards plugged in at once."""
    async with stand(tools_for(scratch), scratch) as bench:
        plugged: dict[str, float] = {}
        for number in range(count):
            link = f"socket-{number}"
            plugged[link] = await bench.boards.tell("plug", "ossel-hd53", link, *pace)
        times = []
        for at, report in await bench.reported(count):
            assert report.verdict == "pass", report.ended
            assert report.port
            assert report.port.device
            times.append(at - plugged[Path(report.port.device).name])
        return times


async def idle(scratch: Path) -> float:
    """The share of a core that an idle bench takes, with one inspected board plugged in."""
    async with stand(tools_for(scratch), scratch) as bench:
        await bench.boards.tell("plug", "ossel-hd53", "socket")
        await bench.reported(1)
        await asyncio.sleep(2)
        before = cpu_s()
        await asyncio.sleep(IDLE_S)
        spent: float = cpu_s() - before
        return spent / IDLE_S


def main() -> None:
    """Print the figures."""
    for label, pace in (("at 115200 baud", (BAUD,)), ("unpaced", ())):
        lone: list[float] = []
        for _ in range(5):
            with scratch_folder() as scratch:
                lone += asyncio.run(plugged_together(scratch, 1, pace))
        with scratch_folder() as scratch:
            many = asyncio.run(plugged_together(scratch, BOARDS, pace))
        alone = statistics.median(lone)
        print(f"{label}: one alone {1000 * alone:.0f} ms, slowest of {BOARDS} {1000 * max(many):.0f} ms", end="; ")
        print(f"ratio {max(many) / alone:.2f}; target 2.00")
    print(f"memory at most: {memory_mb():.0f} MB; target 120 MB")
    with scratch_folder() as scratch:
        print(f"idle: {100 * asyncio.run(idle(scratch)):.2f} % of a core; target 0.5 %")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
