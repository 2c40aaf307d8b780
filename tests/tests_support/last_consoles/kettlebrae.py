"""Kettlebrae: a JSON object a line for each dotted parameter and its default; packed places, slow input. Invented."""

from __future__ import annotations

import json
from typing import Any

from tests_support.other_consoles.stating import Harm, Said, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said


def _line(**fields: Any) -> str:
    return json.dumps(fields, separators=(",", ":"))


def _part(**fields: Any) -> str:
    """Fields as they stand at the beginning of an object."""
    return _line(**fields)[:-1]


def _page(rows: list[dict[str, Any]]) -> str:
    return "".join(_line(**row) + "\n" for row in rows)


_COMMANDS = {
    "calibrate": "calibrate the gyro and the accelerometer",
    "defaults": "set every parameter to its default",
    "eraselog": "erase the flight log",
    "flash": "stop and wait for new firmware",
    "help": "list the commands",
    "info": "show firmware, board and counters",
    "live": "show present readings",
    "overlay": "show the elements of the OSD",
    "params": "show all parameters",
    "ports": "show the serial ports",
    "reboot": "restart the board",
    "save": "store the parameters",
    "sensors": "show the sensors",
    "spin": "run the motors",
    "switches": "show the switches",
}

_PARAMS: list[tuple[str, Any, Any]] = [
    ("craft.name", "Wet Biscuit", ""),
    ("craft.weight_g", 268, 0),
    ("rx.type", "serial", "none"),
    ("rx.protocol", "sbus", "crsf"),
    ("rx.port", "tty3", "tty1"),
    ("rx.inverted", True, False),
    ("rx.half_duplex", False, False),
    ("rx.telemetry", False, True),
    ("telemetry.interval_ms", 110, 100),
    ("channel.order", "TAER", "AETR"),
    ("channel.min_us", 995, 1000),
    ("channel.center_us", 1503, 1500),
    ("channel.max_us", 2010, 2000),
    ("channel.deadband_us", 6, 4),
    ("servo.center_us", 1515, 1500),
    ("failsafe.action", "drop", "land"),
    ("failsafe.delay_ms", 650, 400),
    ("failsafe.throttle_us", 1010, 1100),
    ("osd.enabled", True, True),
    ("osd.system", "ntsc", "pal"),
    ("osd.columns", 30, 30),
    ("osd.rows", 13, 16),
    ("osd.refresh_hz", 24, 30),
    ("vtx.link", "analog", "analog"),
    ("vtx.band", "A", "F"),
    ("vtx.channel", 6, 1),
    ("vtx.frequency_mhz", 5765, 5740),
    ("vtx.power_mw", 100, 25),
    ("vtx.power_limit_mw", 350, 25),
    ("battery.cells", 3, 4),
    ("battery.capacity_mah", 950, 1500),
    ("battery.voltage_divider", 11.1, 11.0),
    ("cell.min_mv", 3350, 3300),
    ("cell.warning_mv", 3560, 3500),
    ("cell.full_mv", 4210, 4200),
    ("motor.protocol", "dshot150", "dshot600"),
    ("motor.bidirectional", False, True),
    ("motor.poles", 12, 14),
    ("motor.idle_percent", 6.4, 5.5),
    ("motor.reversed", True, False),
    ("motor.kv", 3100, 0),
    ("control_loop.rate_hz", 2000, 4000),
    ("gyro.rate_hz", 4000, 8000),
    ("gyro.lowpass_hz", 175, 200),
    ("roll.p", 39, 45),
    ("roll.i", 71, 80),
    ("roll.d", 23, 30),
    ("pitch.p", 41, 47),
    ("pitch.i", 74, 84),
    ("pitch.d", 25, 34),
    ("yaw.p", 34, 45),
    ("yaw.i", 71, 80),
    ("log.device", "card", "flash"),
    ("log.rate_hz", 800, 1000),
    ("led.colour", "amber", "white"),
]

