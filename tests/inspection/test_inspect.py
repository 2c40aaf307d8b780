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

from propsoff import BuildSheet, Case, Finding, Outcome, Verdict, check, inspect_capture
from propsoff.console.capture import Capture, Event, load_capture, pasted
from propsoff.exceptions import SheetError
from propsoff.inspection.finding import verdict_of
from propsoff.sheets.catalogue import built_in_sheets, catalogue
from propsoff.sheets.model import Expected, MatchRule
from tests_support.conversations import (
    CHECKS,
    WHEN_S,
    broken_off,
    dialects,
    inspected,
    pasted_text,
    recorded,
)

REFUSED = SheetError("there is no such key", source="sheets/teal.toml", line=4, key="chanels", hint="channels?")


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


# What a conversation sent and received.


@pytest.mark.parametrize("firmware", ["ossel", "brindle", "corvane"])
def test_what_a_stranger_was_sent_is_counted(firmware: str) -> None:
    capture = recorded(f"{firmware}-hd53")
    talk = inspected(capture).conversation
    manner = next(dialect.manner for dialect in dialects() if dialect.id == firmware)
    first = len(manner.wake) + len(manner.identify.command.encode() + manner.line_end)
    assert (talk.writes_before_identification, talk.bytes_before_identification) == (2, first)
    assert first <= 32
    assert talk.bytes_sent >= first + sum(len(query.command) for query in manner.reads)
    assert talk.bytes_received == sum(len(event.text.encode()) for event in capture.events if event.code == "o")
    assert [phase.phase.split(" ")[0] for phase in talk.phases] == ["listen", "wake", "identify", "read"]
    assert all(phase.seconds > 0 for phase in talk.phases)
    assert [one.state for one in talk.exchanges] == ["complete"] * len(talk.exchanges)


def test_what_a_stranger_was_sent_is_counted_without_markers_too() -> None:
    capture = recorded("ossel-hd53")
    bare = Capture(tuple(event for event in capture.events if event.code != "m"), WHEN_S)
    with_marks, without = inspected(capture).conversation, inspected(bare).conversation
    assert without.writes_before_identification == with_marks.writes_before_identification == 2
    assert without.bytes_before_identification == with_marks.bytes_before_identification


def test_everything_sent_to_a_board_that_nobody_recognised_went_to_a_stranger() -> None:
    events = (Event(0.0, "m", "wake"), Event(0.1, "i", "\r"), Event(0.2, "o", "?\r\n"), Event(0.3, "m", "end: done"))
    talk = inspected(Capture(events, WHEN_S)).conversation
    assert (talk.writes_before_identification, talk.bytes_before_identification) == (1, 1)


def test_of_pasted_text_nothing_is_claimed_to_have_been_sent() -> None:
    talk = inspected(pasted_text("ossel-hd53")).conversation
    assert (talk.bytes_sent, talk.bytes_before_identification, talk.writes_before_identification) == (0, None, None)


# Conversations that broke off, and consoles that nobody knows.


@pytest.mark.parametrize("firmware", ["ossel", "brindle", "corvane"])
@pytest.mark.parametrize("reason", [None, "the port was lost: unplugged"])
def test_no_conversation_that_broke_off_anywhere_counts_as_complete(firmware: str, reason: str | None) -> None:
    capture = recorded(f"{firmware}-hd53")
    for percent in range(0, 96, 5):
        report = inspected(broken_off(capture, percent / 100, reason))
        assert report.verdict == "incomplete", f"{percent} %: {report.ended}"
        assert not report.complete
        assert report.next_steps
        assert report.ended.endswith(".")
        if reason:
            assert "unplugged" in report.ended


def test_a_reply_that_stops_short_is_named() -> None:
    report = inspected(broken_off(recorded("ossel-hd53"), 0.6, "done"))
    assert report.ended.startswith("The conversation broke off: the reply to 'recite' stops short: ")


