"""Ambrell: a verb and an object; an answer is a line of fields, a name and its value, between commas. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_HELP = """\
get <board|radio|channels|switches|ports|failsafe>    print an object
get <osd|elements|video|battery|motors>
get <sensors|arming|log|pids|filters|system>
set <object> <field> <value>                          change a field
do <store|factory|restart|upgrade>                    settings and firmware
do <spin|level|wipe>                                  motors, calibration, log
help                                                  this text
"""

_PAGES = {
    "help": _HELP,
    "get board": """\
board: model HEATHER-G4, revision 2, serial 22B0-7F14, craft "Blue Finch"
firmware: name ambrell, version 0.18.6, built 2026-05-02, loader 1.0
""",
    "get radio": """\
radio: kind serial, protocol ibus, port uart3, inverted off, half-duplex on, telemetry on, interval 120 ms
link: rssi 0 %, frames 142 Hz, lost 7
""",
    "get channels": """\
channels: order ETAR, low 1000 us, centre 1498 us, high 2000 us, deadband 3 us
live: 1498 1502 1000 1497 1000 1500 1000 2000 us
""",
    "get switches": """\
switch arm: channel 5, from 1650 us, to 2100 us
switch level: channel 6, from 900 us, to 1250 us
switch turtle: channel 7, from 1750 us, to 2100 us
""",
    "get ports": """\
port uart1: role console, baud 115200, errors 0
port uart2: role osd, baud 230400, errors 0
port uart3: role receiver, baud 115200, errors 7
port uart4: role esc-telemetry, baud 115200, errors 0
port uart6: role unused
""",
    "get failsafe": """\
failsafe: action hold, delay 800 ms, throttle 1350 us, events 2
""",
    "get osd": """\
osd: enabled on, system digital, columns 53, rows 20, refresh 20 Hz, font 1
""",
    "get elements": """\
element battery: column 3, row 18, visible on
element timer: column 44, row 18, visible on
element link-quality: column 3, row 1, visible on
element speed: column 44, row 9, visible off
element warnings: column 20, row 12, visible on
""",
    "get video": """\
video: link digital, frequency 5805 MHz, power 500 mW, limit 700 mW, bitrate 25 Mbit/s, temperature 58 C
""",
    "get battery": """\
battery: cells 6, voltage 24.12 V, divider 15.0, capacity 1400 mAh
cell: min 3.2 V, warn 3.5 V, full 4.35 V
supply: voltage 9.98 V, current 0.61 A, scale 27.5 mV/A
""",
    "get motors": """\
motors: protocol dshot600, bidirectional on, poles 14, idle 4.5 %, reversed off, count 4, output 0 %
loop: rate 4000 Hz, gyro-rate 8000 Hz, jitter 3 us
""",
    "get sensors": """\
sensors: gyro found, accelerometer found, barometer missing, compass missing
attitude: roll 1.8 deg, pitch -0.4 deg, heading 0 deg
""",
    "get arming": """\
arming: allowed no, blocked-by usb-connected+throttle-not-low+not-level, tilt-limit 25 deg
""",
    "get log": """\
log: device flash, free 6291456 bytes, flights 11, rate 500 Hz
""",
    "get pids": """\
roll: p 0.42, i 0.80, d 0.031
pitch: p 0.45, i 0.84, d 0.034
yaw: p 0.38, i 0.80, d 0
""",
    "get filters": """\
gyro: lowpass 230 Hz, notches 3, q 3.0
dterm: lowpass 105 Hz
""",
    "get system": """\
