"""Rows are bound with all lines of their kind, or not at all: a port that is left out may be the free one."""

from __future__ import annotations

from dataclasses import replace

import pytest

from propsoff.craft.model import Craft
from propsoff.learning.kin import left_out
from propsoff.learning.learn import learn
from tests_support.answers import heard_from

ABOUT = "firmware name = oak\nfirmware version = 1.2.3"


def _craft(**answers: str) -> Craft:
    lesson = learn(heard_from({"about": ABOUT, **answers}), id_="oak", title="Oak")
    assert lesson.craft is not None, lesson.why_not
    return lesson.craft


def _ports(craft: Craft) -> list[tuple[object, object, object]]:
    return [(one.id, one.roles, one.baud) for one in craft.ports or ()]


def test_a_line_of_assignments_that_lacks_fields_is_a_row_as_well() -> None:
    craft = _craft(
        ports="port name=uart1 function=console baud=115200 parity=none\n"
        "port name=uart2 function=receiver baud=100000 parity=even\n"
        "port name=uart6 function=unused\n"
        "loop rate_hz=3200 load_limit_percent=80"
    )
    assert _ports(craft) == [
        ("uart1", ("console",), 115200),
        ("uart2", ("receiver",), 100000),
        ("uart6", ("unused",), None),
    ]


def test_a_value_in_brackets_may_say_its_first_part_alone() -> None:
    craft = _craft(
        ports="SERIAL PORTS\n"
        "  UART1                [CONSOLE] AT [115200] BAUD\n"
        "  UART2                [GPS] AT [57600] BAUD\n"
        "  UART3                [TELEMETRY] AT [19200] BAUD\n"
        "  UART6                [UNUSED]\n"
        "  FRAMING ERRORS       [3]"
    )
    assert [(id_, roles) for id_, roles, _ in _ports(craft)] == [
        ("UART1", ("console",)),
        ("UART2", ("positioning",)),
        ("UART3", ("telemetry",)),
        ("UART6", ("unused",)),
    ]


@pytest.mark.parametrize(
    "left",
    ["uart6 :: nothing at all, so far", "uart6 -", "uart6 console 9600 none odd even"],
)
def test_ports_of_which_a_line_is_not_understood_are_not_bound(left: str) -> None:
    text = f"uart1     console   115200\nuart2     receiver  100000\n{left}"
    whole = _craft(ports=text.rpartition("\n")[0])
    assert len(_ports(whole)) == 2
    assert len(_ports(_craft(ports=text))) in (0, 3)


def test_ports_with_another_thing_among_them_that_is_written_alike_are_not_bound() -> None:
    text = "port UART1 = CONSOLE at 115200 baud\nport UART2 = GPS at 57600 baud\nport UART3 = UNUSED"
    assert len(_ports(_craft(ports=text))) == 3
    assert _ports(_craft(ports=f"{text}\nport error count = NONE")) == []


ROWS = "name   function  baud\nuart1  console   115200\nuart2  receiver  420000"


@pytest.mark.parametrize(
    ("line", "is_left_out"),
    [
        ("uart6  nothing", True),
        ("uart6: nothing", True),
        ("uart6", True),
        ("uart1  bytes 300", False),  # bound already
        ("uart2_swap = no", False),
        ("uart63 nothing", True),
        ("uart6x = 3", False),  # another name
        ("spi1   flash", False),
        ("the uart6 has nothing", False),  # not in its place
        ("uarts  6", False),
        ("", False),
    ],
)
def test_a_line_that_begins_with_a_further_port_is_one_left_out(line: str, *, is_left_out: bool) -> None:
    lesson = learn(heard_from({"about": ABOUT, "ports": ROWS}), id_="oak", title="Oak")
    (bound,) = lesson.meaning.rows
    (answer,) = (one for one in lesson.heard.answers if one.command == "ports")
    last = answer.lines[-1]
    further = replace(last, number=last.number + 1, text=line)
    found = list(left_out(bound, replace(answer, lines=(*answer.lines, further))))
    assert found == ([further] if is_left_out else [])
