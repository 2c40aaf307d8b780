"""Sorrel: every answer is one line of JSON, and characters that are typed fast are lost. Invented."""

from __future__ import annotations

import json
from typing import Any

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_VERBS = {
    "help": "this list",
    "sys": "what this is",
    "rx": "radio input",
    "io": "serial lines",
    "osd": "picture and overlay",
    "pwr": "battery",
    "mot": "motor outputs",
    "fs": "loss of signal",
    "sens": "sensors and arming",
    "ctl": "loop gains and filters",
    "bind": "meet a new transmitter",
    "commit": "make it last",
    "flush": "tidy up the log memory",
    "fwup": "prepare for an upload",
    "hop": "once more from the top",
    "pulse": "wiggle the outputs",
}

_OBJECTS: dict[str, dict[str, Any]] = {
    "help": {"verbs": _VERBS},
    "sys": {
        "firmware": "sorrel",
        "version": "2.14.0",
        "built": "2026-01-21",
        "board": "DUNLIN G4",
        "serial": "DG4-5501",
        "craft": "Slow Otter",
        "reply_version": 3,
        "boots": 17,
        "saves": 5,
        "uptime_s": 512,
        "cpu_pct": 21,
    },
    "rx": {
        "receiver": {
            "kind": "serial",
            "protocol": "ibus",
            "uart": "tty3",
            "inverted": False,
            "half_duplex": True,
            "telemetry": True,
            "frame_rate": 143,
            "bound": 1,
        },
        "channels": {
            "order": "EATR",
            "min_us": 1000,
            "mid_us": 1500,
            "max_us": 2000,
            "deadband_us": 5,
            "now_us": [1501, 1498, 1000, 1500, 1000, 1000, 2000, 1500],
        },
        "rates": {"roll": 670, "pitch": 670, "yaw": 540, "expo": 0.15},
    },
    "io": {
        "uarts": [
            {"id": "tty1", "use": ["console"], "baud": 115200, "errors": 0},
            {"id": "tty2", "use": ["osd link"], "baud": 230400, "errors": 0},
            {"id": "tty3", "use": ["receiver", "telemetry"], "baud": 115200, "errors": 4},
            {"id": "tty4", "use": ["unused"], "baud": None, "errors": 0},
        ]
    },
    "osd": {
        "osd": {"enabled": True, "system": "digital", "columns": 60, "rows": 22, "font": 2},
        "video": {"link": "digital", "freq_mhz": 5769, "power_mw": 200, "temp_c": 47},
    },
    "pwr": {
        "cells": 6,
        "pack_v": 23.94,
        "cell_min_v": 3.2,
        "cell_warn_v": 3.45,
        "cell_full_v": 4.35,
        "divider": 21.0,
        "current_a": 0.31,
        "used_mah": 0,
        "shunt_uohm": 250,
    },
    "mot": {
        "protocol": "dshot1200",
        "bidirectional": True,
        "poles": 14,
        "idle_pct": 5.5,
        "reversed": True,
        "loop_khz": 8,
        "now_pct": [0, 0, 0, 0],
        "kv": 1750,
    },
    "fs": {"failsafe": {"action": "hold", "delay_s": 2.5, "throttle_us": 1300}, "fence_m": 0},
    "sens": {
        "sensors": {"gyro": "found", "accelerometer": "found", "barometer": "missing", "compass": "missing"},
        "imu_temp_c": 41.5,
        "arming": {"blocked_by": ["usb connected", "no receiver link"]},
        "log": {"free_bytes": 8126464, "rate_hz": 1000},
    },
    "ctl": {
        "roll": {"p": 0.41, "i": 0.8, "d": 0.03},
        "pitch": {"p": 0.44, "i": 0.85, "d": 0.034},
        "yaw": {"p": 0.38, "i": 0.8, "d": 0},
        "filters": {"gyro_hz": 200, "d_hz": 90, "notch_q": 3.5},
        "leds": {"count": 8, "colour": "#2040ff"},
    },
}

