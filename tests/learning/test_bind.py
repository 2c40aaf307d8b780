"""Binding statements to facts: by words and by shape, and nothing in doubt. Answers and names are invented."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from propsoff.learning.bind import THRESHOLD, bind
from propsoff.learning.model import Bound, Meaning, Statement
from tests_support.answers import answer_of, rows_of

PORTS = rows_of(
    "ports", "id function baud", "uart1 console 115200", "uart4 receiver 420000", "uart6 unused -", first=20
)


def _values(meaning: Meaning) -> dict[str, Any]:
    facts = [one.fact for one in meaning.bound]
    assert len(facts) == len(set(facts)), "a fact is bound once"
    return {one.fact: one.reading.value for one in meaning.bound}


def _stated(meaning: Meaning) -> list[Statement]:
    return [*(one.statement for one in meaning.bound), *(one.statement for one in meaning.unbound)]


def _read(*lines: str, note: str = "", command: str = "settings") -> dict[str, Any]:
    return _values(bind([answer_of(*lines, note=note, command=command)]))


def _only(meaning: Meaning) -> Bound:
    (one,) = meaning.bound
    return one


def test_a_line_is_bound_by_its_words_and_keeps_its_evidence() -> None:
    meaning = bind([answer_of("flight/minutes = 12", "battery/cells = 4")])
    one = _only(meaning)
    assert (one.fact, one.reading.value) == ("battery.cells", 4)
    assert (one.statement.line, one.statement.text, one.statement.command) == (2, "4", "settings")
    assert THRESHOLD <= one.confidence <= 1
    assert "'battery' names battery" in one.why
    assert "'cells' names cell" in one.why
    assert [left.statement.word for left in meaning.unbound] == ["flight/minutes"]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("receiver/type = serial", {"receiver.kind": "serial"}),
        ("receiver/type = CRSF", {"receiver.protocol": "crsf"}),
        ("receiver/type = maple", {}),
        ("video/system = PAL", {"overlay.system": "pal"}),
        ("video/system = maple", {}),
        ("video/type = analog", {"video.link": "analog"}),
        ("video/channel = 4", {"video.channel": 4}),
        ("video/channel = R5", {"video.band": "R", "video.channel": 5}),
        ("battery/cells = 4", {"battery.cells": 4}),
        ("battery/cells = plenty", {}),
        ("firmware/version = 4.2.1", {"firmware.version": "4.2.1"}),
        ("failsafe = drop", {"failsafe.action": "drop"}),
        ("failsafe = 1000", {}),
    ],
)
def test_the_shape_of_a_value_decides_between_facts(line: str, expected: dict[str, Any]) -> None:
    assert _read(line) == expected


def test_nothing_is_bound_below_the_threshold() -> None:
    answer = answer_of("battery/banana cells = 4", "receiver/type = serial", "pack/cells = 4")
    confidence = {one.fact: one.confidence for one in bind([answer]).bound}
    assert confidence.keys() == {"battery.cells", "receiver.kind"}
    least = confidence["receiver.kind"]
    assert least < confidence["battery.cells"]
    assert _values(bind([answer], threshold=least + 0.02)).keys() == {"battery.cells"}
    strict = bind([answer], threshold=1.0)
    assert strict.bound == ()
    assert len(strict.unbound) == 3
    assert dict(strict.unbound[1].guesses)["receiver.kind"] == least  # it is still told


def test_a_weak_fit_is_a_guess_and_no_fact() -> None:
    meaning = bind([answer_of("battery/cell voltage = 3.5")])
    assert meaning.bound == ()
    (left,) = meaning.unbound
    (guess, confidence), *_ = left.guesses
    assert guess == "battery.volts"
    assert confidence < THRESHOLD


def test_two_lines_that_say_the_same_fact_differently_are_both_left_unread() -> None:
    meaning = bind([answer_of("battery/cells = 4", "receiver/type = serial", "pack/cells = 6")])
    assert _values(meaning) == {"receiver.kind": "serial"}
    left = {one.statement.line: dict(one.guesses) for one in meaning.unbound}
    assert left.keys() == {1, 3}
    assert all(guesses["battery.cells"] >= THRESHOLD for guesses in left.values())


def test_two_answers_that_contradict_each_other_are_left_unread_too() -> None:
    meaning = bind([answer_of("battery/cells = 4"), answer_of("battery/cells = 6", command="state")])
    assert meaning.bound == ()
    assert {one.statement.command for one in meaning.unbound} == {"settings", "state"}


def test_two_lines_that_say_the_same_fact_alike_are_read_once() -> None:
    meaning = bind([answer_of("battery/cells = 4", "pack/cells = 4")])
    assert _values(meaning) == {"battery.cells": 4}
    assert len(meaning.unbound) == 1


def test_of_two_lines_the_one_that_clearly_fits_better_is_read() -> None:
    meaning = bind([answer_of("battery/banana cells = 6", "battery/cells = 4")])
    one = _only(meaning)
    assert (one.statement.line, one.reading.value) == (2, 4)


@pytest.mark.parametrize(
    ("line", "facts"),
    [
        ("low/cell = 4", {"battery.cell_low", "battery.cells"}),
        ("board/craft = Elm", {"board.name", "craft.name"}),
        ("battery/cell min warn = 3.5", {"battery.cell_low", "battery.cell_warn"}),
    ],
)
def test_a_line_that_fits_two_facts_alike_is_left_with_both_as_guesses(line: str, facts: set[str]) -> None:
    meaning = bind([answer_of(line)])
    assert meaning.bound == ()
    assert {fact for fact, _ in meaning.unbound[0].guesses} == facts


def test_the_next_best_facts_are_reported_beside_the_best() -> None:
    one = _only(bind([answer_of("battery/low voltage = 3.5")]))
    assert one.fact == "battery.cell_low"
    ((other, confidence),) = one.others
    assert other == "battery.volts"
    assert 0 < confidence < one.confidence


@pytest.mark.parametrize(
    "line",
    [
        "telemetry/baud = 115200",
        "servo/centre = 1500",
        "servo 1 centre us = 1500",
        "channels/centre default = 1500",
        "default/battery cells = 4",
        "gyro/low = 1000",
        "esc telemetry = on",
        "bootloader/version = 4.2.1",
        "supply/voltage = 5.0 V",
        "rangefinder/grid = 16x16",
        "blackbox rate = 2000",
        "throttle = 1000",
        "name = Elm",
    ],
)
def test_a_near_miss_is_left_unread(line: str) -> None:
    meaning = bind([answer_of(line)])
    assert meaning.bound == ()
    (left,) = meaning.unbound
    assert f"{left.statement.word} = {left.statement.text}" == line


def test_a_near_miss_does_not_keep_the_right_line_from_being_read() -> None:
    found = _read("channels/centre = 1512", "servo/centre = 1500", "channels/centre default = 1500")
    assert found == {"channels.centre": 1512}


@pytest.mark.parametrize(
    ("line", "form", "expected"),
    [
        ("osd/grid = 30 x 13", "{columns:int} x {rows:int}", {"overlay.columns": 30, "overlay.rows": 13}),
        ("overlay/size = 53x20", "{columns:int}x{rows:int}", {"overlay.columns": 53, "overlay.rows": 20}),
        ("firmware = Oak v1.2.3", "{name:word} v{version:word}", {"firmware.name": "Oak", "firmware.version": "1.2.3"}),
        (
            "firmware = Oak 1.2.3 (mine)",
            "{name:word} {version:word} {_:rest}",
            {"firmware.name": "Oak", "firmware.version": "1.2.3"},
        ),
        ("video/channel = R5", "{band:letter}{channel:int}", {"video.band": "R", "video.channel": 5}),
        (
            "stick range = 1001/1500/2002",
            "{low:int}/{centre:int}/{high:int}",
            {"channels.low": 1001, "channels.centre": 1500, "channels.high": 2002},
        ),
        ("channel range = 988-2012", "{low:int}-{high:int}", {"channels.low": 988, "channels.high": 2012}),
        (
            "receiver = kind serial, protocol crsf, port uart2",
            "kind {p1:word}, protocol {p2:word}, port {p3:word}",
            {"receiver.kind": "serial", "receiver.protocol": "crsf", "receiver.port": "uart2"},
        ),
        (
            "osd = 50 columns, 18 rows",
            "{p1:number} columns, {p2:number} rows",
            {"overlay.columns": 50, "overlay.rows": 18},
        ),
    ],
)
def test_a_value_of_several_parts_states_several_facts(line: str, form: str, expected: dict[str, Any]) -> None:
    meaning = bind([answer_of(line)])
    assert _values(meaning) == expected
    assert {one.form for one in meaning.bound} == {form}
    parts = [one.part for one in meaning.bound]
    assert all(part and f"{{{part}:" in form for part in parts)
    assert len(set(parts)) == len(expected)
    assert meaning.unbound == ()


def test_a_remark_beside_a_value_is_taken_away_by_a_form() -> None:
    one = _only(bind([answer_of("battery/cells = 4 # was 6")]))
    assert (one.reading.value, one.form, one.part) == (4, "{value:word} #{_:rest}", "value")


def test_what_a_number_means_is_told_by_its_legend() -> None:
    legend = "0 none, 1 ppm, 3 serial"
    assert _read("receiver/type = 3", note=legend) == {"receiver.kind": "serial"}
    assert _read("receiver/type = 1", note=legend) == {"receiver.kind": "ppm"}
    assert _read("receiver/type = 2", note=legend) == {}
    assert _read("receiver/type = 3") == {}


def test_a_key_that_says_nothing_is_called_by_its_remark() -> None:
    assert _read("FWNAM = Tyne", note="firmware name") == {"firmware.name": "Tyne"}
    assert _read("FWNAM = Tyne", note="default Wear") == {}
    assert _read("FWNAM = Tyne") == {}


def test_a_unit_beside_a_value_counts() -> None:
    answer = answer_of("pack = 16.2", "video/power = 25")
    (pack, power) = answer.statements
    measured = replace(answer, statements=(replace(pack, unit="V"), replace(power, unit="mW")))
    assert _values(bind([measured])) == {"battery.volts": 16.2, "video.power_mw": 25}
    assert "battery.volts" not in _values(bind([answer]))


def test_what_a_menu_calls_an_answer_names_its_lines() -> None:
    answer = answer_of("type = serial", command="17")
    assert bind([answer]).bound == ()
    assert _values(bind([answer], about={"17": "receiver"})) == {"receiver.kind": "serial"}
    assert bind([answer], about={"18": "receiver"}).bound == ()


def test_rows_are_bound_and_their_cells_are_no_lines_of_their_own() -> None:
    cell = Statement("page", "uart4", ("ports", "uart4 receiver baud"), "420000", 21)  # the line of a row
    answer = answer_of("battery/cells = 4", rows=(PORTS,))
    meaning = bind([replace(answer, statements=(*answer.statements, cell))])
    (ports,) = meaning.rows
    assert cell not in _stated(meaning)
    assert (ports.group, ports.rows, meaning.unbound_rows) == ("ports", PORTS, ())
    assert _values(meaning) == {"battery.cells": 4}


def test_rows_that_mean_nothing_are_told_as_left() -> None:
    filters = rows_of("filters", "axis cutoff", "roll 90", "pitch 80")
    meaning = bind([answer_of("battery/cells = 4", rows=(filters,))])
    assert (meaning.rows, meaning.unbound_rows) == ((), (filters,))


def test_two_sets_of_rows_that_fit_a_group_alike_are_both_left() -> None:
    other = rows_of("serial ports", "id function baud", "uart1 console 9600", "uart2 telemetry 57600", first=40)
    meaning = bind([answer_of(rows=(PORTS, other))])
    assert meaning.rows == ()
    assert meaning.unbound_rows == (PORTS, other)


def test_of_the_same_rows_twice_the_wider_ones_are_read() -> None:
    fewer = replace(PORTS, rows=PORTS.rows[:2])
    (found,) = bind([answer_of(rows=(fewer, PORTS))]).rows
    assert found.rows is PORTS


def test_the_number_of_the_receivers_port_becomes_its_name_among_the_ports() -> None:
    meaning = bind([answer_of("receiver/port = 4", rows=(PORTS,))])
    one = _only(meaning)
    assert (one.fact, one.reading.value, one.reading.options["before"]) == ("receiver.port", "uart4", "uart")
    assert _read("receiver/port = 4") == {"receiver.port": "4"}
    meaning = bind([answer_of("receiver/port = 9", rows=(PORTS,))])
    assert _values(meaning) == {"receiver.port": "9"}


def test_what_rows_list_is_not_read_from_a_line_as_well() -> None:
    now = rows_of("channels", "channel now", "1 1500", "2 1501", "3 1000", "4 1499", first=30)
    meaning = bind([answer_of("channels/now = 1400 1400 1400 1400", rows=(now,))])
    assert [one.group for one in meaning.rows] == ["channels.live"]
    assert meaning.bound == ()
    assert _read("channels/now = 1400 1401 1402 1403") == {"channels.live": (1400, 1401, 1402, 1403)}


def test_of_no_answers_nothing_is_known() -> None:
    assert bind([]) == Meaning((), (), (), ())


@pytest.mark.parametrize("path", ["thermal camera/grid", "motor/grid", "telemetry/grid"])
def test_the_grid_of_something_else_is_not_that_of_the_overlay(path: str) -> None:
    assert _read(f"{path} = 32x24") == {}


def test_the_alternatives_name_each_fact_once() -> None:
    (one,) = bind([answer_of("cells = 4 (default 6)")], threshold=1.0).unbound
    facts = [fact for fact, _ in one.guesses]
    assert "battery.cells" in facts
    assert len(facts) == len(set(facts))
