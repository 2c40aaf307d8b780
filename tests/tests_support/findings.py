"""Findings of a made-up craft: a cause, its effect, one that is waived, and one that passed."""

from __future__ import annotations

from datetime import date

from propsoff.inspection.finding import Finding, Outcome, Remedy, Verdict, Waived
from propsoff.inspection.report import Report
from tests_support.reports import a_report

CAUSE = Finding(
    check="receiver-type",
    code="wrong-kind",
    outcome=Outcome.FAIL,
    summary="the receiver is of another kind",
    remedy=Remedy(console=("put kind serial", "store"), steps=("Look at the wires.",)),
    explains=("channel-order",),
)
EFFECT = Finding(
    check="channel-order",
    outcome=Outcome.UNKNOWN,
    summary="no channel was read",
    remedy=Remedy(steps=("Move a stick.",)),
    because="receiver-type/wrong-kind",
)
LET_BE = Finding(
    check="overlay-canvas",
    outcome=Outcome.FAIL,
    summary="three columns are unused",
    remedy=Remedy(steps=("Choose the other grid.",)),
    waived=Waived(reason="the goggles are to be changed", until=date(2027, 3, 1), source="ours.toml, line 9"),
)
PASSED = Finding(check="port-roles", outcome=Outcome.PASS, summary="one user for each UART")


def report_of(*findings: Finding, **changes: object) -> Report:
    """A complete report of these findings that failed, unless changed."""
    known = {"findings": findings, "verdict": Verdict.FAIL, "complete": True, "next_steps": ()}
    return a_report("one")[0].model_copy(update={**known, **changes})
