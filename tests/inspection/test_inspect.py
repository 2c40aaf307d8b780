"""From a capture to a report: pure, repeatable, and honest about what it could not see."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from propsoff import Case, Finding, Outcome, Verdict, check
from propsoff.console.capture import Capture, load_capture
from propsoff.inspection.finding import verdict_of
from tests_support.conversations import (
    CHECKS,
    WHEN_S,
    dialects,
    inspected,
    pasted_text,
    recorded,
)


@pytest.mark.parametrize("firmware", ["ossel", "brindle", "corvane"])
@pytest.mark.parametrize("variant", ["analog", "analog-ntsc", "hd53", "hd53-spi"])
def test_a_sound_board_passes_live_and_pasted(firmware: str, variant: str) -> None:
    live, by_hand = inspected(recorded(f"{firmware}-{variant}")), inspected(pasted_text(f"{firmware}-{variant}"))
    for report in (live, by_hand):
        assert report.complete, report.ended
        assert report.verdict == "pass", [finding.summary for finding in report.findings]
        assert (report.problems, report.unread) == ((), ())
    assert live.ended == "The conversation reached its end."
    assert by_hand.ended.startswith("Text that somebody pasted")
    assert [(f.check, f.outcome, f.summary) for f in live.findings] == [
        (f.check, f.outcome, f.summary) for f in by_hand.findings
    ]


@pytest.mark.parametrize(
    ("outcomes", "complete", "verdict"),
    [
        (["pass"], True, "pass"),
        (["pass", "skipped"], True, "pass"),
        (["pass", "warn"], True, "warn"),
        (["pass", "warn", "unknown"], True, "unknown"),
        (["warn", "unknown", "error"], True, "error"),
        (["error", "unknown", "fail"], True, "fail"),
        (["skipped"], True, "unknown"),
        ([], True, "unknown"),
        (["pass"], False, "incomplete"),
        (["fail"], False, "incomplete"),
        ([], False, "incomplete"),
    ],
)
def test_the_verdict_is_the_worst_outcome(outcomes: list[str], complete: bool, verdict: str) -> None:
    for words in (outcomes, [*reversed(outcomes)]):
        assert verdict_of([Outcome(word) for word in words], complete=complete) is Verdict(verdict)


# Checks.


@check("breaks", title="Breaks", why="to see", reads=("board",))
def breaks(case: Case) -> Iterator[Finding]:
    raise RuntimeError("broken")


def test_a_broken_check_is_an_error_and_the_others_go_on() -> None:
    report = inspected(recorded("ossel-hd53"), checks=(CHECKS[0], breaks, *CHECKS[1:]))
    assert report.verdict == "error"
    assert [finding.outcome.value for finding in report.findings] == ["pass", "error", "pass", "pass", "pass"]


def test_checks_that_are_left_out_are_listed_and_do_not_count() -> None:
    report = inspected(recorded("ossel-hd53+order-taer"), checks=CHECKS[:1], left_out=CHECKS[1:])
    assert report.verdict == "pass"
    assert [finding.outcome.value for finding in report.findings] == ["pass", "skipped", "skipped", "skipped"]


def test_with_every_check_left_out_nothing_was_examined() -> None:
    assert inspected(recorded("ossel-hd53"), checks=(), left_out=CHECKS).verdict == "unknown"


def test_findings_of_the_caller_come_first_and_count() -> None:
    note = Finding(check="plug-in", outcome=Outcome.ERROR, summary="a plug-in could not be loaded")
    report = inspected(recorded("ossel-hd53"), notes=[note])
    assert report.findings[0] == note
    assert report.verdict == "error"


# Hostile text.


@pytest.mark.parametrize("firmware", ["ossel", "brindle", "corvane"])
@pytest.mark.parametrize("fault", ["name-prompt", "name-prompt-end", "name-4k", "name-quote", "value-huge", "odd-duty"])
def test_odd_values_never_cost_the_report(firmware: str, fault: str) -> None:
    name = f"{firmware}-hd53+{fault}"
    if fault == "name-prompt-end" and firmware == "corvane":
        name = f"{firmware}-hd53+name-prompt"
    report = inspected(recorded(name))
    assert report.board
    json.loads(report.to_json())


def test_a_capture_with_lone_surrogates_is_reported(tmp_path: Path) -> None:
    file = tmp_path / "odd.cast"
    header = {"version": 2, "width": 80, "height": 24, "propsoff": {"port": {"device": "\ud800"}}}
    text = recorded("ossel-hd53").to_bytes().decode().split("\n")
    text[0] = json.dumps(header)
    odd = "\n".join(text).replace("Teal Wren", "Teal \\ud800 Wren")
    file.write_text(odd)
    report = inspected(load_capture(file), file="odd\udcff.cast")
    assert report.board == "FENWICK F7"
    json.loads(report.to_json())


@pytest.mark.parametrize("started", [-1e300, 1e300])
def test_an_absurd_start_costs_nothing(started: float) -> None:
    report = inspected(Capture(recorded("ossel-hd53").events, started))
    assert report.capture.started is None


def test_long_lines_are_quoted_in_part_and_many_unread_lines_are_counted() -> None:
    text = recorded("ossel-hd53+name-4k")
    report = inspected(text)
    name = next(fact for fact in report.facts if fact.name == "craft.name")
    assert str(name.value).endswith("(4096 characters)")
    junk = "".join(f"what is this {n}\r\n" for n in range(2000))
    events = tuple(
        event._replace(text=event.text.replace("; end of recital", junk + "; end of recital")) for event in text.events
    )
    report = inspected(Capture(events, WHEN_S))
    assert len(report.unread) == 500
    assert "2000 lines were not understood" in report.problems[-1].message


# Determinism and speed.

PROBE = """
import hashlib, sys
sys.path.insert(0, sys.argv[1])
from tests_support.conversations import inspected, recorded
for name in ("ossel-hd53+order-taer", "brindle-hd53+two-roles", "corvane-hd50+bad-baud"):
    print(hashlib.sha256(inspected(recorded(name)).to_json().encode()).hexdigest())
