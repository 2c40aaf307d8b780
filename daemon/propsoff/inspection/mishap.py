"""Findings for what went wrong on our side of the bench: a check that broke, a build sheet that could not be used."""

from __future__ import annotations

import re
import traceback
from collections.abc import Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING

from propsoff.inspection.finding import Evidence, Finding, Outcome, Remedy
from propsoff.inspection.report import plain

if TYPE_CHECKING:
    from propsoff.craft.model import Problem
    from propsoff.exceptions import ConfigError
    from propsoff.inspection.check import Check

SHEET_ID = "build-sheet"
"""The id of findings about the build sheets themselves; no check may use it."""

LISTING_ID = "listing"
"""The id of findings about how much of the board's answers was read; no check may use it."""

_COPY_AGAIN = "Copy the whole listing again, from the prompt before the command to the prompt after the last line."
_ADDRESS = re.compile(r" at 0x[0-9A-Fa-f]+")
_SPACE = re.compile(r"\s+")
_MAX_WORDS = 240
_BROKEN = "The check itself broke, so this point of the craft was not examined."
_SHEET_WHY = "Without the sheet that was meant for it, a craft may pass against the wrong standard."


def raised(check: Check, error: BaseException) -> Finding:
    """The check raised."""
    said = _words(f"{type(error).__name__}: {error}" if str(error) else type(error).__name__)
    return _mishap(check, f"the check broke: {said}", f"raised {said} at {_place(check, error)}")


def hung(check: Check, deadline_s: float) -> Finding:
    """The check did not come back."""
    return _mishap(check, f"the check did not finish within {deadline_s:g} s and was abandoned", "did not return")


def still_hanging(check: Check) -> Finding:
    """The check still runs since an earlier inspection, and was not started again."""
    return _mishap(
        check,
        "the check was not started: it still hangs from an earlier inspection",
        "did not return",
        "Restart propsoff to get rid of the hanging check.",
    )


def returned(check: Check, problem: str) -> Finding:
    """The check answered nonsense."""
    return _mishap(check, f"the check returned {_words(problem)}", "broke the contract of a check")


def too_many(check: Check, limit: int) -> Finding:
    """The check found no end."""
    return _mishap(check, f"the check gave more than {limit} findings; the rest is left out", "gave too many findings")


def _mishap(check: Check, summary: str, actual: str, *more: str) -> Finding:
    author = getattr(check.examine, "__module__", None) or "unknown module"
    return Finding(
        check=check.id,
        outcome=Outcome.ERROR,
        summary=summary,
        actual=actual,
        why=_BROKEN,
        remedy=Remedy(steps=(*more, f"Send this report and its capture to whoever maintains the check ({author}).")),
    )


def _words(text: str) -> str:
    """One bounded line that is the same on every run: no memory addresses, no line ends."""
    text = _SPACE.sub(" ", _ADDRESS.sub("", plain(text))).strip()
    return text if len(text) <= _MAX_WORDS else text[:_MAX_WORDS] + "..."


def _place(check: Check, error: BaseException) -> str:
    """File and line of the deepest frame in the check's own file, else of the deepest frame."""
    frames = traceback.extract_tb(error.__traceback__)
    code = getattr(check.examine, "__code__", None)
    own = [frame for frame in frames if code is not None and frame.filename == code.co_filename]
    if not frames:
        return "an unknown place"
    frame = (own or frames)[-1]
    return f"{plain(PurePath(frame.filename).name)}:{frame.lineno}"


def sheet_unread(error: ConfigError) -> Finding:
    """A build sheet could not be read."""
    step = "Correct the file, or take it away; then inspect again."
    return _sheet_error("unreadable", f"a build sheet could not be read: {_words(str(error))}", step)


def sheet_undecided(error: ConfigError) -> Finding:
    """Two build sheets match equally well."""
    step = "Make the match rules of one of them more exact; then inspect again."
    return _sheet_error("undecided", _words(str(error)), step)


def sheet_unsure(undecided: Sequence[str]) -> Finding:
    """Sheets that may be meant could not be compared, because the facts that they match by were not read."""
    return Finding(
        check=SHEET_ID,
        outcome=Outcome.UNKNOWN,
        code="unsure",
        summary=_words(f"it could not be told whether another build sheet is meant: {', '.join(undecided)}"),
        why=_SHEET_WHY,
        remedy=Remedy(steps=("See in the report why these facts were not read; then inspect again.",)),
    )


def listing_not_whole(problems: Sequence[Problem], pasted: bool) -> Finding:
    """Something that the board said is missing from what was read."""
    first = problems[0]
    where = f"line {first.line}: " if first.line else ""
    more = f" (and {len(problems) - 1} more places)" if len(problems) > 1 else ""
    return Finding(
        check=LISTING_ID,
        outcome=Outcome.UNKNOWN,
        code="not-whole",
        summary=_words(f"not all that the board said was read: {where}{first.message}") + more,
        why="A setting that is missing here may be the one that is wrong: what was not read must not pass.",
        remedy=Remedy(steps=(_COPY_AGAIN if pasted else "Inspect the board again; if it stays, try another cable.",)),
        evidence=tuple(Evidence(line=one.line, text=plain(one.text)) for one in problems[:4] if one.line),
    )


def _sheet_error(code: str, summary: str, step: str) -> Finding:
    return Finding(
        check=SHEET_ID,
        outcome=Outcome.ERROR,
        code=code,
        summary=summary,
        why=_SHEET_WHY,
        remedy=Remedy(steps=(step,)),
    )


def expectation_unexamined(names: Sequence[str], sheet: str) -> Finding:
    """The sheet expects something that no check looks at."""
    listed = ", ".join(names)
    return Finding(
        check=SHEET_ID,
        outcome=Outcome.UNKNOWN,
        code="unexamined",
        summary=_words(f"the sheet {sheet} expects {listed}, but no check that is loaded examines it"),
        why="What nobody examines must not count as passed.",
        remedy=Remedy(steps=("Load a plug-in whose check reads it, or take the line out of the sheet.",)),
    )
