"""What was not read never meets an expectation, whatever a sheet expects."""

from __future__ import annotations

import tomllib
from typing import Any

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from propsoff.sheets.expect import Anything, Expected, Pattern, Range
from propsoff.sheets.expectation import Expectation
from propsoff.sheets.grammar import KINDS, answer_of, groups, sheet_shape
from propsoff.toml_text import toml_value

PLAIN = st.one_of(
    st.booleans(), st.integers(-(10**6), 10**6), st.floats(-1e6, 1e6), st.sampled_from(["", "None", "any", "1.2"])
)
ALLOWED = st.one_of(
    PLAIN,
    st.builds(Range, st.none() | PLAIN, st.none() | PLAIN),
    st.builds(Pattern, st.sampled_from(["*", "?*", "None", ""])),
    st.just(Anything()),
)


@settings(max_examples=500, deadline=None)
@given(st.lists(ALLOWED, min_size=1, max_size=5), st.floats(0, 1e12))
def test_an_unread_fact_meets_no_expectation(values: list[Any], tolerance: float) -> None:
    assert not Expected(tuple(values), tolerance).allows(None)


TABLES = [
    {"any": True},
    {"pattern": "*"},
    {"from": 1},
    {"to": 1},
    {"value": 1, "tolerance": 9},
    {"from": "1"},
    {"value": ""},
]
WRITTEN = st.one_of(PLAIN, st.sampled_from(["AETR", "serial", "yes", "1.2.3"]), st.sampled_from(TABLES))


@settings(max_examples=500, deadline=None)
@given(st.data())
def test_no_way_of_writing_an_expectation_lets_an_unread_fact_pass(data: st.DataObject) -> None:
    shapes = [Expectation.of(spec) for specs in groups().values() for spec in specs.values()]
    shapes += [answer_of(kind) for kind in KINDS]
    shape = data.draw(st.sampled_from(shapes))
    written = data.draw(WRITTEN | st.lists(WRITTEN, min_size=1, max_size=3))
    assume(not list(shape.faults(written, ())))
    expected = shape.read(written, "file:1", data.draw(st.none() | st.floats(0, 1e6)))
    assert not expected.allows(None)
    assert expected.values


def test_every_group_of_the_craft_is_a_table_of_a_sheet() -> None:
    assert set(groups()) <= set(sheet_shape().keys)


@given(st.recursive(PLAIN | st.text(), lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=8))
def test_what_is_written_as_toml_is_read_back_the_same(value: Any) -> None:
    assume("\ud800" not in toml_value(value))
    assert tomllib.loads(f"x = {toml_value(value)}")["x"] == value
