"""Replies of one setting a line, however key and value are parted."""

from __future__ import annotations

import pytest

from learning.layouts.replies import COMMAND, lines, stated
from propsoff.learning.layouts.pairs import as_pairs, pair_line, verb_of

KEYS = {"kind": "serial", "port": "P2", "low": "3300"}


@pytest.mark.parametrize(
    ("form", "line"),
    [
        ("{k} = {v}", "{key:words} = {value:rest}"),
        ("{k}={v}", "{key:words}={value:rest}"),
        ("{k}: {v}", "{key:words}: {value:rest}"),
        ("{k} := {v}", "{key:words} := {value:rest}"),
        ("{k} -> {v}", "{key:words} -> {value:rest}"),
        ("{k} = [{v}]", "{key:words} = [{value:rest}]"),
        ("{k} ....... {v}", "{key:words} ..{_:dots} {value:rest}"),
        ("set {k} {v}", "set {key:word} {value:rest}"),
        ("  {k} = {v}", "{key:words} = {value:rest}"),
    ],
)
def test_the_way_of_writing_is_found_by_its_mark(form: str, line: str) -> None:
    layout = as_pairs(COMMAND, lines("\n".join(form.format(k=key, v=value) for key, value in KEYS.items())))
    assert layout is not None
    assert (stated(layout), layout.options["line"]) == (KEYS, line)
    assert layout.understood == {1, 2, 3}


def test_keys_of_several_parts_name_a_path_and_stay_whole_as_words() -> None:
    layout = as_pairs(COMMAND, lines("rx.kind = serial\nrx/port = P2\nlow = 3300"))
    assert stated(layout) == {"rx/kind": "serial", "rx/port": "P2", "low": "3300"}
    assert layout is not None
    assert [one.word for one in layout.statements] == ["rx.kind", "rx/port", "low"]


def test_remarks_and_the_line_that_counts_the_settings_state_nothing() -> None:
    layout = as_pairs(COMMAND, lines("; the radio\nkind = serial\nport = P2\n3 settings, 2 shown"))
    assert layout is not None
    assert stated(layout) == {"kind": "serial", "port": "P2"}
    assert layout.comments == ("; {_:rest}",)
    assert layout.marks == {"ends": "3 settings, {count:int} shown", "counted": "{key:words} = {value:rest}"}


def test_a_last_line_with_another_number_is_no_count() -> None:
    layout = as_pairs(COMMAND, lines("kind = serial\nport = P2\n7 settings"))
    assert layout is not None
    assert (dict(layout.marks), set(layout.understood)) == ({}, {1, 2})


@pytest.mark.parametrize(("before", "after"), [("# ", ""), ("// ", ""), ("(", ")"), ("[", "]")])
def test_what_stands_behind_a_value_is_its_note(before: str, after: str) -> None:
    layout = as_pairs(
        COMMAND, lines(f"low = 33 {before}in tenths{after}\nhigh = 42 {before}as above{after}\nname = Wren")
    )
    assert stated(layout) == {"low": "33", "high": "42", "name": "Wren"}
    assert layout is not None
    assert [one.note for one in layout.statements] == ["in tenths", "as above", ""]


def test_two_ways_of_writing_are_both_taken() -> None:
    found = pair_line(lines("kind = serial\nport = P2\nname = Wren\nlow: 3300\nhigh: 4200"))
    assert found is not None
    assert found.line == ["{key:words} = {value:rest}", "{key:words}: {value:rest}"]
    assert [pair.value for pair in found.pairs] == ["serial", "P2", "Wren", "3300", "4200"]


@pytest.mark.parametrize(
    "text",
    [
        "This board is fine.\nPlease take the propellers off.\nThank you.",
        "cells = 6   low = 3.3\nkind = a   port = b",  # side by side
        "kind = serial",  # one line is no habit
        "kind = serial\nport = P2\nAll is well today.\nSo it was before.\nThat was the whole of it.",
        "radio {\nports {",
        "",
    ],
)
def test_what_is_not_one_setting_a_line_gives_nothing(text: str) -> None:
    assert as_pairs(COMMAND, lines(text)) is None


def test_a_value_that_goes_on_in_the_next_line_is_not_taken_by_halves() -> None:
    layout = as_pairs(COMMAND, lines("label = a long\n                 tail of it\nport = P2\nlow = 3"))
    assert stated(layout) == {"port": "P2", "low": "3"}


@pytest.mark.parametrize(
    ("text", "verb"),
    [
        ("set a 1\nset b 2\nset c 3", "set"),
        ("set a 1\nset b 2", None),  # too few
        ("Set a 1\nSet b 2\nSet c 3", None),  # a sentence begins so
        ("a 1 x\nb 2 x\nc 3 x", None),
    ],
)
def test_a_verb_stands_before_nearly_every_key(text: str, verb: str | None) -> None:
    assert verb_of(lines(text)) == verb
