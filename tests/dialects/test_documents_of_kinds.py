"""JSON documents whose lists hold objects of several kinds, told apart by a member (RFC 8259)."""

from __future__ import annotations

import pytest

from dialects.toys import FIRST, craft_of
from propsoff.craft.model import Uart

READ = """
grammar = "json"
told_by = "type"
named_by = "name"
per_line = true
[reads.words]
"radio.kind" = { fact = "receiver.kind", as = "choice", words = { uart = "serial" } }
"radio.port" = "receiver.port"
"sensor.gyro.state" = { fact = "sensors.gyro", as = "choice", words = { ok = "found" } }
"firmware.name" = "craft.name"
[[reads.rows]]
group = "ports"
path = "port"
fields.name = "id"
fields.baud = "baud"
"""
KIND = '{"type": "radio", "kind": "uart"}'
PORT = '{"type": "radio", "port": "P1"}'
P1 = '{"type": "port", "name": "P1", "baud": 9600}'
P2 = '{"name": "P2", "type": "port", "baud": 115200}'
GYRO = '{"type": "sensor", "name": "gyro", "state": "ok"}'
NAME = '{"type": "firmware", "name": "Teal"}'
OTHER = '{"type": "servo", "port": "P9", "kind": "uart"}'


@pytest.mark.parametrize("order", [(KIND, P1, OTHER, P2, GYRO, NAME, PORT), (NAME, PORT, GYRO, P1, P2, OTHER, KIND)])
def test_objects_of_a_kind_are_read_together_and_no_others(order: tuple[str, ...]) -> None:
    craft = craft_of(READ, "\n".join(order))
    assert (craft.receiver.kind, craft.receiver.port, craft.sensors.gyro) == ("serial", "P1", "found")
    assert craft.ports == (Uart("P1", None, 9600), Uart("P2", None, 115200))
    assert craft.craft.name == "Teal"  # a name that a word wants is no name of an object
    assert [text for _, text in craft.unread] == [OTHER]
    assert craft.provenance["ports[1]"] == (FIRST + order.index(P2),)


def test_kinds_stand_in_a_list_of_one_document_too() -> None:
    read = READ.replace("per_line = true", "").replace('path = "port"', 'path = "all.port"')
    for word in ("radio.kind", "radio.port", "sensor.gyro", "firmware.name"):
        read = read.replace(f'"{word}', f'"all.{word}')
    craft = craft_of(read, '{"all": [\n' + ",\n".join((KIND, P1, GYRO)) + "\n]}")
    assert (craft.receiver.kind, craft.sensors.gyro, craft.ports) == ("serial", "found", (Uart("P1", None, 9600),))
    assert (craft.problems, craft.unread) == ((), ())


@pytest.mark.parametrize("broken", ['{"kind": "uart"}', '{"type": 1, "kind": "uart"}', "7"])
def test_an_object_that_does_not_say_its_kind_is_nobodys(broken: str) -> None:
    craft = craft_of(READ, f"{broken}\n{PORT}")
    assert (craft.receiver.kind, craft.receiver.port) == (None, "P1")
    assert [text for _, text in craft.unread] == [broken]


def test_an_object_with_two_kinds_is_nobodys() -> None:
    craft = craft_of(READ, '{"type": "radio", "type": "servo", "kind": "uart"}\n' + PORT)
    assert (craft.receiver.kind, craft.receiver.port) == (None, "P1")


def test_what_two_objects_of_a_kind_say_differently_is_unread() -> None:
    craft = craft_of(READ, "\n".join((PORT, PORT.replace("P1", "P2"), KIND)))
    assert (craft.receiver.kind, craft.receiver.port) == ("serial", None)
    (problem,) = craft.problems
    assert problem.fact == "receiver.port"


def test_of_lines_that_break_off_the_whole_ones_are_taken_and_the_group_is_not_whole() -> None:
    craft = craft_of(READ, f"{P1}\n{P2[:-9]}\n{KIND}")
    assert craft.ports == (Uart("P1", None, 9600),)
    assert craft.receiver.kind == "serial"
    assert any(problem.fact == "ports" for problem in craft.problems)
