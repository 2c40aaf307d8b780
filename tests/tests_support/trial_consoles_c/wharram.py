"""Wharram: INI sections with sub-sections, one long listing that ends with a count of its lines. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_LISTING = """\
[board]
model = CAMPION-F722
serial-number = CF-003518
firmware = Wharram
firmware-version = 1.22.0
build-date = 2026-02-11
bootloader-version = 3.1
craft-name = Salt Robin
commits = 18
starts = 203

[receiver]
type = serial
protocol = crsf
port = ser2
inverted = no
half-duplex = no
telemetry = yes
telemetry-ratio = 32
rssi-source = link

[channels]
order = TAER
pulse-min = 992 us
pulse-centre = 1500 us
pulse-max = 2008 us
deadband = 6 us
servo-centre = 1520 us

[switch.arm]
channel = 5
range = 1750..2100 us

[switch.level]
channel = 6
range = 1300..1700 us

[switch.beeper]
channel = 7
range = 1650..2100 us

[port.1]
name = ser1
role = console
baud = 115200

[port.2]
name = ser2
role = receiver
baud = 420000

[port.3]
name = ser3
role = gps
baud = 57600

[port.4]
name = ser4
role = video-control
baud = 4800

[port.6]
name = ser6
role = unused

[overlay]
enabled = yes
video-system = pal
columns = 30
rows = 16

[overlay.battery]
column = 1
row = 14
visible = yes

[overlay.timer]
column = 23
row = 14
visible = yes

[overlay.link-quality]
column = 24
row = 1
visible = yes

[overlay.horizon]
column = 8
row = 6
visible = no

[video]
link = analog
band = F
channel = 2
frequency = 5760 MHz
power = 200 mW
pit-mode = no

[battery]
cells = 4
cell-min = 3.30 V
cell-warn = 3.50 V
cell-full = 4.20 V
voltage-divider = 10.5
capacity = 1300 mAh
current-scale = 250

[motors]
protocol = dshot600
bidirectional = yes
poles = 14
idle = 5.5 %
reversed = no
loop-rate = 8000 Hz
kv = 1950 rpm/V

[failsafe]
action = drop
delay = 0.4 s
throttle = 1000 us

[pid.roll]
p = 45
i = 80
d = 30

[pid.pitch]
p = 47
i = 84
d = 34

[filter]
gyro-lowpass = 250 Hz
d-lowpass = 110 Hz

[leds]
count = 12
colour = orange

[state]
battery-voltage = 15.86 V
regulator-voltage = 5.03 V
current = 0.38 A
gyro = found
accelerometer = found
barometer = found
processor-temperature = 44 C
level-error = 1.4 deg
motor-output = 0 %
arming-blocked-by = usb-connected, throttle-not-low
uptime = 96 s

[log]
device = flash
free = 14680064 bytes
rate = 1000 Hz
flights = 6
"""

_END = f"; end of inventory, {_LISTING.count(chr(10))} lines\n"

_USAGE = """\
; usage: one word a line
inventory   ; all settings and readings, by section
usage       ; this text
commit      ; write the settings to flash
pristine    ; all settings back to factory values
restart     ; start the firmware again
bootload    ; stay in the bootloader for an update
motor-run   ; turn one motor: motor-run NUMBER PERCENT
set-level   ; calibrate the accelerometer
log-wipe    ; erase all flights of the log
"""


def _port(number: int, role: str, baud: int | None) -> tuple[str, ...]:
    """The lines of a port's section."""
    lines = (f"[port.{number}]", f"name = ser{number}", f"role = {role}")
    return lines if baud is None else (*lines, f"baud = {baud}")


def _switch(name: str, channel: int, low: int, high: int) -> tuple[str, int, int, int, tuple[str, ...]]:
    return name, channel, low, high, (f"[switch.{name}]", f"channel = {channel}", f"range = {low}..{high} us")


def _element(name: str, column: int, row: int, shown: bool) -> tuple[str, int, int, bool, tuple[str, ...]]:
    visible = "yes" if shown else "no"
    return name, column, row, shown, (f"[overlay.{name}]", f"column = {column}", f"row = {row}", f"visible = {visible}")


