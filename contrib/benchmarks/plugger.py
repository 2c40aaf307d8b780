"""The simulated bench of a benchmark, in a process of its own: plugs and unplugs boards as told on standard input.

`plug NAME LINK [BAUD]` and `unplug LINK`, one a line; each is answered with `LINK SECONDS`, the time of the monotonic
clock (the same for every process of a machine) just before the link appeared, or after it was gone.
"""

from __future__ import annotations

import asyncio
import sys
import time
from pathlib import Path

from propsoff_sim.bench import SimBench


async def main(folder: Path) -> None:
    """Serve until the end of input."""
    loop = asyncio.get_running_loop()
    commands = asyncio.StreamReader()
    await loop.connect_read_pipe(lambda: asyncio.StreamReaderProtocol(commands), sys.stdin)
    async with SimBench(folder) as bench:
        while line := (await commands.readline()).decode().split():
            began = time.monotonic()
            if line[0] == "plug":
                bench.plug(line[1], line[2], pace=int(line[3]) if len(line) > 3 else None)
            else:
                bench.unplug(line[1])
                began = time.monotonic()
            print(line[-1] if line[0] == "unplug" else line[2], began, flush=True)


if __name__ == "__main__":
    asyncio.run(main(Path(sys.argv[1])))
