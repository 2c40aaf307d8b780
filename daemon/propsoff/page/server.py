"""uvicorn, one for each door, on sockets that listen already. It takes no signals: the bench does."""

from __future__ import annotations

import asyncio
import contextlib
import logging
import socket
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any

import uvicorn

from propsoff.outputs.escape import visible
from propsoff.page.wire import wire

if TYPE_CHECKING:
    from propsoff.page.desk import Say
    from propsoff.page.guard import Guard
    from propsoff.page.limits import Limits

_GRACEFUL_S = 2
"""How long answers that are under way may take when the bench ends."""
_LOGGER = "uvicorn.error"


class DoorServer(uvicorn.Server):
    """Serves one door until it is told to end."""

    def __init__(self, guard: Guard, limits: Limits) -> None:
        config = uvicorn.Config(
            guard,
            http=wire(limits),
            ws="none",
            lifespan="off",
            log_config=None,
            log_level="error",
            access_log=False,
            proxy_headers=False,
            server_header=False,
            backlog=128,
            timeout_keep_alive=15,
            timeout_graceful_shutdown=_GRACEFUL_S,
            h11_max_incomplete_event_size=limits.head_bytes,
        )
        super().__init__(config)

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        """None are."""
        yield

    def abort(self) -> None:
        """Cut every connection that is still there."""
        for connection in list(self.server_state.connections):
            transport: Any = getattr(connection, "transport", None)
            if transport is not None:
                transport.abort()


async def serve_doors(
    doors: list[tuple[socket.socket, Guard]], limits: Limits, say: Say, *, ending: Callable[[], None] = lambda: None
) -> None:
    """Serve every door until this is cancelled; then answers under way have a moment to finish.

    `ending` is called before the doors are shut: whoever comes then would find the connection closed in his face.
    """
    servers = [DoorServer(guard, limits) for _, guard in doors]
    with _log_to(say):
        serving = [
            asyncio.create_task(server.serve([listener]), name="door")
            for server, (listener, _) in zip(servers, doors, strict=True)
        ]
        try:
            # Not gathered: that would cancel each before it has sent its last words.
            done, _ = await asyncio.wait(serving, return_when=asyncio.FIRST_COMPLETED)
            for task in done:
                task.result()
        finally:
            ending()
            logging.getLogger(_LOGGER).disabled = True  # that answers are cut off at the end is meant
            for server in servers:
                server.should_exit = True
            await asyncio.wait(serving, timeout=_GRACEFUL_S + 1)
            for server in servers:
                server.abort()
            for task in serving:
                task.cancel()
            await asyncio.gather(*serving, return_exceptions=True)


class _Handler(logging.Handler):
    """uvicorn's log as lines of ours."""

    def __init__(self, say: Say) -> None:
        super().__init__(logging.ERROR)
        self._say = say

    def emit(self, record: logging.LogRecord) -> None:
        """Pass one on."""
        fault = record.exc_info[1] if record.exc_info else None
        self._say("server", told=visible(record.getMessage().strip(), 400), exc_info=fault)


@contextlib.contextmanager
def _log_to(say: Say) -> Iterator[None]:
    logger, handler = logging.getLogger(_LOGGER), _Handler(say)
    logger.addHandler(handler)
    logger.propagate, logger.disabled = False, False
    try:
        yield
    finally:
        logger.removeHandler(handler)
        logger.disabled = False
