"""Visits judged again: what changed, by visit and by finding."""

from __future__ import annotations

from typing import Any

from propsoff.inspection.finding import Finding, Outcome, Verdict
from propsoff.inspection.report import Report
from propsoff.records.rejudged import by_finding, not_rejudged, rejudged
from tests_support.visits import a_visit


def judged(**outcomes: Outcome) -> Report:
    """A report with one finding of each of these checks."""
    findings: tuple[Finding, ...] = tuple(
        Finding(check=check, outcome=outcome, code="x", summary=f"of {check}") for check, outcome in outcomes.items()
    )
    more: dict[str, Any] = {"verdict": Verdict.FAIL}
    return a_visit("Wren", findings=findings, **more)[0]


def test_what_changed_is_counted_by_finding() -> None:
    visits = [
        rejudged(
            judged(gone=Outcome.FAIL, stays=Outcome.WARN),
            judged(gone=Outcome.PASS, stays=Outcome.WARN, new=Outcome.FAIL),
        ),
        rejudged(judged(stays=Outcome.WARN), judged(stays=Outcome.FAIL, new=Outcome.FAIL)),
        rejudged(judged(stays=Outcome.WARN), judged(stays=Outcome.WARN)),
    ]
    assert [one.changed for one in visits] == [True, True, False]
    assert by_finding(visits) == {"gone/x": (0, 1, 0), "new/x": (2, 0, 0), "stays/x": (0, 0, 1)}


def test_what_no_check_looks_for_any_more_has_not_gone() -> None:
    one = rejudged(judged(taken=Outcome.FAIL, stays=Outcome.WARN), judged(stays=Outcome.WARN))
    assert [(each.name, each.a, each.b) for each in one.findings] == [("taken/x", "fail", "not known")]
    assert by_finding([one]) == {"taken/x": (0, 0, 1)}


def test_another_verdict_alone_is_a_change() -> None:
    old = judged(stays=Outcome.WARN)
    assert rejudged(old, old.model_copy(update={"verdict": Verdict.WARN})).changed


def test_what_cannot_be_judged_again_has_not_changed_and_says_why() -> None:
    one = not_rejudged("an-id", "Wren", "pass", "its capture is not kept")
    assert (one.changed, one.after, one.why_not) == (False, None, "its capture is not kept")
