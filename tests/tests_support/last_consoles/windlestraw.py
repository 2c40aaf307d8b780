"""Windlestraw: nested blocks in braces without separators, one word for all settings, silent until a key. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

# Each page below the word that prints it.
_SHOWN = """\
--- help
to read:
  show about       firmware and board
  show config      all settings
  show health      sensors, arming and flight log
  show meters      present readings
  help             this text
to act:
  commit           write the settings to flash
  reboot           restart
  factory-reset    discard all settings
  dfu              wait for new firmware
  run-motors       run the motors
  zero-level       calibrate the accelerometer
  wipe-log         erase the flight log
--- show about
firmware {
  name windlestraw
  version 6.2.1
  built 2025-12-03
  loader 1.6
}
board {
  model "BOGBEAN F765"
  serial-number BB-610-44
  revision 1
  clock 216 MHz
}
counters {
  commits 63
  boots 402
}
--- show config
craft {
  name "Damp Squib"
  weight 640 g
}
receiver {
  type serial
  protocol crsf
  port serial5
  inverted no
  half-duplex no
  telemetry yes
}
telemetry { interval 130 ms fields 9 }
channels {
  order AETR
  min 1012 us
  mid 1506 us
  max 1996 us
  deadband 5 us
}
servo { mid 1535 us rate 50 Hz }
switches {
  arm { channel 5 from 1660 us to 2055 us }
  level { channel 8 from 945 us to 1310 us }
  beeper { channel 10 from 1705 us to 2065 us }
}
serial-ports {
  serial1 { function console baud 115200 }
  serial2 { function gps baud 57600 }
  serial3 { function osd baud 115200 }
  serial5 { function receiver baud 420000 }
  serial6 { function unused }
}
i2c { rate 400 kHz }
osd {
  enabled yes
  system digital
  columns 50
  rows 18
  refresh 25 Hz
  elements {
    battery { column 3 row 16 visible yes }
    timer { column 42 row 16 visible yes }
    link-quality { column 3 row 2 visible yes }
    speed { column 42 row 8 visible no }
  }
}
video-transmitter {
  link digital
  frequency 5695 MHz
  power 250 mW
  power-limit 800 mW
  pit-mode no
}
battery {
  cells 6
  capacity 1400 mAh
  voltage-divider 10.7
  cell {
    min 3.25 V
    warning 3.48 V
    full 4.19 V
  }
}
motors {
  protocol dshot600
  bidirectional yes
  poles 14
  idle 4.3 %
  reversed no
  kv 1750
}
control-loop {
  rate 8 kHz
  gyro-rate 16 kHz
}
gains {
  roll { p 44 i 77 d 29 }
  pitch { p 46 i 80 d 32 }
  yaw { p 39 i 77 d 0 }
}
filters { gyro-lowpass 225 Hz d-lowpass 99 Hz }
failsafe {
  action hold
  delay 1.4 s
  throttle 1290 us
}
low-battery {
  action land
  delay 9 s
}
logging {
  device flash
  rate 2000 Hz
}
leds { count 16 colour teal }
--- show health
sensors {
  gyro found
  accelerometer found
  barometer found
  compass missing
}
level {
  offset 1.8 deg
}
arming {
  blocked-by "no receiver link, not level"
  attempts 0
}
flight-log {
  free 14680064 bytes
  flights 21
}
--- show meters
battery {
  voltage 22.94 V
  current 0.57 A
  used 0 mAh
}
regulator { voltage 5.02 V }
cpu { temperature 46 C load 34 % }
motors {
  output 0 %
}
"""

_CONFIG = "show config"

_STATED = {
    "firmware.name": said("windlestraw", "show about", "firmware {", "name windlestraw"),
    "firmware.version": said("6.2.1", "show about", "firmware {", "version 6.2.1"),
    "firmware.built": said("2025-12-03", "show about", "firmware {", "built 2025-12-03"),
    "board.name": said("BOGBEAN F765", "show about", "board {", 'model "BOGBEAN F765"'),
    "board.serial": said("BB-610-44", "show about", "board {", "serial-number BB-610-44"),
    "craft.name": said("Damp Squib", _CONFIG, "craft {", 'name "Damp Squib"'),
    "receiver.kind": said("serial", _CONFIG, "receiver {", "type serial"),
    "receiver.protocol": said("crsf", _CONFIG, "receiver {", "protocol crsf"),
    "receiver.port": said("serial5", _CONFIG, "receiver {", "port serial5"),
    "receiver.inverted": said(False, _CONFIG, "receiver {", "inverted no"),
    "receiver.half_duplex": said(False, _CONFIG, "receiver {", "half-duplex no"),
    "receiver.telemetry": said(True, _CONFIG, "receiver {", "telemetry yes"),
    "channels.order": said("AETR", _CONFIG, "channels {", "order AETR"),
    "channels.low": said(1012, _CONFIG, "channels {", "min 1012 us"),
    "channels.centre": said(1506, _CONFIG, "channels {", "mid 1506 us"),
    "channels.high": said(1996, _CONFIG, "channels {", "max 1996 us"),
    **switches_said(
        _CONFIG,
        [
            (name, channel, low, high, ("switches {", f"{name} {{ channel {channel} from {low} us to {high} us }}"))
            for name, channel, low, high in (
                ("arm", 5, 1660, 2055),
                ("level", 8, 945, 1310),
                ("beeper", 10, 1705, 2065),
            )
        ],
    ),
    **ports_said(
        _CONFIG,
        [
            (name, (role,), baud, ("serial-ports {", f"{name} {{ function {does} }}"))
            for name, role, baud, does in (
                ("serial1", "console", 115200, "console baud 115200"),
                ("serial2", "positioning", 57600, "gps baud 57600"),
                ("serial3", "overlay-link", 115200, "osd baud 115200"),
                ("serial5", "receiver", 420000, "receiver baud 420000"),
                ("serial6", "unused", None, "unused"),
            )
        ],
    ),
    "overlay.enabled": said(True, _CONFIG, "osd {", "enabled yes"),
    "overlay.system": said("digital", _CONFIG, "osd {", "system digital"),
    "overlay.columns": said(50, _CONFIG, "osd {", "columns 50"),
    "overlay.rows": said(18, _CONFIG, "osd {", "rows 18"),
    **elements_said(
        _CONFIG,
        [
            (name, column, row, shown == "yes", (f"{name} {{ column {column} row {row} visible {shown} }}",))
            for name, column, row, shown in (
                ("battery", 3, 16, "yes"),
                ("timer", 42, 16, "yes"),
                ("link-quality", 3, 2, "yes"),
                ("speed", 42, 8, "no"),
            )
        ],
    ),
    "video.link": said("digital", _CONFIG, "video-transmitter {", "link digital"),
    "video.frequency_mhz": said(5695, _CONFIG, "video-transmitter {", "frequency 5695 MHz"),
    "video.power_mw": said(250.0, _CONFIG, "video-transmitter {", "power 250 mW"),
    "battery.cells": said(6, _CONFIG, "\nbattery {", "cells 6"),
    "battery.scale": said(10.7, _CONFIG, "\nbattery {", "voltage-divider 10.7"),
    "battery.cell_low": said(3.25, _CONFIG, "cell {", "min 3.25 V"),
    "battery.cell_warn": said(3.48, _CONFIG, "cell {", "warning 3.48 V"),
    "battery.cell_full": said(4.19, _CONFIG, "cell {", "full 4.19 V"),
    "battery.volts": said(22.94, "show meters", "battery {", "voltage 22.94 V"),
    "motors.protocol": said("dshot600", _CONFIG, "motors {", "protocol dshot600"),
    "motors.bidirectional": said(True, _CONFIG, "motors {", "bidirectional yes"),
    "motors.poles": said(14, _CONFIG, "motors {", "poles 14"),
    "motors.idle_percent": said(4.3, _CONFIG, "motors {", "idle 4.3 %"),
    "motors.reversed": said(False, _CONFIG, "motors {", "reversed no"),
    "motors.loop_hz": said(8000, _CONFIG, "control-loop {", "rate 8 kHz"),
    "failsafe.action": said("hold", _CONFIG, "failsafe {", "action hold"),
    "failsafe.delay_s": said(1.4, _CONFIG, "failsafe {", "delay 1.4 s"),
    "failsafe.throttle_us": said(1290, _CONFIG, "failsafe {", "throttle 1290 us"),
    "sensors.gyro": said("found", "show health", "sensors {", "gyro found"),
    "sensors.accelerometer": said("found", "show health", "sensors {", "accelerometer found"),
    "sensors.barometer": said("found", "show health", "sensors {", "barometer found"),
    "arming.blocks": said(
        ("no-receiver-link", "not-level"), "show health", "arming {", 'blocked-by "no receiver link, not level"'
    ),
    "logger.device": said("flash", _CONFIG, "logging {", "device flash"),
    "logger.free_bytes": said(14680064, "show health", "flight-log {", "free 14680064 bytes"),
}

_HARMS = {
    "commit": Harm("committed", "show about", "commits 63", "commits 64"),
    "reboot": Harm("rebooting", "show about", "boots 402", "boots 403"),
    "factory-reset": Harm("settings discarded", "show config", '"Damp Squib"', '""'),
    "dfu": Harm("waiting for firmware"),
    "run-motors": Harm("motors running", "show meters", "output 0 %", "output 5 %"),
    "zero-level": Harm("calibrated", "show health", "offset 1.8", "offset 0.0"),
    "wipe-log": Harm("wiped", "show health", "flights 21", "flights 0"),
}

_PAGES = {word: page for word, _, page in (text.partition("\n") for text in _SHOWN.split("--- ")[1:])}
_HINT_EVERY_S = 2.0


class Windlestraw(StatingConsole):
    """Says now and then which key opens the console, and nothing else until it is pressed."""

    name = "windlestraw"
    kinds = ("nested blocks in braces", "one word for all settings", "needs a key that it names")
    newline = "\n"
    wakes_by = b" "
    prompt = "ws# "
    error = "{line}: not a command, see help"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)

    def __init__(self) -> None:
        super().__init__()
        self._hinted = -1e9

    def idle(self, now: float) -> str:
        if self._awake or now - self._hinted < _HINT_EVERY_S:
            return ""
        self._hinted = now
        return self._wire("windlestraw: press space for the console\n")
