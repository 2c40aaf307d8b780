"""Sessions of browsers that showed the token: each ends by itself, and nothing of them outlives the bench."""

from __future__ import annotations

import hashlib
import secrets
import time
from collections.abc import Callable


class Sessions:
    """At most `most` of them, each for `lasts_s` seconds. A name is kept as its hash alone."""

    def __init__(self, lasts_s: float, most: int, clock: Callable[[], float] = time.monotonic) -> None:
        self.lasts_s, self._most, self._clock = lasts_s, most, clock
        self._until: dict[bytes, float] = {}

    def begin(self) -> str:
        """The name of a new one; of too many the oldest ends."""
        self._end_old()
        while len(self._until) >= self._most:
            del self._until[next(iter(self._until))]
        name = secrets.token_urlsafe(32)
        self._until[_digest(name)] = self._clock() + self.lasts_s
        return name

    def holds(self, name: str) -> bool:
        """Whether there is one of that name."""
        self._end_old()
        return _digest(name) in self._until

    def end(self, name: str) -> None:
        """It holds no longer."""
        self._until.pop(_digest(name), None)

    def _end_old(self) -> None:
        now = self._clock()
        for name in [name for name, until in self._until.items() if until <= now]:
            del self._until[name]


def _digest(name: str) -> bytes:
    return hashlib.sha256(name.encode("utf-8", "surrogatepass")).digest()
