"""A way for a finished report to leave: a file, a terminal, a database."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Awaitable

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
