"""Jorvale: each word is answered with a JSON document of nested objects; rows are objects by their name. Invented."""

from __future__ import annotations

import json
from typing import Any

from tests_support.other_consoles.stating import Harm, Said, StatingConsole, said, truth_of

_HELP = {
    "commands": {
        "help": "list the commands",
        "info": "show firmware, board and craft",
        "radio": "show receiver, channels and failsafe",
        "switches": "show the switches",
        "serial": "show the serial ports",
        "display": "show the osd and its elements",
        "video": "show the video transmitter",
        "power": "show the battery",
        "drive": "show motors and loops",
        "state": "show sensors, arming and log",
        "tuning": "show gains and filters",
        "commit": "write the settings to flash",
        "reboot": "reboot the board",
        "factory": "reset the settings to factory values",
        "flash": "wait for a new firmware image",
        "motor": "run a motor",
        "level": "calibrate the accelerometer",
        "format": "erase the log",
    }
}

_INFO = {
    "firmware": {"name": "Jorvale", "version": "12.3.1", "built": "2026-03-28", "compiler": "14.1"},
    "board": {"model": "TANSY F745", "serial_number": "T745-6620", "revision": "A", "loader_version": "2.2"},
    "craft": {"name": "Copper Newt", "weight_g": 618},
    "counters": {"boots": 96, "commits": 21, "crashes": 1},
}

_RADIO = {
    "receiver": {
        "type": "serial",
        "protocol": "ibus",
        "port": "uart5",
        "inverted": False,
        "half_duplex": True,
        "telemetry": True,
        "telemetry_interval_ms": 200,
    },
    "channels": {"order": "RETA", "low_us": 1005, "center_us": 1495, "high_us": 1985, "deadband_us": 6},
    "servo": {"center_us": 1510, "rate_hz": 60},
    "failsafe": {"action": "hold", "delay_s": 0.6, "throttle_us": 1315, "recovery_s": 1.5},
}

_SWITCHES = {
    "switches": {
        "arm": {"channel": 8, "from_us": 1690, "to_us": 2090},
        "level": {"channel": 5, "from_us": 930, "to_us": 1290},
        "turtle": {"channel": 6, "from_us": 1740, "to_us": 2030},
    }
}

_SERIAL = {
    "ports": {
        "uart1": {"function": "console", "baud": 115200, "errors": 0},
        "uart3": {"function": "video_control", "baud": 9600, "errors": 0},
        "uart5": {"function": "receiver", "baud": 115200, "errors": 4},
        "uart6": {"function": "rangefinder", "baud": 19200, "errors": 0},
        "uart7": {"function": "unused", "baud": None, "errors": 0},
    },
    "buses": {"i2c_clock_khz": 400, "spi_clock_khz": 21000},
}

_DISPLAY = {
    "osd": {"enabled": True, "system": "ntsc", "columns": 30, "rows": 13, "brightness": 4},
    "elements": {
        "battery": {"column": 1, "row": 11, "visible": True},
        "timer": {"column": 22, "row": 11, "visible": True},
        "link_quality": {"column": 1, "row": 2, "visible": True},
        "speed": {"column": 24, "row": 6, "visible": False},
    },
}

_VIDEO = {
    "transmitter": {
        "link": "analog",
        "band": "A",
        "channel": 3,
        "frequency_mhz": 5825,
        "power_mw": 100,
        "max_power_mw": 400,
        "pit_mode": False,
        "temperature_c": 38,
    },
    "camera": {"aspect": "4:3", "exposure": 5},
}

_POWER = {
    "battery": {
        "cells": 3,
        "voltage_v": 11.79,
        "current_a": 0.36,
        "capacity_mah": 1050,
        "used_mah": 3,
        "voltage_divider": 10.8,
        "current_scale": 179,
    },
    "cell": {"low_v": 3.25, "warning_v": 3.45, "full_v": 4.22},
    "rail": {"voltage_v": 5.11},
}

_DRIVE = {
    "motors": {
        "protocol": "DSHOT150",
        "bidirectional": False,
        "poles": 16,
        "idle_percent": 7.5,
        "reversed": False,
        "kv": 1400,
        "output_percent": 0,
    },
    "loops": {"control_loop_hz": 1600, "gyro_hz": 3200, "load_percent": 17},
}

