"""The report as a document: it travels through JSON unchanged, and fits its published schema."""

from __future__ import annotations

import json
from typing import Any

import pytest
from jsonschema import Draft202012Validator, FormatChecker
from jsonschema.exceptions import ValidationError as SchemaError
from pydantic import ValidationError

from propsoff import Finding, Outcome, Report
from propsoff.console.capture import pasted
from propsoff.inspection.report import PortIdentity, instant
from propsoff.inspection.schema import published_schema, report_schema
from tests_support.conversations import CHECKS, WHEN_S, broken_off, inspected, pasted_text, recorded

PORT = {
    "device": "/dev/ttyACM0",
    "vid": "0483",
    "pid": "5740",
    "serial_number": "4F2A",
    "path": "1-4.2:1.0",
    "key": "k",
}
NAMES = ["ossel-hd53", "brindle-analog", "corvane-hd50-spi", "ossel-hd53+name-invalid-utf8", "brindle-hd53+name-ansi"]


def validator() -> Draft202012Validator:
    checker = FormatChecker()
    assert "date-time" in checker.checkers, "rfc3339-validator is not installed: formats would not be checked"
    return Draft202012Validator(published_schema(), format_checker=checker)


def reports() -> list[Report]:
    whole = [inspected(recorded(name, port=PORT), file="a.cast") for name in NAMES]
    broken = [
        inspected(broken_off(recorded("ossel-hd53"), keep, reason)) for keep in (0, 0.5) for reason in (None, "x")
    ]
    return [*whole, *broken, inspected(pasted_text("ossel-hd53")), inspected(pasted(b""))]


def test_the_schema_is_itself_valid_json_schema_2020_12() -> None:
    schema = published_schema()
    Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["$id"] == "urn:propsoff:report:1"


def test_the_published_schema_is_the_models() -> None:
    assert published_schema() == report_schema()


def test_every_kind_of_report_fits_the_schema() -> None:
    for report in reports():
        validator().validate(json.loads(report.to_json()))


@pytest.mark.parametrize(
    "change",
    [
        {"created": "yesterday"},
        {"created": "2026-13-41T00:00:00Z"},
        {"verdict": "splendid"},
        {"surprise": 1},
        {"schema_version": 2},
        {"complete": 1},
        {"capture": {"sha256": "00"}},
        {"id": "report one"},
    ],
)
def test_what_is_no_report_fits_neither_schema_nor_model(change: dict[str, Any]) -> None:
    document = {**json.loads(inspected(recorded("ossel-hd53")).to_json()), **change}
    with pytest.raises(SchemaError):
        validator().validate(document)
    with pytest.raises(ValidationError):
        Report.from_json(json.dumps(document))


@pytest.mark.parametrize(
    "change",
    [{"surprise": 1}, {"name": 1}, {"value": None}, {"value": {}}, {"lines": ["7"]}, {"origin": "hearsay"}],
)
def test_what_is_no_fact_fits_neither_schema_nor_model(change: dict[str, Any]) -> None:
    document = json.loads(inspected(recorded("ossel-hd53")).to_json())
    document["facts"][0] |= change
    with pytest.raises(SchemaError):
        validator().validate(document)
    with pytest.raises(ValidationError):
        Report.from_json(json.dumps(document))


@pytest.mark.parametrize("key", ["id", "created", "verdict", "capture", "findings", "schema_id"])
def test_the_schema_asks_for_every_key(key: str) -> None:
    document = json.loads(inspected(recorded("ossel-hd53")).to_json())
    del document[key]
    with pytest.raises(SchemaError):
        validator().validate(document)


def test_a_report_comes_back_from_json_as_it_was() -> None:
    for report in reports():
        assert Report.from_json(report.to_json()) == report
        assert Report.from_json(report.to_json(indent=None)) == report


def test_keys_stand_in_the_order_of_the_model() -> None:
    assert list(json.loads(inspected(recorded("ossel-hd53")).to_json())) == list(Report.model_fields)


def test_a_report_cannot_be_changed() -> None:
    report = inspected(recorded("ossel-hd53"))
    with pytest.raises(ValidationError):
        report.verdict = "pass"  # type: ignore[assignment,misc]  # that is the point


