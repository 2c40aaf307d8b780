"""Facts in words: ports, switches and main settings, and facts that are of no use."""

from __future__ import annotations

import pytest

from propsoff.craft.model import Fact
from propsoff.outputs.page_words import main_facts, overlay_of, ports_table, rows_of, switches_table, values_of, words


@pytest.mark.parametrize(
    ("value", "said"),
    [(True, "yes"), (False, "no"), (4.2, "4.2"), (("a", 1), "a, 1"), ((), "none"), ("AETR", "AETR")],
)
def test_a_value_is_said_in_words(value: object, said: str) -> None:
    assert words(value) == said


def test_rows_stand_in_the_order_of_their_numbers() -> None:
    values = {"ports[10].id": "K", "ports[2].id": "C", "ports[2].baud": 9600, "portsx[1].id": "no"}
    assert rows_of(values, "ports") == [{"id": "C", "baud": 9600}, {"id": "K"}]


def test_a_group_that_was_stated_empty_has_no_rows_and_one_that_was_not_read_is_not_known() -> None:
    assert rows_of(values_of([Fact("ports", ())]), "ports") == []
    assert rows_of({}, "ports") is None
    assert ports_table({}) is None
    assert switches_table({"switches": ()}) == []


def test_ports_are_told_by_what_is_on_them() -> None:
    values = {"ports[0].id": "U1", "ports[0].roles": ("receiver",), "ports[0].baud": 420000, "ports[1].id": "U2"}
    values |= {"ports[2].id": "U3", "ports[2].roles": ("unused",)}
    assert ports_table(values) == [
        ("U1", "radio receiver", "420000 baud"),
        ("U2", "not read", ""),
        ("U3", "free", ""),
    ]


@pytest.mark.parametrize(
    ("low", "high", "position"),
    [
        (1700, 2100, "high"),
        (1300, 1700, "middle"),
        (900, 1600, "low and middle"),
        (1600, 1900, "none of the three"),
        (None, 1700, "not read"),
    ],
)
def test_a_switch_is_on_at_the_positions_that_its_range_covers(low: int | None, high: int, position: str) -> None:
    # Common practice: a switch with three positions reads about 1000, 1500 and 2000 us.
    values = {"switches[0].function": "arm", "switches[0].channel": 5, "switches[0].to_us": high}
    if low is not None:
        values["switches[0].from_us"] = low
    shown = switches_table(values)
    assert shown is not None
    assert shown[0][3] == position


def test_what_was_not_read_is_said_not_to_be_read_and_never_left_out() -> None:
    assert {text for _, text in main_facts({})} == {"not read"}
    assert len(main_facts({})) >= 10


def test_main_settings_are_told_with_their_units() -> None:
    told = dict(main_facts({"battery.cells": 6, "battery.volts": 24.6, "channels.order": "TAER", "arming.blocks": ()}))
    assert told["Battery"] == "6 cells in series, 24.6 V now"
    assert told["Channel order"] == "TAER: throttle, roll, pitch, yaw"
    assert told["Arming"] == "nothing blocks it"


def test_facts_of_the_wrong_kind_in_a_file_that_was_edited_draw_nothing() -> None:
    overlay = overlay_of(
        {
            "overlay.system": ["pal"],
            "overlay.columns": True,
            "overlay.rows": 10**300,
            "overlay.elements[0].name": 7,
            "overlay.elements[0].column": "x",
        }
    )
    assert (overlay.system, overlay.columns, overlay.rows) == (None, None, None)
    assert overlay.elements is not None
    assert (overlay.elements[0].name, overlay.elements[0].column) == ("7", None)
