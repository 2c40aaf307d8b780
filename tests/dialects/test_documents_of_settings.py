"""JSON documents that name their settings, are objects of objects, or one a line (RFC 8259)."""

from __future__ import annotations

import pytest

from dialects.toys import FIRST, HEAD, craft_of
from propsoff.console.capture import pasted
from propsoff.craft.model import Uart
from propsoff.dialects.load import parse_dialect
from propsoff.dialects.read import read_craft

NAMED = """
grammar = "json"
named_by = "name"
[reads.words]
'settings."rx.kind".value' = { fact = "receiver.kind", as = "choice", words = { uart = "serial" } }
"settings.low.value" = "channels.low"
"""
KIND = '{"name": "rx.kind", "value": "uart"}'
LOW = '{"name": "low", "value": 1000}'
OTHER = '{"name": "colour", "value": 3}'


def listing(*items: str) -> str:
    return "\n".join(['{"settings": [', ",\n".join(items), "]}"])


@pytest.mark.parametrize("items", [(KIND, LOW), (LOW, KIND), (OTHER, LOW, KIND)])
def test_a_setting_is_found_by_its_name_wherever_it_stands(items: tuple[str, ...]) -> None:
    craft = craft_of(NAMED, listing(*items))
    assert (craft.receiver.kind, craft.channels.low, craft.problems) == ("serial", 1000, ())
    assert craft.provenance["channels.low"] == (FIRST + 1 + items.index(LOW),)
    assert {text.rstrip(",") for _, text in craft.unread} == {*items} - {KIND, LOW}


@pytest.mark.parametrize(
    "low", ['{"nam": "low", "value": 1000}', '{"name": "lo", "value": 1000}', '{"name": 1, "value": 1000}', "1000"]
)
def test_a_setting_without_its_name_is_nobodys(low: str) -> None:
    craft = craft_of(NAMED, listing(KIND, low))
    assert (craft.receiver.kind, craft.channels.low) == ("serial", None)
    assert [text for _, text in craft.unread] == [low]


@pytest.mark.parametrize("between", [" ", "\n"])
def test_the_name_of_a_setting_is_read_and_what_else_stands_with_it_is_not(between: str) -> None:
    low = LOW.replace("}", ', "unit": "us"}').replace(" ", between)
    craft = craft_of(NAMED, listing(KIND, low))
    assert (craft.receiver.kind, craft.channels.low) == ("serial", 1000)
    (unread,) = craft.unread
    assert '"us"' in unread[1]


def test_a_setting_of_which_only_the_name_is_there_is_unread() -> None:
    craft = craft_of(NAMED, listing(KIND, '{"name": "low"}'))
    assert [text for _, text in craft.unread] == ['{"name": "low"}']


def test_a_name_that_is_a_word_states_its_fact() -> None:
    craft = craft_of(NAMED + '"settings.low.name" = "craft.name"', listing(KIND, LOW))
    assert (craft.craft.name, craft.channels.low, craft.unread) == ("low", 1000, ())


def test_a_setting_with_two_names_is_nobodys() -> None:
    craft = craft_of(NAMED, listing(KIND, LOW.replace("{", '{"name": "lower", ')))
    assert (craft.receiver.kind, craft.channels.low) == ("serial", None)
    assert len(craft.unread) == 1


def test_a_name_that_stands_twice_with_different_values_is_unread() -> None:
    craft = craft_of(NAMED, listing(KIND, LOW, LOW.replace("1000", "988")))
    assert (craft.receiver.kind, craft.channels.low) == ("serial", None)
    (problem,) = craft.problems
    assert (problem.fact, problem.line) == ("channels.low", FIRST + 3)


def test_a_list_that_breaks_off_gives_its_whole_settings() -> None:
    craft = craft_of(NAMED, listing(KIND, LOW).partition("1000")[0])
    assert (craft.receiver.kind, craft.channels.low) == ("serial", None)
    assert any(problem.gap for problem in craft.problems)


