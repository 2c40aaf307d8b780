"""A conversation as it is recorded, for those who look on: the newest part of it, numbered."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from propsoff.console.capture import Event

MOST_CHARS = 256 << 10
_MOST_PIECES = 20_000


@dataclass(frozen=True, slots=True)
class Piece:
    """One thing said: its number from 0, seconds since the start, who said it (`o` the board, `i` propsoff, `m` a
    step), and the text.
    """

    number: int
    time_s: float
    code: str
    text: str


class Overheard:
    """The last pieces of a conversation, at most `MOST_CHARS` characters of them."""

    def __init__(self, began: int = 0) -> None:
        self.began = began
        """The number of the change with which the conversation began: it tells one conversation from the next."""
        self._spoken: deque[Event] = deque()
        self._chars = 0
        self.count = 0
        """How many pieces there were in all."""

    def take(self, spoken: Event) -> None:
        """Add what was recorded; the oldest pieces go where there are too many."""
        if len(spoken.text) > MOST_CHARS:
            spoken = spoken._replace(text=spoken.text[-MOST_CHARS:])
        self.count += 1
        self._spoken.append(spoken)
        self._chars += len(spoken.text)
        while self._chars > MOST_CHARS or len(self._spoken) > _MOST_PIECES:
            self._chars -= len(self._spoken.popleft().text)

    def since(self, number: int) -> tuple[Piece, ...]:
        """The pieces from `number` on that are still there; one that begins later than asked tells of a gap."""
        if number >= self.count:
            return ()
        first = self.count - len(self._spoken)
        skipped = max(0, number - first)
        return tuple(
            Piece(first + at, spoken.time_s, spoken.code, spoken.text)
            for at, spoken in enumerate(islice(self._spoken, skipped, None), skipped)
        )
