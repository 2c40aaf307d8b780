"""Saying settings in a board's own words, and reading back what was said."""

from __future__ import annotations

import itertools
from typing import Any

import pytest

from dialects.conversations import brindle, corvane, corvane_document, ossel
from dialects.samples import BRINDLE_VIEW, CORVANE_SETUP, OSSEL_RECITE
from propsoff.console.capture import Capture
from propsoff.dialects.load import parse_dialect
from propsoff.dialects.model import Dialect
from propsoff.dialects.read import read_craft
from propsoff.inspection.case import Tongue

Dialects = dict[str, Dialect]
ORDERS = ["".join(letters) for letters in itertools.permutations("AETR")]  # 4! = 24


def _ossel_with(line: str) -> Capture:
    word, _, value = line.removeprefix("let ").partition(" := ")
    old = next(each for each in OSSEL_RECITE.split("\n") if each.startswith(f"{word} :="))
    return ossel(OSSEL_RECITE.replace(old, f"{word} := {value}"))


def _brindle_with(line: str) -> Capture:
    put, table, item, value = line.split(" ", 3)
    assert (put, table) == ("put", "sticks")
    old = next(each for each in BRINDLE_VIEW.split("\n") if each.startswith(f"{item} "))
    return brindle(BRINDLE_VIEW.replace(old, old.replace(old.split()[1], value)))


def _corvane_with(line: str) -> Capture:
    make, path, value = line.split(" ", 2)
    assert (make, path) == ("make", "axes.sequence")
    return corvane(
        corvane_document("setup", {**CORVANE_SETUP, "axes": {**CORVANE_SETUP["axes"], "sequence": value.split(",")}})
    )


WITH = {"ossel": _ossel_with, "brindle": _brindle_with, "corvane": _corvane_with}


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("name", list(WITH))
def test_every_channel_order_is_said_and_read_back(name: str, order: str, dialects: Dialects) -> None:
    (line,) = dialects[name].say("channels.order", order)
    craft = read_craft(WITH[name](line), dialects[name]).craft
    assert craft.channels.order == order
    assert craft.problems == ()


def test_the_orders_are_all_that_there_are() -> None:
    # There are 4! = 24 orders of roll, pitch, throttle and yaw; AETR, TAER and EATR are makers' customs (trade facts,
    # rchelibase.com p. 14).
    assert len(set(ORDERS)) == 24
    assert {"AETR", "TAER", "EATR"} <= set(ORDERS)


