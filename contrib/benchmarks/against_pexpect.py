"""The same reading by propsoff's console and by pexpect (fdpexpect): same board, same commands, same signs of the end.

Only the conversation is timed: from the first byte sent on an open port to the last sign of the last reply. pexpect is
told what propsoff has to find out: which dialect it is. Target: not slower, a ratio of at most 1.00.
"""

from __future__ import annotations

import asyncio
import os
import re
import statistics
import time
import tty
from pathlib import Path

from pexpect import fdpexpect
from stand import plugger, scratch_folder, tools_for

from propsoff.console.capture import Recorder
from propsoff.console.conversation import converse
from propsoff.console.link import Link

ROUNDS = 30
SCRIPTS: dict[str, list[tuple[bytes, str]]] = {
    "ossel-hd53": [
        (b"\r", r"ossel> $"),
        (b"who\r", r"serial := [^\r]*\r\nossel> $"),
        (b"recite\r", r"; end of recital, \d+ entries\r\nossel> $"),
    ],
    "corvane-hd53": [
        (b"\n", r":: $"),
        (b"tell unit\n", r"@done unit\n:: $"),
        (b"tell setup\n", r"@done setup\n:: $"),
    ],
}


async def ours(device: Path, tools: object) -> float:
    """Seconds of one conversation of propsoff."""
    from propsoff.library import Toolbox

    assert isinstance(tools, Toolbox)
    waits = tools.settings.waits()
    link = await Link.open(str(device), timings=waits)
    recorder = Recorder(clock=time.perf_counter, started=time.time())
    began = time.perf_counter()
    conversation = await converse(link, [each.manner for each in tools.dialects], recorder, timings=waits)
    took = time.perf_counter() - began
    await link.close()
    assert conversation.ending == "done", conversation.ending
    return took


def theirs(device: Path, script: list[tuple[bytes, str]]) -> float:
    """Seconds of one conversation of pexpect, its deliberate delay before each line switched off."""
    handle = os.open(device, os.O_RDWR | os.O_NOCTTY)
    tty.setraw(handle)
    child = fdpexpect.fdspawn(handle, timeout=20)
    child.delaybeforesend = None
    patterns = [(line, re.compile(pattern.encode())) for line, pattern in script]
    began = time.perf_counter()
    for line, pattern in patterns:
        child.send(line)
        child.expect([pattern])
    took = time.perf_counter() - began
    os.close(handle)
    return took


async def compare(scratch: Path, board: str) -> None:
    """Print the ratio for one board."""
    tools = tools_for(scratch)
    times: dict[str, list[float]] = {"ours": [], "theirs": []}
    async with plugger(scratch / "sockets") as boards:
        for _ in range(ROUNDS):
            for who in ("ours", "theirs"):
                await boards.tell("plug", board, "socket")
                device = (scratch / "sockets" / "socket").resolve()
                if who == "ours":
                    times[who].append(await ours(device, tools))
                else:
                    times[who].append(await asyncio.to_thread(theirs, device, SCRIPTS[board]))
                await boards.tell("unplug", "socket")
    mine, peer = statistics.median(times["ours"]), statistics.median(times["theirs"])
    print(f"{board}: propsoff {1000 * mine:.1f} ms, pexpect {1000 * peer:.1f} ms; ratio {mine / peer:.2f}; target 1.00")


def main() -> None:
    """Print the ratios."""
    for board in SCRIPTS:
        with scratch_folder() as scratch:
            asyncio.run(compare(scratch, board))


if __name__ == "__main__":
    main()
