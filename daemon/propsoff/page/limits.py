"""How much callers may ask of a bench: requests, bodies, streams, connections, and how long each may take."""

from __future__ import annotations

import contextlib
import math
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from propsoff.console.capture import MAX_CAPTURE_BYTES
from propsoff.page.problems import ProblemError

_MOST_CALLERS = 1024


@dataclass(frozen=True, slots=True)
class Limits:
    """Every bound in one place; times in seconds.

    `per_second` and `burst` are the requests of one caller, `files_...` those for pages and what they load;
    of those that are refused, `refusals_per_minute` of one caller stand in the log. `streams`
    are open event streams, `waits` calls that wait for a report or for words, `connections` all that are open at one
    door, `connections_of_one` those of one caller: all streams and waits may come through one proxy, and others still
    get in. `head_s` is how long the head of a request may take, `body_s` its body, `stall_s` how long a caller may take
    nothing of an answer. `alive_s` is the longest pause on a stream, `pause_s` the shortest: what changes meanwhile
    comes together. `store_s` is how long history is waited for. A capture of up to `capture_here_bytes` is inspected in
    this process, a larger one in another within `capture_s`.
    """

    per_second: float = 50.0
    burst: int = 200
    files_per_second: float = 500.0
    files_burst: int = 2000
    wrong_tokens_per_minute: int = 10
    refusals_per_minute: int = 60
    streams: int = 64
    waits: int = 128
    connections: int = 256
    connections_of_one: int = 192
    body_bytes: int = 64 << 10
    capture_bytes: int = MAX_CAPTURE_BYTES
    captures_at_once: int = 4
    capture_here_bytes: int = 256 << 10
    capture_s: float = 120.0
    head_bytes: int = 16 << 10
    head_s: float = 10.0
    body_s: float = 30.0
    stall_s: float = 60.0
    alive_s: float = 10.0
    pause_s: float = 0.05
    session_s: float = 12 * 3600.0
    sessions: int = 64
    store_s: float = 30.0


class Bucket:
    """Tokens that come back with time: `per_second` of them, at most `burst` for each caller."""

    def __init__(self, per_second: float, burst: int, clock: Callable[[], float] = time.monotonic) -> None:
        self._per_second, self._burst, self._clock = per_second, burst, clock
        self._left: dict[str, tuple[float, float]] = {}

    def take(self, caller: str) -> float:
        """Take one; 0 when there was one, else the seconds until there is."""
        wait_s, left, now = self._look(caller)
        if wait_s:
            return wait_s
        # The caller that came last stands last, so that the first is the one to forget.
        self._left.pop(caller, None)
        self._left[caller] = (left - 1, now)
        while len(self._left) > _MOST_CALLERS:
            del self._left[next(iter(self._left))]
        return 0.0

    def wait_s(self, caller: str) -> float:
        """Seconds until there is one; nothing is taken."""
        return self._look(caller)[0]

    def _look(self, caller: str) -> tuple[float, float, float]:
        now = self._clock()
        left, then = self._left.get(caller, (float(self._burst), now))
        left = min(float(self._burst), left + (now - then) * self._per_second)
        return (0.0 if left >= 1 else (1 - left) / self._per_second), left, now


class Seats:
    """So many at a time, the others are sent away; `what` names them for people."""

    def __init__(self, most: int, what: str) -> None:
        self._most, self._what = most, what
        self.taken = 0

    @contextlib.contextmanager
    def seat(self) -> Iterator[None]:
        """One of them, until the end of the block. Raises ProblemError when all are taken."""
        if self.taken >= self._most:
            raise too_many(f"there are {self.taken} {self._what} already, and there may be no more", 5.0)
        self.taken += 1
        try:
            yield
        finally:
            self.taken -= 1


def too_many(detail: str, wait_s: float) -> ProblemError:
    """The refusal that says when to come again."""
    seconds = max(1, math.ceil(wait_s))
    return ProblemError("too-many", f"{detail}; try again in {seconds} s", headers={"Retry-After": str(seconds)})
