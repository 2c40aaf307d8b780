"""Every board of the simulator, sound and with each single fault: what is read equals the board's truth.

The simulator shares no code with the reader; the mapping between the two is in `simulated.py`, by hand.
"""

from __future__ import annotations

from dataclasses import astuple
from itertools import permutations
from typing import Any

import pytest

from dialects.simulated import say_to, talk, truth
from propsoff.craft.model import Craft
from propsoff.craft.names import facts
from propsoff.dialects.model import Dialect
from propsoff.dialects.read import read_craft
from propsoff.dialects.recognise import recognise
from propsoff_sim.board import BoardState
from propsoff_sim.board_faults import BOARD_FAULTS
from propsoff_sim.catalogue import board, board_names, boards_for

Dialects = dict[str, Dialect]
GROUPS = ("switches", "ports", "overlay.elements")

# Faults whose console text is malformed, and the fact that then must stay unread with a problem to its name. Everything
# else must be read as it is, without a problem and without a line that nobody understood.
MALFORMED = {
    "receiver-odd-kind": "receiver.kind",
    "order-empty": "channels.order",
    "odd-duty": "ports",
    "malformed-value": "channels.low",
    "malformed-volts": "battery.volts",
    "malformed-baud": "ports",
    "malformed-grid": "overlay.elements",
    "value-empty": "failsafe.delay_s",
    "value-huge": "motors.poles",
}
# Names that a terminal shows otherwise than they are stored: control sequences, bytes that are no text, prompts.
ODD_NAMES = {
    "name-ansi", "name-invalid-utf8", "name-nul", "name-prompt", "name-prompt-line", "name-prompt-end",
}  # fmt: skip


def read(state: BoardState, dialects: Dialects) -> Craft:
    dialect = dialects[state.firmware.name.lower()]
    capture = talk(state, dialect.manner)
    assert recognise(capture, dialects.values()) is dialect
    return read_craft(capture, dialect).craft


def differences(state: BoardState, craft: Craft) -> dict[str, tuple[Any, Any]]:
    """Facts that do not read as they are: name to (truth, read)."""
    found: dict[str, tuple[Any, Any]] = {}
    for name, expected in truth(state).items():
        got = craft.value(name)
        got = [astuple(row) for row in got] if name in GROUPS and got is not None else got
        if got != expected:
            found[name] = (expected, got)
    return found


def test_the_truth_names_every_fact() -> None:
    assert set(truth(board("ossel-analog"))) == {name.partition("[]")[0] for name in facts()}


@pytest.mark.parametrize("name", list(board_names()))
def test_a_sound_board_reads_as_it_is_and_every_line_is_understood(name: str, dialects: Dialects) -> None:
    state = board(name)
    craft = read(state, dialects)
    assert differences(state, craft) == {}
    assert (craft.problems, craft.unread) == ((), ())


@pytest.mark.parametrize(
    "fault", [fault for fault in BOARD_FAULTS if fault not in MALFORMED and fault not in ODD_NAMES]
)
def test_a_board_with_a_fault_reads_as_it_is(fault: str, dialects: Dialects) -> None:
    names = boards_for(BOARD_FAULTS[fault])
    assert names
    for name in names:
        state = board(f"{name}+{fault}")
        craft = read(state, dialects)
        assert differences(state, craft) == {}, name
        assert (craft.problems, craft.unread) == ((), ()), name


@pytest.mark.parametrize("fault", list(MALFORMED))
def test_a_malformed_value_stays_unread_and_all_else_is_read(fault: str, dialects: Dialects) -> None:
    for name in boards_for(BOARD_FAULTS[fault]):
        state = board(f"{name}+{fault}")
        craft = read(state, dialects)
        concerned = {problem.fact.partition("[")[0] for problem in craft.problems if problem.fact}
        assert concerned <= {MALFORMED[fault]}, name
        assert set(differences(state, craft)) <= {MALFORMED[fault]}, name
        assert concerned == {MALFORMED[fault]}, name
        assert craft.unread == (), name


@pytest.mark.parametrize("fault", sorted(ODD_NAMES))
def test_an_odd_name_disturbs_no_other_fact(fault: str, dialects: Dialects) -> None:
    for name in boards_for(BOARD_FAULTS[fault]):
        state = board(f"{name}+{fault}")
        craft = read(state, dialects)
        assert set(differences(state, craft)) <= {"craft.name"}, name
        assert craft.craft.name is not None, name
        assert "Tea" in craft.craft.name, name
        assert not any(char < " " or "\x7f" <= char < "\xa0" for char in craft.craft.name), name


@pytest.mark.parametrize("name", ["ossel-analog", "ossel-hd53", "brindle-analog", "brindle-hd53", "corvane-hd53"])
def test_what_is_said_is_understood_by_the_board_and_changes_nothing_else(name: str, dialects: Dialects) -> None:
    state = board(name)
    dialect = dialects[state.firmware.name.lower()]
    craft = read(state, dialects)
    values = {record.name: record.value for record in craft.facts()}
    said = [line for fact, value in values.items() if "[" not in fact for line in dialect.say(fact, value, row=values)]
    for group in GROUPS:
        for number, row in enumerate(craft.value(group), 1):
            fields = {field: getattr(row, field) for field in row.__dataclass_fields__}
            for field, value in fields.items():
                said += dialect.say(f"{group}[].{field}", value, row={**fields, "n": number, "no": number})
    assert len(said) > 60
    assert differences(say_to(state, said, dialect.manner), craft) == {}


ORDERS = ["".join(letters) for letters in permutations("AETR")]  # 4! = 24


@pytest.mark.parametrize("order", [*ORDERS, *(f"{order} 2 1 4 3" for order in ORDERS), "A 1 ETR 2 3 4"])
@pytest.mark.parametrize("name", ["ossel-hd53+order-missing", "brindle-hd53+order-missing", "corvane-hd53+order-empty"])
def test_a_board_takes_every_order_that_is_said_and_reads_as_it_was_told(
    name: str, order: str, dialects: Dialects
) -> None:
    state = board(name)
    dialect = dialects[state.firmware.name.lower()]
    said = dialect.say("channels.order", order)
    assert len(said) == 1
    assert read(say_to(state, said, dialect.manner), dialects).channels.order == order


CHANGES = [
    ("channels.order", "EATR"),
    ("channels.high", 1900),
    ("craft.name", "Grey Heron"),
    ("receiver.half_duplex", True),
    ("overlay.enabled", False),
    ("battery.cells", 4),
    ("battery.cell_warn", 3.6),
    ("motors.idle_percent", 4.0),
    ("motors.loop_hz", 4000),
    ("failsafe.action", "land"),
    ("failsafe.delay_s", 0.5),
]


@pytest.mark.parametrize(("fact", "value"), CHANGES)
@pytest.mark.parametrize("name", ["ossel-hd53", "brindle-hd53", "corvane-hd53"])
def test_a_board_that_is_told_reads_as_it_was_told(name: str, fact: str, value: object, dialects: Dialects) -> None:
    state = board(name)
    dialect = dialects[state.firmware.name.lower()]
    told = say_to(state, dialect.say(fact, value), dialect.manner)
    assert set(differences(told, read(state, dialects))) == {fact}
    assert read(told, dialects).value(fact) == value
