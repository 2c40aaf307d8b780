"""Merridine: indented JSON, one document of nested objects a word, camel case that ends in the unit. Invented."""

from __future__ import annotations

import json
from typing import Any

from tests_support.other_consoles.stating import Harm, Said, StatingConsole, said, truth_of


def _command(name: str, summary: str) -> dict[str, str]:
    return {"name": name, "summary": summary}


_DOCUMENTS: dict[str, dict[str, Any]] = {
    "help": {
        "commands": [
            _command("help", "list the commands"),
            _command("system", "show firmware, board and craft"),
            _command("control", "show receiver, channels, switches and failsafe"),
            _command("serial", "show the serial ports"),
            _command("display", "show the OSD and the video link"),
            _command("power", "show the battery"),
            _command("propulsion", "show motors and control loop"),
            _command("tuning", "show gains and filters"),
            _command("health", "show sensors, arming and flight log"),
            _command("persist", "save the settings"),
            _command("reboot", "restart the board"),
            _command("wipe", "restore the default settings"),
            _command("loader", "enter the bootloader"),
            _command("spinTest", "run one motor"),
            _command("levelOut", "calibrate the accelerometer"),
            _command("discardLog", "erase the flight log"),
        ]
    },
    "system": {
        "firmware": {"name": "Merridine", "version": "2.7.4", "buildDate": "2026-03-06", "bootloaderVersion": "1.2"},
        "board": {"name": "RAGWORT H723", "serialNumber": "RW-440-1926", "revision": "C", "flashKiB": 1024},
        "craft": {"name": "Slow Kestrel", "weightGrams": 655},
        "counters": {"saves": 29, "restarts": 187},
    },
    "control": {
        "receiver": {
            "type": "serial",
            "protocol": "IBUS",
            "port": "UART4",
            "inverted": False,
            "halfDuplex": True,
            "telemetry": {"enabled": True, "intervalMs": 150},
        },
        "channels": {
            "order": "AETR",
            "minimumUs": 1011,
            "centerUs": 1506,
            "maximumUs": 1987,
            "deadbandUs": 6,
        },
        "servo": {"centerUs": 1515, "rateHz": 50},
        "switches": [
            {"function": "arm", "channel": 7, "fromUs": 1705, "toUs": 2080},
            {"function": "level", "channel": 5, "fromUs": 925, "toUs": 1275},
            {"function": "beeper", "channel": 8, "fromUs": 1650, "toUs": 2045},
        ],
        "failsafe": {"action": "hold", "delaySeconds": 1.2, "throttleUs": 1290, "recoverySeconds": 0.5},
    },
    "serial": {
        "ports": [
            {"name": "UART1", "function": "console", "baud": 115200, "errors": 0},
            {"name": "UART2", "function": "OSD", "baud": 230400, "errors": 2},
            {"name": "UART4", "function": "receiver", "baud": 115200, "errors": 7},
            {"name": "UART5", "function": "rangefinder", "baud": 19200, "errors": 0},
            {"name": "UART8", "function": "unused", "baud": None, "errors": None},
        ],
        "i2c": {"clockKHz": 800},
    },
    "display": {
        "osd": {
            "enabled": True,
            "system": "digital",
            "columns": 53,
            "rows": 20,
            "refreshHz": 15,
            "elements": [
                {"name": "battery", "column": 4, "row": 18, "visible": True},
                {"name": "timer", "column": 46, "row": 18, "visible": True},
                {"name": "warnings", "column": 21, "row": 13, "visible": True},
                {"name": "horizon", "column": 24, "row": 9, "visible": False},
            ],
        },
        "video": {
            "link": "digital",
            "frequencyMHz": 5765,
            "powerMw": 350,
            "maximumPowerMw": 700,
            "bitRateMbps": 25,
            "temperatureC": 52,
        },
    },
    "power": {
        "battery": {
            "cells": 6,
            "voltage": 23.16,
            "voltageDivider": 20.4,
            "cellVoltage": {"minimum": 3.29, "warning": 3.49, "full": 4.23},
            "capacityMah": 1150,
            "currentAmps": 0.51,
            "usedMah": 5,
        },
        "regulator": {"voltage": 9.91},
        "currentSensor": {"scaleMvPerAmp": 31},
    },
    "propulsion": {
        "motors": {
            "protocol": "DSHOT600",
            "bidirectional": True,
            "poles": 14,
            "idlePercent": 4.4,
            "reversed": True,
            "kv": 1800,
            "outputPercent": [0, 0, 0, 0],
        },
        "controlLoop": {"rateHz": 8000, "loadPercent": 37},
        "throttle": {"limitPercent": 92, "expo": 0.15},
    },
    "tuning": {
        "gains": {
            "roll": {"p": 48, "i": 82, "d": 31},
            "pitch": {"p": 51, "i": 85, "d": 34},
            "yaw": {"p": 40, "i": 80, "d": 0},
        },
        "filters": {"gyroLowpassHz": 240, "dLowpassHz": 110},
    },
    "health": {
        "sensors": {"gyro": "found", "accelerometer": "found", "barometer": "missing", "compass": "missing"},
        "arming": {"blockedBy": ["USB connected", "throttle not low", "not level"], "attempts": 0},
        "log": {"device": "card", "freeBytes": 15846080512, "rateHz": 1000, "files": 31},
        "attitude": {"levelErrorDegrees": 1.4},
        "processor": {"temperatureC": 50, "uptimeSeconds": 402},
    },
}