PORTS = """
grammar = "json"
[[reads.rows]]
group = "ports"
path = "ports"
fields.key = "id"
fields.baud = "baud"
"""
TWO = '{"ports": {"uart1": {"baud": 9600},\n"uart2": {"baud": 1200}}}'


def test_an_object_of_objects_is_a_group_whose_rows_have_its_names() -> None:
    craft = craft_of(PORTS, TWO)
    assert craft.ports == (Uart("uart1", None, 9600), Uart("uart2", None, 1200))
    assert (craft.problems, craft.unread) == ((), ())
    assert craft.provenance["ports[1]"] == (FIRST + 1,)
    assert craft_of(PORTS, '{"ports": {}}').ports == ()


def test_a_member_that_is_called_key_has_its_own_value() -> None:
    assert craft_of(PORTS, '{"ports": {"uart1": {"key": "P1", "baud": 9600}}}').ports == (Uart("P1", None, 9600),)


def test_one_name_with_different_members_states_neither() -> None:
    craft = craft_of(PORTS, TWO.replace("uart2", "uart1"))
    assert craft.ports == (Uart("uart1", None, None),)
    assert [problem.fact for problem in craft.problems] == ["ports[0].baud"]


@pytest.mark.parametrize("reply", [TWO.replace('{"baud": 1200}', "7"), TWO.partition("1200")[0]])
def test_a_member_that_is_no_whole_object_makes_the_group_partial(reply: str) -> None:
    craft = craft_of(PORTS, reply)
    assert craft.ports == (Uart("uart1", None, 9600),)
    assert "ports" in craft.partial
    assert any(problem.fact == "ports" for problem in craft.problems)


LINES = """
ends = "end {count:int}"
grammar = "json"
per_line = true
[[reads.rows]]
group = "ports"
path = "[]"
fields.id = "id"
fields.baud = "baud"
"""
FIRST_LINE, SECOND_LINE = '{"id": "P1", "baud": 9600}', '{"id": "P2", "baud": 1200}'


def test_each_line_is_an_item_of_one_list() -> None:
    craft = craft_of(LINES, f"{FIRST_LINE}\n{SECOND_LINE}\nend 2")
    assert craft.ports == (Uart("P1", None, 9600), Uart("P2", None, 1200))
    assert (craft.problems, craft.unread) == ((), ())


def test_one_document_needs_no_second_and_words_stand_at_their_place_in_the_list() -> None:
    read = 'grammar = "json"\nper_line = true\nwords."[0].low" = "channels.low"\nwords."[1].high" = "channels.high"'
    craft = craft_of(read, '{"low": 1000}\n{"high": 2000}')
    assert (craft.channels.low, craft.channels.high) == (1000, 2000)
    assert craft_of(read, '{"low": 1000}').channels.low == 1000


@pytest.mark.parametrize(
    ("reply", "fact"),
    [
        (f"{FIRST_LINE}\nend 2", "ports"),  # a line is missing
        (f"{FIRST_LINE}\n[1]\nend 2", "ports"),  # no object
        (f"{FIRST_LINE}\n{SECOND_LINE[:15]}\nend 2", "ports"),  # a line that stops short
    ],
)
def test_a_line_that_is_lost_or_no_object_is_a_problem_and_no_row(reply: str, fact: str | None) -> None:
    craft = craft_of(LINES, reply)
    assert "ports" in craft.partial
    assert craft.ports == (Uart("P1", None, 9600),)
    assert any(problem.fact == fact and problem.gap for problem in craft.problems)


def test_without_it_a_second_document_is_no_part_of_the_first() -> None:
    craft = craft_of(LINES.replace("per_line = true\n", ""), f"{FIRST_LINE}\n{SECOND_LINE}\nend 2")
    assert craft.ports is None
    assert craft.problems or craft.unread


THIRD_LINE = '{"id": "P3", "baud": 300}'
BROKEN = [
    SECOND_LINE[1:],  # its first character is lost
    SECOND_LINE[2:],
    SECOND_LINE[:15],
    SECOND_LINE[:-1],
    SECOND_LINE.replace('": 1', '" 1'),
    "all is well",
    "7",
]


