"""The lines of receiver protocols, and a line that is set up for another one."""

from __future__ import annotations

from typing import Any

import pytest

from propsoff import Case
from propsoff_checks.protocols import LINES, other_protocol, receiver_uart
from propsoff_checks.receiver_type import receiver_type
from tests_support.crafts import PORTS, Bench


def case(bench: Bench, changes: dict[str, object], expect: dict[str, object] | None = None, **row: Any) -> Case:
    ports = [{**port, **row} if port["id"] == "U2" else port for port in PORTS]
    craft, lines = bench.craft(changes, ports=ports)
    return Case(receiver_type, craft, bench.sheet(expect=expect or {}), None, lines)


@pytest.mark.parametrize(
    ("protocol", "inverted", "bauds"),
    [
        ("crsf", False, (416666, 420000, 400000)),  # CRSF protocol specification; the others are common practice
        ("sbus", True, (100000,)),  # Zephyr input_sbus.c
        ("ibus", False, (115200,)),  # common practice
    ],
)
def test_inversion_and_rates_are_those_of_the_sources(protocol: str, inverted: bool, bauds: tuple[int, ...]) -> None:
    assert (LINES[protocol].inverted, LINES[protocol].bauds) == (inverted, bauds)


def test_the_receivers_uart_is_the_one_that_it_is_set_to(bench: Bench) -> None:
    found = receiver_uart(case(bench, {}))
    assert (found.id if found else None) == "U2"
    assert receiver_uart(case(bench, {"receiver.port": "U9"})) is None
    assert receiver_uart(case(bench, {"receiver.port": None}, id=None)) is None  # two unread names are not one UART
    craft, lines = bench.craft(ports=None)
    assert receiver_uart(Case(receiver_type, craft, bench.sheet(), None, lines)) is None


@pytest.mark.parametrize(
    ("changes", "baud", "other"),
    [
        ({"receiver.inverted": True}, 100000, "SBUS"),
        ({"receiver.inverted": None}, 100000, "SBUS"),
        ({"receiver.inverted": False}, 100000, None),  # the rate of SBUS, but not its inversion
        ({}, 115200, "IBUS"),
        ({}, 9600, None),  # the rate of none
        ({}, 400000, None),  # its own rate
        ({}, None, None),
        ({"receiver.protocol": None}, 100000, None),
        ({"receiver.protocol": "morse"}, 115200, None),  # what its own rate is nobody knows
        ({"receiver.kind": "spi"}, 115200, None),
        ({"receiver.port": "U9"}, 115200, None),
        ({"receiver.protocol": "sbus", "receiver.inverted": False}, 416666, "CRSF"),
    ],
)
def test_for_which_other_protocol_the_line_is_set_up(
    bench: Bench, changes: dict[str, object], baud: int | None, other: str | None
) -> None:
    found = other_protocol(case(bench, changes, baud=baud))
    assert (found.name if found else None) == other


def test_where_the_sheet_names_the_protocol_there_is_no_other(bench: Bench) -> None:
    assert other_protocol(case(bench, {}, {"receiver.protocol": "crsf"}, baud=115200)) is None