def _at(value: Any, word: str, *path: str) -> Said:
    """A fact by the path of its member: the texts are the head of each object on the way and the member itself."""
    inner: Any = _DOCUMENTS[word]
    for key in path:
        inner = inner[key]
    heads = [f'"{key}": {{' for key in path[:-1]]
    shown = "[" if isinstance(inner, list) else json.dumps(inner)
    texts = [f"{json.dumps(one)}" for one in inner] if isinstance(inner, list) else []
    return said(value, word, *heads, f'"{path[-1]}": {shown}', *texts)


def _rows(
    word: str, path: tuple[str, ...], group: str, fields: dict[str, str], canonical: dict[str, Any]
) -> dict[str, Said]:
    """The facts of rows in a list: canonical fields by their member; the first member tells a row from the others."""
    rows: Any = _DOCUMENTS[word]
    for key in path:
        rows = rows[key]
    heads = [f'"{key}": {{' for key in path[:-1]] + [f'"{path[-1]}": [']
    facts: dict[str, Said] = {}
    for at, row in enumerate(rows):
        first = next(f'"{key}": {json.dumps(value)}' for key, value in row.items())
        for field, member in fields.items():
            if row[member] is not None:
                own = [f'"{member}": {json.dumps(row[member])}'] if member != next(iter(row)) else []
                value = canonical.get(row[member], row[member]) if isinstance(row[member], str) else row[member]
                facts[f"{group}[{at}].{field}"] = said(value, word, *heads, first, *own)
    return facts


_ROLES = {
    "console": ("console",),
    "OSD": ("overlay-link",),
    "receiver": ("receiver",),
    "rangefinder": ("rangefinder",),
    "unused": ("unused",),
}
_SWITCH = {"function": "function", "channel": "channel", "from_us": "fromUs", "to_us": "toUs"}
_PORT = {"id": "name", "roles": "function", "baud": "baud"}
_ELEMENT = {"name": "name", "column": "column", "row": "row", "shown": "visible"}

