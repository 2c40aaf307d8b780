"""The JSON reader with positions, against Python's own reader as the reference (RFC 8259)."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff.console.manner import Line
from propsoff.dialects.json_scan import MAX_DEPTH, Node, scan


def _lines(text: str) -> list[Line]:
    return [Line(number, line) for number, line in enumerate(text.split("\n"), 1)]


def _plain(text: str) -> Any:
    root, broken = scan(_lines(text))
    assert broken is None
    assert root is not None
    return root.plain()


TEXTS = st.text(st.characters(blacklist_categories=["Cs", "Cc"]))
VALUES = st.recursive(
    st.none() | st.booleans() | TEXTS | st.integers(-(10**30), 10**30),
    lambda inner: st.lists(inner) | st.dictionaries(TEXTS, inner),
    max_leaves=12,
)


@settings(deadline=None)  # a busy machine is no failure; every test has its own time-out
@given(value=VALUES, indent=st.sampled_from([None, 1, 2]), escaped=st.booleans())
def test_a_document_reads_as_pythons_own_reader_has_it(value: Any, indent: int | None, escaped: bool) -> None:
    text = json.dumps(value, indent=indent, ensure_ascii=escaped)
    assert _plain(text) == json.loads(text)


@pytest.mark.parametrize("text", ["0", "-0", "12", "-1.50", "1e5", "1.25E-3", "0.1"])
def test_numbers_are_exact(text: str) -> None:
    assert _plain(text) == Decimal(text) == json.loads(text, parse_float=Decimal, parse_int=Decimal)


WRONG = [
    ("", "the document breaks off here: expected a document", 0),
    ("{", "the document breaks off here: expected a value or '}'", 1),
    ('{"a"', "the document breaks off here: expected ':'", 1),
    ('{"a":\n', "the document breaks off here: expected a value", 1),
    ("[1,\n2", "the document breaks off here: expected ',' or ']'", 2),
    ("[1 2]", "expected ',' or ']', found '2'", 1),
    ("[1,]", "expected a value, found ']'", 1),
    ("[,1]", "expected a value, found ','", 1),
    ('{"a" 1}', "expected ':', found '1'", 1),
    ("{1: 2}", "expected a name in quotes, found '1'", 1),
    ('{"a": 1,}', "expected a value, found '}'", 1),
    ("[1}\n", "expected ',' or ']', found '}'", 1),
    ("[01]", "found '01]'", 1),
    ("[1.]", "found '1.]'", 1),
    ("[.5]", "found '.5]'", 1),
    ("[+1]", "found '+1]'", 1),
    ("[nan]", "found 'nan]'", 1),
    ("[True]", "found 'True]'", 1),
    ("[truely]", "found 'truely]'", 1),
    ("['a']", "found", 1),
    ('["a]', "found", 1),
    ('["\\x"]', "found", 1),
    ('["\\u12"]', "not an escape of JSON", 1),
    ("{}\n{}", "'{' after the end of the document", 2),
    ("[" * (MAX_DEPTH + 2), f"nested more than {MAX_DEPTH} deep", 1),
    ("[" + "9" * 50 + "]", "found '999", 1),
    ("[1e999]", "found '1e999]'", 1),
]


@pytest.mark.parametrize(("text", "why", "line"), WRONG)
def test_a_wrong_document_says_where_and_why(text: str, why: str, line: int) -> None:
    _, broken = scan(_lines(text) if text else [])
    assert broken is not None
    assert why in broken.why
    assert broken.line.number == line


@settings(deadline=None)  # a busy machine is no failure; every test has its own time-out
@given(text=st.text(st.sampled_from('{}[]:," \n\\au1-.truefalsn')))
def test_what_python_refuses_is_refused_and_nothing_raises(text: str) -> None:
    root, broken = scan(_lines(text))
    try:
        json.loads(text)
    except ValueError:
        assert broken is not None
    else:
        assert broken is None
        assert root is not None


@settings(deadline=None)  # a busy machine is no failure; every test has its own time-out
@given(value=st.dictionaries(st.text("abc", min_size=1), VALUES, min_size=1), cut=st.floats(0, 1))
def test_what_came_before_a_break_is_kept(value: dict[str, Any], cut: float) -> None:
    text = json.dumps(value, indent=2)
    root, broken = scan(_lines(text[: int(cut * (len(text) - 1))]))
    whole = json.loads(text)
    assert broken is not None
    for name, node in (root.members or []) if root else []:
        if node.closed and node.scalar is None:
            assert node.plain() == whole[name] or node.plain() is None


BARE = ["10", "-1.5", "1e3", "true", "false", "null"]


@pytest.mark.parametrize("bare", BARE)
@pytest.mark.parametrize("after", ["", "  ", '\n"b": 3}', ' "b"', ":", "{", "]", "\n", "; }"])
def test_what_no_mark_follows_may_have_lost_its_end(bare: str, after: str) -> None:
    root, broken = scan(_lines(f'{{"a": 1, "b": {bare}{after}'))
    assert broken is not None
    assert root is not None
    members = dict(root.members or [])
    assert members["a"].closed
    assert "b" not in members or not members["b"].closed


@pytest.mark.parametrize("bare", BARE)
@pytest.mark.parametrize("after", ["}", "  }", " \n}", ",", " ,\n", "\n,"])
def test_a_mark_after_a_value_says_that_it_is_whole(bare: str, after: str) -> None:
    root, _ = scan(_lines(f'{{"b": {bare}{after}'))
    assert root is not None
    assert [node.closed for _, node in root.members or []] == [True]


def test_a_text_has_an_end_of_its_own() -> None:
    root, broken = scan(_lines('{"a": "x"\n"b": 1}'))
    assert broken is not None
    assert root is not None
    assert [(name, node.plain(), node.closed) for name, node in root.members or []] == [("a", "x", True)]


def test_each_value_knows_its_lines() -> None:
    text = '{"a": 1,\n "b": [\n  2,\n  {"c": null}\n ],\n "d": "x"}'
    root, broken = scan(_lines(text))
    assert broken is None
    assert root is not None
    assert (root.line, root.end) == (1, 6)
    members: dict[str, Node] = dict(root.members or [])
    assert (members["a"].line, members["b"].line, members["b"].end, members["d"].line) == (1, 2, 5, 6)
    assert [(node.line, node.end) for node in members["b"].items or []] == [(3, 3), (4, 4)]


def test_a_name_that_stands_twice_is_kept_twice() -> None:
    root, _ = scan(_lines('{"a": 1, "a": 2}'))
    assert root is not None
    assert [(name, node.scalar) for name, node in root.members or []] == [("a", Decimal(1)), ("a", Decimal(2))]


def test_control_characters_and_half_surrogates_do_not_get_through() -> None:
    assert _plain('["\\ud83d\\ude80", "\\ud800", "a\\u001b[2J\\n"]') == ["\U0001f680", "\ufffd", "a\ufffd[2J\ufffd"]
