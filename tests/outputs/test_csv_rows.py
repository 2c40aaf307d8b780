"""CSV: rows and columns come back through Python's own reader of RFC 4180, and no cell is a formula."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given

from propsoff.inspection.report import Report
from propsoff.outputs.csv_rows import COLUMNS, cell, csv_rows
from propsoff.outputs.document import Told
from propsoff.outputs.escape import visible
from tests_support.findings import CAUSE, EFFECT, LET_BE, PASSED, report_of
from tests_support.hostile import hostile, hostile_reports

FORMULA = ("=", "+", "-", "@", "\t", "\r", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""What OWASP's page on CSV injection names, full-width forms included."""


def read(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode(), newline=""), strict=True))


def without_apostrophe(text: str) -> str:
    return text[1:] if text.startswith("'") and text.lstrip("' ").startswith(FORMULA) else text


def test_each_finding_is_a_row_with_what_it_says() -> None:
    rows = read(csv_rows([Told("one.cast", report_of(CAUSE, EFFECT, LET_BE, PASSED, craft="Teal Wren"))]))
    assert [(row["label"], row["craft"], row["check"], row["code"], row["outcome"]) for row in rows] == [
        ("one.cast", "Teal Wren", "receiver-type", "wrong-kind", "fail"),
        ("one.cast", "Teal Wren", "channel-order", "", "unknown"),
        ("one.cast", "Teal Wren", "overlay-canvas", "", "fail"),
        ("one.cast", "Teal Wren", "port-roles", "", "pass"),
    ]
    assert rows[0]["type"] == "put kind serial\nstore"
    assert (rows[1]["because"], rows[1]["do"]) == ("receiver-type/wrong-kind", "Move a stick.")
    assert (rows[2]["counts_as"], rows[2]["waived_until"]) == ("pass", "2027-03-01")


def test_lines_end_and_cells_are_quoted_as_rfc_4180_section_2_says() -> None:
    data = csv_rows([Told('a"b', report_of(PASSED))])
    assert data.startswith(b'"label",')
    assert data.endswith(b'"\r\n')
    assert b'"a""b"' in data
    assert data.count(b"\r\n") == 2


def test_nothing_inspected_is_lost_for_want_of_findings_or_of_a_report() -> None:
    rows = read(csv_rows([Told("one", report_of()), Told("two", None, "the worker died")]))
    assert [(row["label"], row["verdict"], row["check"]) for row in rows] == [("one", "fail", ""), ("two", "error", "")]
    assert rows[1]["ended"] == "the worker died"


@pytest.mark.parametrize("sign", FORMULA)
def test_what_a_spreadsheet_takes_for_a_formula_gets_an_apostrophe(sign: str) -> None:
    assert cell(f"{sign}1") == f"'{sign}1"
    assert cell(f"'{sign}1") == f"''{sign}1"
    assert cell(f" {sign}1") == f"' {sign}1"
    assert cell(f"1{sign}") == f"1{sign}"


@given(hostile)
def test_the_apostrophe_can_be_taken_away_again(typed: str) -> None:
    assert without_apostrophe(cell(typed)) == typed
    assert not cell(typed).startswith(FORMULA)


@given(hostile_reports(), hostile)
def test_hostile_texts_come_back_in_their_own_cells(report: Report, label: str) -> None:
    [row] = read(csv_rows([Told(label, report)]))
    assert tuple(row) == COLUMNS
    assert not any(value.startswith(FORMULA) for value in row.values())
    [finding] = report.findings
    plain = {name: without_apostrophe(value) for name, value in row.items()}
    wanted = {
        "label": label,
        "craft": report.craft,
        "board": report.board,
        "firmware": report.firmware,
        "ended": report.ended,
        "summary": finding.summary,
        "expected": finding.expected,
        "found": finding.actual,
        "why": finding.why,
        "caution": finding.caution,
        "do": finding.remedy.steps[0],
        "waived": finding.waived.reason if finding.waived else "",
    }
    assert {name: plain[name] for name in wanted} == {name: visible(text or "") for name, text in wanted.items()}
    assert plain["type"].split("\n") == [visible(line) for line in finding.remedy.console]