@pytest.mark.parametrize("name", ["name-invalid-utf8", "name-ansi", "name-nul", "name-wide", "name-4k", "name-script"])
@pytest.mark.parametrize("board", ["ossel-hd53", "brindle-hd53", "corvane-hd53"])
def test_no_name_reaches_the_json_as_a_control_character(board: str, name: str) -> None:
    report = inspected(recorded(f"{board}+{name}"))
    text = report.to_json()
    assert [char for char in text if not char.isprintable() and char != "\n"] == []
    assert Report.from_json(text) == report
    json.loads(text.encode("utf-8"))


@pytest.mark.parametrize(
    ("nasty", "escaped"),
    [
        ("a\x1b[31m\x9b1m\u202e\u2028\uef80\ufeff\x7f z", ["\\u009b", "\\uef80", "\\u007f"]),
        ("\x7f alone, among what is ASCII", ["\\u007f"]),
    ],
)
def test_the_json_escapes_what_would_not_show_and_means_the_same(nasty: str, escaped: list[str]) -> None:
    finding = Finding(check="x", outcome=Outcome.WARN, summary=nasty)
    report = inspected(recorded("ossel-hd53"), notes=[finding])
    text = report.to_json()
    assert all(escape in text for escape in escaped)
    assert [char for char in text if not char.isprintable() and char != "\n"] == []
    assert Report.from_json(text).findings[0].summary == nasty


@pytest.mark.parametrize(
    ("unix_s", "text"),
    [
        # RFC 3339 5.8: examples of the form; Unix time 0 is 1970-01-01T00:00:00Z.
        (0, "1970-01-01T00:00:00.000Z"),
        (1_000_000_000.5, "2001-09-09T01:46:40.500Z"),
        (WHEN_S, "2027-01-15T08:00:00.000Z"),
    ],
)
def test_instants_are_rfc_3339_in_utc(unix_s: float, text: str) -> None:
    assert instant(unix_s) == text
    FormatChecker().check(text, "date-time")


def test_the_port_is_told_as_the_capture_keeps_it() -> None:
    report = inspected(recorded("ossel-hd53", port={**PORT, "strange": "left out"}))
    assert report.port is not None
    assert report.port.model_dump(exclude_none=True) == PORT
    assert PortIdentity.from_texts({}) is None
    assert inspected(recorded("ossel-hd53")).port is None


def test_the_id_tells_inspections_apart_and_is_the_same_for_the_same() -> None:
    capture = recorded("ossel-hd53")
    first = inspected(capture, file="a.cast").id
    assert first == inspected(capture, file="a.cast").id
    assert first.startswith("20270115T080000Z-fenwick-f7-")
    others = [
        inspected(capture, file="b.cast").id,
        inspected(recorded("ossel-hd53", port={"key": "k"}), file="a.cast").id,
        inspected(recorded("ossel-hd50"), file="a.cast").id,
    ]
    assert len({first, *others}) == 4


def test_the_top_names_board_craft_and_firmware() -> None:
    report = inspected(recorded("brindle-hd53"))
    assert (report.board, report.board_serial) == ("MARL-405", "B7-00421")
    assert (report.craft, report.firmware) == ("Teal Wren", "Brindle 2.6.1")
    assert report.dialect is not None
    assert report.dialect.id == "brindle"
    assert report.dialect.source
    unnamed = inspected(recorded("brindle-hd53+unnamed"))
    assert unnamed.craft is None


def test_every_fact_stands_with_value_unit_and_lines() -> None:
    report = inspected(recorded("ossel-hd53"))
    facts = {fact.name: fact for fact in report.facts}
    assert (facts["overlay.columns"].value, facts["overlay.columns"].unit) == (53, "columns")
    assert facts["channels.live"].value == (1500, 1500, 1000, 1500, 1000, 1000, 1000, 1000)
    assert facts["battery.volts"].value == 24.6
    assert facts["receiver.inverted"].value is False
    assert facts["ports[1].roles"].value == ("receiver",)
    assert all(fact.lines for fact in report.facts)


def test_checks_and_plugins_are_listed_and_findings_are_in_order() -> None:
    report = inspected(recorded("ossel-hd53"))
    assert list(dict.fromkeys(finding.check for finding in report.findings)) == [check.id for check in CHECKS]
