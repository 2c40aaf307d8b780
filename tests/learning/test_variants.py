"""Values with something beside them. The ways to write a remark are common practice, the values invented."""

from __future__ import annotations

import pytest

from propsoff.dialects.templates import compile_template
from propsoff.learning.measures import Measure, measure
from propsoff.learning.variants import variants_of


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ('"Kestrel 5"', "Kestrel 5"),
        ("<25>", "25"),
        ("[serial]", "serial"),
        ("3.3 # volts", "3.3"),
        ("1000 // us", "1000"),
        ("25 -- milliwatts", "25"),
        ("4 <- cells", "4"),
        ("1000, range 750 to 2250", "1000"),
        ("1000 default 1000", "1000"),
        ("1000 | min 800", "1000"),
        ("2 (serial)", "serial"),
        ("2 = serial", "serial"),
        ("2 -> serial", "serial"),
        ("1: on", "on"),
    ],
)
def test_a_value_comes_out_of_what_stands_around_it(text: str, value: str) -> None:
    variants = list(variants_of(text))
    assert value in [variant.text for variant in variants]
    for variant in variants:  # the form is what the dialect will read it with
        fields = compile_template(variant.form).match(text)
        assert fields is not None
        assert fields["value"] == variant.text


@pytest.mark.parametrize(
    ("text", "unit"),
    [("3.3 # volts", "V"), ("1000 // us at least", "us"), ("<25> mW", "mW"), ("<4> cells", ""), ("4 # cells", "")],
)
def test_a_remark_that_begins_with_a_unit_says_it(text: str, unit: str) -> None:
    variants = list(variants_of(text))
    assert variants
    assert [measure(one.unit) for one in variants if one.unit] == ([Measure(unit)] if unit else [])


@pytest.mark.parametrize(
    "text",
    [
        "CRSF",
        "UART 2",
        "3.30 V",
        "AETR12",
        "Nov 12 2026",
        "10:45:12",
        "-3",
        "rx/tx",
        "Kestrel (5 inch) racer",
        "",
        "()",
    ],
)
def test_a_value_alone_is_left_whole(text: str) -> None:
    assert list(variants_of(text)) == []