_STATE = {
    "sensors": {"gyro": "found", "accelerometer": "found", "barometer": "missing", "compass": "missing"},
    "attitude": {"roll_deg": 1.4, "pitch_deg": -0.6},
    "arming": {"armed": False, "blocked_by": "no receiver link, not level"},
    "log": {"device": "flash", "free_bytes": 2097152, "rate_hz": 250, "flights": 6},
    "system": {"uptime_s": 74, "temperature_c": 40},
}

_TUNING = {
    "gains": {"roll": {"p": 38, "i": 66, "d": 24}, "pitch": {"p": 40, "i": 69, "d": 26}, "yaw": {"p": 33, "i": 64}},
    "filters": {"gyro_lowpass_hz": 170, "dterm_lowpass_hz": 85},
}

_DOCUMENTS: dict[str, dict[str, Any]] = {
    "help": _HELP,
    "info": _INFO,
    "radio": _RADIO,
    "switches": _SWITCHES,
    "serial": _SERIAL,
    "display": _DISPLAY,
    "video": _VIDEO,
    "power": _POWER,
    "drive": _DRIVE,
    "state": _STATE,
    "tuning": _TUNING,
}

_PAGES = {word: json.dumps(document, indent=2) + "\n" for word, document in _DOCUMENTS.items()}

_FACTS: dict[str, tuple[str, str, Any, str]] = {
    "firmware.name": ("info", "firmware", "Jorvale", '"name": "Jorvale"'),
    "firmware.version": ("info", "firmware", "12.3.1", '"version": "12.3.1"'),
    "firmware.built": ("info", "firmware", "2026-03-28", '"built": "2026-03-28"'),
    "board.name": ("info", "board", "TANSY F745", '"model": "TANSY F745"'),
    "board.serial": ("info", "board", "T745-6620", '"serial_number": "T745-6620"'),
    "craft.name": ("info", "craft", "Copper Newt", '"name": "Copper Newt"'),
    "receiver.kind": ("radio", "receiver", "serial", '"type": "serial"'),
    "receiver.protocol": ("radio", "receiver", "ibus", '"protocol": "ibus"'),
    "receiver.port": ("radio", "receiver", "uart5", '"port": "uart5"'),
    "receiver.inverted": ("radio", "receiver", False, '"inverted": false'),
    "receiver.half_duplex": ("radio", "receiver", True, '"half_duplex": true'),
    "receiver.telemetry": ("radio", "receiver", True, '"telemetry": true'),
    "channels.order": ("radio", "channels", "RETA", '"order": "RETA"'),
    "channels.low": ("radio", "channels", 1005, '"low_us": 1005'),
    "channels.centre": ("radio", "channels", 1495, '"center_us": 1495'),
    "channels.high": ("radio", "channels", 1985, '"high_us": 1985'),
    "failsafe.action": ("radio", "failsafe", "hold", '"action": "hold"'),
    "failsafe.delay_s": ("radio", "failsafe", 0.6, '"delay_s": 0.6'),
    "failsafe.throttle_us": ("radio", "failsafe", 1315, '"throttle_us": 1315'),
    "overlay.enabled": ("display", "osd", True, '"enabled": true'),
    "overlay.system": ("display", "osd", "ntsc", '"system": "ntsc"'),
    "overlay.columns": ("display", "osd", 30, '"columns": 30'),
    "overlay.rows": ("display", "osd", 13, '"rows": 13'),
    "video.link": ("video", "transmitter", "analog", '"link": "analog"'),
    "video.band": ("video", "transmitter", "A", '"band": "A"'),
    "video.channel": ("video", "transmitter", 3, '"channel": 3'),
    "video.frequency_mhz": ("video", "transmitter", 5825, '"frequency_mhz": 5825'),
    "video.power_mw": ("video", "transmitter", 100.0, '"power_mw": 100'),
    "battery.cells": ("power", "battery", 3, '"cells": 3'),
    "battery.volts": ("power", "battery", 11.79, '"voltage_v": 11.79'),
    "battery.scale": ("power", "battery", 10.8, '"voltage_divider": 10.8'),
    "battery.cell_low": ("power", "cell", 3.25, '"low_v": 3.25'),
    "battery.cell_warn": ("power", "cell", 3.45, '"warning_v": 3.45'),
    "battery.cell_full": ("power", "cell", 4.22, '"full_v": 4.22'),
    "motors.protocol": ("drive", "motors", "dshot150", '"protocol": "DSHOT150"'),
    "motors.bidirectional": ("drive", "motors", False, '"bidirectional": false'),
    "motors.poles": ("drive", "motors", 16, '"poles": 16'),
    "motors.idle_percent": ("drive", "motors", 7.5, '"idle_percent": 7.5'),
    "motors.reversed": ("drive", "motors", False, '"reversed": false'),
    "motors.loop_hz": ("drive", "loops", 1600, '"control_loop_hz": 1600'),
    "sensors.gyro": ("state", "sensors", "found", '"gyro": "found"'),
    "sensors.accelerometer": ("state", "sensors", "found", '"accelerometer": "found"'),
    "sensors.barometer": ("state", "sensors", "missing", '"barometer": "missing"'),
    "arming.blocks": (
        "state",
        "arming",
        ("no-receiver-link", "not-level"),
        '"blocked_by": "no receiver link, not level"',
    ),
    "logger.device": ("state", "log", "flash", '"device": "flash"'),
    "logger.free_bytes": ("state", "log", 2097152, '"free_bytes": 2097152'),
}
"""By canonical name: the word, the object of its document, the value, the text."""


