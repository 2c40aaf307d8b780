"""Settings that are the cells of rows which repeat, told by their keys."""

from __future__ import annotations

import pytest

from learning.layouts.replies import COMMAND, cells, only, statement
from propsoff.learning.layouts.keys import rows_of
from propsoff.learning.layouts.parting import note_words


@pytest.mark.parametrize(
    ("settings", "key", "rows"),
    [
        (
            {"port.P1": "con@9600", "port.P2": "rx@420000", "name": "Wren"},
            "port.{id:word}",
            [{"id": "P1", "part1": "con", "part2": "9600"}, {"id": "P2", "part1": "rx", "part2": "420000"}],
        ),
        (
            {"uart1.role": "rx", "uart1.baud": "420000", "uart2.role": "con"},
            "uart{id:int}.{member:word}",
            [{"id": "uart1", "role": "rx", "baud": "420000"}, {"id": "uart2", "role": "con"}],
        ),
        (
            {"port_1_role": "rx", "port_2_role": "con"},
            "port_{id:int}_{member:word}",
            [{"id": "1", "role": "rx"}, {"id": "2", "role": "con"}],
        ),
        (
            {"item.timer": "2,11", "item.battery": "3,12", "item.craft-name": "9,1"},
            "item.{id:word}",
            [
                {"id": "timer", "part1": "2", "part2": "11"},
                {"id": "battery", "part1": "3", "part2": "12"},
                {"id": "craft-name", "part1": "9", "part2": "1"},
            ],
        ),
        (
            {"lever.arm.ch": "5", "lever.arm.from": "1700", "lever.level.ch": "6", "lever.level.from": "1300"},
            "lever.{id:word}.{member:word}",
            [{"id": "arm", "ch": "5", "from": "1700"}, {"id": "level", "ch": "6", "from": "1300"}],
        ),
    ],
)
def test_keys_of_one_shape_are_rows(settings: dict[str, str], key: str, rows: list[dict[str, str]]) -> None:
    found = only(rows_of(COMMAND, [statement(word, text) for word, text in settings.items()]))
    assert (found.place, cells(found)) == ({"key": key}, rows)


def test_reasons_that_are_each_said_by_one_key_are_a_list() -> None:
    found = only(rows_of(COMMAND, [statement("arming-blocked", "usb", 1), statement("arming-blocked", "no signal", 2)]))
    assert (found.place, cells(found)) == ({"key": "arming-blocked"}, [{"value": "usb"}, {"value": "no signal"}])


def test_one_key_said_several_times_is_a_row_each() -> None:
    found = only(rows_of(COMMAND, [statement("PORT", "P1,con,9600", 1), statement("PORT", "P2,rx,420000", 2)]))
    assert found.place == {"key": "PORT"}
    assert cells(found) == [
        {"part1": "P1", "part2": "con", "part3": "9600"},
        {"part1": "P2", "part2": "rx", "part3": "420000"},
    ]
    assert [row["part1"].line for row in found.rows] == [1, 2]


@pytest.mark.parametrize(
    "settings",
    [
        [("port.P1", "con")],  # one is no repetition
        [("kind", "serial"), ("low", "1000")],
        [("i2c", "1"), ("i3c", "2")],  # the number is not the index of anything
        [("uart1Function", "rx"), ("uart2Function", "con"), ("usbFunction", "con")],  # not all have numbers
        [("item.timer", "2,11"), ("item.battery", "3")],  # two are not enough to tell names from keys
        [("item.timer", "2,11"), ("item.battery", "many words"), ("item.name", "9")],  # not written alike
        [("PORT", "P1"), ("PORT", "P2")],  # no parts that would tell rows apart
        [("port.P1", "a"), ("port.P1", "b"), ("port.P2", "c")],  # one of them twice
    ],
)
def test_keys_that_only_look_alike_are_no_rows(settings: list[tuple[str, str]]) -> None:
    assert rows_of(COMMAND, [statement(word, text) for word, text in settings]) == ()


@pytest.mark.parametrize(
    ("words", "before"),
    [(("UART 1", "UART 2"), "UART "), (("uart1", "uart2"), "uart"), (("port.1", "port.2"), "")],
)
def test_a_word_right_before_a_number_belongs_to_the_name(words: tuple[str, ...], before: str) -> None:
    found = only(rows_of(COMMAND, [statement(word, "rx") for word in words]))
    assert found.before == before
    assert [row["id"].text for row in found.rows] == [f"{before}1", f"{before}2"]


def test_cells_of_several_parts_are_taken_apart() -> None:
    settings = [("item.arm.at", "2,11"), ("item.arm.on", "1"), ("item.low.at", "3,12"), ("item.low.on", "0")]
    found = only(rows_of(COMMAND, [statement(word, text) for word, text in settings]))
    assert found.columns == ("id", "at/part1", "at/part2", "on")
    assert cells(found)[1] == {"id": "low", "at/part1": "3", "at/part2": "12", "on": "0"}


def test_a_note_names_the_parts_of_a_value() -> None:
    settings = [statement(f"item.{n}", f"{n},11", note="column, row, default 1,12") for n in (1, 2)]
    assert cells(only(rows_of(COMMAND, settings)))[1] == {"id": "2", "column": "2", "row": "11"}


@pytest.mark.parametrize(
    ("note", "words"),
    [
        ("column,row, default 1,12", ("column", "row")),
        ("role; baud rate", ("role", "baud", "rate")),
        ("0..5", ()),
        ("range 1 to 5", ()),
        ("", ()),
    ],
)
def test_the_words_of_a_note_end_at_its_default_or_range(note: str, words: tuple[str, ...]) -> None:
    assert note_words(note) == words


def test_rows_that_say_their_ids_themselves_are_told_apart_by_their_place() -> None:
    settings = {"ports.1.id": "P1", "ports.1.baud": "9600", "ports.2.id": "P2", "ports.2.baud": "420000"}
    found = only(rows_of(COMMAND, [statement(word, text) for word, text in settings.items()]))
    assert found.place == {"key": "ports.{n:int}.{member:word}"}
    assert cells(found) == [{"n": "1", "id": "P1", "baud": "9600"}, {"n": "2", "id": "P2", "baud": "420000"}]


def test_a_member_keeps_the_unit_at_its_end() -> None:
    settings = {"lever.arm.ch": "5", "lever.arm.from.us": "1700", "lever.level.ch": "6", "lever.level.from.us": "1300"}
    found = [
        rows for rows in rows_of(COMMAND, [statement(*one) for one in settings.items()]) if "from.us" in rows.columns
    ]
    assert cells(only(found)) == [
        {"id": "arm", "ch": "5", "from.us": "1700"},
        {"id": "level", "ch": "6", "from.us": "1300"},
    ]


def test_settings_that_are_called_like_rows_and_have_one_value_stand_apart() -> None:
    settings = {
        "osd-rows": "20",
        "osd-timer": "46 18 on",
        "osd-rate": "30",
        "osd-battery": "3 18 on",
        "osd-craft-name": "20 1 off",
    }
    found = [one for one in rows_of(COMMAND, [statement(*each) for each in settings.items()]) if one.apart]
    rows = only([one for one in found if one.place == {"key": "osd-{id:word}"}])
    assert [row["id"].text for row in rows.rows] == ["timer", "battery", "craft-name"]
    assert rows.apart == ("osd-rows", "osd-rate")
