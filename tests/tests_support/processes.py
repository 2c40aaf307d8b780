"""Processes of the command line: the type of the fixture that runs one, and stopping one at its work."""

from __future__ import annotations

import asyncio
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

Run = Callable[..., subprocess.CompletedProcess[str]]


async def stopped_while_reading(board: Any, home: dict[str, str], *words: str | Path) -> tuple[int | None, bytes]:
    """Send SIGINT to `propsoff WORDS...` once it has sent something to the board; (exit code, what it printed)."""
    command = [sys.executable, "-m", "propsoff", *map(str, words)]
    reading = await asyncio.create_subprocess_exec(*command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=home)
    async with asyncio.timeout(50):
        while not board.received:
            assert reading.returncode is None
            await asyncio.sleep(0.005)
        reading.send_signal(signal.SIGINT)
        told, _ = await reading.communicate()
    return reading.returncode, told