system: load 23 %, temperature 45 C, uptime 133 s, stores 9, starts 77
led: colour green, count 8
""",
}

_VERSION = "firmware: name ambrell, version 0.18.6, built 2026-05-02"
_BOARD = 'board: model HEATHER-G4, revision 2, serial 22B0-7F14, craft "Blue Finch"'
_RADIO = "radio: kind serial, protocol ibus, port uart3, inverted off, half-duplex on, telemetry on"
_CHANNELS = "channels: order ETAR, low 1000 us, centre 1498 us, high 2000 us"
_OSD = "osd: enabled on, system digital, columns 53, rows 20"
_VIDEO = "video: link digital, frequency 5805 MHz, power 500 mW"
_CELL = "cell: min 3.2 V, warn 3.5 V, full 4.35 V"
_MOTORS = "motors: protocol dshot600, bidirectional on, poles 14, idle 4.5 %, reversed off"
_FAILSAFE = "failsafe: action hold, delay 800 ms, throttle 1350 us"
_SENSORS = "sensors: gyro found, accelerometer found, barometer missing"


def _element(name: str, column: int, row: int, shown: bool) -> tuple[str, int, int, bool, tuple[str]]:
    visible = "on" if shown else "off"
    return name, column, row, shown, (f"element {name}: column {column}, row {row}, visible {visible}",)


def _switch(name: str, channel: int, low: int, high: int) -> tuple[str, int, int, int, tuple[str]]:
    return name, channel, low, high, (f"switch {name}: channel {channel}, from {low} us, to {high} us",)


def _port(name: str, role: str, says: str, baud: int | None) -> tuple[str, tuple[str], int | None, tuple[str]]:
    text = f"port {name}: role {says}" + (f", baud {baud}," if baud else "")
    return name, (role,), baud, (text,)


_STATED = {
    "firmware.name": said("ambrell", "get board", _VERSION),
    "firmware.version": said("0.18.6", "get board", _VERSION),
    "firmware.built": said("2026-05-02", "get board", _VERSION),
    "board.name": said("HEATHER-G4", "get board", _BOARD),
    "board.serial": said("22B0-7F14", "get board", _BOARD),
    "craft.name": said("Blue Finch", "get board", _BOARD),
    "receiver.kind": said("serial", "get radio", _RADIO),
    "receiver.protocol": said("ibus", "get radio", _RADIO),
    "receiver.port": said("uart3", "get radio", _RADIO),
    "receiver.inverted": said(False, "get radio", _RADIO),
    "receiver.half_duplex": said(True, "get radio", _RADIO),
    "receiver.telemetry": said(True, "get radio", _RADIO),
    "channels.order": said("ETAR", "get channels", _CHANNELS),
    "channels.low": said(1000, "get channels", _CHANNELS),
    "channels.centre": said(1498, "get channels", _CHANNELS),
    "channels.high": said(2000, "get channels", _CHANNELS),
    "channels.live": said(
        (1498, 1502, 1000, 1497, 1000, 1500, 1000, 2000),
        "get channels",
        "live: 1498 1502 1000 1497 1000 1500 1000 2000",
    ),
    **switches_said(
        "get switches",
        [_switch("arm", 5, 1650, 2100), _switch("level", 6, 900, 1250), _switch("turtle", 7, 1750, 2100)],
    ),
    **ports_said(
        "get ports",
        [
            _port("uart1", "console", "console", 115200),
            _port("uart2", "overlay-link", "osd", 230400),
            _port("uart3", "receiver", "receiver", 115200),
            _port("uart4", "esc-telemetry", "esc-telemetry", 115200),
            _port("uart6", "unused", "unused", None),
        ],
    ),
    "overlay.enabled": said(True, "get osd", _OSD),
    "overlay.system": said("digital", "get osd", _OSD),
    "overlay.columns": said(53, "get osd", _OSD),
    "overlay.rows": said(20, "get osd", _OSD),
    **elements_said(
        "get elements",
        [
            _element("battery", 3, 18, True),
            _element("timer", 44, 18, True),
            _element("link-quality", 3, 1, True),
            _element("speed", 44, 9, False),
            _element("warnings", 20, 12, True),
        ],
    ),
    "video.link": said("digital", "get video", _VIDEO),
    "video.frequency_mhz": said(5805, "get video", _VIDEO),
    "video.power_mw": said(500.0, "get video", _VIDEO),
    "battery.cells": said(6, "get battery", "battery: cells 6, voltage 24.12 V, divider 15.0"),
    "battery.volts": said(24.12, "get battery", "battery: cells 6, voltage 24.12 V, divider 15.0"),
    "battery.scale": said(15.0, "get battery", "battery: cells 6, voltage 24.12 V, divider 15.0"),
    "battery.cell_low": said(3.2, "get battery", _CELL),
    "battery.cell_warn": said(3.5, "get battery", _CELL),
    "battery.cell_full": said(4.35, "get battery", _CELL),
    "motors.protocol": said("dshot600", "get motors", _MOTORS),
    "motors.bidirectional": said(True, "get motors", _MOTORS),
    "motors.poles": said(14, "get motors", _MOTORS),
    "motors.idle_percent": said(4.5, "get motors", _MOTORS),
    "motors.reversed": said(False, "get motors", _MOTORS),
    "motors.loop_hz": said(4000, "get motors", "loop: rate 4000 Hz"),
    "failsafe.action": said("hold", "get failsafe", _FAILSAFE),
    "failsafe.delay_s": said(0.8, "get failsafe", _FAILSAFE),
    "failsafe.throttle_us": said(1350, "get failsafe", _FAILSAFE),
    "sensors.gyro": said("found", "get sensors", _SENSORS),
    "sensors.accelerometer": said("found", "get sensors", _SENSORS),
    "sensors.barometer": said("missing", "get sensors", _SENSORS),
    "arming.blocks": said(
        ("usb-connected", "throttle-not-low", "not-level"),
        "get arming",
        "blocked-by usb-connected+throttle-not-low+not-level",
    ),
    "logger.device": said("flash", "get log", "log: device flash, free 6291456 bytes"),
    "logger.free_bytes": said(6291456, "get log", "log: device flash, free 6291456 bytes"),
}

_HARMS = {
    "set": Harm("ok: motors idle 6", "get motors", "idle 4.5 %", "idle 6.0 %", "set motors idle 6"),
    "do store": Harm("ok: stored", "get system", "stores 9,", "stores 10,"),
    "do factory": Harm("ok: factory settings", "get board", 'craft "Blue Finch"', 'craft ""'),
    "do restart": Harm("ok: restarting", "get system", "starts 77", "starts 78"),
    "do upgrade": Harm("ok: send the image"),
    "do spin": Harm("ok: motor 3 at 7 %", "get motors", "output 0 %", "output 7 %", "do spin 3 7"),
    "do level": Harm("ok: level", "get sensors", "roll 1.8 deg, pitch -0.4 deg", "roll 0.0 deg, pitch 0.0 deg"),
    "do wipe": Harm("ok: wiped", "get log", "flights 11,", "flights 0,"),
}


class Ambrell(StatingConsole):
    """The help names the objects between bars behind the verb that takes them."""

    name = "ambrell"
    kinds = ("verb and object", "objects between bars in the help", "one-line lists of fields", "no echo")
    prompt = "> "
    echo = False
    error = "error: {line}: try help"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