_INFO: list[dict[str, Any]] = [
    {"item": "firmware.name", "value": "kettlebrae"},
    {"item": "firmware.version", "value": "0.31.5"},
    {"item": "firmware.build_date", "value": "2026-04-19"},
    {"item": "loader.version", "value": "2.0"},
    {"item": "board.name", "value": "SNEEZEWORT G4"},
    {"item": "board.serial_number", "value": "SG4-7719"},
    {"item": "board.revision", "value": "D"},
    {"item": "save.count", "value": 56},
    {"item": "boot.count", "value": 341},
]
_LIVE: list[dict[str, Any]] = [
    {"reading": "battery.voltage", "value": 11.86, "unit": "V"},
    {"reading": "battery.current", "value": 0.31, "unit": "A"},
    {"reading": "supply.voltage", "value": 4.99, "unit": "V"},
    {"reading": "cpu.temperature", "value": 43, "unit": "C"},
    {"reading": "cpu.load", "value": 27, "unit": "%"},
    {"reading": "motor.output", "value": 0, "unit": "%"},
    {"reading": "log.free", "value": 524288000, "unit": "bytes"},
    {"reading": "log.flights", "value": 8, "unit": ""},
    {"reading": "arming.flags", "value": "0x0014", "unit": ""},
    {"reading": "uptime", "value": 512, "unit": "s"},
]
_SENSORS: list[dict[str, Any]] = [
    {"sensor": "gyro", "state": "found", "offset": 3.1},
    {"sensor": "accelerometer", "state": "found", "offset": 0.4},
    {"sensor": "barometer", "state": "missing", "offset": None},
    {"sensor": "compass", "state": "missing", "offset": None},
]
_PORTS: list[dict[str, Any]] = [
    {"port": "tty0", "function": "console", "baud": 115200, "errors": 0},
    {"port": "tty1", "function": "telemetry", "baud": 57600, "errors": 0},
    {"port": "tty2", "function": "gps", "baud": 38400, "errors": 5},
    {"port": "tty3", "function": "receiver", "baud": 100000, "errors": 1},
    {"port": "tty4", "function": "none", "baud": None, "errors": 0},
]
_SWITCHES: list[dict[str, Any]] = [
    {"switch": "arm", "channel": 6, "from_us": 1640, "to_us": 2060},
    {"switch": "level", "channel": 7, "from_us": 950, "to_us": 1320},
    {"switch": "turtle", "channel": 9, "from_us": 1760, "to_us": 2075},
]
# Element, column and row; a place is the row times 64 and the column, all four are drawn.
_PLACES = [("battery", 2, 11), ("timer", 23, 11), ("warnings", 9, 8), ("horizon", 8, 6)]

_PAGES = {
    "help": _page([{"command": word, "does": does} for word, does in _COMMANDS.items()]),
    "info": _page(_INFO),
    "live": _page(_LIVE),
    "overlay": _page([{"element": name, "place": 64 * row + column} for name, column, row in _PLACES]),
    "params": _page([{"param": name, "value": value, "default": default} for name, value, default in _PARAMS]),
    "ports": _page(_PORTS),
    "sensors": _page(_SENSORS),
    "switches": _page(_SWITCHES),
}

# By parameter: the fact and its canonical value.
_FROM_PARAMS: dict[str, tuple[str, Any]] = {
    "craft.name": ("craft.name", "Wet Biscuit"),
    "rx.type": ("receiver.kind", "serial"),
    "rx.protocol": ("receiver.protocol", "sbus"),
    "rx.port": ("receiver.port", "tty3"),
    "rx.inverted": ("receiver.inverted", True),
    "rx.half_duplex": ("receiver.half_duplex", False),
    "rx.telemetry": ("receiver.telemetry", False),
    "channel.order": ("channels.order", "TAER"),
    "channel.min_us": ("channels.low", 995),
    "channel.center_us": ("channels.centre", 1503),
    "channel.max_us": ("channels.high", 2010),
    "failsafe.action": ("failsafe.action", "drop"),
    "failsafe.delay_ms": ("failsafe.delay_s", 0.65),
    "failsafe.throttle_us": ("failsafe.throttle_us", 1010),
    "osd.enabled": ("overlay.enabled", True),
    "osd.system": ("overlay.system", "ntsc"),
    "osd.columns": ("overlay.columns", 30),
    "osd.rows": ("overlay.rows", 13),
    "vtx.link": ("video.link", "analog"),
    "vtx.band": ("video.band", "A"),
    "vtx.channel": ("video.channel", 6),
    "vtx.frequency_mhz": ("video.frequency_mhz", 5765),
    "vtx.power_mw": ("video.power_mw", 100.0),
    "battery.cells": ("battery.cells", 3),
    "battery.voltage_divider": ("battery.scale", 11.1),
    "cell.min_mv": ("battery.cell_low", 3.35),
    "cell.warning_mv": ("battery.cell_warn", 3.56),
    "cell.full_mv": ("battery.cell_full", 4.21),
    "motor.protocol": ("motors.protocol", "dshot150"),
    "motor.bidirectional": ("motors.bidirectional", False),
    "motor.poles": ("motors.poles", 12),
    "motor.idle_percent": ("motors.idle_percent", 6.4),
    "motor.reversed": ("motors.reversed", True),
    "control_loop.rate_hz": ("motors.loop_hz", 2000),
    "log.device": ("logger.device", "card"),
}

