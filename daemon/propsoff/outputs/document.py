"""Kinds of document that reports can be written as: what one kind is, and what it is made from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Callable

    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report


@dataclass(frozen=True, slots=True)
class Told:
    """One inspection, as a document tells it.

    `label` is what tells it apart: the capture's file, or the port. `report` is None where propsoff itself broke and
    there is none; `problem` then says why. It must not be left out of a document. `load` reads the capture.

    `replaces` is the id of the craft's visit before this one, `replaced_by` that of its newest where this is an old
    one; None where there is none, or nobody looked.
    """

    label: str
    report: Report | None
    problem: str = ""
    load: Callable[[], Capture | None] | None = None
    replaces: str | None = None
    replaced_by: str | None = None

    def capture(self) -> Capture | None:
        """The conversation, None where it is not at hand; read each time it is asked for, and never raises."""
        return None if self.load is None else self.load()


class Document(Protocol):
    """A kind of document, as a plug-in brings it. All of it must be readable without work: it is asked for often."""

    @property
    def name(self) -> str:
        """The KIND of `--output KIND=FILE`: lower-case letters, digits and hyphens."""

    @property
    def suffix(self) -> str:
        """The end of its files' names, with its dot, such as `.xml`."""

    @property
    def single(self) -> bool:
        """Whether it holds one report only: several then go into a folder, a file each."""

    def make(self, told: Iterable[Told], strict: bool) -> bytes:
        """The whole document. `told` can be gone through once and may be long; `strict`: a warning is a failure.

        What a board or a person typed must be harmless in it. May be a coroutine function. Whatever it raises is
        named, and costs this document alone.
        """
