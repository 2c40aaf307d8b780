"""Skelding: subject words that lead lines of several key=value pairs, rows as such lines, no echo. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_WORDS = """\
?          list these words
version    show firmware, board and craft
settings   show all settings
readings   show what is measured now
save       keep the settings
restart    restart the processor
factory    return to factory settings
upload     wait for new firmware
motortest  turn the motors
calibrate  zero the accelerometer
eraselog   erase the flight log
"""

_VERSION = """\
firmware name=Skelding version=0.31.2 built=2026-04-02 compiler=13.2
board model="PLANTAIN H7" serial=PH7-0091 revision=B loader=2.0
craft name="Brisk Heron" weight_g=655
counters saves=19 boots=207 crashes=0
"""

_SETTINGS = """\
receiver type=serial protocol=sbus port=uart2 inverted=yes half_duplex=no telemetry=no
receiver smoothing_hz=28 frame_ms=9 quality_channel=12
channels order=AETR low_us=1002 centre_us=1501 high_us=1998 deadband_us=5
servo centre_us=1515 rate_hz=50
switch function=arm channel=6 from_us=1710 to_us=2060
switch function=level channel=7 from_us=940 to_us=1290
switch function=turtle channel=8 from_us=1730 to_us=2070
failsafe action=drop delay_ms=400 throttle_us=1000 recovery_ms=1500
port name=uart1 function=console baud=115200 parity=none
port name=uart2 function=receiver baud=100000 parity=even
port name=uart3 function=gps baud=38400 parity=none
port name=uart4 function=video_control baud=9600 parity=none
port name=uart6 function=unused
osd enabled=yes system=pal columns=30 rows=16 refresh_hz=25 font=1
element name=battery column=2 row=14 visible=yes
element name=timer column=22 row=14 visible=yes
element name=link_quality column=2 row=1 visible=no
element name=altitude column=23 row=7 visible=yes
video link=analog band=F channel=6 frequency_mhz=5840 power_mw=25 max_power_mw=600 pit_mode=no
battery cells=3 voltage_divider=11.1 capacity_mah=900 current_scale=250
cell low_mv=3310 warning_mv=3530 full_mv=4190
motors protocol=dshot300 bidirectional=no poles=12 idle_percent=6.2 reversed=yes kv=2750
loop rate_hz=3200 load_limit_percent=80
gyro rate_hz=6400 lowpass_hz=190 notch_hz=260
gains axis=roll p=40 i=69 d=25
gains axis=pitch p=42 i=72 d=27
gains axis=yaw p=36 i=68 d=0
log device=card rate_hz=800
leds count=8 colour=amber brightness=40
"""

_READINGS = """\
battery voltage=11.87 current=0.33 used_mah=14
supply voltage=4.97
sensors gyro=found accelerometer=found barometer=found compass=missing
tilt roll_deg=0.7 pitch_deg=-0.2
arming blocked_by=usb_connected,throttle_not_low
log free_bytes=15931539456 flights=21
motors output_percent=0
processor load_percent=29 temperature_c=44 uptime_s=518
"""

_SET, _NOW, _VER = "settings", "readings", "version"
_STATED = {
    "firmware.name": said("Skelding", _VER, "firmware", "name=Skelding"),
    "firmware.version": said("0.31.2", _VER, "firmware", "version=0.31.2"),
    "firmware.built": said("2026-04-02", _VER, "firmware", "built=2026-04-02"),
    "board.name": said("PLANTAIN H7", _VER, "board", 'model="PLANTAIN H7"'),
    "board.serial": said("PH7-0091", _VER, "board", "serial=PH7-0091"),
    "craft.name": said("Brisk Heron", _VER, "craft", 'name="Brisk Heron"'),
    "receiver.kind": said("serial", _SET, "receiver", "type=serial"),
    "receiver.protocol": said("sbus", _SET, "receiver", "protocol=sbus"),
    "receiver.port": said("uart2", _SET, "receiver", "port=uart2"),
    "receiver.inverted": said(True, _SET, "receiver", "inverted=yes"),
    "receiver.half_duplex": said(False, _SET, "receiver", "half_duplex=no"),
    "receiver.telemetry": said(False, _SET, "receiver", "telemetry=no"),
    "channels.order": said("AETR", _SET, "channels", "order=AETR"),
    "channels.low": said(1002, _SET, "channels", "low_us=1002"),
    "channels.centre": said(1501, _SET, "channels", "centre_us=1501"),
    "channels.high": said(1998, _SET, "channels", "high_us=1998"),
    **switches_said(
        _SET,
        [
            ("arm", 6, 1710, 2060, ("switch function=arm channel=6 from_us=1710 to_us=2060",)),
            ("level", 7, 940, 1290, ("switch function=level channel=7 from_us=940 to_us=1290",)),
            ("turtle", 8, 1730, 2070, ("switch function=turtle channel=8 from_us=1730 to_us=2070",)),
        ],
    ),
    "failsafe.action": said("drop", _SET, "failsafe", "action=drop"),
    "failsafe.delay_s": said(0.4, _SET, "failsafe", "delay_ms=400"),
    "failsafe.throttle_us": said(1000, _SET, "failsafe", "throttle_us=1000"),
    **ports_said(
        _SET,
        [
            ("uart1", ("console",), 115200, ("port name=uart1 function=console baud=115200",)),
            ("uart2", ("receiver",), 100000, ("port name=uart2 function=receiver baud=100000",)),
            ("uart3", ("positioning",), 38400, ("port name=uart3 function=gps baud=38400",)),
            ("uart4", ("video-control",), 9600, ("port name=uart4 function=video_control baud=9600",)),
            ("uart6", ("unused",), None, ("port name=uart6 function=unused",)),
        ],
    ),
    "overlay.enabled": said(True, _SET, "osd", "enabled=yes"),
    "overlay.system": said("pal", _SET, "osd", "system=pal"),
    "overlay.columns": said(30, _SET, "osd", "columns=30"),
    "overlay.rows": said(16, _SET, "osd", "rows=16"),
    **elements_said(
        _SET,
        [
            ("battery", 2, 14, True, ("element name=battery column=2 row=14 visible=yes",)),
            ("timer", 22, 14, True, ("element name=timer column=22 row=14 visible=yes",)),
            ("link-quality", 2, 1, False, ("element name=link_quality column=2 row=1 visible=no",)),
            ("altitude", 23, 7, True, ("element name=altitude column=23 row=7 visible=yes",)),
        ],
    ),
    "video.link": said("analog", _SET, "\nvideo ", "link=analog"),
    "video.band": said("F", _SET, "\nvideo ", "band=F"),
    "video.channel": said(6, _SET, "\nvideo ", "link=analog band=F channel=6"),
    "video.frequency_mhz": said(5840, _SET, "\nvideo ", "frequency_mhz=5840"),
    "video.power_mw": said(25.0, _SET, "\nvideo ", "power_mw=25"),
    "battery.cells": said(3, _SET, "\nbattery ", "cells=3"),
    "battery.scale": said(11.1, _SET, "\nbattery ", "voltage_divider=11.1"),
    "battery.cell_low": said(3.31, _SET, "cell ", "low_mv=3310"),
    "battery.cell_warn": said(3.53, _SET, "cell ", "warning_mv=3530"),
    "battery.cell_full": said(4.19, _SET, "cell ", "full_mv=4190"),
    "motors.protocol": said("dshot300", _SET, "motors", "protocol=dshot300"),
    "motors.bidirectional": said(False, _SET, "motors", "bidirectional=no"),
    "motors.poles": said(12, _SET, "motors", "poles=12"),
    "motors.idle_percent": said(6.2, _SET, "motors", "idle_percent=6.2"),
    "motors.reversed": said(True, _SET, "motors", "reversed=yes"),
    "motors.loop_hz": said(3200, _SET, "loop rate_hz=3200"),
    "logger.device": said("card", _SET, "log device=card"),
    "battery.volts": said(11.87, _NOW, "battery voltage=11.87"),
    "sensors.gyro": said("found", _NOW, "sensors", "gyro=found"),
    "sensors.accelerometer": said("found", _NOW, "sensors", "accelerometer=found"),
    "sensors.barometer": said("found", _NOW, "sensors", "barometer=found"),
    "arming.blocks": said(
        ("usb-connected", "throttle-not-low"), _NOW, "arming", "blocked_by=usb_connected,throttle_not_low"
    ),
    "logger.free_bytes": said(15931539456, _NOW, "log", "free_bytes=15931539456"),
}

_HARMS = {
    "save": Harm("saved", _VER, "saves=19", "saves=20"),
    "restart": Harm("restarting", _VER, "boots=207", "boots=208"),
    "factory": Harm("factory settings", _VER, 'name="Brisk Heron"', 'name=""'),
    "upload": Harm("send firmware"),
    "motortest": Harm("turning", _NOW, "output_percent=0", "output_percent=6"),
    "calibrate": Harm("zeroed", _NOW, "roll_deg=0.7 pitch_deg=-0.2", "roll_deg=0.0 pitch_deg=0.0"),
    "eraselog": Harm("erased", _NOW, "flights=21", "flights=0"),
}

_PAGES = {"?": _WORDS, _VER: _VERSION, _SET: _SETTINGS, _NOW: _READINGS}


class Skelding(StatingConsole):
    """A question mark lists the words, as the greeting and the refusal say; it does not echo."""

    name = "skelding"
    kinds = ("several key=value on a line after a subject word", "rows as such lines", "help by ?", "no echo")
    banner = "Skelding ready, ? lists the words\n"
    echo = False
    prompt = ":: "
    error = "! {line}? no such word (? lists the words)"
    help_word = "?"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