def test_a_read_that_was_never_sent_is_named() -> None:
    events = list(recorded("ossel-hd53").events)
    asked = next(at for at, event in enumerate(events) if event.text == "read recite")
    capture = Capture((*events[:asked], Event(9.0, "m", "end: done")), WHEN_S)
    report = inspected(capture)
    assert report.verdict == "incomplete"
    assert report.ended == "The conversation broke off: the conversation ended before 'recite' was asked."


def test_an_incomplete_report_still_tells_what_was_read() -> None:
    report = inspected(broken_off(recorded("corvane-hd53"), 0.99, "unplugged"))
    assert report.board == "PLOVER 8"
    assert report.firmware == "Corvane 0.19.2"


@pytest.mark.parametrize(
    ("capture", "says", "step"),
    [
        (pasted(b""), "not recognised", "cable carries data"),
        (pasted(b"hello\nworld\n"), "no known dialect fits", "write a dialect"),
        (Capture((Event(0.0, "m", "end: /dev/ttyACM0: held by cat (pid 8)"),), WHEN_S), "held by cat (pid 8)", "cable"),
        (
            Capture(
                (Event(0.0, "o", "$GPGGA\r\n"), Event(1.0, "m", "end: not recognised: a positioning receiver")), WHEN_S
            ),
            "The console was not recognised: a positioning receiver.",
            "write a dialect",
        ),
    ],
)
def test_a_console_that_nobody_knows_says_why_and_what_to_do(capture: Capture, says: str, step: str) -> None:
    report = inspected(capture)
    assert (report.verdict, report.complete) == ("incomplete", False)
    assert says in report.ended
    assert any(step in each for each in report.next_steps)
    assert (report.findings, report.facts, report.sheet, report.dialect) == ((), (), None, None)


def test_without_any_dialect_nothing_is_recognised() -> None:
    report = inspect_capture(recorded("ossel-hd53"), dialects=(), sheets=built_in_sheets(), checks=CHECKS)
    assert report.verdict == "incomplete"


# Build sheets.


def sheet(name: str, **details: object) -> BuildSheet:
    rule = MatchRule("board", "board.name", ("FENWICK F7",))
    return BuildSheet(name, name.title(), f"{name}.toml", (rule,), **details)  # type: ignore[arg-type]  # by the tests


def test_the_report_says_which_sheet_was_taken_and_why() -> None:
    report = inspected(recorded("ossel-hd53"), sheets=(*built_in_sheets(), sheet("ours")))
    assert report.sheet is not None
    assert (report.sheet.name, report.sheet.why) == ("ours", "board is FENWICK F7")
    default = inspected(recorded("ossel-hd53")).sheet
    assert default is not None
    assert (default.name, default.house_default) == ("house-default", True)
    assert "house defaults apply" in default.why


def test_a_sheet_that_could_not_be_read_never_lets_a_report_pass() -> None:
    report = inspected(recorded("ossel-hd53"), sheet_errors=[REFUSED])
    assert report.verdict == "error"
    [finding] = [one for one in report.findings if one.check == "build-sheet"]
    assert finding.outcome == "error"
    for words in ("sheets/teal.toml, line 4", "chanels", "channels?"):
        assert words in finding.summary
    assert {one.check for one in report.findings} > {check.id for check in CHECKS}  # the checks ran all the same


def test_a_sheet_error_is_told_for_a_board_that_nobody_recognised_too() -> None:
    report = inspected(pasted(b"hello"), sheet_errors=[REFUSED])
    assert report.verdict == "incomplete"
    assert [finding.check for finding in report.findings] == ["build-sheet"]


def test_sheets_that_match_equally_well_are_an_error_and_the_house_defaults_stand_in() -> None:
    report = inspected(recorded("ossel-hd53"), sheets=(*built_in_sheets(), sheet("a"), sheet("b")))
    assert report.verdict == "error"
    assert report.sheet is not None
    assert report.sheet.name == "house-default"
    assert "a.toml" in report.findings[0].summary
    assert "b.toml" in report.findings[0].summary


