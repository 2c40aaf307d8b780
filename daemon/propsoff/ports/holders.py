"""Which processes hold a device open, as far as the system lets this user see (Linux, proc(5): /proc/PID/fd)."""

from __future__ import annotations

import os
import stat
import time
from collections.abc import Callable, Iterator
from pathlib import Path


def holders_of(
    device: str | os.PathLike[str],
    *,
    proc: Path = Path("/proc"),
    most: int = 8,
    deadline_s: float = 1.0,
    clock: Callable[[], float] = time.monotonic,
) -> list[str]:
    """``["cat (pid 812)"]``: at most `most` processes that hold the character device, looked for during `deadline_s`.

    Empty when none is seen: processes of other users are hidden from anyone but root. Blocks: keep it off the loop.
    """
    try:
        status = Path(device).stat()
    except OSError:
        return []
    if not stat.S_ISCHR(status.st_mode):
        return []
    end, found = clock() + deadline_s, list[str]()
    for pid in _pids(proc):
        if len(found) >= most or clock() > end:
            break
        if any(_is(descriptor, status.st_rdev) for descriptor in _descriptors(proc / str(pid) / "fd")):
            found.append(f"{_name(proc / str(pid) / 'comm')} (pid {pid})")
    return found


def _pids(proc: Path) -> list[int]:
    try:
        return sorted(int(entry.name) for entry in os.scandir(proc) if entry.name.isdecimal())
    except OSError:
        return []


def _descriptors(folder: Path) -> Iterator[str]:
    try:
        with os.scandir(folder) as entries:
            yield from (entry.path for entry in entries)
    except OSError:
        # Another user's process, or one that just ended.
        return


def _is(descriptor: str, number: int) -> bool:
    try:
        # Only what calls itself a device is asked further: asking a file on a dead network drive would hang.
        if not os.readlink(descriptor).startswith("/dev/"):  # noqa: PTH115  a path object for each would double the cost
            return False
        status = os.stat(descriptor)  # noqa: PTH116  as above
    except OSError:
        return False
    return stat.S_ISCHR(status.st_mode) and status.st_rdev == number


def _name(comm: Path) -> str:
    try:
        return comm.read_text(encoding="utf-8", errors="replace").strip() or "a process"
    except OSError:
        return "a process"
