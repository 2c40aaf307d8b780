"""Values that are lists of names with values. The texts are invented."""

from __future__ import annotations

import pytest

from propsoff.dialects.templates import compile_template
from propsoff.learning.clauses import clauses_of, form_of_clauses

_LISTS: tuple[tuple[str, dict[str, str]], ...] = (
    ("kind serial, protocol crsf, port uart2", {"kind": "serial", "protocol": "crsf", "port": "uart2"}),
    ("kind serial; protocol crsf", {"kind": "serial", "protocol": "crsf"}),
    ("kind: serial, protocol = crsf", {"kind": "serial", "protocol": "crsf"}),
    ("cell low 3.3 V, cell full 4.2 V", {"cell low": "3.3 V", "cell full": "4.2 V"}),
    ("name Kestrel, the second; port uart2", {"name": "Kestrel, the second", "port": "uart2"}),
    ("kind serial, banana 3", {"kind": "serial", "banana": "3"}),  # one that nobody knows among those that are known
    ("{kind} = serial, port = uart2", {}),
    ("kind = {serial}, port = uart2", {"kind": "{serial}", "port": "uart2"}),
)


@pytest.mark.parametrize(("text", "clauses"), _LISTS)
def test_names_and_values_come_apart(text: str, clauses: dict[str, str]) -> None:
    assert {one.name: one.text for one in clauses_of(text)} == clauses


@pytest.mark.parametrize("text", [text for text, clauses in _LISTS if clauses])
def test_the_form_of_a_list_takes_its_values_out_again(text: str) -> None:
    clauses = clauses_of(text)
    assert [text[one.start : one.end] for one in clauses] == [one.text for one in clauses]
    fields = compile_template(form_of_clauses(text, clauses)).match(text)
    assert fields is not None
    assert list(fields.values()) == [one.text for one in clauses]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "serial",
        "kind serial",  # one is no list
        "serial, crsf, uart2",  # values alone
        "roll, pitch, throttle, yaw",
        "3,3 V",  # a comma in a number
        "kind serial, protocol crsf, 3",  # what the 3 is nobody says
        "red green, blue white",  # nothing that a craft has
        "kind serial, banana 3, apple 4",  # most of it unknown
        "kind serial,, port uart2",
    ],
)
def test_what_is_no_list_of_names_with_values_has_no_clauses(text: str) -> None:
    assert clauses_of(text) == ()
