"""What every route works with: the bench that is asked, and the bounds within which that may be done."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

from propsoff.inspection.report import instant
from propsoff.page.limits import Bucket, Limits, Seats
from propsoff.page.sessions import Sessions
from propsoff.page.shelf import Shelf
from propsoff.threads import in_thread

if TYPE_CHECKING:
    from propsoff.bench.control import Control
    from propsoff.page.token import Token

Say = Callable[..., object]
"""A structlog method: `say("what happened", key=value)`."""
T = TypeVar("T")
_AT_ONCE = 4
"""Jobs in threads at a time: more would only take turns with the threads that read boards."""


class Desk:
    """One bench, one desk. `token` is None where callers need none."""

    def __init__(self, control: Control, say: Say, limits: Limits, token: Token | None = None) -> None:
        self.control, self.say, self.limits, self.token = control, say, limits, token
        self.scene = control.scene
        self.settings = control.tools.settings
        self.started = instant(time.time())
        self.shelf = Shelf(control, limits.store_s)
        self.sessions = Sessions(limits.session_s, limits.sessions)
        self.requests = Bucket(limits.per_second, limits.burst)
        self.files = Bucket(limits.files_per_second, limits.files_burst)
        self.wrong_tokens = Bucket(limits.wrong_tokens_per_minute / 60, limits.wrong_tokens_per_minute)
        self.refusals = Bucket(limits.refusals_per_minute / 60, limits.refusals_per_minute)
        self.streams = Seats(limits.streams, "event streams")
        self.waits = Seats(limits.waits, "calls that wait")
        self.captures = Seats(limits.captures_at_once, "captures under way")
        self.written: dict[int, bytes] = {}
        """The events that were written last, by number."""
        self._threads = asyncio.Semaphore(_AT_ONCE)
        self.inspecting = asyncio.Lock()
        """Held while a capture of a caller is inspected: one at a time, so that boards are read meanwhile."""

    @property
    def why_not_ready(self) -> str:
        """Why the bench inspects nothing that is plugged in now; empty where it does."""
        if self.scene.ended:
            return "the bench has ended"
        return "the bench is stopping" if self.control.stopping else ""

    async def do(self, call: Callable[[], T]) -> T:
        """What `call` returns or raises, in a thread; few at a time."""
        async with self._threads:
            return await in_thread(call, "page")


async def while_there(receive: Callable[[], Any], work: Any) -> Any:
    """What an awaitable gives, None when the caller hung up before that."""
    working, gone = asyncio.ensure_future(work), asyncio.ensure_future(_hung_up(receive))
    try:
        await asyncio.wait({working, gone}, return_when=asyncio.FIRST_COMPLETED)
        return working.result() if working.done() else None
    finally:
        for task in (working, gone):
            task.cancel()
        await asyncio.gather(working, gone, return_exceptions=True)


async def _hung_up(receive: Callable[[], Any]) -> None:
    while (await receive())["type"] != "http.disconnect":
        pass