# fact, value, row, and what each console is told, from CONSOLES.md
Said = tuple[str, Any, dict[str, object], str | None, str | None, str | None]
SAID: list[Said] = [
    ("channels.order", "TAER", {}, "let stick.letters := T A E R 1 2 3 4", "put sticks order T>A>E>R>1>2>3>4",
     "make axes.sequence throttle,roll,pitch,yaw,1,2,3,4"),
    ("channels.order", "T 4 AER 2 1 3", {}, "let stick.letters := T 4 A E R 2 1 3",
     "put sticks order T>4>A>E>R>2>1>3", "make axes.sequence throttle,4,roll,pitch,yaw,2,1,3"),
    ("channels.order", "TAER 2 1 3", {}, None, None, None),  # these boards take an order only whole
    ("channels.low", 1000, {}, "let stick.low := 1000us", "put sticks bottom 1000", "make axes.least 1000"),
    ("craft.name", "Teal Wren", {}, "let craft.label := Teal Wren", "put frame title Teal Wren",
     "make label Teal Wren"),
    ("craft.name", "a\nb", {}, None, None, None),
    ("craft.name", "x" * 200, {}, None, None, None),  # the consoles read lines of at most 128 bytes
    ("receiver.kind", "serial", {}, "let radio.input := uart", "put ear path wire", "make hearing.by line"),
    ("receiver.kind", "telepathy", {}, None, None, None),
    ("receiver.protocol", "crsf", {}, "let radio.speech := crsf", "put ear language crsf", "make hearing.tongue crsf"),
    ("receiver.inverted", True, {}, "let radio.flip := yes", "put ear mirrored y", "make hearing.mirrored true"),
    ("receiver.telemetry", None, {}, None, None, None),
    ("overlay.system", "pal", {}, "let glass.norm := pal", "put canvas signal 625", "make picture.standard pal"),
    ("overlay.columns", 53, {}, "let glass.cols := 53", "put canvas wide 53", None),
    ("overlay.columns", 53, {"rows": 20}, "let glass.cols := 53", "put canvas wide 53", "make picture.grid 53,20"),
    ("overlay.rows", 20, {"overlay.columns": 53}, "let glass.rows := 20", "put canvas tall 20",
     "make picture.grid 53,20"),
    ("video.band", "R", {}, None, "put eye band R", None),
    ("video.band", "R", {"channel": 5}, "let camera.slot := R5", "put eye band R", "make eye.spot R,5"),
    ("video.power_mw", 25.0, {}, "let camera.power := 25mW", "put eye mw 25", "make eye.mw 25"),
    ("battery.cell_low", 3.3, {}, "let pack.floor := 3.30V", "put cells empty 3.30", "make pack.low_mv 3300"),
    ("battery.cell_low", 3.3005, {}, "let pack.floor := 3.3005V", "put cells empty 3.3005", None),
    ("battery.scale", 11.0, {}, "let pack.ratio := 11.0", "put cells divider 11.0", "make pack.scale 11.0"),
    ("motors.idle_percent", 5.5, {}, "let prop.idle := 5.5%", "put spin idle 5.5", "make motors.idle_permille 55"),
    ("motors.loop_hz", 8000, {}, "let prop.loop := 8000Hz", "put spin rate 8", "make motors.loop_us 125"),
    ("motors.loop_hz", 3200, {}, "let prop.loop := 3200Hz", "put spin rate 3.2", None),  # 312.5 us
    ("failsafe.action", "return", {}, "let lost.does := home", "put silence then return", "make silence.act home"),
    ("failsafe.delay_s", 1.0, {}, "let lost.after := 1.0s", "put silence after 1000", "make silence.wait_ms 1000"),
    ("failsafe.delay_s", float("nan"), {}, None, None, None),
    ("sensors.gyro", "found", {}, None, None, None),  # measured: nobody can set it
    ("battery.volts", 24.6, {}, None, None, None),
    ("channels.live", (1500, 1500), {}, None, None, None),
    ("arming.blocks", (), {}, None, None, None),
    ("firmware.version", "4.2.0", {}, None, None, None),
    ("no.such.fact", 1, {}, None, None, None),
    ("ports", (), {}, None, None, None),
    ("ports[].roles", ("receiver",), {"id": "U2", "baud": 420000},
     "let socket.U2 := radio at 420000", "put wires U2 duty ear", "make lines.U2.for hearing"),
    ("ports[].roles", ("receiver",), {"id": "U2"}, None, "put wires U2 duty ear", "make lines.U2.for hearing"),
    ("ports[].roles", ["overlay-link", "video-control"], {"id": "U2", "baud": 9600},
     "let socket.U2 := glass+camera at 9600", "put wires U2 duty canvas,eye", "make lines.U2.for glass,eye"),
    ("ports[].roles", "receiver", {"id": "U2", "baud": 9600},
     "let socket.U2 := radio at 9600", "put wires U2 duty ear", "make lines.U2.for hearing"),
    ("ports[].roles", ("unused",), {"id": "U2", "baud": 420000},
     "let socket.U2 := idle", "put wires U2 duty free", "make lines.U2.for []"),
    ("ports[].roles", ("receiver",), {"baud": 420000}, None, None, None),
    ("ports[].baud", 9600, {"id": "U2", "roles": ("receiver",)},
     "let socket.U2 := radio at 9600", "put wires U2 rate 9600", "make lines.U2.bps 9600"),
    ("ports[].id", "U3", {"id": "U2"}, None, None, None),
    ("overlay.elements[].column", 3, {"name": "link-quality", "row": 1, "width": 4, "shown": True},
     "let glass.item.link := col 3 row 1 wide 4 shown", "put widgets link x 3", "make picture.marks.link.at 3,1"),
    ("overlay.elements[].shown", False, {"name": "battery", "row": 1, "width": 4, "column": 2},
     "let glass.item.battery := col 2 row 1 wide 4 hidden", "put widgets battery on n",
     "make picture.marks.battery.seen false"),
    ("switches[].from_us", 1700, {"n": 1, "no": 1, "function": "beeper", "channel": 5, "to_us": 2100},
     "let lever.1 := beeper on ch5 from 1700us to 2100us", "put levers 1 from 1700",
     "make toggles.beep.span 1700,2100"),
    ("switches[].channel", 6, {"index": 2, "function": "arm", "from_us": 1700, "to_us": 2100},
     "let lever.2 := arm on ch6 from 1700us to 2100us", "put levers 2 ch 6", "make toggles.arm.axis 6"),
    ("switches[].channel", 6, {"function": "arm", "from_us": 1700, "to_us": 2100}, None, None,
     "make toggles.arm.axis 6"),
    ("ports[].baud", 9600, {"index": 2, "roles": ("receiver",)}, None, None, None),  # ports are not counted
]  # fmt: skip


