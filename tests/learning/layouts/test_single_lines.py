"""One line taken apart: assignments, settings side by side, values in places, sentences."""

from __future__ import annotations

import pytest

from propsoff.console.manner import Line
from propsoff.learning.layouts.single_lines import MIXED, RECORDS, field_name, take, verb_pair


@pytest.mark.parametrize(
    ("text", "template", "fields"),
    [
        (
            "uart 1 role=rx baud=420000",
            "uart {id:word} role={role:word} baud={baud:word}",
            {"id": "1", "role": "rx", "baud": "420000"},
        ),
        ("role=rx, baud=420000;", "role={role:word}, baud={baud:word};", {"role": "rx", "baud": "420000"}),
        (
            "port 1 rx 420000",
            "port {id:word} {value2:word} {value3:word}",
            {"id": "1", "value2": "rx", "value3": "420000"},
        ),
        ("Cells:  6     Voltage:  23.7 V", "Cells: {p1:label} Voltage: {p2:label}", {"p1": "6", "p2": "23.7 V"}),
        (
            "HEDDLE 3.2.0 on LOOM-F4, built 2026-02-11",
            "{firmware_name:word} {firmware_version:word} on {board:word}, built {built:word}",
            {"firmware name": "HEDDLE", "firmware version": "3.2.0", "board": "LOOM-F4", "built": "2026-02-11"},
        ),
    ],
)
def test_a_record_is_taken_apart(text: str, template: str, fields: dict[str, str]) -> None:
    found = take(Line(7, text), RECORDS)
    assert found is not None
    assert (found.template, dict(zip(found.names, found.texts, strict=True))) == (template, fields)


@pytest.mark.parametrize(
    ("text", "template", "value"),
    [
        ("Low end: 1000", "Low end: {Low_end:rest}", "1000"),
        ("low -> 1000", "low -> {low:rest}", "1000"),
        ("The low end is 1000 us", "The low end is {f1:number} us", "1000"),
    ],
)
def test_a_setting_or_a_sentence_among_records_states_one_value(text: str, template: str, value: str) -> None:
    found = take(Line(7, text), MIXED)
    assert found is not None
    assert (found.template, found.texts) == (template, (value,))
    assert take(Line(7, text), RECORDS) is None


def test_a_sentence_says_the_unit_of_its_value() -> None:
    found = take(Line(7, "The low end is 1000 us"), MIXED)
    assert found is not None
    (statement,) = found.statements("show", ["low"])
    assert (statement.word, statement.text, statement.unit, statement.kind, statement.line) == (
        "low", "1000", "us", "told", 7,
    )  # fmt: skip


@pytest.mark.parametrize("text", ["All is well.", "role=rx", "port rx 420000", "a=1 a=2", "# low 1000 us", "low =", ""])
def test_what_states_nothing_for_certain_is_no_record(text: str) -> None:
    assert take(Line(7, text), RECORDS) is None


@pytest.mark.parametrize("text", ["All is well.", "# the low end is 1000 us", "low =", "a == b", ""])
def test_remarks_and_sentences_without_values_are_not_taken(text: str) -> None:
    assert take(Line(7, text), MIXED) is None


def test_a_verb_stands_before_a_key_and_a_value() -> None:
    found = take(Line(7, "have low-end 1000 us"), (verb_pair("have"),))
    assert found is not None
    assert (found.template, found.names, found.texts) == ("have low-end {low_end:rest}", ("low-end",), ("1000 us",))
    for text in ("keep low 1000", "have low", "have 1 low"):
        assert take(Line(7, text), (verb_pair("have"),)) is None


def test_any_name_becomes_one_that_a_field_may_have() -> None:
    assert [field_name(name) for name in ("rx.kind", "1st", "--", "low end")] == ["rx_kind", "f1st", "field", "low_end"]
