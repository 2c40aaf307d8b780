"""Values in running text. The sentences are invented."""

from __future__ import annotations

from itertools import pairwise

import pytest

from propsoff.dialects.templates import compile_template
from propsoff.learning.habits import escaped
from propsoff.learning.spans import Span, form_of, spans_of

_TOLD: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("the receiver is serial, speaks CRSF and sits on UART2", ("serial", "CRSF", "UART2")),
    ("The battery has 4 cells and shows 16.2 V.", ("4", "16.2")),
    ("Der Empfang ist seriell, und die Spannung ist 16.2 V", ("seriell", "16.2")),
    ("motors speak DSHOT600; overlay is on", ("DSHOT600", "on")),
    ("channels run AETR12", ("AETR12",)),
    ("a grid of 53x20 is drawn", ("53x20",)),
    ("built on 2026-01-02", ("2026-01-02",)),
    ("frequency 5800 MHz at 25 mW", ("5800", "25")),
    ("the pack is a 4S", ("4",)),
    ("cell low at 3,3 V", ("3,3",)),
    ('a craft named "Night Owl"', ("Night Owl",)),
)


@pytest.mark.parametrize(("text", "values"), _TOLD)
def test_a_sentence_gives_up_its_values_in_order(text: str, values: tuple[str, ...]) -> None:
    assert tuple(span.text for span in spans_of(text)) == values


@pytest.mark.parametrize("text", [text for text, _ in _TOLD])
def test_a_span_stands_where_it_says_and_its_form_takes_it_out_again(text: str) -> None:
    spans = spans_of(text)
    assert [text[span.start : span.end] for span in spans] == [span.text for span in spans]
    fields = compile_template(form_of(text, spans, "p") + escaped(text[spans[-1].end :])).match(text)
    assert fields is not None
    assert list(fields.values()) == [span.text for span in spans]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "nothing here at all",
        "there is no serial receiver",  # denied
        "it is not digital",
        "on the bench lies a craft",  # `on` says where
        "waiting.",
    ],
)
def test_a_sentence_without_a_value_gives_none(text: str) -> None:
    assert spans_of(text) == ()


def _span(text: str, value: str) -> Span:
    return next(span for span in spans_of(text) if span.text == value)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("it shows 16.2 V now", "16.2", "V"),
        ("it shows 16.2V now", "16.2", "V"),
        ("it sends at 25 milliwatts.", "25", "milliwatts"),
        ("the battery has 4 cells", "4", ""),
        ("low is 1000, us is the unit", "1000", ""),  # behind a comma
    ],
)
def test_the_unit_is_what_stands_right_behind_the_number(text: str, value: str, unit: str) -> None:
    assert _span(text, value).unit == unit


def test_the_words_of_a_value_are_those_of_its_own_clause_and_the_subject_goes_on() -> None:
    text = "the receiver is serial, speaks CRSF and sits on UART2; battery has 4 cells"
    assert "speaks" in _span(text, "CRSF").words
    assert "sits" not in _span(text, "CRSF").words
    assert "receiver" in _span(text, "UART2").subject
    assert {"battery", "cells"} <= set(_span(text, "4").words)
    assert not {"battery", "cells"} & set(_span(text, "UART2").words)


def test_the_words_of_a_number_are_those_since_the_number_before() -> None:
    text = "ends: low 1000 high 2000"
    assert _span(text, "2000").words == ("high",)
    assert _span(text, "2000").subject == ("ends",)


@pytest.mark.parametrize(
    ("text", "value", "concept"),
    [
        ("a craft called Kestrel 5", "Kestrel 5", "name"),
        ("das Gerät heißt Eule", "Eule", "name"),
        ("runs on Heron F7", "Heron F7", "board"),
        ("built for the Heron F7", "Heron F7", "board"),
        ("Gannet firmware 4.2.1", "Gannet", "firmware"),
        ("this is Gannet 4.2.1", "Gannet", "firmware"),
    ],
)
def test_how_a_name_is_said_tells_what_it_names(text: str, value: str, concept: str) -> None:
    assert concept in _span(text, value).implied


@pytest.mark.parametrize("text", ["Battery 16.2 V", "Voltage 3.7 V", "the receiver is serial", "Battery 4.2.1"])
def test_a_thing_with_a_value_is_no_greeting(text: str) -> None:
    assert not any(span.implied for span in spans_of(text))


def test_no_span_overlaps_another() -> None:
    spans = spans_of('Gannet firmware 4.2.1 runs on Heron F7, a craft called "UART 2", 16.2 V at 5 mW and 3,3 V')
    assert all(one.end <= other.start for one, other in pairwise(spans))
