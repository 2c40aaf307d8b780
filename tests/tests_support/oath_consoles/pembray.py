"""Pembray: sections by indentation, two and three deep, with plain words and a colon. Invented."""

from __future__ import annotations

from tests_support.oath_consoles.repeated import ELEMENT, PORT, SWITCH, repeated
from tests_support.other_consoles.stating import Harm, Said, StatingConsole, said, truth_of

_PAGES = {
    "?": """\
Commands (? shows them again):
  ident: board and firmware
  config: the whole configuration
  status: sensors, battery, inputs and what prevents arming
  change: change a setting, change <name> <value>
  keep: keep the configuration
  restart: restart the board
  flash: enter the flash loader
  turn: turn a motor, turn <motor> <percent>
  flat: the craft lies flat, calibrate
  forget: forget the configuration
""",
    "ident": """\
Firmware:
  Name: Pembray
  Version: 1.16-rc2
  Built: 22 Dec 2025
Board:
  Name: COPSE MINI F411
  Serial number: 3920-AA71
  Processor clock: 100 MHz
Craft:
  Name: Tin Sparrow
Counters:
  Kept: 7 times
  Started: 88 times
""",
    "config": """\
Receiver:
  Type: PPM
  Inverted: no
  Telemetry: no
  Frame length: 22 ms
  Smoothing: on
Channels:
  Order: AETR
  Low: 1100 us
  Centre: 1520 us
  High: 1940 us
  Dead band: 8 us
Switches:
  Arm:
    Channel: 5
    From: 1600 us
    To: 1950 us
  Turtle:
    Channel: 6
    From: 1650 us
    To: 1960 us
  Beeper:
    Channel: 8
    From: 1100 us
    To: 1400 us
Ports:
  UART1:
    Function: console
    Baud: 57600
  UART2:
    Function: GPS
    Baud: 9600
  UART3:
    Function: telemetry
    Baud: 19200
  UART4:
    Function: ESC telemetry
    Baud: 115200
  UART5:
    Function: none
Overlay:
  Enabled: yes
  Video system: auto
  Columns: 28
  Rows: 15
  Blinking: 2 Hz
  Elements:
    Battery:
      Column: 4
      Row: 13
      Visible: yes
    Timer:
      Column: 21
      Row: 12
      Visible: yes
    Altitude:
      Column: 22
      Row: 7
      Visible: no
    Warnings:
      Column: 8
      Row: 10
      Visible: yes
Video transmitter:
  Link: analog
  Band: A
  Channel: 3
  Frequency: 5825 MHz
  Power: 0.1 W
  Pit mode: off
Battery:
  Cells: 3
  Low cell voltage: 3.20 V
  Warning cell voltage: 3.40 V
  Full cell voltage: 4.25 V
  Capacity: 850 mAh
  Divider ratio: 10.3
Motors:
  Protocol: DShot300
  Bidirectional: no
  Magnets: 12
  Idle: 3.5 %
  Reversed: no
  Control loop: 1 kHz
  Beep strength: 40 %
Failsafe:
  Action: hold
  Delay: 350 ms
  Throttle: 1420 us
Gains:
  Roll:
    P: 51
    I: 60
    D: 22
  Pitch:
    P: 54
    I: 63
    D: 25
  Yaw:
    P: 70
    I: 45
    D: 0
Filters:
  Gyro: 150 Hz
  D term: 70 Hz
Logger:
  Device: card
  Rate: 400 Hz
Lights:
  Colour: teal
""",
    "status": """\
Sensors:
  Gyro: found
  Accelerometer: found
  Barometer: found
  Compass: not found
Battery:
  Voltage: 11.87 V
  Current: 0.2 A
  Used: 3 mAh
Supply:
  Voltage: 5.11 V
Inputs:
  Channels: 1519 1521 1101 1520 1102 1103 1939 1104 us
  Frames lost: 0
Motors:
  Output 1: 0 %
  Output 2: 0 %
  Output 3: 0 %
  Output 4: 0 %
Attitude:
  Roll: 2.1 deg
  Pitch: -0.6 deg
Logger:
  Free: 512 MiB
  Files: 27
Processor:
  Load: 44 %
  Temperature: 39 C
Arming:
  Allowed: no
  Reasons:
    no receiver signal
    not level
""",
}


def _config(value: object, *texts: str) -> Said:
    return said(value, "config", *texts)


