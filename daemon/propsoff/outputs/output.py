"""A way for a finished report to leave: a file, a terminal, a database."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol, runtime_checkable

if TYPE_CHECKING:
    from collections.abc import Awaitable

    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report


class Output(Protocol):
    """Takes each finished report. `write` may be a coroutine function; it runs off the port's own path.

    It raises OSError or a PropsoffError when the report could not leave; the bench then says so and tries again.
    """

    @property
    def name(self) -> str:
        """Short name for logs."""

    def write(self, report: Report) -> Awaitable[None] | None:
        """Take one report."""


@runtime_checkable
class TakesCapture(Protocol):
    """An output that wants the conversation too: `keep` is then called in place of `write`, with the same promises."""

    def keep(self, report: Report, capture: Capture) -> object:
        """Take a report and the capture that it was read from; gives the path of the file, where it wrote one."""
