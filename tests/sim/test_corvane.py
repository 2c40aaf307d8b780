"""Corvane speaks as CONSOLES.md says: JSON documents between marks, no echo."""

from __future__ import annotations

import json
from typing import Any

import pytest

from propsoff_sim.catalogue import board, board_names
from propsoff_sim.device import joined
from propsoff_sim.personalities import Corvane


def console(name: str = "corvane-hd53") -> Corvane:
    """A console past its greeting."""
    engine = Corvane(board(name))
    engine.feed(b"\n")
    return engine


def said(engine: Corvane, data: bytes) -> bytes:
    """All that the console sends for these bytes."""
    return joined(engine.feed(data))


def document(engine: Corvane, name: str) -> dict[str, Any]:
    """A document, its marks and line count checked."""
    text = said(engine, f"tell {name}\n".encode()).decode("utf-8", "surrogateescape")
    assert text.startswith(f"\n@doc {name} lines=")
    head, *lines, last, prompt = text.removeprefix("\n").split("\n")
    assert (last, prompt) == (f"@done {name}", ":: ")
    assert int(head.rpartition("=")[2]) == len(lines)
    found: dict[str, Any] = json.loads("\n".join(lines))
    return found


def setup(name: str) -> dict[str, Any]:
    """The large document of a board."""
    return document(console(name), "setup")


def test_the_first_line_end_is_greeted_and_only_the_first() -> None:
    engine = Corvane(board("corvane-hd53"))
    assert said(engine, b"\n") == b"\nCorvane ready\n:: "
    assert said(engine, b"\r\n") == b"\n:: "
    assert said(engine, b"\r") == b"\n:: "


def test_nothing_is_echoed() -> None:
    assert said(console(), b"tell unit\x7f\x7f") == b""


def test_a_character_can_be_rubbed_out() -> None:
    assert said(console(), b"tell unitx\x7f\n").startswith(b"\n@doc unit ")


def test_an_unknown_request_is_refused() -> None:
    assert said(console(), b"tell moon\n") == b"\n@sorry unknown request tell moon\n:: "


def test_identity() -> None:
    assert document(console(), "unit") == {
        "code": {"name": "Corvane", "level": "0.19.2", "day": "2025-11-08"},
        "unit": {"model": "PLOVER 8", "id": "c0-77-1a-09"},
    }


def test_lines_are_indented_by_two_blanks() -> None:
    assert b'\n{\n  "label": "Teal Wren",\n  "hearing": {\n    "by": "line",\n' in said(console(), b"tell setup\n")


@pytest.mark.parametrize("name", [name for name in sorted(board_names()) if name.startswith("corvane")])
def test_the_line_count_is_right_on_every_board(name: str) -> None:
    assert setup(name)["label"] == "Teal Wren"


def test_every_fact_stands_in_its_place() -> None:
    assert setup("corvane-analog") | {"picture": None} == {
        "label": "Teal Wren",
        "hearing": {
            "by": "line", "tongue": "ibus", "at": "S3", "mirrored": False, "one_wire": False, "answers": False,
        },
        "axes": {
            "sequence": ["roll", "pitch", "throttle", "yaw", "1", "2", "3", "4"],
            "least": 1000, "rest": 1500, "most": 2000,
            "present": [1500, 1500, 1000, 1500, 1000, 1000, 1000, 1000],
        },
        "toggles": [
            {"what": "arm", "axis": 5, "span": [1700, 2100]},
            {"what": "level", "axis": 6, "span": [1300, 1700]},
            {"what": "beep", "axis": 7, "span": [1700, 2100]},
            {"what": "turtle", "axis": 8, "span": [1700, 2100]},
        ],
        "lines": [
            {"at": "S1", "for": ["host"], "bps": 115200},
            {"at": "S2", "for": [], "bps": None},
            {"at": "S3", "for": ["hearing"], "bps": 115200},
            {"at": "S4", "for": ["eye"], "bps": 9600},
            {"at": "S5", "for": ["esc"], "bps": 115200},
            {"at": "S6", "for": [], "bps": None},
        ],
        "picture": None,
        "eye": {"link": "analog", "spot": ["R", 5], "mhz": 5806, "mw": 25},
        "pack": {"cells": 6, "mv": 24600, "scale": 11.0, "low_mv": 3300, "warn_mv": 3500, "full_mv": 4200},
        "motors": {
            "talk": "dshot600", "replies": True, "poles": 14, "idle_permille": 55, "backwards": False, "loop_us": 125,
        },
        "silence": {"act": "stop", "wait_ms": 1000, "throttle": 1000},
        "parts": {"gyro": True, "accel": True, "baro": False},
        "stops": ["usb"],
        "book": {"kind": "flash", "free": 15728640},
    }  # fmt: skip


