"""Fellgate: terse words with descriptions, a page for each subject, key = value unit. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

# Each page below the word that prints it.
_SHOWN = """\
--- help
words that show something
  help   this list
  id     firmware, board and craft
  rx     receiver
  ch     channels
  sw     switches
  io     serial ports
  osd    on-screen display
  vtx    video transmitter
  bat    battery
  mot    motors and control loop
  fs     failsafe
  sens   sensors and arming state
  log    flight log
  tune   gains and filters
  sys    processor and supply
words that change something
  keep   save the settings to flash
  boot   restart the board
  wipe   reset to factory settings
  load   wait for new firmware
  spin   turn each motor once
  trim   calibrate the accelerometer
  blank  erase the flight log
--- id
fw = Fellgate
fw version = 4.1.0
fw built = 2026-05-11
board = SEDGE F411
board rev = 2
serial no = SG4-1187
craft name = Sleepy Plover
craft weight = 412 g
boots = 311
saves = 27
--- rx
type = serial
protocol = crsf
port = uart2
inverted = no
half duplex = no
telemetry = on
telemetry interval = 150 ms
packet rate = 150 Hz
rssi = -128 dBm
smoothing = 35 Hz
--- ch
order = TAER
low = 990 us
centre = 1502 us
high = 2010 us
deadband = 4 us
servo centre = 1520 us
servo rate = 50 Hz
expo = 20 %
--- sw
arm = ch 5, 1700 to 2100 us
level = ch 6, 900 to 1300 us
beeper = ch 7, 1600 to 2050 us
turtle = ch 8, 1800 to 2080 us
--- io
uart1 = gps, 57600 baud
uart2 = receiver, 420000 baud
uart3 = esc telemetry, 115200 baud
uart6 = unused
framing errors = 2
i2c clock = 400 kHz
--- osd
enabled = yes
system = pal
columns = 30
rows = 16
brightness = 3
refresh = 25 Hz
battery = col 2, row 14, shown
timer = col 23, row 14, shown
link quality = col 2, row 1, hidden
warnings = col 9, row 10, shown
craft name = col 11, row 1, hidden
--- vtx
link = analog
band = F
channel = 4
freq = 5800 MHz
power = 200 mW
max power = 600 mW
pit mode = off
vtx temp = 41 C
--- bat
cells = 4
volts = 15.68 V
divider = 11.2
cell low = 3.3 V
cell warn = 3.5 V
cell full = 4.2 V
capacity = 1400 mAh
used = 0 mAh
current = 0.41 A
current scale = 250
--- mot
protocol = dshot600
bidirectional = yes
poles = 14
idle = 5.5 %
reversed = no
kv = 2300 rpm/V
output now = 0 %
loop rate = 4000 Hz
gyro rate = 8000 Hz
esc temp = 29 C
--- fs
action = land
delay = 1.2 s
throttle = 1240 us
landing time = 25 s
recovery time = 0.5 s
--- sens
gyro = found
accel = found
baro = missing
compass = missing
gyro temp = 34 C
tilt = 1.3 deg
armed = no
blocked by = no receiver link, usb connected
attempts = 0
--- log
device = flash
free = 6291456 bytes
rate = 500 Hz
flights = 12
--- tune
roll = P 44, I 80, D 30
pitch = P 46, I 84, D 32
yaw = P 38, I 80, D 0
gyro lowpass = 250 Hz
d lowpass = 100 Hz
notch = 180 Hz
--- sys
5 V rail = 5.04 V
cpu load = 22 %
cpu temp = 43 C
uptime = 207 s
led colour = green
"""

_STATED = {
    "firmware.name": said("Fellgate", "id", "fw = Fellgate"),
    "firmware.version": said("4.1.0", "id", "fw version = 4.1.0"),
    "firmware.built": said("2026-05-11", "id", "fw built = 2026-05-11"),
    "board.name": said("SEDGE F411", "id", "board = SEDGE F411"),
    "board.serial": said("SG4-1187", "id", "serial no = SG4-1187"),
    "craft.name": said("Sleepy Plover", "id", "craft name = Sleepy Plover"),
    "receiver.kind": said("serial", "rx", "type = serial"),
    "receiver.protocol": said("crsf", "rx", "protocol = crsf"),
    "receiver.port": said("uart2", "rx", "port = uart2"),
    "receiver.inverted": said(False, "rx", "inverted = no"),
    "receiver.half_duplex": said(False, "rx", "half duplex = no"),
    "receiver.telemetry": said(True, "rx", "telemetry = on"),
    "channels.order": said("TAER", "ch", "order = TAER"),
    "channels.low": said(990, "ch", "low = 990 us"),
    "channels.centre": said(1502, "ch", "centre = 1502 us"),
    "channels.high": said(2010, "ch", "high = 2010 us"),
    **switches_said(
        "sw",
        [
            ("arm", 5, 1700, 2100, ("arm = ch 5, 1700 to 2100 us",)),
            ("level", 6, 900, 1300, ("level = ch 6, 900 to 1300 us",)),
            ("beeper", 7, 1600, 2050, ("beeper = ch 7, 1600 to 2050 us",)),
            ("turtle", 8, 1800, 2080, ("turtle = ch 8, 1800 to 2080 us",)),
        ],
    ),
    **ports_said(
        "io",
        [
            ("uart1", ("positioning",), 57600, ("uart1 = gps, 57600 baud",)),
            ("uart2", ("receiver",), 420000, ("uart2 = receiver, 420000 baud",)),
            ("uart3", ("esc-telemetry",), 115200, ("uart3 = esc telemetry, 115200 baud",)),
            ("uart6", ("unused",), None, ("uart6 = unused",)),
        ],
    ),
    "overlay.enabled": said(True, "osd", "enabled = yes"),
    "overlay.system": said("pal", "osd", "system = pal"),
    "overlay.columns": said(30, "osd", "columns = 30"),
    "overlay.rows": said(16, "osd", "rows = 16"),
    **elements_said(
        "osd",
        [
            ("battery", 2, 14, True, ("battery = col 2, row 14, shown",)),
            ("timer", 23, 14, True, ("timer = col 23, row 14, shown",)),
            ("link-quality", 2, 1, False, ("link quality = col 2, row 1, hidden",)),
            ("warnings", 9, 10, True, ("warnings = col 9, row 10, shown",)),
            ("craft-name", 11, 1, False, ("craft name = col 11, row 1, hidden",)),
        ],
    ),
    "video.link": said("analog", "vtx", "link = analog"),
    "video.band": said("F", "vtx", "band = F"),
    "video.channel": said(4, "vtx", "channel = 4"),
    "video.frequency_mhz": said(5800, "vtx", "freq = 5800 MHz"),
    "video.power_mw": said(200.0, "vtx", "power = 200 mW"),
    "battery.cells": said(4, "bat", "cells = 4"),
    "battery.volts": said(15.68, "bat", "volts = 15.68 V"),
    "battery.scale": said(11.2, "bat", "divider = 11.2"),
    "battery.cell_low": said(3.3, "bat", "cell low = 3.3 V"),
    "battery.cell_warn": said(3.5, "bat", "cell warn = 3.5 V"),
    "battery.cell_full": said(4.2, "bat", "cell full = 4.2 V"),
    "motors.protocol": said("dshot600", "mot", "protocol = dshot600"),
    "motors.bidirectional": said(True, "mot", "bidirectional = yes"),
    "motors.poles": said(14, "mot", "poles = 14"),
    "motors.idle_percent": said(5.5, "mot", "idle = 5.5 %"),
    "motors.reversed": said(False, "mot", "reversed = no"),
    "motors.loop_hz": said(4000, "mot", "loop rate = 4000 Hz"),
    "failsafe.action": said("land", "fs", "action = land"),
    "failsafe.delay_s": said(1.2, "fs", "delay = 1.2 s"),
    "failsafe.throttle_us": said(1240, "fs", "throttle = 1240 us"),
    "sensors.gyro": said("found", "sens", "gyro = found"),
    "sensors.accelerometer": said("found", "sens", "accel = found"),
    "sensors.barometer": said("missing", "sens", "baro = missing"),
    "arming.blocks": said(
        ("no-receiver-link", "usb-connected"), "sens", "blocked by = no receiver link, usb connected"
    ),
    "logger.device": said("flash", "log", "device = flash"),
    "logger.free_bytes": said(6291456, "log", "free = 6291456 bytes"),
}

_HARMS = {
    "keep": Harm("settings saved", "id", "saves = 27", "saves = 28"),
    "boot": Harm("restarting", "id", "boots = 311", "boots = 312"),
    "wipe": Harm("factory settings are back", "id", "craft name = Sleepy Plover", "craft name ="),
    "load": Harm("send the firmware now"),
    "spin": Harm("motors turning", "mot", "output now = 0 %", "output now = 6 %"),
    "trim": Harm("accelerometer calibrated", "sens", "tilt = 1.3 deg", "tilt = 0.0 deg"),
    "blank": Harm("log erased", "log", "flights = 12", "flights = 0"),
}


def _pages(shown: str) -> dict[str, str]:
    parts = (part.split("\n", 1) for part in shown.removeprefix("--- ").split("\n--- "))
    return {word: page.rstrip("\n") + "\n" for word, page in parts}


class Fellgate(StatingConsole):
    """A short word for each subject; a key says little without the page that it stands on."""

    name = "fellgate"
    kinds = ("terse words", "a page for each subject", "key = value unit")
    banner = "Fellgate 4.1.0, type help\n"
    prompt = "fg$ "
    error = "no word {line}, type help"
    pages = _pages(_SHOWN)
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
