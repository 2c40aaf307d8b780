"""The rows of `propsoff watch`: one event after another, as a person reads them."""

from __future__ import annotations

import io
from pathlib import Path

from propsoff.bench.events import Event, Kept, NotKept, Reported, Trouble
from propsoff.cli.rows import Rows
from propsoff.inspection.finding import Verdict
from propsoff.outputs.terminal import console_for
from propsoff.ports.facts import Port
from tests_support.findings import CAUSE, EFFECT, LET_BE, PASSED, report_of

PORT = Port("/dev/one")


def rows(*events: Event, files: bool = True) -> list[str]:
    stream = io.StringIO()
    watcher = Rows(console_for(stream), files=files)
    for event in events:
        watcher(event)
    return stream.getvalue().splitlines()


def test_an_effect_is_no_thing_to_do_and_a_waived_finding_has_no_remedy() -> None:
    _, waived, cause, step, effect = rows(Reported(PORT, report_of(EFFECT, CAUSE, PASSED, LET_BE)))
    assert "waived until 2027-03-01: the goggles are to be changed" in waived
    assert CAUSE.summary in cause
    assert step == "        type: put kind serial  (and 1 more line)"
    assert effect == "        also seen: channel-order: no channel was read"


def test_what_was_not_read_because_the_conversation_broke_off_is_told_by_that_alone() -> None:
    broken = report_of(
        EFFECT, complete=False, ended="It was unplugged.", verdict=Verdict.INCOMPLETE, next_steps=("Look.",)
    )
    row, step = rows(Reported(PORT, broken))
    assert row.endswith("It was unplugged.")
    assert step == "    do: Look."


def test_the_files_of_a_report_that_needs_a_person_are_named() -> None:
    failed, passed = report_of(CAUSE), report_of(PASSED, verdict=Verdict.PASS)
    path = Path("/out") / ("folder-" * 30) / "one.json"
    assert rows(Kept(failed, path)) == [
        f"    report: {path}",
        f"    all of it: propsoff show {path}",
    ]
    assert rows(Kept(passed, path)) == rows(Kept(failed, path), files=False) == []


def test_a_report_that_was_written_late_is_told_whatever_its_verdict() -> None:
    passed = report_of(PASSED, verdict=Verdict.PASS)
    told = rows(NotKept(passed, "files", "the disk is full; it is tried again"), Kept(passed, Path("/out/one.json")))
    assert told[0] == "          /dev/one  the report could not be written (files): the disk is full; it is tried again"
    assert told[1] == "    report: /out/one.json"


def test_a_port_that_keeps_leaving_is_told_in_its_row() -> None:
    [row] = rows(Trouble("keeps leaving and coming back: check the plug", PORT))
    assert row.split(None, 1) == ["/dev/one", "keeps leaving and coming back: check the plug"]
