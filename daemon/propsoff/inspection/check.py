"""What a check is: an id, words for people, the facts that it reads, and one function.

::

    @check("spare-port", title="A spare UART", why="...", reads=("ports",))
    def spare_port(case: Case) -> Iterator[Finding]:
        if case.craft.ports is None:
            yield case.unread("ports")
        elif not any(port.roles == ("unused",) for port in case.craft.ports):
            yield case.warn("no UART is free", facts=("ports",))
        else:
            yield case.passed("a UART is free", facts=("ports",))
"""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from propsoff.inspection.case import Case
    from propsoff.inspection.finding import Finding

DIALECT_ID = "dialect"
"""The id of findings about dialects that could not be used."""
RESERVED = frozenset({"propsoff", "plug-in", "build-sheet", "listing", "notes-file", DIALECT_ID})
"""Ids under which propsoff itself reports; no check may take one."""
_ID = re.compile(r"[a-z0-9][a-z0-9-]*\Z")


@dataclass(frozen=True, slots=True)
class Check:
    """One rule. `examine` is pure: the same case gives the same findings; it may be a coroutine function.

    `reads` are dotted fact names or prefixes (`ports`, `overlay.columns`). `sources` name where the rule's facts come
    from. `caution` goes into each of its findings that asks for something to be done.
    """

    id: str
    title: str
    why: str
    reads: tuple[str, ...]
    examine: Callable[[Case], Iterable[Finding] | Awaitable[Iterable[Finding]]]
    sources: tuple[str, ...] = ()
    caution: str | None = None

    def __post_init__(self) -> None:
        if not _ID.match(self.id):
            raise ValueError(f"check id {self.id!r}: lower-case letters, digits and hyphens only")


def check(
    id: str,  # noqa: A002  the word that authors expect
    *,
    title: str,
    why: str,
    reads: Sequence[str],
    sources: Sequence[str] = (),
    caution: str | None = None,
) -> Callable[[Callable[[Case], Iterable[Finding] | Awaitable[Iterable[Finding]]]], Check]:
    """Make a check of a function. Raises ValueError for an id that is not lower-case letters, digits and hyphens."""

    def make(examine: Callable[[Case], Iterable[Finding] | Awaitable[Iterable[Finding]]]) -> Check:
        return Check(id, title, why, tuple(reads), examine, tuple(sources), caution)

    return make
