"""Merrowby: lists of settings in JSON with a running number, no echo, loses characters typed fast. Invented."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_TOPICS = [
    "analog",
    "begin_again",
    "device",
    "exercise",
    "forget",
    "gains",
    "health",
    "help",
    "install",
    "params",
    "persist",
    "pristine",
    "uarts",
    "zero_horizon",
]

_DEVICE: dict[str, Any] = {
    "firmware": "merrowby",
    "fw_version": "0.44.1",
    "bl_version": "0.9.0",
    "schema_version": 5,
    "build_date": "2026-06-09",
    "board": "CALLOW-743",
    "board_rev": 2,
    "serial_no": "CW0000917",
    "vehicle_name": "Night Rail",
    "boot_count": 308,
    "write_count": 71,
}

_PARAMS: list[tuple[str, Any, str]] = [
    ("rx.type", "serial", ""),
    ("rx.protocol", "ibus", ""),
    ("rx.port", "U2", ""),
    ("rx.update_rate", 143, "Hz"),
    ("rc.channel_map", "EATR", ""),
    ("rc.min", 1000, "us"),
    ("rc.mid", 1500, "us"),
    ("rc.max", 2000, "us"),
    ("rc.deadband", 5, "us"),
    ("rc.expo", 18, "%"),
    ("failsafe.action", "return_home", ""),
    ("failsafe.delay", 800, "ms"),
    ("failsafe.climb", 15, "m"),
    ("battery.cells", 3, ""),
    ("battery.cell_min", 3150, "mV"),
    ("battery.cell_warn", 3500, "mV"),
    ("battery.cell_max", 4200, "mV"),
    ("battery.capacity", 2200, "mAh"),
    ("battery.sag_filter", 0.8, "Hz"),
    ("motor.protocol", "dshot150", ""),
    ("motor.bidirectional", False, ""),
    ("motor.poles", 12, ""),
    ("motor.idle", 450, "0.01%"),
    ("motor.ramp", 40, "ms"),
    ("loop.period", 500, "us"),
    ("osd.enabled", True, ""),
    ("osd.standard", "ntsc", ""),
    ("osd.font", 3, ""),
    ("led.cells", 10, ""),
    ("led.colour", "00a0ff", ""),
    ("mag.declination", 2.5, "deg"),
]

_UARTS: list[dict[str, Any]] = [
    {"port": "U0", "function": "console", "baud": 115200, "parity": "none", "rx_bytes": 1190},
    {"port": "U1", "function": "gps", "baud": 38400, "parity": "none", "rx_bytes": 80122},
    {"port": "U2", "function": "receiver", "baud": 115200, "parity": "none", "rx_bytes": 0},
    {"port": "U5", "function": "none", "baud": 0, "parity": "none", "rx_bytes": 0},
]

_HEALTH: dict[str, Any] = {
    "gyro": "ok",
    "accelerometer": "ok",
    "barometer": "ok",
    "magnetometer": "not found",
    "arming_blocked_by": ["no receiver signal", "throttle not low", "USB connected"],
    "log_media": "card",
    "log_free_kib": 4096,
    "horizon_error_deg": 1.1,
    "cpu_load_pct": 33,
    "imu_temp_c": 42.0,
    "uptime_ms": 90233,
    "outputs_pct": [0, 0, 0, 0],
}

_ANALOG: dict[str, Any] = {
    "battery_mv": 11870,
    "current_ma": 260,
    "rail_5v_mv": 5060,
    "rssi_raw": 0,
}

_GAINS: list[dict[str, Any]] = [
    {"axis": "roll", "p": 0.39, "i": 0.71, "d": 0.028},
    {"axis": "pitch", "p": 0.42, "i": 0.76, "d": 0.031},
    {"axis": "yaw", "p": 0.35, "i": 0.71, "d": 0.0},
]


def _rows(rows: Sequence[Any]) -> str:
    return "[\n" + ",\n".join(" " + json.dumps(row) for row in rows) + "\n]"


def _fields(fields: Mapping[str, Any]) -> str:
    return "{\n" + ",\n".join(f' "{name}": {json.dumps(value)}' for name, value in fields.items()) + "\n}"


def _page(topic: str, data: str) -> str:
    # What stands before it is the running number of the answer.
    return f'"topic": "{topic}", "data": {data}}}\n'


def _params() -> str:
    return _rows([{"name": name, "value": value, **({"unit": unit} if unit else {})} for name, value, unit in _PARAMS])


_STATED = {
    "firmware.name": said("merrowby", "device", '"firmware": "merrowby"'),
    "firmware.version": said("0.44.1", "device", '"fw_version": "0.44.1"'),
    "firmware.built": said("2026-06-09", "device", '"build_date": "2026-06-09"'),
    "board.name": said("CALLOW-743", "device", '"board": "CALLOW-743"'),
    "board.serial": said("CW0000917", "device", '"serial_no": "CW0000917"'),
    "craft.name": said("Night Rail", "device", '"vehicle_name": "Night Rail"'),
    "receiver.kind": said("serial", "params", '"rx.type", "value": "serial"'),
    "receiver.protocol": said("ibus", "params", '"rx.protocol", "value": "ibus"'),
    "receiver.port": said("U2", "params", '"rx.port", "value": "U2"'),
    "channels.order": said("EATR", "params", '"rc.channel_map", "value": "EATR"'),
    "channels.low": said(1000, "params", '"rc.min", "value": 1000, "unit": "us"'),
    "channels.centre": said(1500, "params", '"rc.mid", "value": 1500, "unit": "us"'),
    "channels.high": said(2000, "params", '"rc.max", "value": 2000, "unit": "us"'),
    "failsafe.action": said("return", "params", '"failsafe.action", "value": "return_home"'),
    "failsafe.delay_s": said(0.8, "params", '"failsafe.delay", "value": 800, "unit": "ms"'),
    "battery.cells": said(3, "params", '"battery.cells", "value": 3'),
    "battery.volts": said(11.87, "analog", '"battery_mv": 11870'),
    "battery.cell_low": said(3.15, "params", '"battery.cell_min", "value": 3150, "unit": "mV"'),
    "battery.cell_warn": said(3.5, "params", '"battery.cell_warn", "value": 3500, "unit": "mV"'),
    "battery.cell_full": said(4.2, "params", '"battery.cell_max", "value": 4200, "unit": "mV"'),
    "motors.protocol": said("dshot150", "params", '"motor.protocol", "value": "dshot150"'),
    "motors.bidirectional": said(False, "params", '"motor.bidirectional", "value": false'),
    "motors.poles": said(12, "params", '"motor.poles", "value": 12'),
    "motors.idle_percent": said(4.5, "params", '"motor.idle", "value": 450, "unit": "0.01%"'),
    "motors.loop_hz": said(2000, "params", '"loop.period", "value": 500, "unit": "us"'),  # 1 / 500 us
    "overlay.enabled": said(True, "params", '"osd.enabled", "value": true'),
    "overlay.system": said("ntsc", "params", '"osd.standard", "value": "ntsc"'),
    "ports[0].id": said("U0", "uarts", '{"port": "U0", "function": "console", "baud": 115200'),
    "ports[0].roles": said(("console",), "uarts", '{"port": "U0", "function": "console", "baud": 115200'),
    "ports[0].baud": said(115200, "uarts", '{"port": "U0", "function": "console", "baud": 115200'),
    "ports[1].id": said("U1", "uarts", '{"port": "U1", "function": "gps", "baud": 38400'),
    "ports[1].roles": said(("positioning",), "uarts", '{"port": "U1", "function": "gps", "baud": 38400'),
    "ports[1].baud": said(38400, "uarts", '{"port": "U1", "function": "gps", "baud": 38400'),
    "ports[2].id": said("U2", "uarts", '{"port": "U2", "function": "receiver", "baud": 115200'),
    "ports[2].roles": said(("receiver",), "uarts", '{"port": "U2", "function": "receiver", "baud": 115200'),
    "ports[2].baud": said(115200, "uarts", '{"port": "U2", "function": "receiver", "baud": 115200'),
    "ports[3].id": said("U5", "uarts", '{"port": "U5", "function": "none"'),
    "ports[3].roles": said(("unused",), "uarts", '{"port": "U5", "function": "none"'),
    "sensors.gyro": said("found", "health", '"gyro": "ok"'),
    "sensors.accelerometer": said("found", "health", '"accelerometer": "ok"'),
    "sensors.barometer": said("found", "health", '"barometer": "ok"'),
    "arming.blocks": said(
        ("no-receiver-link", "throttle-not-low", "usb-connected"),
        "health",
        '"arming_blocked_by": ["no receiver signal", "throttle not low", "USB connected"]',
    ),
    "logger.device": said("card", "health", '"log_media": "card"'),
    "logger.free_bytes": said(4194304, "health", '"log_free_kib": 4096'),  # 4096 * 1024
}

_HARMS = {
    "begin_again": Harm('"done": "starting"}', "device", '"boot_count": 308', '"boot_count": 309'),
    "exercise": Harm('"done": "outputs on"}', "health", '"outputs_pct": [0, 0, 0, 0]', '"outputs_pct": [8, 8, 8, 8]'),
    "forget": Harm('"done": "log is empty"}', "health", '"log_free_kib": 4096', '"log_free_kib": 61440'),
    "install": Harm('"done": "send the image"}'),
    "persist": Harm('"done": "kept"}', "device", '"write_count": 71', '"write_count": 72'),
    "pristine": Harm('"done": "as new"}', "device", '"vehicle_name": "Night Rail"', '"vehicle_name": ""'),
    "zero_horizon": Harm('"done": "zeroed"}', "health", '"horizon_error_deg": 1.1', '"horizon_error_deg": 0.0'),
}

_PAGES = {
    "help": _page("help", json.dumps(_TOPICS)),
    "device": _page("device", _fields(_DEVICE)),
    "params": _page("params", _params()),
    "uarts": _page("uarts", _rows(_UARTS)),
    "health": _page("health", _fields(_HEALTH)),
    "analog": _page("analog", _fields(_ANALOG)),
    "gains": _page("gains", _rows(_GAINS)),
}


class Merrowby(StatingConsole):
    """Every answer is a JSON object over several lines that carries a number which goes up by one each time."""

    name = "merrowby"
    kinds = ("JSON reply", "loses characters that are typed fast", "help without descriptions")
    banner = '{"n": 0, "topic": "hello", "data": "merrowby"}\n'
    echo = False
    newline = "\n"
    prompt = "ask: "
    slowest_s = 0.004
    error = '"error": "no such topic", "topic": "{line}"}}'
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)

    def __init__(self) -> None:
        super().__init__()
        self.answers = 0

    def answer(self, line: str) -> str:
        self.answers += 1
        return f'{{"n": {self.answers}, ' + super().answer(line)

    def entered(self, line: str) -> str:
        # Without echo nothing else ends the line of the prompt.
        return self.newline + super().entered(line)
