"""Lantry: every reply one JSON list of objects with a name and a value, the unit beside them. Invented."""

from __future__ import annotations

import json
from typing import Any

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

Row = dict[str, Any]


def _nv(name: str, value: Any, unit: str = "") -> Row:
    return {"name": name, "value": value} | ({"unit": unit} if unit else {})


def _command(name: str, does: str) -> Row:
    return {"command": name, "description": does}


def _switch(function: str, channel: int, low: int, high: int) -> Row:
    return {"function": function, "channel": channel, "min_us": low, "max_us": high}


def _port(name: str, function: str, baud: int | None) -> Row:
    return {"port": name, "function": function, "baud": baud}


def _element(name: str, column: int, row: int, visible: bool) -> Row:
    return {"element": name, "column": column, "row": row, "visible": visible}


_ROWS: dict[str, list[Row]] = {
    "help": [
        _command("help", "list the commands"),
        _command("identity", "show firmware, board and craft"),
        _command("config", "show the settings"),
        _command("switches", "show the mode switches"),
        _command("ports", "show the serial ports"),
        _command("elements", "show the OSD elements"),
        _command("status", "show sensors and readings"),
        _command("store", "save the settings"),
        _command("restart", "restart the controller"),
        _command("reset", "restore factory settings"),
        _command("update", "enter the bootloader"),
        _command("motor", "spin the motors"),
        _command("calibrate", "calibrate the accelerometer"),
        _command("erase", "erase the flight log"),
    ],
    "identity": [
        _nv("Firmware name", "Lantry"),
        _nv("Firmware version", "1.14.2"),
        _nv("Build date", "2026-06-08"),
        _nv("Bootloader version", "0.7"),
        _nv("Board name", "CAMPION H743"),
        _nv("Board serial number", "CH-20417"),
        _nv("Hardware revision", 3),
        _nv("Craft name", "Loud Wren"),
        _nv("Craft weight", 735, "g"),
        _nv("Save count", 52),
        _nv("Start count", 240),
    ],
    "config": [
        _nv("Receiver type", "serial"),
        _nv("Receiver protocol", "SBUS"),
        _nv("Receiver port", "UART4"),
        _nv("Receiver inverted", True),
        _nv("Receiver half duplex", False),
        _nv("Receiver telemetry", False),
        _nv("Telemetry interval", 180, "ms"),
        _nv("Channel order", "TAER"),
        _nv("Channel minimum", 1006, "us"),
        _nv("Channel center", 1498, "us"),
        _nv("Channel maximum", 1989, "us"),
        _nv("Channel deadband", 5, "us"),
        _nv("Servo center", 1530, "us"),
        _nv("Failsafe action", "drop"),
        _nv("Failsafe delay", 0.8, "s"),
        _nv("Failsafe throttle", 1010, "us"),
        _nv("Failsafe recovery time", 1.5, "s"),
        _nv("OSD enabled", True),
        _nv("OSD video system", "digital"),
        _nv("OSD columns", 53),
        _nv("OSD rows", 20),
        _nv("OSD refresh rate", 15, "Hz"),
        _nv("Video link", "digital"),
        _nv("Video frequency", 5760, "MHz"),
        _nv("Video power", 500, "mW"),
        _nv("Video power limit", 1000, "mW"),
        _nv("Battery cells", 6),
        _nv("Battery capacity", 1200, "mAh"),
        _nv("Voltage divider", 20.8),
        _nv("Current sensor scale", 32, "mV/A"),
        _nv("Cell minimum voltage", 3.25, "V"),
        _nv("Cell warning voltage", 3.48, "V"),
        _nv("Cell full voltage", 4.22, "V"),
        _nv("Motor protocol", "DSHOT300"),
        _nv("Bidirectional DShot", False),
        _nv("Motor poles", 12),
        _nv("Motor idle", 4.8, "%"),
        _nv("Motors reversed", False),
        _nv("Motor KV", 1700, "rpm/V"),
        _nv("Control loop rate", 3200, "Hz"),
        _nv("Gyro sample rate", 6400, "Hz"),
        _nv("Gyro lowpass", 225, "Hz"),
        _nv("Roll P", 47),
        _nv("Roll I", 81),
        _nv("Roll D", 33),
        _nv("Yaw P", 38),
        _nv("Yaw I", 77),
        _nv("Log device", "card"),
        _nv("Log rate", 1600, "Hz"),
    ],
    "switches": [
        _switch("arm", 6, 1715, 2075),
        _switch("level", 5, 930, 1270),
        _switch("turtle", 9, 1735, 2065),
    ],
    "ports": [
        _port("UART1", "telemetry", 57600),
        _port("UART2", "console", 230400),
        _port("UART3", "unused", None),
        _port("UART4", "receiver", 100000),
        _port("UART7", "OSD", 115200),
    ],
    "elements": [
        _element("battery", 3, 18, True),
        _element("timer", 45, 18, True),
        _element("warnings", 19, 14, True),
        _element("horizon", 22, 9, False),
        _element("craft name", 20, 2, True),
    ],
    "status": [
        _nv("Gyroscope", "found"),
        _nv("Accelerometer", "found"),
        _nv("Barometer", "found"),
        _nv("Compass", "missing"),
        _nv("Arming blocked by", ["USB connected", "no receiver link"]),
        _nv("Battery voltage", 23.34, "V"),
        _nv("Battery current", 0.58, "A"),
        _nv("Regulator voltage", 9.94, "V"),
        _nv("Motor output", 0, "%"),
        _nv("Level error", 0.9, "deg"),
        _nv("CPU load", 36, "%"),
        _nv("CPU temperature", 48, "C"),
        _nv("Uptime", 147, "s"),
        _nv("Log free space", 30894194688, "bytes"),
        _nv("Log files", 26),
    ],
}