def _switch(at: int, name: str, channel: int, low: int, high: int) -> dict[str, Said]:
    row, head = f"switches[{at}]", ("switches", '"switches": {', f'"{name}": {{')
    return {
        f"{row}.function": said(name, *head),
        f"{row}.channel": said(channel, *head, f'"channel": {channel}'),
        f"{row}.from_us": said(low, *head, f'"from_us": {low}'),
        f"{row}.to_us": said(high, *head, f'"to_us": {high}'),
    }


def _port(at: int, name: str, role: str, function: str, baud: int | None) -> dict[str, Said]:
    row, head = f"ports[{at}]", ("serial", '"ports": {', f'"{name}": {{')
    rate = {f"{row}.baud": said(baud, *head, f'"baud": {baud}')} if baud else {}
    return {
        f"{row}.id": said(name, *head),
        f"{row}.roles": said((role,), *head, f'"function": "{function}"'),
        **rate,
    }


def _element(at: int, name: str, column: int, line: int, shown: bool) -> dict[str, Said]:
    row, head = f"overlay.elements[{at}]", ("display", '"elements": {', f'"{name.replace("-", "_")}": {{')
    return {
        f"{row}.name": said(name, *head),
        f"{row}.column": said(column, *head, f'"column": {column}'),
        f"{row}.row": said(line, *head, f'"row": {line}'),
        f"{row}.shown": said(shown, *head, f'"visible": {json.dumps(shown)}'),
    }


_STATED = {
    **{name: said(value, word, f'"{group}": {{', text) for name, (word, group, value, text) in _FACTS.items()},
    **_switch(0, "arm", 8, 1690, 2090),
    **_switch(1, "level", 5, 930, 1290),
    **_switch(2, "turtle", 6, 1740, 2030),
    **_port(0, "uart1", "console", "console", 115200),
    **_port(1, "uart3", "video-control", "video_control", 9600),
    **_port(2, "uart5", "receiver", "receiver", 115200),
    **_port(3, "uart6", "rangefinder", "rangefinder", 19200),
    **_port(4, "uart7", "unused", "unused", None),
    **_element(0, "battery", 1, 11, True),
    **_element(1, "timer", 22, 11, True),
    **_element(2, "link-quality", 1, 2, True),
    **_element(3, "speed", 24, 6, False),
}

_HARMS = {
    "commit": Harm('{"ok": "committed"}', "info", '"commits": 21', '"commits": 22'),
    "reboot": Harm('{"ok": "rebooting"}', "info", '"boots": 96', '"boots": 97'),
    "factory": Harm('{"ok": "factory values"}', "info", '"Copper Newt"', '""'),
    "flash": Harm('{"ok": "waiting for the image"}'),
    "motor": Harm('{"ok": "running"}', "drive", '"output_percent": 0', '"output_percent": 10'),
    "level": Harm('{"ok": "calibrated"}', "state", '"roll_deg": 1.4', '"roll_deg": 0.0'),
    "format": Harm('{"ok": "erased"}', "state", '"flights": 6', '"flights": 0'),
}


class Jorvale(StatingConsole):
    """A document for each word, also for its help and for what it does not know."""

    name = "jorvale"
    kinds = ("JSON, a document for each word", "nested objects, rows by name", "units in the key")
    banner = ""
    prompt = "jv> "
    error = '{{"error": "unknown command {line}, see help"}}'
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