_STATED = {
    "firmware.name": said("sorrel", "sys", '"firmware":"sorrel"'),
    "firmware.version": said("2.14.0", "sys", '"version":"2.14.0"'),
    "firmware.built": said("2026-01-21", "sys", '"built":"2026-01-21"'),
    "board.name": said("DUNLIN G4", "sys", '"board":"DUNLIN G4"'),
    "board.serial": said("DG4-5501", "sys", '"serial":"DG4-5501"'),
    "craft.name": said("Slow Otter", "sys", '"craft":"Slow Otter"'),
    "receiver.kind": said("serial", "rx", '"receiver":{"kind":"serial"'),
    "receiver.protocol": said("ibus", "rx", '"protocol":"ibus"'),
    "receiver.port": said("tty3", "rx", '"uart":"tty3"'),
    "receiver.inverted": said(False, "rx", '"inverted":false'),
    "receiver.half_duplex": said(True, "rx", '"half_duplex":true'),
    "receiver.telemetry": said(True, "rx", '"telemetry":true'),
    "channels.order": said("EATR", "rx", '"channels":{"order":"EATR"'),
    "channels.low": said(1000, "rx", '"min_us":1000'),
    "channels.centre": said(1500, "rx", '"mid_us":1500'),
    "channels.high": said(2000, "rx", '"max_us":2000'),
    "channels.live": said(
        (1501, 1498, 1000, 1500, 1000, 1000, 2000, 1500), "rx", '"now_us":[1501,1498,1000,1500,1000,1000,2000,1500]'
    ),
    "ports[0].id": said("tty1", "io", '{"id":"tty1","use":["console"],"baud":115200'),
    "ports[0].roles": said(("console",), "io", '{"id":"tty1","use":["console"],"baud":115200'),
    "ports[0].baud": said(115200, "io", '{"id":"tty1","use":["console"],"baud":115200'),
    "ports[1].id": said("tty2", "io", '{"id":"tty2","use":["osd link"],"baud":230400'),
    "ports[1].roles": said(("overlay-link",), "io", '{"id":"tty2","use":["osd link"],"baud":230400'),
    "ports[1].baud": said(230400, "io", '{"id":"tty2","use":["osd link"],"baud":230400'),
    "ports[2].id": said("tty3", "io", '{"id":"tty3","use":["receiver","telemetry"],"baud":115200'),
    "ports[2].roles": said(
        ("receiver", "telemetry"), "io", '{"id":"tty3","use":["receiver","telemetry"],"baud":115200'
    ),
    "ports[2].baud": said(115200, "io", '{"id":"tty3","use":["receiver","telemetry"],"baud":115200'),
    "ports[3].id": said("tty4", "io", '{"id":"tty4","use":["unused"],"baud":null'),
    "ports[3].roles": said(("unused",), "io", '{"id":"tty4","use":["unused"],"baud":null'),
    "overlay.enabled": said(True, "osd", '"osd":{"enabled":true'),
    "overlay.system": said("digital", "osd", '"system":"digital"'),
    "overlay.columns": said(60, "osd", '"columns":60'),
    "overlay.rows": said(22, "osd", '"rows":22'),
    "video.link": said("digital", "osd", '"video":{"link":"digital"'),
    "video.frequency_mhz": said(5769, "osd", '"freq_mhz":5769'),
    "video.power_mw": said(200.0, "osd", '"power_mw":200'),
    "battery.cells": said(6, "pwr", '"cells":6'),
    "battery.volts": said(23.94, "pwr", '"pack_v":23.94'),
    "battery.cell_low": said(3.2, "pwr", '"cell_min_v":3.2'),
    "battery.cell_warn": said(3.45, "pwr", '"cell_warn_v":3.45'),
    "battery.cell_full": said(4.35, "pwr", '"cell_full_v":4.35'),
    "battery.scale": said(21.0, "pwr", '"divider":21.0'),
    "motors.protocol": said("dshot1200", "mot", '"protocol":"dshot1200"'),
    "motors.bidirectional": said(True, "mot", '"bidirectional":true'),
    "motors.poles": said(14, "mot", '"poles":14'),
    "motors.idle_percent": said(5.5, "mot", '"idle_pct":5.5'),
    "motors.reversed": said(True, "mot", '"reversed":true'),
    "motors.loop_hz": said(8000, "mot", '"loop_khz":8'),
    "failsafe.action": said("hold", "fs", '"failsafe":{"action":"hold"'),
    "failsafe.delay_s": said(2.5, "fs", '"delay_s":2.5'),
    "failsafe.throttle_us": said(1300, "fs", '"throttle_us":1300'),
    "sensors.gyro": said("found", "sens", '"gyro":"found"'),
    "sensors.accelerometer": said("found", "sens", '"accelerometer":"found"'),
    "sensors.barometer": said("missing", "sens", '"barometer":"missing"'),
    "arming.blocks": said(
        ("usb-connected", "no-receiver-link"), "sens", '"arming":{"blocked_by":["usb connected","no receiver link"]}'
    ),
    "logger.free_bytes": said(8126464, "sens", '"log":{"free_bytes":8126464'),
}

_HARMS = {
    "bind": Harm('{"ok":"listening for a transmitter"}', "rx", '"bound":1', '"bound":0'),
    "commit": Harm('{"ok":"saved"}', "sys", '"saves":5', '"saves":6'),
    "flush": Harm('{"ok":"log is empty"}', "sens", '"free_bytes":8126464', '"free_bytes":16777216'),
    "fwup": Harm('{"ok":"waiting for an image"}'),
    "hop": Harm('{"ok":"restarting"}', "sys", '"boots":17', '"boots":18'),
    "pulse": Harm('{"ok":"outputs on"}', "mot", '"now_pct":[0,0,0,0]', '"now_pct":[5,5,5,5]'),
}

_PAGES = {word: json.dumps(what, separators=(",", ":")) + "\n" for word, what in _OBJECTS.items()}


class Sorrel(StatingConsole):
    """One line of JSON for each word; characters that come within 4 ms of the one before are lost."""

    name = "sorrel"
    kinds = ("JSON reply", "loses characters that are typed fast")
    banner = '{"hello":"sorrel","try":"help"}\n'
    slowest_s = 0.004
    error = '{{"error":"no such verb","got":"{line}"}}'
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
