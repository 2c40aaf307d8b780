"""Reports of visits to fill histories with: real ones, told apart by what history looks at."""

from __future__ import annotations

from typing import Any

from propsoff.craft.model import Fact
from propsoff.inspection.finding import Finding, Outcome, Verdict
from propsoff.inspection.report import Report, instant
from tests_support.reports import WHEN_S, a_report


def a_visit(
    name: str, *, at_s: float = 0.0, serial: str | None = None, findings: tuple[Finding, ...] = (), **columns: Any
) -> tuple[Report, bytes]:
    """A report `at_s` seconds after a fixed time, and its capture; `columns` are fields of the report."""
    report, capture = a_report(name)
    facts = (
        Fact("board.serial", serial or "-", None, (1,)),
        Fact("channels.live", (1500, 988), "us", (2,)),
        Fact("motors.bidirectional", True),
        Fact("battery.volts", 16.25, "V"),
    )
    known = {
        "created": instant(WHEN_S + at_s),
        "verdict": Verdict.WARN,
        "complete": True,
        "board": "Draycot H7",
        "board_serial": serial,
        "craft": name,
        "bench": "bench one",
        "findings": findings or (Finding(check="failsafe", outcome=Outcome.WARN, code="drop", summary=f"of {name}"),),
        "facts": facts,
        **columns,
    }
    return report.model_copy(update=known), capture.to_bytes()
