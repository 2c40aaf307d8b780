"""A waiver lets a finding be until its day, and no longer, and nothing but that finding."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from propsoff import Finding, Outcome, Report
from propsoff.inspection.waivers import today, with_waivers
from propsoff.sheets.catalogue import built_in_sheets, catalogue
from propsoff.sheets.model import Waiver
from tests_support.conversations import WHEN_S, inspected, recorded

TODAY = datetime.fromtimestamp(WHEN_S, UTC).date()
TOMORROW, YESTERDAY = TODAY + timedelta(days=1), TODAY - timedelta(days=1)


def finding(check: str, outcome: Outcome = Outcome.FAIL, code: str | None = "x", **more: object) -> Finding:
    return Finding(check=check, outcome=outcome, code=code, summary="s", **more)  # type: ignore[arg-type]  # by the tests


@pytest.mark.parametrize("named", ["failsafe/hold", "failsafe"])
@pytest.mark.parametrize("outcome", [Outcome.WARN, Outcome.FAIL, Outcome.UNKNOWN])
@pytest.mark.parametrize("until", [None, TODAY, TOMORROW])
def test_a_finding_that_is_named_is_waived_up_to_and_on_the_last_day(
    named: str, outcome: Outcome, until: date | None
) -> None:
    found = [finding("failsafe", outcome, "hold"), finding("sensors")]
    judged = with_waivers(found, [Waiver(named, "trainer", until, "s.toml:3")], TODAY)
    assert judged[0].waived is not None
    assert (judged[0].waived.reason, judged[0].waived.until, judged[0].waived.source) == ("trainer", until, "s.toml:3")
    assert judged[0].counts_as is Outcome.PASS
    assert judged[1:] == found[1:]


@pytest.mark.parametrize("named", ["failsafe/holds", "fail", "failsafe/", "sensors", "failsafe/hold/x"])
def test_what_is_not_named_exactly_is_not_waived_and_a_waiver_of_nothing_is_silent(named: str) -> None:
    found = [finding("failsafe", code="hold")]
    for until in (TOMORROW, YESTERDAY):
        assert with_waivers(found, [Waiver(named, "r", until)], TODAY) == found


def test_what_broke_and_what_was_found_about_sheets_and_listings_is_never_waived() -> None:
    found = [
        finding("failsafe", Outcome.ERROR),
        finding("failsafe", Outcome.SKIPPED),
        finding("build-sheet", Outcome.UNKNOWN, "unexamined"),
        finding("listing", Outcome.UNKNOWN, "not-whole"),
        finding("notes-file", Outcome.UNKNOWN, "other-craft"),
    ]
    waivers = [
        Waiver(name, "r", until)
        for name in ("failsafe", "build-sheet", "listing", "notes-file")
        for until in (None, YESTERDAY)
    ]
    assert with_waivers(found, waivers, TODAY) == found


def test_an_expired_waiver_counts_as_none_and_says_so_where_the_finding_is() -> None:
    found = [finding("failsafe", code="hold")]
    waiver = Waiver("failsafe/hold", "trainer craft", YESTERDAY, "house.toml:9")
    [same, told] = with_waivers(found, [waiver], TODAY)
    assert same == found[0]
    assert (told.check, told.code, told.outcome) == ("build-sheet", "waiver-expired", Outcome.WARN)
    for words in ("failsafe/hold", "trainer craft", YESTERDAY.isoformat(), "house.toml:9"):
        assert words in told.summary
    assert told.remedy.steps
    assert with_waivers([finding("sensors")], [waiver], TODAY) == [finding("sensors")]


def test_where_another_waiver_holds_an_expired_one_is_silent_and_the_more_exact_one_speaks() -> None:
    found = [finding("failsafe", code="hold")]
    waivers = [
        Waiver("failsafe", "all of it", None),
        Waiver("failsafe/hold", "old", YESTERDAY),
        Waiver("failsafe/hold", "this", TOMORROW),
    ]
    [judged] = with_waivers(found, waivers, TODAY)
    assert judged.waived is not None
    assert judged.waived.reason == "this"


def test_to_waive_the_cause_does_not_waive_its_effects() -> None:
    found = [finding("a", explains=("b",)), finding("b", because="a/x")]
    cause, effect = with_waivers(found, [Waiver("a", "r")], TODAY)
    assert (cause.counts_as, effect.counts_as) == (Outcome.PASS, Outcome.FAIL)


def test_the_day_is_that_of_the_inspection_in_utc() -> None:
    assert today(0) == date(1970, 1, 1)
    assert today(86_399.9) == date(1970, 1, 1)
    assert today(86_400) == date(1970, 1, 2)


def waived_report(until: date | None, *, fault: str = "receiver-half-duplex") -> Report:
    waiver = Waiver("receiver-type", "one wire is wired", until, "s.toml:1")
    sheet = replace(built_in_sheets()[0], built_in=False, waivers=(waiver,))
    return inspected(recorded(f"ossel-hd53+{fault}"), sheets=(sheet,))


def test_a_report_passes_while_the_waiver_holds_and_not_the_day_after() -> None:
    for until in (None, TODAY):
        report = waived_report(until)
        assert report.verdict == "pass"
        [one] = [one for one in report.findings if one.waived is not None]
        assert one.outcome in ("warn", "fail")
    report = waived_report(YESTERDAY)
    assert report.verdict in ("warn", "fail")
    assert "waiver-expired" in [one.code for one in report.findings]


def test_a_waiver_in_a_file_is_obeyed_and_names_its_line(tmp_path: Path) -> None:
    (tmp_path / "teal.toml").write_text(
        'format = 1\nname = "teal"\nextends = "house-default"\n[match]\ncraft = "teal *"\n'
        f'[[waivers]]\nfinding = "channel-order"\nreason = "export craft"\nuntil = {TODAY}\n',
        encoding="utf-8",
    )
    report = inspected(recorded("ossel-hd53+order-taer"), sheets=catalogue(user=[tmp_path]).sheets)
    [one] = [one for one in report.findings if one.waived is not None]
    assert (one.check, one.outcome) == ("channel-order", Outcome.FAIL)
    assert one.waived is not None
    assert one.waived.source == f"{tmp_path}/teal.toml:6"
    assert Report.from_json(report.to_json()) == report
