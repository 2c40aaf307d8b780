"""Lines that state nothing themselves, the names of things, and the parts of keys."""

from __future__ import annotations

import re

import pytest

from learning.layouts.replies import lines, statement
from propsoff.dialects.templates import compile_template
from propsoff.learning.layouts.notes import comments_in, ends_in, noted_above
from propsoff.learning.layouts.own_names import own_name
from propsoff.learning.layouts.paths import path_of


@pytest.mark.parametrize(
    ("text", "template"),
    [
        ("# a remark", "# {_:rest}"),
        ("#a remark", "#{_:rest}"),
        ("; a remark", "; {_:rest}"),
        ("// a remark", "// {_:rest}"),
        ("  -- a remark", "-- {_:rest}"),
        ("! a remark", "! {_:rest}"),
        ("------", "------"),
        ("}", "}}"),
        ("end", "end"),
    ],
)
def test_a_remark_is_told_by_its_mark(text: str, template: str) -> None:
    assert comments_in(lines(text), frozenset()) == ((template,), frozenset({1}))
    assert compile_template(template).fits(text.strip())


@pytest.mark.parametrize("text", ["low = 3", "All is well.", "{", "-5", "ending", ""])
def test_other_lines_are_no_remarks(text: str) -> None:
    assert comments_in(lines(text), frozenset()) == ((), frozenset())


def test_what_was_understood_is_no_remark_and_each_mark_is_said_once() -> None:
    assert comments_in(lines("# a\n# b\n# c = 1"), frozenset({3})) == (("# {_:rest}",), frozenset({1, 2}))


@pytest.mark.parametrize(
    ("text", "understood", "ends"),
    [
        ("a = 1\nb = 2\n-- 2 settings --", {1, 2}, "-- {count:int} settings --"),
        ("a = 1\nb = 2\n2 of 9 {all}", {1, 2}, "{count:int} of 9 {{all}}"),
        ("a = 1\nb = 2\n9 settings", {1, 2}, None),  # another number
        ("a = 1\nb = 2", {1, 2}, None),  # the last line is a setting
        ("a = 1\n1 setting", {1}, None),  # one and one is chance
        ("a = 1\n2 settings\nb = 2\nbye", {1, 3}, None),
        ("", set(), None),
    ],
)
def test_the_last_line_that_counts_the_settings_is_the_end_mark(
    text: str, understood: set[int], ends: str | None
) -> None:
    marks, at = ends_in(lines(text), frozenset(understood))
    assert marks == ({"ends": ends} if ends else {})
    assert at == ({text.count("\n") + 1} if ends else set())


@pytest.mark.parametrize(
    ("text", "understood", "templates", "marks"),
    [
        (
            "[x]\na = 1\nb = 2\n; 2 entries",
            {2, 3},
            ("{key:word} = {value:rest}",),
            {"counted": "{key:word} = {value:rest}"},
        ),
        ("[x]\na = 1\nb = 2\n; 3 lines", {1, 2, 3}, (), {}),
        ("[x]\na = 1\nb = 2\n; 2 entries", {2, 3}, ("{key:word} := {value:rest}",), None),  # nothing to compare with
    ],
)
def test_a_count_is_compared_only_with_what_it_counts(
    text: str, understood: set[int], templates: tuple[str, ...], marks: dict[str, str] | None
) -> None:
    found, at = ends_in(lines(text), frozenset(understood), templates)
    last = text.rpartition("\n")[2]
    field = "{_:int}" if marks is None else "{count:int}"
    assert found == {"ends": re.sub("[0-9]", field, last)} | (marks or {})
    assert at == {4}


@pytest.mark.parametrize(
    "last",
    ["2 V rail: 1.98 V   5 V rail: 5.01 V", "uptime 2 s", "2 way = yes", "[x] has 2 of them"],
)
def test_a_line_of_settings_or_without_a_mark_is_no_end_where_nothing_has_that_number(last: str) -> None:
    assert ends_in(lines(f"[x]\n\na = 1\nb = 2\n{last}"), frozenset({3, 4})) == ({}, frozenset())


def test_a_remark_that_begins_with_a_key_is_the_note_of_its_setting() -> None:
    text = "# kind: 0 none, 1 serial\n; low - in volts\n# it is so\ntop: 5"
    settings = [statement("rx.kind", "1"), statement("low", "2", note="its own"), statement("top", "3")]
    assert [one.note for one in noted_above(settings, lines(text))] == ["0 none, 1 serial", "its own", ""]


@pytest.mark.parametrize(
    ("lead", "ids", "before"),
    [
        ("UART", ["1", "2"], "UART "),
        ("bay", ["A", "B"], "bay "),
        ("port", ["1", "2"], ""),  # what a thing is, and not what it is called
        ("UART", ["S1", "S2"], ""),  # these are names already
        ("UART", ["1", "S2"], ""),
        ("bay", ["123"], ""),  # a value
        ("->", ["1"], ""),
    ],
)
def test_the_word_before_short_ids_belongs_to_the_name(lead: str, ids: list[str], before: str) -> None:
    assert own_name(lead, ids) == before


@pytest.mark.parametrize(
    ("key", "path"),
    [
        ("sense.gyro", ("sense", "gyro")),
        ("/sense/gyro", ("sense", "gyro")),
        ("sense::gyro", ("sense", "gyro")),
        ("sense > gyro", ("sense", "gyro")),
        ("a/b.c", ("a", "b.c")),  # one mark parts a key
        ("low end", ("low end",)),
        ("a..b", ("a..b",)),
        ("", ("",)),
    ],
)
def test_a_key_of_several_parts_is_a_path(key: str, path: tuple[str, ...]) -> None:
    assert path_of(key) == path


@pytest.mark.parametrize(
    ("remark", "note"),
    [
        ("# port.use sum of: 0 = unused, 1 = console", "sum: 0 = unused, 1 = console"),
        ("# port.p2.use mask: bit 0 = console", "mask: bit 0 = console"),
        ("# use: 0 none, 1 console", "0 none, 1 console"),
        ("# port.baud: in bauds", ""),
    ],
)
def test_a_remark_names_a_setting_of_rows_without_the_row(remark: str, note: str) -> None:
    (found,) = noted_above([statement("port.p2.use", "1")], lines(f"port.p2.use = 1\n{remark}"))
    assert found.note == note


@pytest.mark.parametrize(
    ("key", "path"),
    [
        ("channel.min.us", ("channel", "min us")),
        ("battery.mv", ("battery", "mv")),
        ("board.name.alpha", ("board", "name", "alpha")),
    ],
)
def test_a_unit_at_the_end_of_a_key_belongs_to_what_it_measures(key: str, path: tuple[str, ...]) -> None:
    assert path_of(key) == path
