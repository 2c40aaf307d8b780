"""One board, from plug to report: unpaced, and paced to 115200 baud against the wire time of its bytes.

Wire time is 10 bits a byte (8N1). Targets: 100 ms median unpaced; 1.10 x the wire time paced.
"""

from __future__ import annotations

import asyncio
import statistics
from pathlib import Path

from stand import median_ms, scratch_folder, stand, tools_for

BOARDS = ("ossel-hd53", "brindle-hd53", "corvane-hd53")
BAUD = 115200


async def unpaced(scratch: Path, board: str, rounds: int) -> list[tuple[float, float]]:
    """(seconds to the report, seconds to its file) of each round; the board is a known one after the first."""
    times: list[tuple[float, float]] = []
    async with stand(tools_for(scratch), scratch) as bench:
        for number in range(rounds):
            plugged = await bench.boards.tell("plug", board, "socket")
            at, report = (await bench.reported(number + 1))[-1]
            assert report.verdict == "pass", report.verdict
            times.append((at - plugged, await bench.written(report) - plugged))
            await bench.boards.tell("unplug", "socket")
    return times


async def paced(scratch: Path, board: str, rounds: int) -> list[float]:
    """The ratio of plug-to-report to wire time of each round."""
    ratios: list[float] = []
    async with stand(tools_for(scratch), scratch) as bench:
        for number in range(rounds):
            plugged = await bench.boards.tell("plug", board, "socket", str(BAUD))
            at, report = (await bench.reported(number + 1))[-1]
            wire_s = 10 * (report.conversation.bytes_received + report.conversation.bytes_sent) / BAUD
            ratios.append((at - plugged) / wire_s)
            await bench.boards.tell("unplug", "socket")
    return ratios


def main() -> None:
    """Print the figures."""
    for board in BOARDS:
        with scratch_folder() as scratch:
            times = asyncio.run(unpaced(scratch, board, 30))
            print(f"{board} unpaced, first plug to report: {1000 * times[0][0]:.1f} ms")
            print(f"{board} unpaced, plug to report: {median_ms([report for report, _ in times])}; target 100 ms")
            print(f"{board} unpaced, plug to file on disk: {median_ms([file for _, file in times])}")
        with scratch_folder() as scratch:
            ratios = asyncio.run(paced(scratch, board, 5))
            print(
                f"{board} at {BAUD} baud, plug to report / wire time: median {statistics.median(ratios):.3f} "
                f"(least {min(ratios):.3f}, most {max(ratios):.3f}, n={len(ratios)}); target 1.10"
            )


if __name__ == "__main__":
    main()
