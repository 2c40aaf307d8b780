"""Hand notes in a report: facts of their own, of this craft only, and never a pass that nobody earned."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from propsoff import BuildSheet, HandNote, HandNotes, NotesError, Question, Report, load_notes
from propsoff.inspection.check import RESERVED
from propsoff.inspection.meant import meant
from propsoff.inspection.noted import NOTES_ID
from propsoff.notes.model import Hand
from propsoff.sheets.catalogue import built_in_sheets, catalogue
from propsoff.sheets.model import Waiver
from tests_support.conversations import CHECKS, EVERY_CHECK, broken_off, dialects, inspected, pasted_text, recorded

AT = "2026-11-25T10:00:00Z"
HAND_CHECK = tuple(check for check in EVERY_CHECK if check.id == "hand-notes")
BOUND = Question("receiver-bound", "Is the receiver bound?", "yes-no")
SHEET = replace(built_in_sheets()[0], questions=(BOUND,))
YES = HandNotes({"receiver-bound": HandNote(True, AT)})


def report_with(hand: Hand | None, sheet: BuildSheet = SHEET) -> Report:
    return inspected(recorded("ossel-hd53"), sheets=(sheet,), checks=(*CHECKS, *HAND_CHECK), hand=hand)


def found(report: Report, check: str) -> list[tuple[str, str | None]]:
    return [(one.outcome.value, one.code) for one in report.findings if one.check == check]


def test_an_answer_is_a_fact_with_its_origin_and_time_and_makes_the_report_pass() -> None:
    report = report_with(YES)
    [fact] = [fact for fact in report.facts if fact.origin == "hand"]
    assert (fact.name, fact.value, fact.at, fact.lines) == ("hand.receiver-bound", True, AT, ())
    assert report.verdict == "pass"
    assert '"at":"2026-11-25T10:00:00Z"' in report.to_json().replace(" ", "")


def test_without_an_answer_the_report_is_unknown() -> None:
    report = report_with(None)
    assert report.verdict == "unknown"
    assert found(report, "hand-notes") == [("unknown", "unanswered")]


@pytest.mark.parametrize(
    ("craft", "serial"), [("Teal Wren", None), (" teal wren ", None), (None, "4F2A00191C"), ("TEAL WREN", "4f2a00191c")]
)
def test_notes_of_this_craft_are_used(craft: str | None, serial: str | None) -> None:
    assert report_with(replace(YES, craft=craft, serial=serial)).verdict == "pass"


@pytest.mark.parametrize(
    ("craft", "serial", "told"),
    [
        ("Grey Wren", None, "they are of 'Grey Wren', and the craft's name is 'Teal Wren'"),
        ("Teal Wren", "77", "they are of '77', and the board's serial number is '4F2A00191C'"),
        ("Grey Wren", "4F2A00191C", "they are of 'Grey Wren'"),
    ],
)
def test_notes_of_another_craft_are_not_used_and_that_is_said(craft: str, serial: str | None, told: str) -> None:
    report = report_with(replace(YES, craft=craft, serial=serial, source="box.toml"))
    assert report.verdict == "unknown"
    assert [fact for fact in report.facts if fact.origin == "hand"] == []
    assert found(report, NOTES_ID) == [("unknown", "other-craft")]
    assert found(report, "hand-notes") == [("unknown", "unanswered")]
    [finding] = [one for one in report.findings if one.check == NOTES_ID]
    assert finding.summary.startswith("the hand notes box.toml were not used: ")
    assert told in finding.summary


def test_notes_of_another_craft_make_no_pass_where_nothing_is_asked_either() -> None:
    assert report_with(replace(YES, craft="Grey Wren"), built_in_sheets()[0]).verdict == "unknown"


def test_a_name_that_was_not_read_cannot_vouch_for_notes() -> None:
    capture = recorded("ossel-hd53")
    events = tuple(
        event._replace(text=event.text.replace("craft.label := Teal Wren", "craft.labl := Teal Wren"))
        for event in capture.events
    )
    report = inspected(replace(capture, events=events), sheets=(SHEET,), hand=replace(YES, craft="Teal Wren"))
    [finding] = [one for one in report.findings if one.check == NOTES_ID]
    assert finding.summary.endswith("and the craft's name was not read")
    assert report.verdict == "unknown"


@pytest.mark.parametrize("name", ["ossel-hd53", "nobody"])
def test_notes_that_cannot_be_read_are_an_error_in_a_report_that_is_there_all_the_same(name: str) -> None:
    error = NotesError("is not TOML: x", source="a.notes.toml", line=3)
    capture = recorded(name) if name != "nobody" else pasted_text("ossel-hd53", "hello")
    report = inspected(capture, sheets=(SHEET,), hand=error)
    [finding] = [one for one in report.findings if one.check == NOTES_ID]
    assert (finding.outcome, finding.code) == ("error", "unreadable")
    assert "a.notes.toml, line 3: is not TOML" in finding.summary
    assert report.verdict == ("error" if report.complete else "incomplete")


def test_what_a_wrong_value_is_told_of_names_the_file_and_the_line(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_text('format = 1\n[answers]\nreceiver-bound = "yes"\n')
    report = report_with(load_notes(file))
    [finding] = [one for one in report.findings if one.check == "hand-notes"]
    assert finding.code == "answer-unusable"
    assert f"{file}:3" in finding.remedy.steps[0]


def test_a_wrong_answer_can_be_waived_by_the_id_of_its_question(tmp_path: Path) -> None:
    (tmp_path / "ours.toml").write_text(
        'format = 1\nname = "ours"\nextends = "house-default"\n[match]\ncraft = "teal*"\n'
        '[[questions]]\nid = "receiver-bound"\nask = "Bound?"\nkind = "yes-no"\nexpected = "yes"\n'
    )
    sheet = next(one for one in catalogue(user=[tmp_path]).sheets if one.name == "ours")
    no = HandNotes({"receiver-bound": HandNote(False, AT)})
    assert found(report_with(no, sheet), "hand-notes") == [("fail", "receiver-bound")]
    assert report_with(YES, sheet).verdict == "pass"
    let_be = replace(sheet, waivers=(Waiver("hand-notes/receiver-bound", "a bench without a transmitter"),))
    assert report_with(no, let_be).verdict == "pass"


def test_the_id_of_findings_about_notes_is_no_checks() -> None:
    assert NOTES_ID in RESERVED


def test_what_is_meant_is_known_before_any_check_and_only_of_a_whole_conversation() -> None:
    capture = recorded("ossel-hd53")
    about = meant(capture, dialects=dialects(), sheets=(SHEET,))
    assert about is not None
    assert (about.craft.craft.name, about.sheet) == ("Teal Wren", SHEET)
    assert meant(broken_off(capture, 0.5, "unplugged"), dialects=dialects(), sheets=(SHEET,)) is None
    assert meant(capture, dialects=(), sheets=(SHEET,)) is None