@pytest.mark.parametrize("line", BROKEN)
def test_a_line_that_is_no_whole_document_is_a_problem_with_its_line_and_others_are_read(line: str) -> None:
    for at in range(3):
        lines = [FIRST_LINE, THIRD_LINE]
        lines.insert(at, line)
        craft = craft_of(LINES, "\n".join([*lines, "end 3"]))
        assert craft.ports == (Uart("P1", None, 9600), Uart("P3", None, 300)), at
        assert "ports" in craft.partial
        assert {(problem.line, problem.fact, problem.gap) for problem in craft.problems} == {
            (FIRST + at, "ports", True)
        }
        assert {text for _, text in craft.unread} <= {line}


@pytest.mark.parametrize("line", BROKEN)
def test_of_a_reply_of_one_line_that_is_no_whole_document_no_group_is_known(line: str) -> None:
    craft = craft_of(LINES, f"{line}\nend 1")
    assert craft.ports is None
    assert [(problem.line, problem.fact, problem.gap) for problem in craft.problems] == [(FIRST, "ports", True)]


def test_what_follows_a_whole_document_on_its_line_is_a_problem_and_the_document_is_read() -> None:
    craft = craft_of(LINES, f"{FIRST_LINE}{SECOND_LINE}\nend 1")
    assert craft.ports == (Uart("P1", None, 9600),)
    assert "ports" in craft.partial


@pytest.mark.parametrize("remark", ["# {a remark", "  # a remark", "", "   "])
def test_a_remark_is_no_broken_line(remark: str) -> None:
    for at in range(3):
        lines = [FIRST_LINE, SECOND_LINE]
        lines.insert(at, remark)
        craft = craft_of(LINES, "\n".join([*lines, "end 3"]))
        assert len(craft.ports or ()) == 2
        assert (craft.problems, craft.unread, craft.partial) == ((), (), frozenset())


def test_a_broken_line_moves_no_place_and_is_said_where_there_is_no_group() -> None:
    read = 'grammar = "json"\nper_line = true\nwords."[0].low" = "channels.low"\nwords."[1].high" = "channels.high"'
    craft = craft_of(read, '{"low": 1000}\n"rest": 1500}\n{"high": 2000}')
    assert (craft.channels.low, craft.channels.high) == (1000, None)
    assert [(problem.line, problem.fact, problem.gap) for problem in craft.problems] == [(FIRST + 1, None, True)]


def test_that_the_console_does_not_know_the_command_is_one_problem() -> None:
    dialect = parse_dialect(HEAD.replace("[identity]", 'error = "?? {_:rest}"\n[identity]') + LINES, "toy.toml")
    text = "\n> id\nToy 1.0\n> all\n?? unknown\n> "
    craft = read_craft(pasted(text.encode()), dialect).craft
    assert craft.ports is None
    assert sum("with an error" in problem.message for problem in craft.problems) == 1
    assert not any("document" in problem.message for problem in craft.problems)


def test_of_torn_lines_a_word_by_its_place_is_not_taken_and_a_row_of_one_line_is() -> None:
    read = LINES.replace("per_line = true", 'per_line = true\nwords."[0].x.low" = "channels.low"')
    read = read.partition("[[")[0]
    craft = craft_of(read, '{"x": {"low": 1000}}\nend 2')
    assert craft.channels.low is None
    assert any(problem.fact == "channels.low" and problem.gap for problem in craft.problems)
    assert craft_of(LINES, f"{FIRST_LINE}\nend 2").ports == (Uart("P1", None, 9600),)


TORN_NAMED = """
ends = "end {count:int}"
grammar = "json"
named_by = "name"
[reads.words]
"high.value" = "channels.high"
"""
ITEMS = """
ends = "end {count:int}"
grammar = "json"
[[reads.rows]]
group = "ports"
path = "ports"
fields.id = "id"
fields.baud = "baud"
"""