_STATED = {
    "firmware.name": said("Pembray", "ident", "Firmware:", "  Name: Pembray"),
    "firmware.version": said("1.16-rc2", "ident", "Firmware:", "  Version: 1.16-rc2"),
    "firmware.built": said("22 Dec 2025", "ident", "Firmware:", "  Built: 22 Dec 2025"),
    "board.name": said("COPSE MINI F411", "ident", "Board:", "  Name: COPSE MINI F411"),
    "board.serial": said("3920-AA71", "ident", "Board:", "  Serial number: 3920-AA71"),
    "craft.name": said("Tin Sparrow", "ident", "Craft:", "  Name: Tin Sparrow"),
    "receiver.kind": _config("ppm", "Receiver:", "  Type: PPM"),
    "receiver.inverted": _config(False, "Receiver:", "  Inverted: no"),
    "receiver.telemetry": _config(False, "Receiver:", "  Telemetry: no"),
    "channels.order": _config("AETR", "Channels:", "  Order: AETR"),
    "channels.low": _config(1100, "Channels:", "  Low: 1100 us"),
    "channels.centre": _config(1520, "Channels:", "  Centre: 1520 us"),
    "channels.high": _config(1940, "Channels:", "  High: 1940 us"),
    **repeated(
        "switches",
        SWITCH,
        "config",
        ("  Arm:|    Channel: 5|    From: 1600 us|    To: 1950 us", "arm", 5, 1600, 1950),
        ("  Turtle:|    Channel: 6|    From: 1650 us|    To: 1960 us", "turtle", 6, 1650, 1960),
        ("  Beeper:|    Channel: 8|    From: 1100 us|    To: 1400 us", "beeper", 8, 1100, 1400),
        heads=("Switches:",),
    ),
    **repeated(
        "ports",
        PORT,
        "config",
        ("  UART1:|    Function: console|    Baud: 57600", "UART1", ("console",), 57600),
        ("  UART2:|    Function: GPS|    Baud: 9600", "UART2", ("positioning",), 9600),
        ("  UART3:|    Function: telemetry|    Baud: 19200", "UART3", ("telemetry",), 19200),
        ("  UART4:|    Function: ESC telemetry|    Baud: 115200", "UART4", ("esc-telemetry",), 115200),
        ("  UART5:|    Function: none", "UART5", ("unused",)),
        heads=("Ports:",),
    ),
    "overlay.enabled": _config(True, "Overlay:", "  Enabled: yes"),
    "overlay.system": _config("auto", "Overlay:", "  Video system: auto"),
    "overlay.columns": _config(28, "Overlay:", "  Columns: 28"),
    "overlay.rows": _config(15, "Overlay:", "  Rows: 15"),
    **repeated(
        "overlay.elements",
        ELEMENT,
        "config",
        ("    Battery:|      Column: 4|      Row: 13|      Visible: yes", "battery", 4, 13, True),
        ("    Timer:|      Column: 21|      Row: 12|      Visible: yes", "timer", 21, 12, True),
        ("    Altitude:|      Column: 22|      Row: 7|      Visible: no", "altitude", 22, 7, False),
        ("    Warnings:|      Column: 8|      Row: 10|      Visible: yes", "warnings", 8, 10, True),
        heads=("Overlay:", "  Elements:"),
    ),
    "video.link": _config("analog", "Video transmitter:", "  Link: analog"),
    "video.band": _config("A", "Video transmitter:", "  Band: A"),
    "video.channel": _config(3, "Video transmitter:", "  Channel: 3"),
    "video.frequency_mhz": _config(5825, "Video transmitter:", "  Frequency: 5825 MHz"),
    "video.power_mw": _config(100.0, "Video transmitter:", "  Power: 0.1 W"),
    "battery.cells": _config(3, "Battery:", "  Cells: 3"),
    "battery.cell_low": _config(3.2, "Battery:", "  Low cell voltage: 3.20 V"),
    "battery.cell_warn": _config(3.4, "Battery:", "  Warning cell voltage: 3.40 V"),
    "battery.cell_full": _config(4.25, "Battery:", "  Full cell voltage: 4.25 V"),
    "battery.scale": _config(10.3, "Battery:", "  Divider ratio: 10.3"),
    "battery.volts": said(11.87, "status", "Battery:", "  Voltage: 11.87 V"),
    "motors.protocol": _config("dshot300", "Motors:", "  Protocol: DShot300"),
    "motors.bidirectional": _config(False, "Motors:", "  Bidirectional: no"),
    "motors.poles": _config(12, "Motors:", "  Magnets: 12"),
    "motors.idle_percent": _config(3.5, "Motors:", "  Idle: 3.5 %"),
    "motors.reversed": _config(False, "Motors:", "  Reversed: no"),
    "motors.loop_hz": _config(1000, "Motors:", "  Control loop: 1 kHz"),
    "failsafe.action": _config("hold", "Failsafe:", "  Action: hold"),
    "failsafe.delay_s": _config(0.35, "Failsafe:", "  Delay: 350 ms"),
    "failsafe.throttle_us": _config(1420, "Failsafe:", "  Throttle: 1420 us"),
    "logger.device": _config("card", "Logger:", "  Device: card"),
    "logger.free_bytes": said(512 * 1024 * 1024, "status", "Logger:", "  Free: 512 MiB"),
    "channels.live": said(
        (1519, 1521, 1101, 1520, 1102, 1103, 1939, 1104),
        "status",
        "Inputs:",
        "  Channels: 1519 1521 1101 1520 1102 1103 1939 1104 us",
    ),
    "sensors.gyro": said("found", "status", "Sensors:", "  Gyro: found"),
    "sensors.accelerometer": said("found", "status", "Sensors:", "  Accelerometer: found"),
    "sensors.barometer": said("found", "status", "Sensors:", "  Barometer: found"),
    "arming.blocks": said(
        ("no-receiver-link", "not-level"), "status", "Arming:", "  Reasons:", "    no receiver signal", "    not level"
    ),
}

_HARMS = {
    "change": Harm("Changed.", "ident", "  Name: Tin Sparrow", "  Name: Robin", sample="change name Robin"),
    "keep": Harm("Kept.", "ident", "  Kept: 7 times", "  Kept: 8 times"),
    "restart": Harm("Restarting.", "ident", "  Started: 88 times", "  Started: 89 times"),
    "flash": Harm("Flash loader."),
    "turn": Harm("Turning.", "status", "  Output 1: 0 %", "  Output 1: 6 %", sample="turn 1 6"),
    "flat": Harm("Calibrated.", "status", "  Roll: 2.1 deg", "  Roll: 0.0 deg"),
    "forget": Harm("Forgotten.", "config", "  Centre: 1520 us", "  Centre: 1500 us"),
}


class Pembray(StatingConsole):
    """A key is understood from the heads above it; battery, motors and logger are both set and read."""

    name = "pembray"
    kinds = ("indented sections with :", "units in values", "records by heads", "help with colons")
    banner = "Pembray. ? for commands.\n"
    prompt = "pembray: "
    error = "Not a command: {line}"
    help_word = "?"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
