"""Another program that holds a port."""

from __future__ import annotations

import asyncio
import contextlib
import subprocess
import sys
from asyncio.subprocess import Process
from collections.abc import AsyncIterator
from pathlib import Path

_HOLD = "import serial, sys; port = serial.Serial(sys.argv[1], exclusive=True); print('held', flush=True); input()"


@contextlib.asynccontextmanager
async def held(path: Path) -> AsyncIterator[Process]:
    """A program has the port to itself for the length of the block."""
    holder = await asyncio.create_subprocess_exec(
        sys.executable, "-c", _HOLD, str(path), stdin=subprocess.PIPE, stdout=subprocess.PIPE
    )
    assert holder.stdout
    assert await holder.stdout.readline() == b"held\n"
    try:
        yield holder
    finally:
        if holder.returncode is None:
            holder.kill()
        await holder.wait()
