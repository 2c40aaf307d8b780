"""What a dialect says of menus, and the line by which a firmware is known."""

from __future__ import annotations

import pytest

from dialects.toys import HEAD, STARTS, mistake, toy
from propsoff.console.capture import Capture, Event
from propsoff.dialects.load import parse_dialect
from propsoff.dialects.read import read_craft
from propsoff.dialects.recognise import explain

READ = 'grammar = "pairs"\nline = "{key:word} = {value:rest}"\nwords.low = "channels.low"\n'
SAY = '[say]\nset = "set {word} {value}"\nclosing = ["store"]\n'


@pytest.mark.parametrize(
    ("written", "ways"),
    [
        ('["m", "2"]', ("m", "2")),
        ('"m"', ("m",)),
        ("[]", ()),
        ('["1", "2", "3", "4"]', ("1", "2", "3", "4")),
        ('"1234567890123456"', ("1234567890123456",)),
    ],
)
@pytest.mark.parametrize("key", ["before", "after"])
def test_ways_are_a_line_or_a_list_of_lines(key: str, written: str, ways: tuple[str, ...]) -> None:
    (query,) = toy(f"{key} = {written}\n{READ}").manner.reads
    assert getattr(query, key) == ways
    assert {query.before, query.after} == {ways, ()}


@pytest.mark.parametrize("key", ["before", "after"])
@pytest.mark.parametrize(
    ("written", "says"),
    [
        ('["1", "2", "3", "4", "5"]', "at most 4 lines"),
        ('"12345678901234567"', "at most 16 printable characters"),
        ('["m", ""]', "at most 16 printable characters"),
        ('["m\\r2"]', "at most 16 printable characters"),
        ('["m", "set low 3"]', "'set' sets, stores or restarts"),
        ('"store"', "'store' sets, stores or restarts"),
        ("[1]", "expected"),
    ],
)
def test_a_way_is_short_and_changes_nothing(key: str, written: str, says: str) -> None:
    error = mistake(f"{key} = {written}\n{READ}{SAY}")
    assert says in str(error)
    assert (error.key or "").startswith(f"reads[0].{key}")
    assert error.line == STARTS + 1


def heard(identity: str) -> Capture:
    turns = (("\n", "\n> "), ("id\n", f"\n{identity}\n> "), ("all\n", "\nlow = 1000\n> "))
    return Capture(tuple(one for sent, got in turns for one in (Event(0.0, "i", sent), Event(0.0, "o", got))), 0.0)


@pytest.mark.parametrize(
    ("identity", "known"),
    [
        ("Toy\nToy 1.0", True),
        ("   Toy\nToy 1.0", True),
        ("\tToy\nToy 1.0", True),
        ("xToy\nToy 1.0", False),
        ("   To y\nToy 1.0", False),
        ("Toy 1.0", False),
        ("", False),
    ],
)
def test_blanks_before_the_line_that_names_a_firmware_are_not_looked_at(identity: str, known: bool) -> None:
    dialect = parse_dialect(HEAD + READ, "toy.toml")
    found = explain(heard(identity), [dialect])
    assert (found.dialect is dialect) is known
    if known:
        assert read_craft(heard(identity), dialect).craft.channels.low == 1000
