"""Build sheets in a report: which was taken, and that a doubtful one never lets a report pass."""

from __future__ import annotations

from pathlib import Path

from propsoff import BuildSheet
from propsoff.console.capture import Capture, pasted
from propsoff.exceptions import SheetError
from propsoff.sheets.catalogue import built_in_sheets, catalogue
from propsoff.sheets.expect import Expected
from propsoff.sheets.model import MatchRule
from tests_support.conversations import CHECKS, WHEN_S, inspected, recorded

REFUSED = SheetError("there is no such key", source="sheets/teal.toml", line=4, key="chanels", hint="channels?")


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
    assert finding.remedy.console[0] == "let stick.letters := T A E R 1 2 3 4"
    assert finding.remedy.console[1:] == ("keep", "again")
