"""A connection as uvicorn serves it, with an end to every wait: a caller that says nothing, or takes nothing, goes."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

from propsoff.page.callers import source_of
from propsoff.page.limits import Limits

_SPARE_BYTES = 1 << 20
"""What may come beyond the largest body: heads, and the frames of a chunked one."""


def wire(limits: Limits) -> type[asyncio.Protocol]:
    """The class of connections within these limits."""

    class Wire(_Wire):
        bounds = limits

    return Wire


class _Wire(H11Protocol):
    bounds = Limits()

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self._head, self._body, self._stall = (_Deadline(self._cut) for _ in range(3))
        self._turned_away = False
        self._taken = 0

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]  # as uvicorn has it
        """Take the connection, unless there are too many."""
        if len(self.connections) >= self.bounds.connections or self._has_enough(transport):
            self._turned_away = True
            transport.abort()
            return
        super().connection_made(transport)
        self._expect_rest()

    def _has_enough(self, transport: asyncio.Transport) -> bool:
        """Whether this caller has all the connections that one may have; over a Unix socket all are one user's."""
        peer = transport.get_extra_info("peername")
        if not isinstance(peer, tuple):
            return False
        source = source_of(str(peer[0]))
        others = (getattr(each, "client", None) for each in self.connections)
        own = sum(1 for client in others if client and source_of(client[0]) == source)
        return own >= self.bounds.connections_of_one

    def data_received(self, data: bytes) -> None:
        """Take what came; what comes of one request beyond any bound ends the connection."""
        if self.conn.their_state is h11.IDLE:
            self._taken = 0
        self._taken += len(data)
        if self._taken > self.bounds.capture_bytes + _SPARE_BYTES:
            self.transport.abort()
            return
        super().data_received(data)
        self._expect_rest()

    def connection_lost(self, exc: Exception | None) -> None:
        """Nothing waits for it any more."""
        self._head.end()
        self._body.end()
        self._stall.end()
        if not self._turned_away:
            super().connection_lost(exc)

    def pause_writing(self) -> None:
        """The caller takes less than it is sent: for how long, is bounded."""
        super().pause_writing()
        self._stall.begin(self.loop, self.bounds.stall_s)

    def resume_writing(self) -> None:
        """It takes what it is sent."""
        self._stall.end()
        super().resume_writing()

    def _expect_rest(self) -> None:
        """A head that is begun, or the first one, is to be here in time; so is a body, also one that nobody reads."""
        if self.conn.their_state is h11.IDLE:
            self._head.begin(self.loop, self.bounds.head_s)
        else:
            self._head.end()
        if self.conn.their_state is h11.SEND_BODY:
            # Whoever waits for it is to say first that it came too late.
            self._body.begin(self.loop, self.bounds.body_s + self.bounds.head_s)
        else:
            self._body.end()

    def _cut(self) -> None:
        self.transport.abort()


class _Deadline:
    """Something that is done unless it is ended in time."""

    def __init__(self, call: Callable[[], object]) -> None:
        self._call = call
        self._timer: asyncio.TimerHandle | None = None

    def begin(self, loop: asyncio.AbstractEventLoop, within_s: float) -> None:
        """From now on, unless it has begun."""
        if self._timer is None:
            self._timer = loop.call_later(within_s, self._call)

    def end(self) -> None:
        """It was in time."""
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None