_VALUES = {name: value for name, value, _ in _PARAMS}


def _params_said() -> dict[str, Said]:
    return {
        fact: said(value, "params", _part(param=name, value=_VALUES[name]) + ",")
        for name, (fact, value) in _FROM_PARAMS.items()
    }


_STATED = {
    **_params_said(),
    "firmware.name": said("kettlebrae", "info", _line(item="firmware.name", value="kettlebrae")),
    "firmware.version": said("0.31.5", "info", _line(item="firmware.version", value="0.31.5")),
    "firmware.built": said("2026-04-19", "info", _line(item="firmware.build_date", value="2026-04-19")),
    "board.name": said("SNEEZEWORT G4", "info", _line(item="board.name", value="SNEEZEWORT G4")),
    "board.serial": said("SG4-7719", "info", _line(item="board.serial_number", value="SG4-7719")),
    "battery.volts": said(11.86, "live", _line(reading="battery.voltage", value=11.86, unit="V")),
    "logger.free_bytes": said(524288000, "live", _line(reading="log.free", value=524288000, unit="bytes")),
    "sensors.gyro": said("found", "sensors", _part(sensor="gyro", state="found")),
    "sensors.accelerometer": said("found", "sensors", _part(sensor="accelerometer", state="found")),
    "sensors.barometer": said("missing", "sensors", _part(sensor="barometer", state="missing")),
    **ports_said(
        "ports",
        [
            ("tty0", ("console",), 115200, (_part(port="tty0", function="console", baud=115200),)),
            ("tty1", ("telemetry",), 57600, (_part(port="tty1", function="telemetry", baud=57600),)),
            ("tty2", ("positioning",), 38400, (_part(port="tty2", function="gps", baud=38400),)),
            ("tty3", ("receiver",), 100000, (_part(port="tty3", function="receiver", baud=100000),)),
            ("tty4", ("unused",), None, (_part(port="tty4", function="none", baud=None),)),
        ],
    ),
    **switches_said(
        "switches",
        [
            (name, channel, low, high, (_line(switch=name, channel=channel, from_us=low, to_us=high),))
            for name, channel, low, high in (("arm", 6, 1640, 2060), ("level", 7, 950, 1320), ("turtle", 9, 1760, 2075))
        ],
    ),
}

# Only the source tells. Arming: 4 no receiver link, 16 USB connected.
_CODED = {
    **elements_said(
        "overlay",
        [(name, column, row, True, (_line(element=name, place=64 * row + column),)) for name, column, row in _PLACES],
    ),
    "arming.blocks": said(
        ("no-receiver-link", "usb-connected"), "live", _line(reading="arming.flags", value="0x0014", unit="")
    ),
}

_HARMS = {
    "calibrate": Harm('{"done":"calibrate"}', "sensors", '"offset":3.1', '"offset":0.0'),
    "defaults": Harm('{"done":"defaults"}', "params", '"value":"Wet Biscuit"', '"value":""'),
    "eraselog": Harm('{"done":"eraselog"}', "live", '"log.flights","value":8', '"log.flights","value":0'),
    "flash": Harm('{"waiting":"firmware"}'),
    "reboot": Harm('{"done":"reboot"}', "info", '"boot.count","value":341', '"boot.count","value":342'),
    "save": Harm('{"done":"save"}', "info", '"save.count","value":56', '"save.count","value":57'),
    "spin": Harm('{"done":"spin"}', "live", '"motor.output","value":0', '"motor.output","value":9'),
}


class Kettlebrae(StatingConsole):
    """Every line of an answer is a JSON object; characters must not come faster than it takes them."""

    name = "kettlebrae"
    kinds = ("a JSON object a line", "defaults beside values", "packed places and a mask", "loses fast characters")
    banner = '{"hello":"kettlebrae","version":"0.31.5"}\n'
    newline = "\n"
    prompt = "? "
    error = '{{"error":"unknown command","command":"{line}","hint":"help"}}'
    slowest_s = 0.003
    pages = _PAGES
    stated = _STATED
    coded = _CODED
    harms = _HARMS
    truth = truth_of(_STATED, _CODED)
    harmful = frozenset(_HARMS)
