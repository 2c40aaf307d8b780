"""The visits of one run are found by the same words as those in history."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from propsoff.bench.this_run import MOST_VISITS, RunVisits
from propsoff.inspection.finding import Verdict
from propsoff.inspection.report import Report
from propsoff.store.model import Wanted
from propsoff.store.store import open_store
from tests_support.reports import a_report


def visits() -> list[Report]:
    """Six visits of three craft, one of nobody known."""
    found = []
    for number, (craft, serial, verdict) in enumerate(
        [
            ("Teal Wren", "A1", "pass"),
            ("Teal Wren", "A2", "fail"),
            ("teal wren ", "A1", "fail"),
            (None, None, "incomplete"),
            ("Straße", None, "warn"),
            (None, None, "incomplete"),
        ]
    ):
        report = a_report(f"v{number}")[0]
        changes = {
            "id": f"20270115T08000{number}Z-v{number}-0123456789ab",
            "created": f"2027-01-15T08:00:0{number}.000Z",
            "craft": craft,
            "board": "FENWICK F7" if craft else None,
            "board_serial": serial,
            "verdict": Verdict(verdict),
            "bench": "north",
        }
        found.append(Report.from_json(report.model_copy(update=changes).to_json()))
    return found


WANTED = [
    Wanted(),
    Wanted(limit=2),
    Wanted(craft="TEAL WREN"),
    Wanted(craft="a1"),
    Wanted(craft="serial:a1"),
    Wanted(craft="20270115T080001Z-v1-0123456789ab"),
    Wanted(craft="20270115"),
    Wanted(craft="2027"),
    Wanted(craft=""),
    Wanted(craft="STRASSE"),
    Wanted(craft="nobody"),
    Wanted(verdict="fail"),
    Wanted(bench="NORTH", board=" fenwick f7"),
    Wanted(sheet="house-default"),
    Wanted(since=datetime(2027, 1, 15, 8, 0, 2)),
    Wanted(since=datetime(2027, 1, 15, 8, 0, 2, tzinfo=UTC), until=datetime(2027, 1, 15, 8, 0, 4, tzinfo=UTC)),
    Wanted(craft="\0"),
]


@pytest.mark.parametrize("wanted", WANTED)
def test_a_run_answers_as_history_would(tmp_path: Path, wanted: Wanted) -> None:
    run = RunVisits()
    with open_store(f"sqlite:///{tmp_path}/history.sqlite") as store:
        for report in visits():
            run.take(report)
            store.enter(report, None)
        kept = [(visit.id, visit.key, visit.replaces, visit.sheet) for visit in store.visits(wanted)]
    assert [(visit.id, visit.key, visit.replaces, visit.sheet) for visit in run.find(wanted)] == kept


def test_a_long_run_keeps_the_newest_visits() -> None:
    run, report = RunVisits(), visits()[0]
    for number in range(MOST_VISITS + 10):
        run.take(report.model_copy(update={"id": f"20270115T080000Z-n-{number:012x}"}))
    assert len(run.find(Wanted())) == MOST_VISITS
    assert run.get("20270115T080000Z-n-000000000000") is None
    assert run.get(f"20270115T080000Z-n-{MOST_VISITS:012x}") is not None