_STATED = {
    "firmware.name": _at("Merridine", "system", "firmware", "name"),
    "firmware.version": _at("2.7.4", "system", "firmware", "version"),
    "firmware.built": _at("2026-03-06", "system", "firmware", "buildDate"),
    "board.name": _at("RAGWORT H723", "system", "board", "name"),
    "board.serial": _at("RW-440-1926", "system", "board", "serialNumber"),
    "craft.name": _at("Slow Kestrel", "system", "craft", "name"),
    "receiver.kind": _at("serial", "control", "receiver", "type"),
    "receiver.protocol": _at("ibus", "control", "receiver", "protocol"),
    "receiver.port": _at("UART4", "control", "receiver", "port"),
    "receiver.inverted": _at(False, "control", "receiver", "inverted"),
    "receiver.half_duplex": _at(True, "control", "receiver", "halfDuplex"),
    "receiver.telemetry": _at(True, "control", "receiver", "telemetry", "enabled"),
    "channels.order": _at("AETR", "control", "channels", "order"),
    "channels.low": _at(1011, "control", "channels", "minimumUs"),
    "channels.centre": _at(1506, "control", "channels", "centerUs"),
    "channels.high": _at(1987, "control", "channels", "maximumUs"),
    **_rows("control", ("switches",), "switches", _SWITCH, {}),
    "failsafe.action": _at("hold", "control", "failsafe", "action"),
    "failsafe.delay_s": _at(1.2, "control", "failsafe", "delaySeconds"),
    "failsafe.throttle_us": _at(1290, "control", "failsafe", "throttleUs"),
    **_rows("serial", ("ports",), "ports", _PORT, _ROLES),
    "overlay.enabled": _at(True, "display", "osd", "enabled"),
    "overlay.system": _at("digital", "display", "osd", "system"),
    "overlay.columns": _at(53, "display", "osd", "columns"),
    "overlay.rows": _at(20, "display", "osd", "rows"),
    **_rows("display", ("osd", "elements"), "overlay.elements", _ELEMENT, {}),
    "video.link": _at("digital", "display", "video", "link"),
    "video.frequency_mhz": _at(5765, "display", "video", "frequencyMHz"),
    "video.power_mw": _at(350.0, "display", "video", "powerMw"),
    "battery.cells": _at(6, "power", "battery", "cells"),
    "battery.volts": _at(23.16, "power", "battery", "voltage"),
    "battery.scale": _at(20.4, "power", "battery", "voltageDivider"),
    "battery.cell_low": _at(3.29, "power", "battery", "cellVoltage", "minimum"),
    "battery.cell_warn": _at(3.49, "power", "battery", "cellVoltage", "warning"),
    "battery.cell_full": _at(4.23, "power", "battery", "cellVoltage", "full"),
    "motors.protocol": _at("dshot600", "propulsion", "motors", "protocol"),
    "motors.bidirectional": _at(True, "propulsion", "motors", "bidirectional"),
    "motors.poles": _at(14, "propulsion", "motors", "poles"),
    "motors.idle_percent": _at(4.4, "propulsion", "motors", "idlePercent"),
    "motors.reversed": _at(True, "propulsion", "motors", "reversed"),
    "motors.loop_hz": _at(8000, "propulsion", "controlLoop", "rateHz"),
    "sensors.gyro": _at("found", "health", "sensors", "gyro"),
    "sensors.accelerometer": _at("found", "health", "sensors", "accelerometer"),
    "sensors.barometer": _at("missing", "health", "sensors", "barometer"),
    "arming.blocks": _at(("usb-connected", "throttle-not-low", "not-level"), "health", "arming", "blockedBy"),
    "logger.device": _at("card", "health", "log", "device"),
    "logger.free_bytes": _at(15846080512, "health", "log", "freeBytes"),
}

_HARMS = {
    "persist": Harm('{"result": "saved"}', "system", '"saves": 29', '"saves": 30'),
    "reboot": Harm('{"result": "restarting"}', "system", '"restarts": 187', '"restarts": 188'),
    "wipe": Harm('{"result": "defaults restored"}', "system", '"Slow Kestrel"', '""'),
    "loader": Harm('{"result": "waiting for an image"}'),
    "spinTest": Harm(
        '{"result": "motor running"}',
        "propulsion",
        '"outputPercent": [\n      0,',
        '"outputPercent": [\n      7,',
        sample="spinTest 1",
    ),
    "levelOut": Harm('{"result": "calibrated"}', "health", '"levelErrorDegrees": 1.4', '"levelErrorDegrees": 0.0'),
    "discardLog": Harm('{"result": "log erased"}', "health", '"files": 31', '"files": 0'),
}

_PAGES = {word: json.dumps(document, indent=2) + "\n" for word, document in _DOCUMENTS.items()}


class Merridine(StatingConsole):
    """What a value belongs to is said by the objects around it."""

    name = "merridine"
    kinds = ("indented JSON documents", "nested objects", "camel case with the unit at the end", "rows as lists")
    prompt = "$ "
    error = '{{"error": "unknown command", "command": "{line}", "see": "help"}}'
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