_STATED = {
    "firmware.name": said("Wharram", "inventory", "[board]", "firmware = Wharram"),
    "firmware.version": said("1.22.0", "inventory", "[board]", "firmware-version = 1.22.0"),
    "firmware.built": said("2026-02-11", "inventory", "[board]", "build-date = 2026-02-11"),
    "board.name": said("CAMPION-F722", "inventory", "[board]", "model = CAMPION-F722"),
    "board.serial": said("CF-003518", "inventory", "[board]", "serial-number = CF-003518"),
    "craft.name": said("Salt Robin", "inventory", "[board]", "craft-name = Salt Robin"),
    "receiver.kind": said("serial", "inventory", "[receiver]", "type = serial"),
    "receiver.protocol": said("crsf", "inventory", "[receiver]", "protocol = crsf"),
    "receiver.port": said("ser2", "inventory", "[receiver]", "port = ser2"),
    "receiver.inverted": said(False, "inventory", "[receiver]", "inverted = no"),
    "receiver.half_duplex": said(False, "inventory", "[receiver]", "half-duplex = no"),
    "receiver.telemetry": said(True, "inventory", "[receiver]", "telemetry = yes"),
    "channels.order": said("TAER", "inventory", "[channels]", "order = TAER"),
    "channels.low": said(992, "inventory", "[channels]", "pulse-min = 992 us"),
    "channels.centre": said(1500, "inventory", "[channels]", "pulse-centre = 1500 us"),
    "channels.high": said(2008, "inventory", "[channels]", "pulse-max = 2008 us"),
    **switches_said(
        "inventory", [_switch("arm", 5, 1750, 2100), _switch("level", 6, 1300, 1700), _switch("beeper", 7, 1650, 2100)]
    ),
    **ports_said(
        "inventory",
        [
            ("ser1", ("console",), 115200, _port(1, "console", 115200)),
            ("ser2", ("receiver",), 420000, _port(2, "receiver", 420000)),
            ("ser3", ("positioning",), 57600, _port(3, "gps", 57600)),
            ("ser4", ("video-control",), 4800, _port(4, "video-control", 4800)),
            ("ser6", ("unused",), None, _port(6, "unused", None)),
        ],
    ),
    "overlay.enabled": said(True, "inventory", "[overlay]", "enabled = yes"),
    "overlay.system": said("pal", "inventory", "[overlay]", "video-system = pal"),
    "overlay.columns": said(30, "inventory", "[overlay]", "columns = 30"),
    "overlay.rows": said(16, "inventory", "[overlay]", "rows = 16"),
    **elements_said(
        "inventory",
        [
            _element("battery", 1, 14, True),
            _element("timer", 23, 14, True),
            _element("link-quality", 24, 1, True),
            _element("horizon", 8, 6, False),
        ],
    ),
    "video.link": said("analog", "inventory", "[video]", "link = analog"),
    "video.band": said("F", "inventory", "[video]", "band = F"),
    "video.channel": said(2, "inventory", "[video]", "channel = 2"),
    "video.frequency_mhz": said(5760, "inventory", "[video]", "frequency = 5760 MHz"),
    "video.power_mw": said(200.0, "inventory", "[video]", "power = 200 mW"),
    "battery.cells": said(4, "inventory", "[battery]", "cells = 4"),
    "battery.volts": said(15.86, "inventory", "[state]", "battery-voltage = 15.86 V"),
    "battery.scale": said(10.5, "inventory", "[battery]", "voltage-divider = 10.5"),
    "battery.cell_low": said(3.3, "inventory", "[battery]", "cell-min = 3.30 V"),
    "battery.cell_warn": said(3.5, "inventory", "[battery]", "cell-warn = 3.50 V"),
    "battery.cell_full": said(4.2, "inventory", "[battery]", "cell-full = 4.20 V"),
    "motors.protocol": said("dshot600", "inventory", "[motors]", "protocol = dshot600"),
    "motors.bidirectional": said(True, "inventory", "[motors]", "bidirectional = yes"),
    "motors.poles": said(14, "inventory", "[motors]", "poles = 14"),
    "motors.idle_percent": said(5.5, "inventory", "[motors]", "idle = 5.5 %"),
    "motors.reversed": said(False, "inventory", "[motors]", "reversed = no"),
    "motors.loop_hz": said(8000, "inventory", "[motors]", "loop-rate = 8000 Hz"),
    "failsafe.action": said("drop", "inventory", "[failsafe]", "action = drop"),
    "failsafe.delay_s": said(0.4, "inventory", "[failsafe]", "delay = 0.4 s"),
    "failsafe.throttle_us": said(1000, "inventory", "[failsafe]", "throttle = 1000 us"),
    "sensors.gyro": said("found", "inventory", "[state]", "gyro = found"),
    "sensors.accelerometer": said("found", "inventory", "[state]", "accelerometer = found"),
    "sensors.barometer": said("found", "inventory", "[state]", "barometer = found"),
    "arming.blocks": said(
        ("usb-connected", "throttle-not-low"), "inventory", "[state]", "by = usb-connected, throttle-not-low"
    ),
    "logger.device": said("flash", "inventory", "[log]", "device = flash"),
    "logger.free_bytes": said(14680064, "inventory", "[log]", "free = 14680064 bytes"),
}

_HARMS = {
    "commit": Harm("; committed", "inventory", "commits = 18", "commits = 19"),
    "pristine": Harm("; pristine", "inventory", "craft-name = Salt Robin", "craft-name = unnamed"),
    "restart": Harm("; restarting", "inventory", "starts = 203", "starts = 204"),
    "bootload": Harm("; bootloader 3.1"),
    "motor-run": Harm("; motor 1 at 8 %", "inventory", "motor-output = 0 %", "motor-output = 8 %", "motor-run 1 8"),
    "set-level": Harm("; level set", "inventory", "level-error = 1.4 deg", "level-error = 0.0 deg"),
    "log-wipe": Harm("; wiped", "inventory", "flights = 6", "flights = 0"),
}

_PAGES = {"usage": _USAGE, "inventory": _LISTING + _END}


class Wharram(StatingConsole):
    """Everything that is not a setting or a reading is a remark after a semicolon."""

    name = "wharram"
    kinds = ("sections with sub-sections", "kebab keys with =", "end mark with a count of lines")
    banner = "; Wharram 1.22.0, usage for usage\n"
    prompt = "; "
    error = "; no such word: {line}"
    help_word = "usage"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
