"""JUnit XML against junit-10.xsd, the schema that pytest 9.2.0 tests its own with (testing/example_scripts)."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest
import xmlschema
from hypothesis import given, settings

from propsoff.inspection.finding import Finding, Outcome, Verdict
from propsoff.inspection.report import Report
from propsoff.outputs.document import Told
from propsoff.outputs.escape import visible
from propsoff.outputs.junit import CONVERSATION, junit
from tests_support.findings import CAUSE, EFFECT, LET_BE, PASSED, report_of
from tests_support.hostile import hostile, hostile_reports

SCHEMA = xmlschema.XMLSchema(Path(__file__).with_name("junit-10.xsd"))
WARNED = Finding(check="video-link", outcome=Outcome.WARN, summary="near another")
SKIPPED = Finding(check="sensors", outcome=Outcome.SKIPPED, summary="no sensor is asked for")
BROKEN = Finding(check="pulses", outcome=Outcome.ERROR, summary="the check raised KeyError")


def read(*told: Told, strict: bool = False) -> ElementTree.Element:
    data = junit(told, strict=strict)
    SCHEMA.validate(data.decode())
    return ElementTree.fromstring(data)


def kinds(root: ElementTree.Element) -> dict[str | None, str | None]:
    """What each testcase came to, by its name."""
    told = ("failure", "error", "skipped")
    return {
        case.get("name"): next((inside.tag for inside in case if inside.tag in told), None)
        for case in root.iter("testcase")
    }


def test_the_schema_refuses_what_is_none() -> None:
    assert not SCHEMA.is_valid("<testsuite name='a'/>")


def test_each_outcome_has_its_element() -> None:
    root = read(Told("one.cast", report_of(CAUSE, EFFECT, PASSED, WARNED, SKIPPED, BROKEN)))
    assert kinds(root) == {
        "receiver-type": "failure",
        "channel-order": "error",
        "port-roles": None,
        "video-link": None,
        "sensors": "skipped",
        "pulses": "error",
    }
    [suite] = root
    counts = [suite.get(name) for name in ("name", "tests", "failures", "errors", "skipped")]
    assert counts == ["one.cast", "6", "1", "2", "1"]
    assert [root.get(name) for name in ("tests", "failures", "errors")] == ["6", "1", "2"]


def test_a_warning_passes_with_its_words_unless_strict() -> None:
    told = Told("one", report_of(WARNED, verdict=Verdict.WARN))
    assert kinds(read(told)) == {"video-link": None}
    assert read(told).findtext(".//system-out") == "warn: near another"
    assert kinds(read(told, strict=True)) == {"video-link": "failure"}


def test_a_waived_fault_passes_and_says_by_whose_word() -> None:
    root = read(Told("one", report_of(LET_BE, verdict=Verdict.PASS)), strict=True)
    assert kinds(root) == {"overlay-canvas": None}
    assert "waived: the goggles are to be changed until 2027-03-01" in str(root.findtext(".//system-out"))


def test_the_findings_of_one_check_are_one_testcase_and_the_worst_decides() -> None:
    other = CAUSE.model_copy(update={"outcome": Outcome.WARN, "code": "other", "summary": "another thing"})
    passed = PASSED.model_copy(update={"check": "receiver-type"})
    root = read(Told("one", report_of(passed, other, CAUSE)))
    assert kinds(root) == {"receiver-type": "failure"}
    [failure] = root.iter("failure")
    assert (failure.get("type"), failure.get("message")) == ("receiver-type/wrong-kind", CAUSE.summary)
    assert "type: put kind serial" in str(failure.text)
    assert "another thing" in str(failure.text)


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"complete": False, "verdict": Verdict.INCOMPLETE}, {CONVERSATION: "error", "port-roles": None}),
        ({"complete": True, "verdict": Verdict.UNKNOWN}, {CONVERSATION: "error", "port-roles": None}),
        ({"complete": True, "verdict": Verdict.PASS}, {"port-roles": None}),
    ],
)
def test_a_report_that_is_no_pass_is_never_green(changes: dict[str, object], expected: dict[str, str | None]) -> None:
    assert kinds(read(Told("one", report_of(PASSED, **changes)))) == expected


def test_a_report_without_findings_and_an_inspection_without_report_are_errors() -> None:
    root = read(Told("one", report_of(verdict=Verdict.UNKNOWN)), Told("two", None, "the worker died"))
    assert [[inside.tag for inside in case] for case in root.iter("testcase")] == [["error"], ["error"]]
    assert "the worker died" in [error.get("message") for error in root.iter("error")]


def test_no_report_at_all_is_still_a_document() -> None:
    assert read().get("tests") == "0"


@settings(deadline=None)
@given(hostile_reports(), hostile)
def test_hostile_texts_keep_the_form_and_come_back(report: Report, label: str) -> None:
    root = read(Told(label, report))
    [suite] = root
    assert suite.get("name") == visible(label)
    properties = {each.get("name"): each.get("value") for each in root.iter("property")}
    for name in ("craft", "board", "board_serial", "firmware"):
        assert properties[name] == visible(getattr(report, name))
    [finding] = report.findings
    inside = [*root.iter("failure"), *root.iter("error"), *root.iter("skipped"), *root.iter("system-out")]
    lines = "\n".join(each.text or "" for each in inside).split("\n")
    if finding.outcome is not Outcome.PASS:
        assert f"{finding.outcome.value}: {visible(finding.summary)}" in lines
        assert f"why: {visible(finding.why)}" in lines
        assert f"type: {visible(finding.remedy.console[0])}" in lines
    if not report.complete:
        assert visible(report.ended) in lines
