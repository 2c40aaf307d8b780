"""JSON documents that name their settings, are objects of objects, or one a line (RFC 8259)."""

from __future__ import annotations

import pytest

from dialects.toys import FIRST, craft_of
from propsoff.craft.model import Uart

NAMED = """
grammar = "json"
named_by = "name"
ignore = ['settings."rx.kind".name', "settings.low.name"]
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
        (f"{FIRST_LINE}\n{SECOND_LINE[:15]}\nend 2", None),  # a line that stops short
    ],
)
def test_a_line_that_is_lost_or_no_object_is_a_problem_and_no_row(reply: str, fact: str | None) -> None:
    craft = craft_of(LINES, reply)
    assert craft.ports == (Uart("P1", None, 9600),)
    assert any(problem.fact == fact and problem.gap for problem in craft.problems)


def test_without_it_a_second_document_is_no_part_of_the_first() -> None:
    craft = craft_of(LINES.replace("per_line = true\n", ""), f"{FIRST_LINE}\n{SECOND_LINE}\nend 2")
    assert craft.ports is None
    assert craft.problems or craft.unread
