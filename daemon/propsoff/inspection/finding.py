"""What a check found, in a form that a person can act on and a rig can parse."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from enum import StrEnum

from pydantic import BaseModel, ConfigDict, Field

_SLUG = r"^[a-z0-9][a-z0-9-]*$"


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


class Waived(_Strict):
    """Whose word lets a finding be, and until when."""

    reason: str = Field(description="Why it may be so, in the words of the build sheet.", min_length=1)
    until: date | None = Field(default=None, description="The last day on which the waiver holds; null: without end.")
    source: str = Field(description="The build sheet, and the line of it, that says so.")


class Finding(_Strict):
    """One thing that one check found."""

    check: str = Field(description="Id of the check.", pattern=_SLUG, max_length=80)
    outcome: Outcome
    code: str | None = Field(
        default=None,
        description="Which of this check's findings it is: a word that stays the same when the texts change.",
        pattern=_SLUG,
        max_length=80,
    )
    summary: str = Field(description="One line in plain words.", min_length=1, max_length=400)
    expected: str | None = Field(default=None, description="What should be there.")
    actual: str | None = Field(default=None, description="What is there.")
    why: str = Field(default="", description="What goes wrong in the air or in the goggles.")
    remedy: Remedy = Remedy()
    evidence: tuple[Evidence, ...] = ()
    caution: str | None = Field(default=None, description="What can hurt someone when acting on this.")
    sources: tuple[str, ...] = ()
    explains: tuple[str, ...] = Field(
        default=(), description="Findings that are effects of this one: CHECK, or CHECK/CODE. To mend it mends them."
    )
    because: str | None = Field(default=None, description="The finding that this one is an effect of.")
    waived: Waived | None = Field(default=None, description="Set where the build sheet lets this finding be.")

    @property
    def name(self) -> str:
        """CHECK/CODE, or CHECK alone where it has no code: what a waiver or another finding calls it by."""
        return f"{self.check}/{self.code}" if self.code else self.check

    @property
    def counts_as(self) -> Outcome:
        """The outcome as the verdict takes it: one that is waived does no harm."""
        return self.outcome if self.waived is None else Outcome.PASS
