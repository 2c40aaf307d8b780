"""Which dialect a saved capture speaks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from propsoff.console.capture import Capture
from propsoff.dialects.model import Dialect


@dataclass(frozen=True)
class Recognition:
    """`dialect` is None when none fits or several fit equally; `reason` says in plain words why."""

    dialect: Dialect | None
    reason: str


def recognise(capture: Capture, dialects: Iterable[Dialect]) -> Dialect | None:
    """The dialect that the capture speaks, None when none or several fit equally (`explain` says why)."""
    return explain(capture, dialects).dialect


def explain(capture: Capture, dialects: Iterable[Dialect]) -> Recognition:
    """The dialect that the capture speaks, with the reason."""
    raise NotImplementedError
