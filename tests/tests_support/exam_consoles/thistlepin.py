"""Thistlepin: JSON in an envelope, a quantity is a number and its unit, masks, packed integers, no echo. Invented."""

from __future__ import annotations

import json
from typing import Any

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of


def _of(number: float, unit: str) -> dict[str, Any]:
    return {"v": number, "u": unit}


_DATA: dict[str, Any] = {
    "help": [
        *("air", "defaults", "energy", "help", "id", "image", "lines", "lost", "null", "persist", "purge"),
        *("reload", "self", "spool", "stats", "thrust", "tune", "view"),
    ],
    "id": {
        "firmware": {"name": "thistlepin", "version": "0.44.2", "date": "2026-05-29", "compiler": "14.2"},
        "board": {"model": "GORSE R5", "serial_number": "9e07c4d1", "revision": "C", "flash": _of(1024, "KiB")},
        "craft": {"name": "Mud Lark", "frame": "x"},
        "schema": 5,
        "runs": 77,
        "saves": 12,
    },
    "air": {
        "receiver": {
            "type": "serial",
            "protocol": "SBUS",
            "port": "F2",
            "inverted": True,
            "half_duplex": False,
            "rssi_source": "frame",
        },
        "channels": {
            "order": ["throttle", "aileron", "elevator", "rudder"],
            "low": _of(1050, "us"),
            "centre": _of(1500, "us"),
            "high": _of(1950, "us"),
            "dead": _of(3, "us"),
        },
        "sticks": {"expo": 0.2, "turn": _of(620, "deg/s"), "smooth": _of(9, "ms")},
    },
    "lines": {
        "ports": {
            "F0": {"baud": 115200, "use": 1, "parity": "none", "dropped": 0},
            "F1": {"baud": 230400, "use": 64, "parity": "none", "dropped": 0},
            "F2": {"baud": 100000, "use": 2, "parity": "even", "dropped": 6},
            "F3": {"baud": 57600, "use": 20, "parity": "none", "dropped": 0},
            "F4": {"baud": None, "use": 0, "parity": "none", "dropped": 0},
        },
        "bus": {"i2c": _of(400, "kHz"), "can": _of(500, "kbit/s")},
    },
    "view": {
        "overlay": {
            "enabled": True,
            "system": "digital",
            "grid": {"columns": 50, "rows": 18},
            "glyphs": 3,
            "items": {"battery": 4098, "timer": 4138, "warnings": 35858, "horizon": 2070},
        },
        "video": {
            "link": "digital",
            "frequency": _of(5.658, "GHz"),
            "power": _of(0.5, "W"),
            "temperature": _of(49, "C"),
            "bitrate": _of(25, "Mbit/s"),
        },
        "camera": {"tilt": _of(28, "deg"), "input": 1},
    },
    "energy": {
        "battery": {
            "cells": 6,
            "voltage": _of(23.12, "V"),
            "per_cell": {"low": _of(3250, "mV"), "warn": _of(3500, "mV"), "full": _of(4200, "mV")},
            "capacity": _of(1400, "mAh"),
            "current": _of(0.4, "A"),
        },
        "rails": {"mcu": _of(3.3, "V"), "aux": _of(5.02, "V"), "video": _of(9.1, "V")},
        "lamp": {"cells": 2, "on": False},
    },
    "thrust": {
        "motors": {
            "protocol": "DSHOT600",
            "bidirectional": True,
            "poles": 14,
            "idle": _of(6.5, "%"),
            "reversed": False,
            "kv": 1850,
            "now": [0, 0, 0, 0],
        },
        "loop": {"period": _of(125, "us"), "divider": 1},
        "curve": {"linear": 0.35, "limit": _of(100, "%")},
    },
    "lost": {
        "failsafe": {"action": "return", "delay": _of(1.5, "s"), "throttle": _of(1420, "us")},
        "low_battery": {"action": "land", "delay": _of(10, "s")},
        "fence": {"action": "hold", "radius": _of(300, "m"), "height": _of(110, "m")},
    },
    "self": {
        "sensors": {"gyro": "found", "accelerometer": "found", "barometer": "found", "compass": "missing"},
        "gyro_bias": [4, -1, 2],
        "arming": {"inhibit": 17, "tries": 0},
        "log": {"free": _of(16252928, "bytes"), "files": 4, "rate": _of(1, "kHz")},
    },
    "tune": {
        "roll": {"p": 0.38, "i": 0.74, "d": 0.027},
        "pitch": {"p": 0.4, "i": 0.78, "d": 0.03},
        "yaw": {"p": 0.35, "i": 0.7, "d": 0},
        "filters": {"gyro": _of(190, "Hz"), "d": _of(85, "Hz"), "notches": 3},
    },
    "stats": {"up": _of(264, "s"), "cpu": _of(33, "%"), "heap": _of(22, "KiB"), "faults": 0},
}