def test_without_any_sheet_the_house_defaults_stand_in_and_that_is_an_error() -> None:
    report = inspected(recorded("ossel-hd53"), sheets=())
    assert report.verdict == "error"
    assert report.sheet is not None
    assert report.sheet.name == "house-default"


def test_a_sheet_that_could_not_be_compared_leaves_the_verdict_unknown() -> None:
    rules = (MatchRule("craft", "craft.name", ("Teal*",)),)
    silent = recorded("ossel-hd53")
    without_name = Capture(
        tuple(
            event._replace(text=event.text.replace("craft.label := Teal Wren", "craft.labl := Teal Wren"))
            for event in silent.events
        ),
        WHEN_S,
    )
    report = inspected(without_name, sheets=(*built_in_sheets(), BuildSheet("teal", "Teal", "teal.toml", rules)))
    assert report.craft is None
    [finding] = [one for one in report.findings if one.check == "build-sheet"]
    assert finding.outcome == "unknown"
    assert "teal (craft.name not read)" in finding.summary


def test_an_expectation_that_no_check_examines_leaves_the_verdict_unknown() -> None:
    ours = sheet(
        "ours", expectations={"motors.protocol": Expected(("dshot600",)), "channels.order": Expected(("AETR",))}
    )
    report = inspected(recorded("ossel-hd53"), sheets=(*built_in_sheets(), ours))
    assert report.verdict == "unknown"
    [finding] = [one for one in report.findings if one.check == "build-sheet"]
    assert "motors.protocol" in finding.summary
    assert "channels.order" not in finding.summary


def test_a_fact_that_a_check_reads_for_another_reason_is_not_an_expectation_examined() -> None:
    ours = sheet("ours", expectations={"firmware.version": Expected(("9.9.9",))})
    report = inspected(recorded("ossel-hd53"), sheets=(*built_in_sheets(), ours))
    assert report.verdict == "unknown"
    assert "firmware.version" in report.findings[-1].summary


def test_a_check_that_stopped_early_or_was_left_out_is_not_blamed_for_what_it_did_not_ask() -> None:
    ours = sheet("ours", expectations={"receiver.telemetry": Expected((True,))})
    sheets = (*built_in_sheets(), ours)
    stopped = inspected(recorded("ossel-hd53+receiver-none"), sheets=sheets)
    left = inspected(recorded("ossel-hd53"), sheets=sheets, checks=CHECKS[1:], left_out=CHECKS[:1])
    for report in (stopped, left):
        assert [finding.check for finding in report.findings if finding.check == "build-sheet"] == []


def test_a_sheet_file_of_a_person_is_obeyed_from_end_to_end(tmp_path: Path) -> None:
    (tmp_path / "teal.toml").write_text(
        'format = 1\nname = "teal"\n[match]\ncraft = "teal *"\n[channels]\norder = "TAER"\n', encoding="utf-8"
    )
    report = inspected(recorded("ossel-hd53"), sheets=catalogue(user=[tmp_path]).sheets)
    assert report.verdict == "fail"
    [finding] = [one for one in report.findings if one.outcome == "fail"]
    assert finding.check == "channel-order"
    assert finding.remedy.console[0].startswith("let stick.letters := TAER")
    assert finding.remedy.console[1:] == ("keep", "again")


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
    from propsoff.inspection.document import build_report

    capture = recorded("ossel-hd53")
    dialect = next(one for one in dialects() if one.id == "ossel")
    reading = read_transcript(Transcript(capture), dialect)
    findings = inspected(capture).findings
    took = []
    for _ in range(50):
        began = time.perf_counter()
        build_report(
            capture,
            created=WHEN_S,
            port=None,
            file=None,
            plugins=(),
            findings=findings,
            conversation=conversation_of(capture, reading.exchanges, dialect.manner),
            ending=ending_of(capture, reading.exchanges, dialect.manner),
            craft=reading.craft,
            dialect=dialect,
        ).to_json()
        took.append(time.perf_counter() - began)
    assert min(took) < 0.003