@pytest.mark.parametrize(("fact", "value", "row", "in_ossel", "in_brindle", "in_corvane"), SAID)
def test_a_setting_is_said_in_each_boards_own_words(
    fact: str,
    value: Any,
    row: dict[str, object],
    in_ossel: str | None,
    in_brindle: str | None,
    in_corvane: str | None,
    dialects: Dialects,
) -> None:
    for name, line in (("ossel", in_ossel), ("brindle", in_brindle), ("corvane", in_corvane)):
        assert dialects[name].say(fact, value, row=row) == (() if line is None else (line,)), name


def test_facts_that_share_a_word_are_said_together_and_once(dialects: Dialects) -> None:
    grid = [("overlay.columns", 53), ("overlay.rows", 20), ("overlay.system", "digital")]
    assert dialects["corvane"].say_all(grid) == ("make picture.grid 53,20", "make picture.standard digital")
    assert dialects["brindle"].say_all(grid) == (
        "put canvas wide 53",
        "put canvas tall 20",
        "put canvas signal digital",
    )
    assert dialects["ossel"].say_all([("video.band", "R"), ("video.channel", 5)]) == ("let camera.slot := R5",)
    assert dialects["ossel"].say_all([*grid, ("sensors.gyro", "found")]) == ()
    assert dialects["ossel"].say_all([("nonsense", 1)]) == ()


def test_a_dialect_is_a_tongue_with_closing_words_and_capabilities(dialects: Dialects) -> None:
    tongues: dict[str, Tongue] = dict(dialects)
    assert {name: tongue.closing() for name, tongue in tongues.items()} == {
        "ossel": ("keep", "again"),
        "brindle": ("seal", "cycle"),
        "corvane": ("write", "boot"),
    }
    assert {name: tongue.since("digital-grid") for name, tongue in tongues.items()} == {
        "ossel": "4.1.0",
        "brindle": "2.5.0",
        "corvane": "0.18.0",
    }
    assert tongues["ossel"].since("time-travel") is None


def test_a_dialect_without_say_says_nothing(dialects: Dialects) -> None:
    text = """
format = 1
id = "mute"
title = "Mute"
[console]
line_end = "\\n"
echo = false
prompt = "> "
[identity]
command = "id"
known_by = "mute"
grammar = "lines"
lines = ["version {v:word}"]
[identity.words]
v = "firmware.version"
[[reads]]
command = "all"
grammar = "json"
[reads.words]
low = "channels.low"
[[reads.rows]]
group = "ports"
path = "ports"
named_by = "id"
fields.id = "id"
fields.baud = "baud"
"""
    mute = parse_dialect(text, "mute.toml")
    assert mute.say("channels.low", 1000) == ()
    assert mute.say("ports[].baud", 9600, row={"id": "P1"}) == ()
    assert mute.closing() == ()