"""


def test_the_same_capture_gives_the_same_bytes_in_another_process_with_another_hash_seed() -> None:
    names = ("ossel-hd53+order-taer", "brindle-hd53+two-roles", "corvane-hd50+bad-baud")
    here = [hashlib.sha256(inspected(recorded(name)).to_json().encode()).hexdigest() for name in names]
    support = str(Path(__file__).parent.parent)
    for seed in ("1", "2"):
        done = subprocess.run(
            [sys.executable, "-c", PROBE, support],
            capture_output=True,
            text=True,
            check=True,
            timeout=50,
            env={**os.environ, "PYTHONHASHSEED": seed},
        )
        assert done.stdout.split() == here


def test_a_capture_saved_and_loaded_gives_the_same_report(tmp_path: Path) -> None:
    capture = recorded("brindle-hd53+small-grid")
    file = tmp_path / "a.cast"
    file.write_bytes(capture.to_bytes())
    assert inspected(load_capture(file)).to_json() == inspected(capture).to_json()


def test_building_and_writing_a_report_takes_milliseconds() -> None:
    from propsoff.console.transcript import Transcript
    from propsoff.dialects.read import read_transcript
    from propsoff.inspection.conversation import conversation_of, ending_of
    from propsoff.inspection.document import Visit, build_report

    capture = recorded("ossel-hd53")
    dialect = next(one for one in dialects() if one.id == "ossel")
    reading = read_transcript(Transcript(capture), dialect)
    findings = inspected(capture).findings
    took = []
    for _ in range(50):
        began = time.perf_counter()
        build_report(
            Visit(capture, WHEN_S),
            findings=findings,
            conversation=conversation_of(capture, reading.exchanges, dialect.manner),
            ending=ending_of(capture, reading.exchanges, dialect.manner),
            craft=reading.craft,
            dialect=dialect,
        ).to_json()
        took.append(time.perf_counter() - began)
    assert min(took) < 0.003
