"""Reports as JUnit XML for a test rig: a testsuite for each craft, a testcase for each check that spoke of it.

The form is that of `junit-10.xsd`, which pytest's own test suite ships (see tests/outputs).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from xml.etree import ElementTree

from propsoff.inspection.finding import Outcome, Verdict
from propsoff.outputs.escape import visible

if TYPE_CHECKING:
    from propsoff.inspection.finding import Finding
    from propsoff.inspection.report import Report
    from propsoff.outputs.document import Told

_KINDS = {Outcome.FAIL: "failure", Outcome.ERROR: "error", Outcome.UNKNOWN: "error", Outcome.SKIPPED: "skipped"}
_SEVERITY = (Outcome.SKIPPED, Outcome.PASS, Outcome.WARN, Outcome.UNKNOWN, Outcome.ERROR, Outcome.FAIL)
_TALLIES = {"failure": "failures", "error": "errors", "skipped": "skipped"}
CONVERSATION = "conversation"
"""The testcase that is an error where the conversation broke off, or where nothing was examined."""


@dataclass(frozen=True, slots=True)
class _Case:
    """A testcase: `kind` is what its element inside is called, None where it passed."""

    name: str
    kind: str | None
    type: str
    message: str
    body: str


def junit(told: Iterable[Told], *, strict: bool = False) -> bytes:
    """The document, UTF-8. `strict`: a warning is a failure; otherwise it passes and stands in system-out.

    A fault becomes a failure; what broke or could not be read, and an inspection that did not reach its end, an error.
    """
    root = ElementTree.Element("testsuites", name="propsoff")
    totals = {"tests": 0, "failures": 0, "errors": 0}
    for each in told:
        suite = _suite(each, strict)
        for name in totals:
            totals[name] += int(suite.get(name, "0"))
        root.append(suite)
    for name, number in totals.items():
        root.set(name, str(number))
    ElementTree.indent(root)
    document: bytes = ElementTree.tostring(root, encoding="utf-8", xml_declaration=True)
    return document + b"\n"


def _suite(told: Told, strict: bool) -> ElementTree.Element:
    report = told.report
    cases = [_broken(told.problem)] if report is None else _cases(report, strict)
    named = visible(told.label)
    suite = ElementTree.Element("testsuite", name=named, tests=str(len(cases)))
    for kind, tally in _TALLIES.items():
        suite.set(tally, str(sum(case.kind == kind for case in cases)))
    if report is not None:
        suite.set("timestamp", report.created.removesuffix("Z").partition(".")[0])
        if report.bench:
            suite.set("hostname", visible(report.bench))
        suite.append(_properties(report, told))
    for case in cases:
        suite.append(_testcase(case, named))
    return suite


def _properties(report: Report, told: Told) -> ElementTree.Element:
    properties = ElementTree.Element("properties")
    known = {
        "report": report.id,
        "created": report.created,
        "verdict": report.verdict.value,
        "craft": report.craft,
        "board": report.board,
        "board_serial": report.board_serial,
        "firmware": report.firmware,
        "sheet": None if report.sheet is None else report.sheet.name,
        "dialect": None if report.dialect is None else report.dialect.id,
        "capture_sha256": report.capture.sha256,
        "replaces": told.replaces,
        "replaced_by": told.replaced_by,
    }
    for name, value in known.items():
        if value is not None:
            ElementTree.SubElement(properties, "property", name=name, value=visible(value))
    return properties


def _testcase(case: _Case, suite: str) -> ElementTree.Element:
    # A full stop parts packages and classes for most readers of this form; a label keeps none.
    element = ElementTree.Element("testcase", name=case.name, classname=suite.replace(".", "_"))
    if case.kind is not None:
        inside = ElementTree.SubElement(element, case.kind, type=case.type, message=case.message)
        inside.text = case.body
    elif case.body:
        ElementTree.SubElement(element, "system-out").text = case.body
    return element


def _broken(problem: str) -> _Case:
    said = visible(problem)
    return _Case(CONVERSATION, "error", Verdict.ERROR.value, said, said)


def _cases(report: Report, strict: bool) -> list[_Case]:
    by_check: dict[str, list[Finding]] = {}
    for finding in report.findings:
        by_check.setdefault(finding.check, []).append(finding)
    cases = [_case(check, findings, strict) for check, findings in by_check.items()]
    green = not any(case.kind in ("failure", "error") for case in cases)
    if not report.complete or (green and report.verdict not in (Verdict.PASS, Verdict.WARN)):
        steps = [visible(step) for step in report.next_steps]
        ended = visible(report.ended)
        cases.insert(0, _Case(CONVERSATION, "error", report.verdict.value, ended, "\n".join([ended, *steps])))
    return cases


def _case(check: str, findings: Sequence[Finding], strict: bool) -> _Case:
    """One check's findings: the worst decides, and all that want a word are told."""
    worst = max(findings, key=lambda finding: _SEVERITY.index(finding.counts_as))
    outcome = worst.counts_as
    kind = "failure" if strict and outcome is Outcome.WARN else _KINDS.get(outcome)
    told = [each for each in findings if each.outcome is not Outcome.SKIPPED] or findings
    quiet = all(each.outcome is Outcome.PASS for each in told)
    body = "" if quiet else "\n\n".join("\n".join(_lines(each)) for each in told)
    return _Case(check, kind, worst.name, visible(worst.summary), body)


def _lines(finding: Finding) -> list[str]:
    waived = finding.waived
    until = "" if waived is None or waived.until is None else f" until {waived.until.isoformat()}"
    rows: list[tuple[str, Sequence[str]]] = [
        ("waived", [] if waived is None else [f"{waived.reason}{until}"]),
        ("expected", [finding.expected] if finding.expected else []),
        ("found", [finding.actual] if finding.actual else []),
        ("why", [finding.why] if finding.why else []),
        ("caution", [finding.caution] if finding.caution else []),
        ("type", finding.remedy.console),
        ("do", finding.remedy.steps),
        ("seen", [f"line {each.line}: {each.text}" for each in finding.evidence]),
        ("because", [finding.because] if finding.because else []),
    ]
    first = f"{finding.outcome.value}: {visible(finding.summary)}"
    return [first, *[f"{label}: {visible(text)}" for label, texts in rows for text in texts]]
