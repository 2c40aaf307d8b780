"""Brockhurst: sections with a heading, indented keys and values below it, no echo. Invented."""

from __future__ import annotations

from typing import Any

from tests_support.other_consoles.stating import Harm, Said, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_HELP = """\
Commands
  help       show this list
  version    show firmware, board and craft
  settings   show the configuration
  status     show the present state and readings
  commit     save the configuration
  reboot     restart the board
  defaults   restore the default configuration
  bootload   enter the bootloader
  runmotor   run one motor
  levelcal   calibrate the accelerometer
  clearlog   erase the flight log
"""

_VERSION = """\
Firmware
  name              Brockhurst
  version           0.9.7
  build date        2026-05-22
  compiler          13.3

Board
  model             MELICK G4
  serial number     G4-7702-B
  revision          2
  bootloader        1.6

Craft
  name              Blue Pipit
  weight            305 g

Counters
  commits           44
  reboots           193
"""

_SETTINGS = """\
Receiver
  type              serial
  protocol          crsf
  port              uart1
  inverted          no
  half duplex       no
  telemetry         on
  smoothing         35 Hz

Channels
  order             AETR
  minimum           990 us
  centre            1505 us
  maximum           2009 us
  deadband          3 us

Servo
  centre            1525 us
  rate              50 Hz

Switches
  arm               channel 5 from 1695 to 2100 us
  level             channel 6 from 900 to 1300 us
  turtle            channel 10 from 1750 to 2050 us

Ports
  uart1             receiver 420000 baud
  uart2             osd 115200 baud
  uart3             console 115200 baud
  uart4             gps 38400 baud
  uart5             unused

OSD
  enabled           yes
  system            auto
  columns           50
  rows              18
  refresh rate      20 Hz

OSD elements
  battery           column 4 row 16 shown
  timer             column 41 row 16 shown
  link quality      column 4 row 1 shown
  altitude          column 43 row 8 hidden

Video
  link              digital
  frequency         5805 MHz
  power             200 mW
  maximum power     700 mW
  bit rate          30 Mbit/s

Battery
  cells             3
  voltage divider   10.2
  capacity          850 mAh
  current scale     29 mV/A

Cell voltage
  minimum           3.28 V
  warning           3.51 V
  full              4.16 V

Motors
  protocol          dshot600
  bidirectional     yes
  poles             12
  idle              5.9 %
  reversed          yes
  kv                3100 rpm/V

Control loop
  loop rate         8000 Hz
  load limit        85 %

Gyro filter
  lowpass           235 Hz
  notch             280 Hz

Gains
  roll              P 39 I 71 D 26
  pitch             P 41 I 74 D 28
  yaw               P 35 I 70 D 0

Failsafe
  action            drop
  delay             500 ms
  throttle          1000 us
  recovery time     1100 ms

Log
  device            flash
  rate              2000 Hz
"""

_STATUS = """\
Sensors
  gyro              found
  accelerometer     found
  barometer         missing
  compass           missing

Arming
  blocked by        usb connected, no receiver link
  times armed       0

Battery
  voltage           12.06 V
  current           0.29 A
  used              3 mAh

Supply
  voltage           4.98 V

Attitude
  level error       0.6 deg

Motors
  output            0 %

Processor
  load              31 %
  temperature       42 C
  uptime            233 s

Log
  free space        8126464 bytes
  files             11
"""

_VER, _SET, _NOW = "version", "settings", "status"


def _line(key: str, value: str) -> str:
    return f"  {key:<18}{value}"


def _in(value: Any, word: str, head: str, key: str, text: str) -> Said:
    return said(value, word, head, _line(key, text))


def _row(head: str, key: str, text: str) -> tuple[str, ...]:
    return head, _line(key, text)