def test_the_picture_of_a_digital_link() -> None:
    picture = setup("corvane-hd53")["picture"]
    assert (picture["draw"], picture["standard"], picture["grid"]) == (True, "digital", [53, 20])
    assert picture["marks"][0] == {"id": "battery", "at": [2, 18], "span": 5, "seen": True}
    assert [mark["id"] for mark in picture["marks"]] == [
        "battery", "timer", "link", "warnings", "name", "horizon", "altitude", "speed",
    ]  # fmt: skip
    assert setup("corvane-hd53")["eye"] == {"link": "digital", "spot": None, "mhz": None, "mw": None}


@pytest.mark.parametrize(
    ("name", "path", "value"),
    [
        ("corvane-hd53-spi", "hearing.by", "chip"),
        ("corvane-hd53-spi", "hearing.tongue", None),
        ("corvane-hd53-spi", "hearing.at", None),
        ("corvane-hd53+receiver-ppm", "hearing.by", "sum"),
        ("corvane-hd53+receiver-pwm", "hearing.by", "each"),
        ("corvane-hd53+receiver-none", "hearing.by", "nothing"),
        ("corvane-hd53+receiver-port-missing", "hearing.at", "S9"),
        ("corvane-hd53+order-taer", "axes.sequence", ["throttle", "roll", "pitch", "yaw", "1", "2", "3", "4"]),
        ("corvane-hd53+old-firmware", "picture.grid", None),
        ("corvane-hd53+old-firmware", "picture.standard", "auto"),
        ("corvane-analog-ntsc", "picture.standard", "ntsc"),
        ("corvane-hd53+two-roles", "lines.2.for", ["hearing", "answers"]),
        ("corvane-hd53+failsafe-hold", "silence.act", "keep"),
        ("corvane-hd53+failsafe-land", "silence.act", "settle"),
        ("corvane-hd53+failsafe-return", "silence.act", "home"),
        ("corvane-hd53+logger-card", "book.kind", "card"),
        ("corvane-hd53+unnamed", "label", ""),
        ("corvane-hd53+malformed-value", "axes.least", "10O0us"),
        ("corvane-hd53+blocked-many", "stops", ["usb", "no_link", "throttle", "tilt", "no_gyro", "toggle_on"]),
    ],
)
def test_a_board_is_described_in_the_firmware_s_own_words(name: str, path: str, value: object) -> None:
    found: Any = setup(name)
    for step in path.split("."):
        found = found[int(step)] if isinstance(found, list) else found[step]
    assert found == value


@pytest.mark.parametrize(
    ("fault", "label"),
    [
        ("name-4k", "Teal Wren " * 409 + "Teal W"),
        ("name-invalid-utf8", "Teal \udcff\udcfe\udcc3 Wren"),
        ("name-prompt", "Teal :: Wren"),
        ("name-ansi", "\x1b[2J\x1b[31mTeal\x1b]0;owned\x07 Wren\x1b[0m"),
        ("name-nul", "Teal\x00\x07\x08 Wren\x7f"),
        ("name-quote", 'Teal "Wren" {\'x\': "y"}; -- := |'),
    ],
)
def test_a_strange_name_does_not_break_the_document(fault: str, label: str) -> None:
    assert setup(f"corvane-hd53+{fault}")["label"] == label


