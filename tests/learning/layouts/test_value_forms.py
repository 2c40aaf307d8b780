"""Values of several parts that are written alike. The values are invented, the ways to write them common practice."""

from __future__ import annotations

import pytest

from propsoff.learning.layouts.value_forms import form_of_values


def _split(*texts: str, called: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    form = form_of_values(texts, called)
    assert form is not None
    return [tuple(form.split(text).get(column, "") for column in form.columns) for text in texts]


@pytest.mark.parametrize(
    "texts",
    [
        ("receiver@420000", "telemetry@57600"),
        ("receiver at 420000 baud", "telemetry at 57600 baud"),
        ("receiver 420000", "telemetry 57600"),
        ("receiver, 420000 baud", "telemetry, 57600 baud"),
        ("receiver (420000)", "telemetry (57600)"),
        ("receiver/420000", "telemetry/57600"),
    ],
)
def test_a_role_and_its_rate_come_apart(texts: tuple[str, ...]) -> None:
    assert _split(*texts) == [("receiver", "420000"), ("telemetry", "57600")]


@pytest.mark.parametrize(
    "texts",
    [
        ("1720-2080", "900-1300"),
        ("1720..2080 us", "900..1300 us"),
        ("1720 - 2080", "900 - 1300"),
        ("1720–2080us", "900–1300us"),
    ],
)
def test_a_range_comes_apart(texts: tuple[str, ...]) -> None:
    form = form_of_values(texts)
    assert form is not None
    assert form.columns == ("from", "to")
    assert [dict(form.split(text)) for text in texts] == [
        {"from": "1720", "to": "2080"},
        {"from": "900", "to": "1300"},
    ]


@pytest.mark.parametrize(
    "texts",
    [
        ("column 3, row 18, shown yes", "column 4, row 2, shown no"),
        ("column 3 row 18 shown yes", "column 4 row 2 shown no"),
        ("column 3; row 18; shown yes", "column 4; row 2; shown no"),
    ],
)
def test_words_that_all_have_in_common_name_the_parts(texts: tuple[str, ...]) -> None:
    form = form_of_values(texts)
    assert form is not None
    assert [dict(form.split(text)) for text in texts] == [
        {"column": "3", "row": "18", "shown": "yes"},
        {"column": "4", "row": "2", "shown": "no"},
    ]


@pytest.mark.parametrize("mark", [",", ";", "/", "|", ":", " ", " , "])
def test_one_mark_parts_all_values(mark: str) -> None:
    assert _split(f"3{mark}18", f"4{mark}2") == [("3", "18"), ("4", "2")]


def test_a_value_may_say_its_first_part_alone() -> None:
    assert _split("receiver@420000", "telemetry@57600", "free") == [
        ("receiver", "420000"),
        ("telemetry", "57600"),
        ("free", ""),
    ]


def test_a_phrase_may_stand_before_a_rate_or_alone() -> None:
    assert _split("video link at 115200 baud", "the receiver at 420000 baud", "not used") == [
        ("video link", "115200"),
        ("the receiver", "420000"),
        ("not used", ""),
    ]


def test_parts_are_called_as_somebody_says_unless_two_would_be_called_alike() -> None:
    named = form_of_values(["3,18", "4,2"], ("column", "row"))
    alike = form_of_values(["3,18", "4,2"], ("column", "column"))
    assert named is not None
    assert named.columns == ("column", "row")
    assert alike is not None
    assert len(set(alike.columns)) == 2


@pytest.mark.parametrize(
    "texts",
    [
        ("3.3 V", "4.2 V"),  # a number and its unit are one value
        ("3,3 V", "4,2 V"),
        ("50 %", "3 %"),
        ("1000", "2000"),
        ("serial", "crsf"),
        ("receiver@420000", "telemetry/57600"),  # not written alike
        ("1720-2080", "900 to 1300"),
        ("a,b", "c,d", "e,f,g"),
        ("Kestrel", "Night Owl"),
    ],
)
def test_what_is_one_value_or_not_written_alike_has_no_form(texts: tuple[str, ...]) -> None:
    assert form_of_values(texts) is None


def test_a_value_written_otherwise_is_not_split() -> None:
    form = form_of_values(["column 3, row 18", "column 4, row 2"])
    assert form is not None
    assert form.split("row 18, column 3") == {}
