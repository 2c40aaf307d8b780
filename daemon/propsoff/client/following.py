"""The stream of events (server-sent events, WHATWG HTML), and going on after a break. No I/O: both clients share it."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from pydantic import ValidationError

from propsoff.bench.scene import PlaceNow, Told
from propsoff.client.calls import adapter
from propsoff.client.replies import BenchNow, Happening
from propsoff.exceptions import BenchError, BenchLostError, BenchReplyError

if TYPE_CHECKING:
    from httpx_sse import ServerSentEvent

_KINDS = {"bench": BenchNow, "place": PlaceNow, "trouble": Told}
_PAUSE_S = 1.0
_LONGEST_PAUSE_S = 30.0


class Following:
    """A stream while it is followed: the pause before the next attempt, since when it is lost.

    `lost_s` is how long a bench may be away before that is an error. `clock` gives seconds.
    """

    def __init__(self, name: str, lost_s: float, clock: Callable[[], float] = time.monotonic) -> None:
        self._name, self._lost_s, self._clock = name, lost_s, clock
        self._lost_at: float | None = None
        self._came = False
        self.pause_s = _PAUSE_S
        self.ended = False

    def take(self, event: ServerSentEvent) -> Happening | None:
        """What an event tells; None for one of a kind that is not known. Raises BenchReplyError."""
        self._came, self._lost_at = True, None
        if event.retry is not None:
            self.pause_s = min(event.retry / 1000, _LONGEST_PAUSE_S)
        if event.event == "end":
            self.ended = True
        kind = _KINDS.get(event.event)
        if kind is None:
            return None
        try:
            happening: Happening = adapter(kind).validate_json(event.data)
        except ValidationError as error:
            told = " ".join(str(error).split())[:200]
            raise BenchReplyError(f"{self._name}: its event {event.event} is not understood ({told})") from error
        return happening

    def broke(self, error: BenchError | None) -> None:
        """The stream broke off; raises the error when it never began, BenchLostError when it is away for too long.

        Raises BenchReplyError for what is no stream.
        """
        if error is not None and (not self._came or isinstance(error, BenchReplyError)):
            raise error
        now = self._clock()
        if self._lost_at is None:
            self._lost_at = now
        if now - self._lost_at >= self._lost_s:
            raise BenchLostError(
                f"{self._name}: went away and did not come back within {self._lost_s:g} s; was it stopped?"
            )