_STATED = {
    "firmware.name": _in("Brockhurst", _VER, "Firmware", "name", "Brockhurst"),
    "firmware.version": _in("0.9.7", _VER, "Firmware", "version", "0.9.7"),
    "firmware.built": _in("2026-05-22", _VER, "Firmware", "build date", "2026-05-22"),
    "board.name": _in("MELICK G4", _VER, "Board", "model", "MELICK G4"),
    "board.serial": _in("G4-7702-B", _VER, "Board", "serial number", "G4-7702-B"),
    "craft.name": _in("Blue Pipit", _VER, "Craft", "name", "Blue Pipit"),
    "receiver.kind": _in("serial", _SET, "Receiver", "type", "serial"),
    "receiver.protocol": _in("crsf", _SET, "Receiver", "protocol", "crsf"),
    "receiver.port": _in("uart1", _SET, "Receiver", "port", "uart1"),
    "receiver.inverted": _in(False, _SET, "Receiver", "inverted", "no"),
    "receiver.half_duplex": _in(False, _SET, "Receiver", "half duplex", "no"),
    "receiver.telemetry": _in(True, _SET, "Receiver", "telemetry", "on"),
    "channels.order": _in("AETR", _SET, "Channels", "order", "AETR"),
    "channels.low": _in(990, _SET, "Channels", "minimum", "990 us"),
    "channels.centre": _in(1505, _SET, "Channels", "centre", "1505 us"),
    "channels.high": _in(2009, _SET, "Channels", "maximum", "2009 us"),
    **switches_said(
        _SET,
        [
            ("arm", 5, 1695, 2100, _row("Switches", "arm", "channel 5 from 1695 to 2100 us")),
            ("level", 6, 900, 1300, _row("Switches", "level", "channel 6 from 900 to 1300 us")),
            ("turtle", 10, 1750, 2050, _row("Switches", "turtle", "channel 10 from 1750 to 2050 us")),
        ],
    ),
    **ports_said(
        _SET,
        [
            ("uart1", ("receiver",), 420000, _row("Ports", "uart1", "receiver 420000 baud")),
            ("uart2", ("overlay-link",), 115200, _row("Ports", "uart2", "osd 115200 baud")),
            ("uart3", ("console",), 115200, _row("Ports", "uart3", "console 115200 baud")),
            ("uart4", ("positioning",), 38400, _row("Ports", "uart4", "gps 38400 baud")),
            ("uart5", ("unused",), None, _row("Ports", "uart5", "unused")),
        ],
    ),
    "overlay.enabled": _in(True, _SET, "OSD", "enabled", "yes"),
    "overlay.system": _in("auto", _SET, "OSD", "system", "auto"),
    "overlay.columns": _in(50, _SET, "OSD", "columns", "50"),
    "overlay.rows": _in(18, _SET, "OSD", "rows", "18"),
    **elements_said(
        _SET,
        [
            ("battery", 4, 16, True, _row("OSD elements", "battery", "column 4 row 16 shown")),
            ("timer", 41, 16, True, _row("OSD elements", "timer", "column 41 row 16 shown")),
            ("link-quality", 4, 1, True, _row("OSD elements", "link quality", "column 4 row 1 shown")),
            ("altitude", 43, 8, False, _row("OSD elements", "altitude", "column 43 row 8 hidden")),
        ],
    ),
    "video.link": _in("digital", _SET, "Video", "link", "digital"),
    "video.frequency_mhz": _in(5805, _SET, "Video", "frequency", "5805 MHz"),
    "video.power_mw": _in(200.0, _SET, "Video", "power", "200 mW"),
    "battery.cells": _in(3, _SET, "Battery", "cells", "3"),
    "battery.scale": _in(10.2, _SET, "Battery", "voltage divider", "10.2"),
    "battery.cell_low": _in(3.28, _SET, "Cell voltage", "minimum", "3.28 V"),
    "battery.cell_warn": _in(3.51, _SET, "Cell voltage", "warning", "3.51 V"),
    "battery.cell_full": _in(4.16, _SET, "Cell voltage", "full", "4.16 V"),
    "motors.protocol": _in("dshot600", _SET, "Motors", "protocol", "dshot600"),
    "motors.bidirectional": _in(True, _SET, "Motors", "bidirectional", "yes"),
    "motors.poles": _in(12, _SET, "Motors", "poles", "12"),
    "motors.idle_percent": _in(5.9, _SET, "Motors", "idle", "5.9 %"),
    "motors.reversed": _in(True, _SET, "Motors", "reversed", "yes"),
    "motors.loop_hz": _in(8000, _SET, "Control loop", "loop rate", "8000 Hz"),
    "failsafe.action": _in("drop", _SET, "Failsafe", "action", "drop"),
    "failsafe.delay_s": _in(0.5, _SET, "Failsafe", "delay", "500 ms"),
    "failsafe.throttle_us": _in(1000, _SET, "Failsafe", "throttle", "1000 us"),
    "logger.device": _in("flash", _SET, "Log", "device", "flash"),
    "logger.free_bytes": _in(8126464, _NOW, "Log", "free space", "8126464 bytes"),
    "sensors.gyro": _in("found", _NOW, "Sensors", "gyro", "found"),
    "sensors.accelerometer": _in("found", _NOW, "Sensors", "accelerometer", "found"),
    "sensors.barometer": _in("missing", _NOW, "Sensors", "barometer", "missing"),
    "arming.blocks": _in(
        ("usb-connected", "no-receiver-link"), _NOW, "Arming", "blocked by", "usb connected, no receiver link"
    ),
    "battery.volts": _in(12.06, _NOW, "Battery", "voltage", "12.06 V"),
}


def _harm(prints: str, look: str, key: str, before: str, after: str) -> Harm:
    return Harm(prints, look, _line(key, before), _line(key, after))


_HARMS = {
    "commit": _harm("committed", _VER, "commits", "44", "45"),
    "reboot": _harm("rebooting", _VER, "reboots", "193", "194"),
    "defaults": _harm("defaults restored", _VER, "name", "Blue Pipit", "-"),
    "bootload": Harm("waiting for an image"),
    "runmotor": Harm("motor running", _NOW, _line("output", "0 %"), _line("output", "5 %"), sample="runmotor 1"),
    "levelcal": _harm("level stored", _NOW, "level error", "0.6 deg", "0.0 deg"),
    "clearlog": _harm("log erased", _NOW, "files", "11", "0"),
}

_PAGES = {"help": _HELP, _VER: _VERSION, _SET: _SETTINGS, _NOW: _STATUS}


class Brockhurst(StatingConsole):
    """A key is told from its like by the heading above it."""

    name = "brockhurst"
    kinds = ("headings", "indented keys of words, blanks before the value", "units in the value", "no echo")
    echo = False
    prompt = "brockhurst: "
    error = "error: unknown command '{line}'"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
