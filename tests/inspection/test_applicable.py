"""A sheet may say which checks apply; what it takes out is skipped with the reason, and a misspelt name is told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from propsoff import BuildSheet, Case, Finding, Outcome, check
from propsoff.inspection.applicable import applicable
from propsoff.sheets.catalogue import built_in_sheets, catalogue
from propsoff.sheets.expect import Expected
from propsoff.sheets.model import PlannedSwitch, SwitchPlan
from tests_support.conversations import CHECKS, WHEN_S, inspected, recorded

HOUSE = replace(built_in_sheets()[0], built_in=False)


def sheet(**more: object) -> BuildSheet:
    return replace(HOUSE, **more)  # type: ignore[arg-type]  # by the tests


def test_all_checks_apply_where_the_sheet_says_nothing() -> None:
    found = applicable(HOUSE, CHECKS, ())
    assert (found.checks, found.out, found.findings) == (CHECKS, (), ())


def test_a_check_that_is_skipped_gives_its_reason() -> None:
    found = applicable(sheet(skip={"port-roles": "wired by hand"}), CHECKS, ())
    assert [check.id for check in found.out] == ["port-roles"]
    assert "port-roles" not in [check.id for check in found.checks]
    [told] = found.findings
    assert (told.check, told.outcome) == ("port-roles", Outcome.SKIPPED)
    assert "wired by hand" in told.summary


def test_only_the_checks_that_are_named_apply_and_skip_goes_before_only() -> None:
    chosen = sheet(only=("channel-order", "port-roles"), skip={"port-roles": "later"})
    found = applicable(chosen, CHECKS, ())
    assert [check.id for check in found.checks] == ["channel-order"]
    assert len(found.findings) == len(CHECKS) - 1
    assert all(one.outcome is Outcome.SKIPPED for one in found.findings)


def test_a_name_of_no_check_is_unknown_with_the_nearest_name() -> None:
    chosen = sheet(only=("chanel-order",), skip={"port-rolls": "x"}, origins={"checks.skip.port-rolls": "s.toml:9"})
    told = [one for one in applicable(chosen, CHECKS, ()).findings if one.check == "build-sheet"]
    assert [(one.outcome, one.code) for one in told] == [(Outcome.UNKNOWN, "no-such-check")] * 2
    assert "did you mean channel-order?" in told[0].summary
    assert "s.toml:9" in told[1].summary
    assert "did you mean port-roles?" in told[1].summary


def test_a_check_that_the_bench_leaves_out_is_a_check_that_there_is() -> None:
    chosen = sheet(skip={"port-roles": "x"})
    left = [check for check in CHECKS if check.id == "port-roles"]
    rest = [check for check in CHECKS if check.id != "port-roles"]
    assert applicable(chosen, rest, left).findings == ()


def test_a_report_says_what_the_sheet_took_out_and_a_misspelt_name_lets_nothing_pass(tmp_path: Path) -> None:
    (tmp_path / "s.toml").write_text(
        'format = 1\nname = "s"\nextends = "house-default"\n[match]\ncraft = "*"\n'
        '[checks.skip]\nchannel-order = "export craft"\n',
        encoding="utf-8",
    )
    report = inspected(recorded("ossel-hd53+order-taer"), sheets=catalogue(user=[tmp_path]).sheets)
    assert report.verdict == "pass"
    [order] = [one for one in report.findings if one.check == "channel-order"]
    assert (order.outcome, "export craft" in order.summary) == (Outcome.SKIPPED, True)
    (tmp_path / "s.toml").write_text(
        'format = 1\nname = "s"\nextends = "house-default"\n[checks]\nonly = ["chanel-order"]'
    )
    assert inspected(recorded("ossel-hd53"), sheets=catalogue(user=[tmp_path]).sheets).verdict == "unknown"


def asks_for(*names: str) -> object:
    @check("asks", title="Asks", why="w", reads=names)
    def asks(case: Case) -> Iterator[Finding]:
        for name in names:
            if name == "switches":
                assert case.sheet.switches.required
            elif name == "overlay.elements":
                assert case.sheet.elements_required
        yield case.passed("asked")

    return asks


def test_plans_and_elements_that_nobody_asks_for_leave_the_verdict_unknown() -> None:
    plan = SwitchPlan(("arm",), {"arm": PlannedSwitch(5)})
    chosen = BuildSheet("s", "S", "s.toml", switches=plan, elements_required=("battery",))
    nobody = inspected(recorded("ossel-hd53"), sheets=(chosen,), checks=(asks_for("board"),))  # type: ignore[arg-type]  # a check
    assert nobody.verdict == "unknown"
    [told] = [one for one in nobody.findings if one.check == "build-sheet"]
    assert (told.code, "switches" in told.summary, "overlay.elements" in told.summary) == ("unexamined", True, True)
    asked = asks_for("switches", "overlay.elements")
    assert inspected(recorded("ossel-hd53"), sheets=(chosen,), checks=(asked,)).verdict == "pass"  # type: ignore[arg-type]  # a check


def test_an_answer_that_is_expected_is_examined_by_the_check_that_reads_hand_notes() -> None:
    chosen = BuildSheet("s", "S", "s.toml", expectations={"hand.bound": Expected((True,))})
    for reads, verdict in (("hand", "pass"), ("board", "unknown"), ("handy", "unknown")):
        report = inspected(recorded("ossel-hd53"), sheets=(chosen,), checks=(asks_for(reads),))  # type: ignore[arg-type]  # a check
        assert report.verdict == verdict


def test_the_socket_of_the_bench_chooses_the_sheet_of_a_report() -> None:
    chosen = replace(HOUSE, name="here", match=())
    from propsoff.sheets.model import MatchRule

    here = replace(chosen, match=(MatchRule("port", "port", ("1-3:1.0",)),))
    for port, name in (({"path": "1-3:1.0"}, "here"), ({"path": "1-4:1.0", "device": "/dev/ttyACM0"}, "house-default")):
        report = inspected(recorded("ossel-hd53", port=port), sheets=(*built_in_sheets(), here))
        assert report.sheet is not None
        assert (report.sheet.name, report.verdict) == (name, "pass")
    unsure = inspected(recorded("ossel-hd53"), sheets=(*built_in_sheets(), here))
    assert unsure.verdict == "unknown"
    assert [one.code for one in unsure.findings if one.check == "build-sheet"] == ["unsure"]
    assert WHEN_S