_STATED = {
    "firmware.name": said("thistlepin", "id", '"firmware":{"name":"thistlepin"'),
    "firmware.version": said("0.44.2", "id", '"version":"0.44.2"'),
    "firmware.built": said("2026-05-29", "id", '"date":"2026-05-29"'),
    "board.name": said("GORSE R5", "id", '"board":{"model":"GORSE R5"'),
    "board.serial": said("9e07c4d1", "id", '"serial_number":"9e07c4d1"'),
    "craft.name": said("Mud Lark", "id", '"craft":{"name":"Mud Lark"'),
    "receiver.kind": said("serial", "air", '"receiver":{"type":"serial"'),
    "receiver.protocol": said("sbus", "air", '"protocol":"SBUS"'),
    "receiver.port": said("F2", "air", '"port":"F2"'),
    "receiver.inverted": said(True, "air", '"inverted":true'),
    "receiver.half_duplex": said(False, "air", '"half_duplex":false'),
    "channels.order": said("TAER", "air", '"order":["throttle","aileron","elevator","rudder"]'),
    "channels.low": said(1050, "air", '"channels":{', '"low":{"v":1050,"u":"us"}'),
    "channels.centre": said(1500, "air", '"channels":{', '"centre":{"v":1500,"u":"us"}'),
    "channels.high": said(1950, "air", '"channels":{', '"high":{"v":1950,"u":"us"}'),
    "ports[0].id": said("F0", "lines", '"F0":{"baud":115200'),
    "ports[0].baud": said(115200, "lines", '"F0":{"baud":115200'),
    "ports[1].id": said("F1", "lines", '"F1":{"baud":230400'),
    "ports[1].baud": said(230400, "lines", '"F1":{"baud":230400'),
    "ports[2].id": said("F2", "lines", '"F2":{"baud":100000'),
    "ports[2].baud": said(100000, "lines", '"F2":{"baud":100000'),
    "ports[3].id": said("F3", "lines", '"F3":{"baud":57600'),
    "ports[3].baud": said(57600, "lines", '"F3":{"baud":57600'),
    "ports[4].id": said("F4", "lines", '"F4":{"baud":null'),
    "overlay.enabled": said(True, "view", '"overlay":{"enabled":true'),
    "overlay.system": said("digital", "view", '"system":"digital"'),
    "overlay.columns": said(50, "view", '"grid":{"columns":50'),
    "overlay.rows": said(18, "view", '"rows":18'),
    "video.link": said("digital", "view", '"video":{"link":"digital"'),
    "video.frequency_mhz": said(5658, "view", '"video":{', '"frequency":{"v":5.658,"u":"GHz"}'),
    "video.power_mw": said(500.0, "view", '"video":{', '"power":{"v":0.5,"u":"W"}'),
    "battery.cells": said(6, "energy", '"battery":{"cells":6'),
    "battery.volts": said(23.12, "energy", '"battery":{', '"voltage":{"v":23.12,"u":"V"}'),
    "battery.cell_low": said(3.25, "energy", '"per_cell":{', '"low":{"v":3250,"u":"mV"}'),
    "battery.cell_warn": said(3.5, "energy", '"per_cell":{', '"warn":{"v":3500,"u":"mV"}'),
    "battery.cell_full": said(4.2, "energy", '"per_cell":{', '"full":{"v":4200,"u":"mV"}'),
    "motors.protocol": said("dshot600", "thrust", '"protocol":"DSHOT600"'),
    "motors.bidirectional": said(True, "thrust", '"bidirectional":true'),
    "motors.poles": said(14, "thrust", '"poles":14'),
    "motors.idle_percent": said(6.5, "thrust", '"idle":{"v":6.5,"u":"%"}'),
    "motors.reversed": said(False, "thrust", '"reversed":false'),
    "motors.loop_hz": said(8000, "thrust", '"loop":{"period":{"v":125,"u":"us"}'),  # 1 / 125 us
    "failsafe.action": said("return", "lost", '"failsafe":{"action":"return"'),
    "failsafe.delay_s": said(1.5, "lost", '"failsafe":{', '"delay":{"v":1.5,"u":"s"}'),
    "failsafe.throttle_us": said(1420, "lost", '"failsafe":{', '"throttle":{"v":1420,"u":"us"}'),
    "sensors.gyro": said("found", "self", '"gyro":"found"'),
    "sensors.accelerometer": said("found", "self", '"accelerometer":"found"'),
    "sensors.barometer": said("found", "self", '"barometer":"found"'),
    "logger.free_bytes": said(16252928, "self", '"log":{"free":{"v":16252928,"u":"bytes"}'),
}

