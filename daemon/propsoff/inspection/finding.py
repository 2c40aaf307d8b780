"""What a check found, in a form that a person can act on and a rig can parse."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

from pydantic import BaseModel, ConfigDict, Field


class Outcome(StrEnum):
    """What a check came to. `unknown` (the facts were not readable) never counts as pass."""

    PASS = "pass"
    WARN = "warn"
    FAIL = "fail"
    UNKNOWN = "unknown"
    SKIPPED = "skipped"
    ERROR = "error"


class Verdict(StrEnum):
    """The one word over a report: the worst outcome, or `incomplete` when the conversation broke off."""

    PASS = "pass"
    WARN = "warn"
    UNKNOWN = "unknown"
    ERROR = "error"
    FAIL = "fail"
    INCOMPLETE = "incomplete"


_SEVERITY = (Outcome.PASS, Outcome.WARN, Outcome.UNKNOWN, Outcome.ERROR, Outcome.FAIL)


def verdict_of(outcomes: Iterable[Outcome], *, complete: bool) -> Verdict:
    """fail > error > unknown > warn > pass; a broken-off conversation is `incomplete` whatever its checks say.

    Nothing but skipped checks, or no check at all, is `unknown`: nothing was examined.
    """
    if not complete:
        return Verdict.INCOMPLETE
    ranks = [_SEVERITY.index(outcome) for outcome in outcomes if outcome is not Outcome.SKIPPED]
    return Verdict(_SEVERITY[max(ranks)].value) if ranks else Verdict.UNKNOWN


class _Strict(BaseModel):
    model_config = ConfigDict(frozen=True, strict=True, extra="forbid")


class Evidence(_Strict):
    """A transcript line: its number from 1 and its text, as shown."""

    line: int = Field(ge=1)
    text: str


class Remedy(_Strict):
    """How to put it right: lines to type at this board's console, and steps for hands, in order."""

    console: tuple[str, ...] = Field(default=(), description="Lines for this board's console, in its own words.")
    steps: tuple[str, ...] = Field(default=(), description="Steps for hands.")


class Finding(_Strict):
    """One thing that one check found."""

    check: str = Field(description="Id of the check.", pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=80)
    outcome: Outcome
    summary: str = Field(description="One line in plain words.", min_length=1, max_length=400)
    expected: str | None = Field(default=None, description="What should be there.")
    actual: str | None = Field(default=None, description="What is there.")
    why: str = Field(default="", description="What goes wrong in the air or in the goggles.")
    remedy: Remedy = Remedy()
    evidence: tuple[Evidence, ...] = ()
    caution: str | None = Field(default=None, description="What can hurt someone when acting on this.")
    sources: tuple[str, ...] = ()
