"""Every extension point, and when it fires. Names begin with `propsoff_`.

Mark with `propsoff.hookimpl` what you implement, in a module or class, and name that in your package's entry point
group `propsoff`. An implementation may be a plain function or a coroutine function; each call has its own deadline.
One that raises, hangs or returns nonsense is named in the log, or in an `error` finding; the run goes on without it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

import pluggy

if TYPE_CHECKING:
    from pathlib import Path

    from propsoff.inspection.check import Check
    from propsoff.inspection.report import Report
    from propsoff.outputs.document import Document
    from propsoff.outputs.output import Output
    from propsoff.ports.facts import Arrival, Departure
    from propsoff.ports.sources import PortSource
    from propsoff.settings import Settings

PROJECT = "propsoff"
hookspec = pluggy.HookspecMarker(PROJECT)
hookimpl = pluggy.HookimplMarker(PROJECT)


@hookspec
def propsoff_checks() -> Sequence[Check]:  # type: ignore[empty-body]  # a specification has no body
    """Once, at start: the checks that this plug-in brings."""


@hookspec
def propsoff_dialects() -> Iterable[Path]:  # type: ignore[empty-body]  # a specification has no body
    """Once, at start: dialect files, or folders of them, that this plug-in brings."""


@hookspec
def propsoff_sheets() -> Iterable[Path]:  # type: ignore[empty-body]  # a specification has no body
    """Once, at start: build sheets, or folders of them, that this plug-in brings."""


@hookspec
def propsoff_port_sources(settings: Settings) -> Sequence[PortSource]:  # type: ignore[empty-body]  # no body
    """Once, when `propsoff watch` starts: further sources of ports beside the built-in ones."""


@hookspec
def propsoff_outputs(settings: Settings) -> Sequence[Output]:  # type: ignore[empty-body]  # no body
    """Once, at start: further ways for a report to leave."""


@hookspec
def propsoff_documents() -> Sequence[Document]:  # type: ignore[empty-body]  # a specification has no body
    """Once, when documents are asked for: further kinds of them, for `--output KIND=FILE`."""


@hookspec
def propsoff_arrived(arrival: Arrival) -> None:
    """When a port has appeared on the bench, before the policy is asked and before anything is opened.

    Both wait for it, for `plugins.deadline_s` seconds at the most with each plug-in; other ports do not.
    """


@hookspec
def propsoff_report_ready(report: Report) -> None:
    """When a report is finished, before it is written anywhere."""


@hookspec
def propsoff_departed(departure: Departure) -> None:
    """When a port has left the bench."""