def test_text_is_utf8_and_only_what_json_must_escape_is_escaped() -> None:
    text = said(console("corvane-hd53+name-wide"), b"tell setup\n")
    assert "鴨 Té\u0301al ✈ Wren".encode() in text
    assert b"\\u001b[31mTeal" in said(console("corvane-hd53+name-ansi"), b"tell setup\n")


@pytest.mark.parametrize(
    ("line", "path", "value"),
    [
        ("make axes.sequence throttle,roll,pitch,yaw,1,2,3,4", "axes.sequence",
         ["throttle", "roll", "pitch", "yaw", "1", "2", "3", "4"]),
        ("make lines.S2.for glass", "lines.1.for", ["glass"]),
        ("make lines.S2.for glass,answers", "lines.1.for", ["glass", "answers"]),
        ("make lines.S3.for", "lines.2.for", []),
        ("make lines.S2.bps 115200", "lines.1.bps", 115200),
        ("make picture.grid 50,18", "picture.grid", [50, 18]),
        ("make picture.standard pal", "picture.standard", "pal"),
        ("make picture.draw false", "picture.draw", False),
        ("make picture.marks.battery.at 1,2", "picture.marks.0.at", [1, 2]),
        ("make picture.marks.battery.seen false", "picture.marks.0.seen", False),
        ("make toggles.arm.span 900,1300", "toggles.0.span", [900, 1300]),
        ("make toggles.beep.axis 9", "toggles.2.axis", 9),
        ("make hearing.by chip", "hearing.by", "chip"),
        ("make hearing.at S2", "hearing.at", "S2"),
        ("make hearing.tongue null", "hearing.tongue", None),
        ("make hearing.mirrored true", "hearing.mirrored", True),
        ("make label Grey Heron", "label", "Grey Heron"),
        ('make label ""', "label", ""),
        ("make eye.spot E,4", "eye.spot", ["E", 4]),
        ("make motors.loop_us 250", "motors.loop_us", 250),
        ("make silence.act settle", "silence.act", "settle"),
        ("make pack.scale 10.5", "pack.scale", 10.5),
    ],
)  # fmt: skip
def test_what_is_made_is_what_is_told(line: str, path: str, value: object) -> None:
    engine = console()
    assert said(engine, line.encode() + b"\n") == b"\n@done make\n:: "
    found: Any = document(engine, "setup")
    for step in path.split("."):
        found = found[int(step)] if isinstance(found, list) else found[step]
    assert found == value


@pytest.mark.parametrize(
    "line",
    ["make", "make label2 x", "make axes.least many", "make axes.sequence up,down",
     "make axes.sequence roll,pitch,throttle,yaw", "make lines.S9.for glass",
     "make lines.S2.for moon", "make lines.S2.colour red", "make picture.grid 50", "make picture.grid a,b",
     "make toggles.fly.axis 3", "make picture.marks.moon.at 1,2", "make picture.marks", "make eye.spot R",
     "make hearing.mirrored perhaps", "make stops none", 'make label "', "write it", "make lines.2.for glass"],
)  # fmt: skip
def test_what_cannot_be_made_is_refused_and_changes_nothing(line: str) -> None:
    engine = console()
    before = engine.state
    assert said(engine, line.encode() + b"\n") == b"\n@sorry unknown request " + line.encode() + b"\n:: "
    assert engine.state == before


def test_old_firmware_cannot_be_told_a_digital_grid() -> None:
    engine = console("corvane-hd53+old-firmware")
    for line in (b"make picture.grid 53,20\n", b"make picture.standard digital\n"):
        assert b"@sorry" in said(engine, line)


def test_what_is_written_survives_a_boot() -> None:
    engine = console("corvane-hd53+small-grid")
    said(engine, b"make picture.grid 53,20\n")
    assert said(engine, b"write\n") == b"\n@done write\n:: "
    said(engine, b"make picture.grid 1,1\n")
    assert said(engine, b"boot\n") == b"\n@done boot\n"
    assert said(engine, b"\n") == b"\nCorvane ready\n:: "
    assert (engine.state.overlay.columns, engine.state.overlay.rows) == (53, 20)
    assert engine.written == ["make picture.grid 53,20", "write", "make picture.grid 1,1", "boot"]
