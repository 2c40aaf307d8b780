"""When something changes in a folder: the system's own notices through a well-kept library, and a look now and then."""

from __future__ import annotations

import asyncio
import sys
from collections.abc import AsyncGenerator, Callable
from contextlib import aclosing
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.exceptions import PortError

if TYPE_CHECKING:
    from asyncinotify import Event, Inotify
    from watchfiles.main import FileChange

Changes = Callable[[Path, int], AsyncGenerator[None, None]]
"""Called with a folder and milliseconds. Yields once when the watch has begun, then after each change, and at least
every so many milliseconds. Raises PortError when the folder cannot be watched."""

STEP_MS = 5
"""How long watchfiles sleeps between two looks."""
_DRAIN = 512
"""How many notices are taken up at once; what is left over leads to another look."""
DEBOUNCE_MS = 20
"""The longest that watchfiles groups changes, so that a flood of them is reported all the same."""


async def by_inotify(folder: Path, rescan_ms: int) -> AsyncGenerator[None, None]:
    """`Changes` on Linux: the kernel wakes us, and until then the watch costs nothing."""
    from asyncinotify import Inotify, Mask

    try:
        with Inotify(sync_timeout=0) as inotify:
            inotify.add_watch(folder, Mask.CREATE | Mask.DELETE | Mask.MOVE | Mask.DELETE_SELF | Mask.MOVE_SELF)
            yield
            while True:
                await _change(inotify, rescan_ms / 1000)
                yield
    except OSError as error:
        raise PortError(str(folder), f"cannot be watched: {error.strerror or error}") from error


async def _change(inotify: Inotify, timeout_s: float) -> None:
    """Wait for a change, and take up whatever else is there by then: one look at the folder serves them all."""
    loop = asyncio.get_running_loop()
    until = loop.time() + timeout_s
    try:
        async with asyncio.timeout_at(until):
            while True:
                event = await inotify.get()
                if not _is_unfinished(event):
                    break
                # While events wait, `get` neither lets the loop run nor can it be ended by the deadline.
                await asyncio.sleep(0)
    except TimeoutError:
        return
    for _ in range(_DRAIN):
        if inotify.sync_get() is None:
            return


def _is_unfinished(event: Event) -> bool:
    """Whether it is about a name with a dot, which nobody looks at until it is renamed."""
    return event.name is not None and event.name.name.startswith(".")


async def by_watchfiles(folder: Path, rescan_ms: int) -> AsyncGenerator[None, None]:
    """`Changes` on any system, by a thread that looks every few milliseconds."""
    from watchfiles import awatch

    watch = awatch(
        folder,
        watch_filter=None,
        debounce=DEBOUNCE_MS,
        step=STEP_MS,
        rust_timeout=rescan_ms,
        yield_on_timeout=True,
        recursive=False,
    )
    async with aclosing(watch):
        # awatch begins to watch only when it is first asked, and then waits; a link that is laid between a reading
        # of the folder and that moment would be missed until the next rescan.
        first: asyncio.Task[set[FileChange]] = asyncio.ensure_future(anext(watch))
        try:
            await asyncio.sleep(0)
            if not first.done():
                yield
            await first
            yield
            async for _ in watch:
                yield
        # The watcher reports its own trouble (no watches left, ...) as either.
        except (OSError, RuntimeError) as error:
            raise PortError(str(folder), f"cannot be watched: {error}") from error
        finally:
            first.cancel()
            await asyncio.wait({first})


changes: Changes = by_inotify if sys.platform == "linux" else by_watchfiles
"""The one for this system."""
