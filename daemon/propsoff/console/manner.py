"""What a conversation needs to know of a console: how to wake it, ask it and tell that it has finished.

A dialect provides it; the console room knows no dialect. Everything here is data, plus one protocol: a pattern for one
line.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, Protocol

ReplyState = Literal["complete", "unsure", "cut"]
"""`complete`: every independent sign of the end was seen. `unsure`: some were. `cut`: the reply stops short."""


class LinePattern(Protocol):
    """A pattern for one whole line without its line end. Matching takes time linear in the line."""

    def match(self, text: str) -> Mapping[str, str] | None:
        """The named fields when the whole line matches, else None."""

    def fits(self, text: str) -> bool:
        """Whether the whole line matches."""


@dataclass(frozen=True, slots=True)
class Query:
    """One read-only command and how its reply ends.

    `opens`: the reply's first line (after the echo), where the console has such a mark. `ends`: the last line before
    the prompt; a field `count` in it (or in `opens`) is the number of reply lines that match `counted` (every line
    between the marks where `counted` is None). `deadline_s`: longest wait for the whole reply, from the moment that it
    is asked for. `cap_bytes`: its largest size. `before` are lines that are typed first, to open the menu in which the
    command is known, and `after` those that are typed when the reply has been heard, to leave it again; what they
    answer says nothing.
    """

    command: str
    deadline_s: float = 10.0
    opens: LinePattern | None = None
    ends: LinePattern | None = None
    counted: LinePattern | None = None
    required: bool = True
    cap_bytes: int = 1 << 20
    after: tuple[str, ...] = ()
    before: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Manner:
    """How one firmware family's console behaves.

    `wake` is what makes it show its prompt, `line_end` what ends a command. `prompt` must match the whole last line.
    `pager` is the last line of a page; `pager_key` is sent to go on. `identity` must match one line of the identity
    reply (after which the board counts as identified). `error` is the line that answers a word it does not know.
    Where it needs them: `wake_before_s` and `wake_after_s` of quiet around the wake, `typing_s` before each character.
    """

    dialect: str
    wake: bytes
    line_end: bytes
    echo: bool
    prompt: LinePattern
    identify: Query
    identity: LinePattern
    reads: tuple[Query, ...]
    pager: LinePattern | None = None
    pager_key: bytes = b" "
    error: LinePattern | None = None
    wake_before_s: float = 0.0
    wake_after_s: float = 0.0
    typing_s: float = 0.0

    def identifies(self, text: str) -> bool:
        """Whether a line, with or without the blanks before it, tells this firmware apart."""
        return self.identity.fits(text) or (text[:1].isspace() and self.identity.fits(text.lstrip()))

    def query(self, command: str) -> Query | None:
        """The query whose command this is, or None."""
        for query in (self.identify, *self.reads):
            if query.command == command:
                return query
        return None


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the transcript: its number from 1 and its text, escape sequences resolved."""

    number: int
    text: str


@dataclass(frozen=True, slots=True)
class Exchange:
    """One command and its reply: the lines after the echo and before the prompt, pager lines left out.

    `why` says in plain words why `state` is not `complete`; it is empty when it is.
    """

    command: str
    lines: tuple[Line, ...]
    state: ReplyState
    why: str = ""
    signs: tuple[str, ...] = field(default=())