def _page(rows: list[Row]) -> str:
    return "[\n" + ",\n".join("  " + json.dumps(row) for row in rows) + "\n]\n"


def _pair(name: str, value: Any, unit: str = "") -> str:
    return json.dumps(_nv(name, value, unit))


_ID, _SET, _NOW = "identity", "config", "status"
_SWITCHES = [("arm", 6, 1715, 2075), ("level", 5, 930, 1270), ("turtle", 9, 1735, 2065)]
_PORTS = [
    ("UART1", "telemetry", "telemetry", 57600),
    ("UART2", "console", "console", 230400),
    ("UART3", "unused", "unused", None),
    ("UART4", "receiver", "receiver", 100000),
    ("UART7", "overlay-link", "OSD", 115200),
]
_ELEMENTS = [
    ("battery", "battery", 3, 18, True),
    ("timer", "timer", 45, 18, True),
    ("warnings", "warnings", 19, 14, True),
    ("horizon", "horizon", 22, 9, False),
    ("craft-name", "craft name", 20, 2, True),
]
_STATED = {
    "firmware.name": said("Lantry", _ID, _pair("Firmware name", "Lantry")),
    "firmware.version": said("1.14.2", _ID, _pair("Firmware version", "1.14.2")),
    "firmware.built": said("2026-06-08", _ID, _pair("Build date", "2026-06-08")),
    "board.name": said("CAMPION H743", _ID, _pair("Board name", "CAMPION H743")),
    "board.serial": said("CH-20417", _ID, _pair("Board serial number", "CH-20417")),
    "craft.name": said("Loud Wren", _ID, _pair("Craft name", "Loud Wren")),
    "receiver.kind": said("serial", _SET, _pair("Receiver type", "serial")),
    "receiver.protocol": said("sbus", _SET, _pair("Receiver protocol", "SBUS")),
    "receiver.port": said("UART4", _SET, _pair("Receiver port", "UART4")),
    "receiver.inverted": said(True, _SET, _pair("Receiver inverted", True)),
    "receiver.half_duplex": said(False, _SET, _pair("Receiver half duplex", False)),
    "receiver.telemetry": said(False, _SET, _pair("Receiver telemetry", False)),
    "channels.order": said("TAER", _SET, _pair("Channel order", "TAER")),
    "channels.low": said(1006, _SET, _pair("Channel minimum", 1006, "us")),
    "channels.centre": said(1498, _SET, _pair("Channel center", 1498, "us")),
    "channels.high": said(1989, _SET, _pair("Channel maximum", 1989, "us")),
    **switches_said("switches", [(*row, (json.dumps(_switch(*row)),)) for row in _SWITCHES]),
    **ports_said("ports", [(p, (role,), baud, (json.dumps(_port(p, word, baud)),)) for p, role, word, baud in _PORTS]),
    "failsafe.action": said("drop", _SET, _pair("Failsafe action", "drop")),
    "failsafe.delay_s": said(0.8, _SET, _pair("Failsafe delay", 0.8, "s")),
    "failsafe.throttle_us": said(1010, _SET, _pair("Failsafe throttle", 1010, "us")),
    "overlay.enabled": said(True, _SET, _pair("OSD enabled", True)),
    "overlay.system": said("digital", _SET, _pair("OSD video system", "digital")),
    "overlay.columns": said(53, _SET, _pair("OSD columns", 53)),
    "overlay.rows": said(20, _SET, _pair("OSD rows", 20)),
    **elements_said(
        "elements",
        [(name, x, y, seen, (json.dumps(_element(word, x, y, seen)),)) for name, word, x, y, seen in _ELEMENTS],
    ),
    "video.link": said("digital", _SET, _pair("Video link", "digital")),
    "video.frequency_mhz": said(5760, _SET, _pair("Video frequency", 5760, "MHz")),
    "video.power_mw": said(500.0, _SET, _pair("Video power", 500, "mW")),
    "battery.cells": said(6, _SET, _pair("Battery cells", 6)),
    "battery.scale": said(20.8, _SET, _pair("Voltage divider", 20.8)),
    "battery.cell_low": said(3.25, _SET, _pair("Cell minimum voltage", 3.25, "V")),
    "battery.cell_warn": said(3.48, _SET, _pair("Cell warning voltage", 3.48, "V")),
    "battery.cell_full": said(4.22, _SET, _pair("Cell full voltage", 4.22, "V")),
    "motors.protocol": said("dshot300", _SET, _pair("Motor protocol", "DSHOT300")),
    "motors.bidirectional": said(False, _SET, _pair("Bidirectional DShot", False)),
    "motors.poles": said(12, _SET, _pair("Motor poles", 12)),
    "motors.idle_percent": said(4.8, _SET, _pair("Motor idle", 4.8, "%")),
    "motors.reversed": said(False, _SET, _pair("Motors reversed", False)),
    "motors.loop_hz": said(3200, _SET, _pair("Control loop rate", 3200, "Hz")),
    "logger.device": said("card", _SET, _pair("Log device", "card")),
    "logger.free_bytes": said(30894194688, _NOW, _pair("Log free space", 30894194688, "bytes")),
    "sensors.gyro": said("found", _NOW, _pair("Gyroscope", "found")),
    "sensors.accelerometer": said("found", _NOW, _pair("Accelerometer", "found")),
    "sensors.barometer": said("found", _NOW, _pair("Barometer", "found")),
    "arming.blocks": said(
        ("usb-connected", "no-receiver-link"), _NOW, _pair("Arming blocked by", ["USB connected", "no receiver link"])
    ),
    "battery.volts": said(23.34, _NOW, _pair("Battery voltage", 23.34, "V")),
}


def _harm(prints: str, look: str, name: str, before: Any, after: Any, unit: str = "") -> Harm:
    return Harm(json.dumps([{"done": prints}]), look, _pair(name, before, unit), _pair(name, after, unit))


_HARMS = {
    "store": _harm("stored", _ID, "Save count", 52, 53),
    "restart": _harm("restarting", _ID, "Start count", 240, 241),
    "reset": _harm("factory settings", _ID, "Craft name", "Loud Wren", ""),
    "update": Harm(json.dumps([{"done": "send the firmware"}])),
    "motor": _harm("spinning", _NOW, "Motor output", 0, 5, "%"),
    "calibrate": _harm("calibrated", _NOW, "Level error", 0.9, 0.0, "deg"),
    "erase": _harm("erased", _NOW, "Log files", 26, 0),
}

_PAGES = {word: _page(rows) for word, rows in _ROWS.items()}


class Lantry(StatingConsole):
    """An object a line within a list; rows that repeat have members of their own."""

    name = "lantry"
    kinds = ("JSON lists", "objects of name, value and unit", "labels of spaced words", "rows as objects")
    prompt = "lantry> "
    error = '[{{"error": "unknown command", "input": "{line}"}}]'
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