def test_a_setting_over_several_lines_of_a_torn_reply_is_not_taken() -> None:
    lines = ["[{", '"name": "high",', '"value": 2000', "}, {", '"name": "low",', '"value": 1000', "}]"]
    assert craft_of(TORN_NAMED, "\n".join([*lines, "end 7"])).channels.high == 2000
    craft = craft_of(TORN_NAMED, "\n".join([*lines[:2], *lines[5:], "end 7"]))
    assert craft.channels.high is None
    assert any(problem.fact == "channels.high" and problem.gap for problem in craft.problems)


ROWS = ['{"ports": [{', '"id": "P1",', '"baud": 9600', "}, {", '"id": "P2",', '"baud": 1200', "}]}"]
OBJECTS = ['{"ports": {"P1": {', '"id": "P1",', '"baud": 9600', '}, "P2": {', '"id": "P2",', '"baud": 1200', "}}}"]


@pytest.mark.parametrize("lines", [ROWS, OBJECTS])
def test_of_a_torn_document_no_row_is_taken(lines: list[str]) -> None:
    assert craft_of(ITEMS, "\n".join([*lines, "end 7"])).ports == (Uart("P1", None, 9600), Uart("P2", None, 1200))
    for first in range(1, 6):
        for end in range(first + 1, 7):
            craft = craft_of(ITEMS, "\n".join([*lines[:first], *lines[end:], "end 7"]))
            assert craft.ports is None
            assert any(problem.fact == "ports" and problem.gap for problem in craft.problems)


def test_of_a_torn_document_a_list_of_items_is_not_taken() -> None:
    read = ITEMS.partition("[[")[0] + '[[reads.lists]]\nfact = "arming.blocks"\npath = "held"\nfield = "why"\n'
    lines = ['{"held": [{', '"why": "link"}, {', '"why": "usb"', "}]}"]
    assert craft_of(read, "\n".join([*lines, "end 4"])).arming.blocks == ("link", "usb")
    assert craft_of(read, "\n".join([*lines[:2], *lines[3:], "end 4"])).arming.blocks is None
    assert craft_of(read, "\n".join([lines[0], *lines[2:], "end 4"])).arming.blocks is None


def test_of_a_torn_document_a_member_that_stands_in_several_objects_is_not_taken() -> None:
    read = ITEMS.partition("[[")[0] + (
        'words."low.us" = "channels.low"\nwords."high.us" = "channels.high"\nwords.cells = "battery.cells"\n'
    )
    lines = ['{"low": {', '"us": 1000', '}, "high": {', '"us": 2000', '}, "cells": 6}']
    whole = craft_of(read, "\n".join([*lines, "end 5"]))
    assert (whole.channels.low, whole.channels.high, whole.battery.cells) == (1000, 2000, 6)
    quoted = read.replace(".us", r".\"u.s\"")
    assert craft_of(quoted, "\n".join([lines[0], *lines[3:], "end 5"]).replace("us", "u.s")).channels.low is None
    torn = craft_of(read, "\n".join([lines[0], *lines[3:], "end 5"]))
    assert (torn.channels.low, torn.channels.high, torn.battery.cells) == (None, None, 6)
    assert any(problem.fact == "channels.low" and problem.gap for problem in torn.problems)


NUMBERS = """
grammar = "json"
words.low = "channels.low"
words.high = "channels.high"
"""


@pytest.mark.parametrize("reply", ['{"high": 2000, "low": 10', '{"high": 2000, "low": 10\n"b": 3}'])
def test_a_number_that_breaks_off_is_not_taken_and_said(reply: str) -> None:
    craft = craft_of(NUMBERS, reply)
    assert (craft.channels.low, craft.channels.high) == (None, 2000)
    assert any(problem.fact == "channels.low" and problem.gap for problem in craft.problems)
    for whole in ('{"low": 10 }', '{"low":\n10\n}'):
        assert craft_of(NUMBERS, whole).channels.low == 10