# What no screen explains. A use is a mask: 1 console, 2 receiver, 4 telemetry, 16 positioning, 64 overlay link. An item
# is its row times 256 and its column, and 32768 when it is not drawn. What inhibits arming is a mask: 1 no receiver
# link, 16 USB.
_CODED = {
    "ports[0].roles": said(("console",), "lines", '"F0":{"baud":115200,"use":1,'),
    "ports[1].roles": said(("overlay-link",), "lines", '"F1":{"baud":230400,"use":64,'),
    "ports[2].roles": said(("receiver",), "lines", '"F2":{"baud":100000,"use":2,'),
    "ports[3].roles": said(("telemetry", "positioning"), "lines", '"F3":{"baud":57600,"use":20,'),
    "ports[4].roles": said(("unused",), "lines", '"F4":{"baud":null,"use":0,'),
    "overlay.elements[0].name": said("battery", "view", '"battery":4098'),
    "overlay.elements[0].column": said(2, "view", '"battery":4098'),
    "overlay.elements[0].row": said(16, "view", '"battery":4098'),
    "overlay.elements[0].shown": said(True, "view", '"battery":4098'),
    "overlay.elements[1].name": said("timer", "view", '"timer":4138'),
    "overlay.elements[1].column": said(42, "view", '"timer":4138'),
    "overlay.elements[1].row": said(16, "view", '"timer":4138'),
    "overlay.elements[1].shown": said(True, "view", '"timer":4138'),
    "overlay.elements[2].name": said("warnings", "view", '"warnings":35858'),
    "overlay.elements[2].column": said(18, "view", '"warnings":35858'),
    "overlay.elements[2].row": said(12, "view", '"warnings":35858'),
    "overlay.elements[2].shown": said(False, "view", '"warnings":35858'),
    "overlay.elements[3].name": said("horizon", "view", '"horizon":2070'),
    "overlay.elements[3].column": said(22, "view", '"horizon":2070'),
    "overlay.elements[3].row": said(8, "view", '"horizon":2070'),
    "overlay.elements[3].shown": said(True, "view", '"horizon":2070'),
    "arming.blocks": said(("no-receiver-link", "usb-connected"), "self", '"arming":{"inhibit":17'),
}


def _envelope(word: str, data: Any) -> str:
    return json.dumps({"re": word, "ok": True, "data": data}, separators=(",", ":"))


_HARMS = {
    "defaults": Harm(_envelope("defaults", None), "id", '"name":"Mud Lark"', '"name":""'),
    "image": Harm(_envelope("image", "send")),
    "null": Harm(_envelope("null", "done"), "self", '"gyro_bias":[4,-1,2]', '"gyro_bias":[0,0,0]'),
    "persist": Harm(_envelope("persist", 13), "id", '"saves":12', '"saves":13'),
    "purge": Harm(_envelope("purge", None), "self", '"files":4', '"files":0'),
    "reload": Harm(_envelope("reload", None), "id", '"runs":77', '"runs":78'),
    "spool": Harm(_envelope("spool", 60), "thrust", '"now":[0,0,0,0]', '"now":[60,60,60,60]'),
}

_PAGES = {word: _envelope(word, data) + "\n" for word, data in _DATA.items()}


class Thistlepin(StatingConsole):
    """No echo; every answer is one JSON object with the data within; help is a bare list of words."""

    name = "thistlepin"
    kinds = ("nested JSON with units", "masks and packed integers", "words without a description", "no echo")
    banner = "thistlepin 0.44.2\n"
    echo = False
    ends = b"\r"
    newline = "\n"
    prompt = "tp$ "
    error = '{{"re":"{line}","ok":false,"why":"no such request"}}'
    pages = _PAGES
    stated = _STATED
    coded = _CODED
    harms = _HARMS
    truth = truth_of(_STATED, _CODED)
    harmful = frozenset(_HARMS)

    def entered(self, line: str) -> str:
        # Without echo nothing else ends the line of the prompt.
        return self.newline + super().entered(line)
