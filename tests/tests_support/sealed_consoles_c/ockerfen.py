"""Ockerfen: JSON lines, a record a line with its type first, snake case keys that end in the unit. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.parting_consoles_a.marks import read_marks

_SHOWN = """\
--- help
{"command": "help", "description": "list the commands"}
{"command": "info", "description": "print firmware, board and craft"}
{"command": "settings", "description": "print all settings"}
{"command": "status", "description": "print sensors, battery, arming and log"}
{"command": "save", "description": "write the settings to flash"}
{"command": "restart", "description": "reboot the board"}
{"command": "defaults", "description": "reset all settings to defaults"}
{"command": "bootloader", "description": "enter the bootloader"}
{"command": "motor_test", "description": "spin a motor"}
{"command": "calibrate", "description": "calibrate the accelerometer"}
{"command": "log_erase", "description": "erase the flight log"}
--- info
{"type": "firmware", "name": "Ockerfen", "version": "0.31.2", "build_date": "2026-02-08"} @@ \
firmware.name='Ockerfen'; firmware.version='0.31.2'; firmware.built='2026-02-08'
{"type": "bootloader", "version": "1.5", "size_bytes": 32768}
{"type": "board", "name": "SORREL G4", "serial_number": "SG4-1180-7", "revision": 2} @@ \
board.name='SORREL G4'; board.serial='SG4-1180-7'
{"type": "craft", "name": "Pale Otter", "weight_g": 388} @@ craft.name='Pale Otter'
{"type": "counters", "saves": 26, "restarts": 233}
--- settings
{"type": "receiver", "kind": "serial", "protocol": "sbus", "port": "uart2"} @@ \
receiver.kind='serial'; receiver.protocol='sbus'; receiver.port='uart2'
{"type": "receiver", "inverted": true, "half_duplex": false, "telemetry": false} @@ \
receiver.inverted=True; receiver.half_duplex=False; receiver.telemetry=False
{"type": "receiver_filter", "smoothing_hz": 36, "deadband_us": 5}
{"type": "channels", "order": "TAER", "min_us": 1009, "center_us": 1505, "max_us": 1992} @@ \
channels.order='TAER'; channels.low=1009; channels.centre=1505; channels.high=1992
{"type": "servo", "center_us": 1520, "rate_hz": 50}
{"type": "switch", "function": "arm", "channel": 6, "from_us": 1710, "to_us": 2080} @@ switch 0 ('arm', 6, 1710, 2080)
{"type": "switch", "function": "level", "channel": 5, "from_us": 920, "to_us": 1290} @@ switch 1 ('level', 5, 920, 1290)
{"type": "switch", "function": "beeper", "channel": 7, "from_us": 1650, "to_us": 2045} @@ \
switch 2 ('beeper', 7, 1650, 2045)
{"type": "port", "name": "uart1", "function": "console", "baud": 115200} @@ port 0 ('uart1', ('console',), 115200)
{"type": "port", "name": "uart2", "function": "receiver", "baud": 100000} @@ port 1 ('uart2', ('receiver',), 100000)
{"type": "port", "name": "uart3", "function": "osd", "baud": 230400} @@ port 2 ('uart3', ('overlay-link',), 230400)
{"type": "port", "name": "uart4", "function": "telemetry", "baud": 57600} @@ port 3 ('uart4', ('telemetry',), 57600)
{"type": "port", "name": "uart5", "function": "unused"} @@ port 4 ('uart5', ('unused',))
{"type": "bus", "name": "i2c1", "clock_khz": 400}
{"type": "bus", "name": "spi1", "clock_khz": 10500}
{"type": "osd", "enabled": true, "system": "digital", "columns": 53, "rows": 20} @@ \
overlay.enabled=True; overlay.system='digital'; overlay.columns=53; overlay.rows=20
{"type": "osd_element", "name": "battery", "column": 4, "row": 18, "visible": true} @@ \
element 0 ('battery', 4, 18, True)
{"type": "osd_element", "name": "link_quality", "column": 3, "row": 2, "visible": true} @@ \
element 1 ('link-quality', 3, 2, True)
{"type": "osd_element", "name": "timer", "column": 44, "row": 17, "visible": true} @@ element 2 ('timer', 44, 17, True)
{"type": "osd_element", "name": "horizon", "column": 22, "row": 9, "visible": false} @@ \
element 3 ('horizon', 22, 9, False)
{"type": "osd_font", "number": 2, "brightness": 5}
{"type": "vtx", "link": "digital", "frequency_mhz": 5843, "power_mw": 200} @@ \
video.link='digital'; video.frequency_mhz=5843; video.power_mw=200.0
{"type": "vtx_limits", "max_power_mw": 700, "max_temperature_c": 85}
{"type": "battery", "cells": 6, "voltage_divider": 20.9} @@ battery.cells=6; battery.scale=20.9
{"type": "battery", "cell_min_mv": 3310, "cell_warning_mv": 3560, "cell_full_mv": 4190} @@ \
battery.cell_low=3.31; battery.cell_warn=3.56; battery.cell_full=4.19
{"type": "battery_meter", "capacity_mah": 1100, "current_scale": 31}
{"type": "motors", "protocol": "dshot600", "bidirectional": true, "poles": 14} @@ \
motors.protocol='dshot600'; motors.bidirectional=True; motors.poles=14
{"type": "motors", "idle_percent": 6.5, "reversed": false} @@ motors.idle_percent=6.5; motors.reversed=False
{"type": "motor_limits", "kv": 1750, "max_percent": 95}
{"type": "control_loop", "rate_hz": 8000} @@ motors.loop_hz=8000
{"type": "gyro_sampling", "rate_hz": 32000}
{"type": "failsafe", "action": "hold", "delay_ms": 600, "throttle_us": 1330} @@ \
failsafe.action='hold'; failsafe.delay_s=0.6; failsafe.throttle_us=1330
{"type": "failsafe_recovery", "delay_ms": 1200}
{"type": "pid", "axis": "roll", "p": 44, "i": 77, "d": 30}
{"type": "pid", "axis": "pitch", "p": 47, "i": 81, "d": 33}
{"type": "pid", "axis": "yaw", "p": 38, "i": 74, "d": 0}
{"type": "filter", "name": "gyro_lowpass", "cutoff_hz": 240}
{"type": "filter", "name": "dterm_lowpass", "cutoff_hz": 110}
--- status
{"type": "sensor", "name": "gyro", "state": "found"} @@ sensors.gyro='found'
{"type": "sensor", "name": "accelerometer", "state": "found"} @@ sensors.accelerometer='found'
{"type": "sensor", "name": "barometer", "state": "found"} @@ sensors.barometer='found'
{"type": "sensor", "name": "compass", "state": "missing"}
{"type": "attitude", "roll_deg": 0.7, "pitch_deg": -1.9}
{"type": "battery", "voltage_v": 22.92, "current_a": 0.52} @@ battery.volts=22.92
{"type": "regulator", "voltage_v": 9.94}
{"type": "arming", "blocked_by": ["no_receiver_link", "not_level"]} @@ arming.blocks=('no-receiver-link', 'not-level')
{"type": "log", "device": "card", "free_bytes": 3942645760} @@ logger.device='card'; logger.free_bytes=3942645760
{"type": "log_files", "count": 17, "rate_hz": 2000}
{"type": "motor_output", "percent": 0}
{"type": "processor", "load_percent": 38, "temperature_c": 47}
{"type": "uptime", "seconds": 211}
"""

_PAGES, _STATED = read_marks(_SHOWN)

_HARMS = {
    "save": Harm('{"type": "done", "text": "saved"}', "info", '"saves": 26', '"saves": 27'),
    "restart": Harm('{"type": "done", "text": "restarting"}', "info", '"restarts": 233', '"restarts": 234'),
    "defaults": Harm('{"type": "done", "text": "defaults restored"}', "info", '"Pale Otter"', '""'),
    "bootloader": Harm('{"type": "done", "text": "bootloader 1.5"}'),
    "motor_test": Harm(
        '{"type": "done", "text": "motor is turning"}',
        "status",
        '"motor_output", "percent": 0',
        '"motor_output", "percent": 7',
        sample="motor_test 1",
    ),
    "calibrate": Harm('{"type": "done", "text": "calibrated"}', "status", '"pitch_deg": -1.9', '"pitch_deg": 0.0'),
    "log_erase": Harm('{"type": "done", "text": "log erased"}', "status", '"count": 17', '"count": 0'),
}


class Ockerfen(StatingConsole):
    """Every line that it prints is a JSON object."""

    name = "ockerfen"
    kinds = ("JSON lines, a typed record a line", "snake case keys with the unit", "no echo")
    banner = '{"type": "ready", "firmware": "Ockerfen 0.31.2"}\n'
    newline = "\n"
    echo = False
    prompt = "> "
    error = '{{"type": "error", "text": "unknown command {line}, see help"}}'
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
