"""Skelgate: a word per subject, a title above dashes, labels with a colon in two columns side by side. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_COMMANDS = """\
Commands
--------
Display:
  About      Board, firmware and craft
  Battery    Flight battery
  Commands   This page
  Failsafe   What is done when the radio link is lost
  Modes      What the switches of the transmitter do
  Motors     Motors, speed controllers and control loop
  Osd        On-screen display and video transmitter
  Receiver   Receiver and channels
  Serial     Serial ports
  Status     Sensors, arming and data log
  Tune       PID gains and filters
Change:
  Boot       Start the firmware updater
  Erase      Erase the data log
  Factory    Restore the factory settings
  Level      Calibrate the accelerometer
  Reset      Restart the controller
  Save       Store the settings
  Test       Motor test
"""

_ABOUT = """\
Board, Firmware and Craft
-------------------------
Board:        Tansy H743           Serial No.:   TH7-4402-91
Firmware:     Skelgate             Version:      5.3.0
Built:        17 Jun 2026          Loader:       1.6
Craft Name:   Paper Owl            Times Saved:  29
Starts:       311                  Up Time:      204 s
"""

_BATTERY = """\
Battery
-------
Cells:            6                Voltage:          23.71 V
Cell Minimum:     3.25 V           Cell Warning:     3.45 V
Cell Full:        4.20 V           Voltage Divider:  21.0
Current:          0.52 A           Current Scale:    40.0 mV/A
Capacity:         1100 mAh         Used:             0 mAh
5 V Supply:       5.08 V           9 V Supply:       9.11 V
"""

_FAILSAFE = """\
Failsafe
--------
Action:           Land             Delay:            1.5 s
Throttle:         1180 us          Landing Time:     20 s
Recovery Time:    2.0 s            Events:           0
"""

_MODES = """\
Modes
-----
Arm:          Ch 5  1700-2100 us   Level:        Ch 6  1000-1300 us
Turtle:       Ch 8  1800-2100 us   Beeper:       Ch 9  1650-2100 us
"""

_MOTORS = """\
Motors and Control Loop
-----------------------
Protocol:         DShot300         Bidirectional:    Yes
Poles:            12               Idle:             6.0 %
Reversed:         Yes              Loop Rate:        4 kHz
Gyro Rate:        8 kHz            Motor KV:         1750
Output Now:       0 %              Outputs:          4
"""

_OSD = """\
On-Screen Display
-----------------
OSD:              On               Video System:     NTSC
Columns:          30               Rows:             13
Font:             2                Brightness:       80 %

Elements (column, row)
----------------------
Battery:          2,11 Shown       Timer:            22,11 Shown
Craft Name:       11,1 Hidden      Altitude:         24,6 Shown

Video Transmitter
-----------------
Link:             Analog           Band:             E
Channel:          4                Frequency:        5645 MHz
Power:            400 mW           Maximum Power:    800 mW
Temperature:      52 C             Pit Mode:         Off
"""

_RECEIVER = """\
Receiver and Channels
---------------------
Type:             Serial           Protocol:         SBUS
Port:             UART 5           Inverted:         Yes
Half Duplex:      No               Telemetry:        No
Channel Order:    AETR             Deadband:         5 us
Lowest Pulse:     1010 us          Highest Pulse:    1990 us
Centre Pulse:     1505 us          Frame Rate:       111 Hz
Signal Strength:  0 %              Lost Frames:      12
"""

_SERIAL = """\
Serial Ports
------------
UART 1:       Console              Baud:         115200
UART 2:       Telemetry            Baud:         57600
UART 3:       Not Used             Baud:         -
UART 5:       Receiver             Baud:         100000
UART 7:       ESC Telemetry        Baud:         115200
"""

_STATUS = """\
Status
------
Gyro:             Found            Accelerometer:    Found
Barometer:        Missing          Compass:          Missing
Gyro Temp.:       37 C             CPU Load:         18 %
Level Error:      0.9 deg          I2C Errors:       0

Arming
------
Blocked By:       No Receiver Link, Not Level

Data Log
--------
Device:           Card             Free:             1887436800 bytes
Log Rate:         2 kHz            Flights:          31
"""

_TUNE = """\
Gains and Filters
-----------------
Roll P:           46               Pitch P:          48
Roll I:           82               Pitch I:          86
Roll D:           32               Pitch D:          35
Yaw P:            38               Yaw I:            80
Gyro Low-Pass:    220 Hz           D Low-Pass:       100 Hz
Max. Roll Rate:   720 deg/s        LED Colour:       Blue
"""


def _port(number: int, use: str, baud: int | str) -> tuple[str]:
    return (f"UART {number}:       {use:<20} Baud:         {baud}",)


_STATED = {
    "firmware.name": said("Skelgate", "About", "Firmware:     Skelgate"),
    "firmware.version": said("5.3.0", "About", "Version:      5.3.0"),
    "firmware.built": said("17 Jun 2026", "About", "Built:        17 Jun 2026"),
    "board.name": said("Tansy H743", "About", "Board:        Tansy H743"),
    "board.serial": said("TH7-4402-91", "About", "Serial No.:   TH7-4402-91"),
    "craft.name": said("Paper Owl", "About", "Craft Name:   Paper Owl"),
    "receiver.kind": said("serial", "Receiver", "Type:             Serial"),
    "receiver.protocol": said("sbus", "Receiver", "Protocol:         SBUS"),
    "receiver.port": said("UART 5", "Receiver", "Port:             UART 5"),
    "receiver.inverted": said(True, "Receiver", "Inverted:         Yes"),
    "receiver.half_duplex": said(False, "Receiver", "Half Duplex:      No"),
    "receiver.telemetry": said(False, "Receiver", "Telemetry:        No"),
    "channels.order": said("AETR", "Receiver", "Channel Order:    AETR"),
    "channels.low": said(1010, "Receiver", "Lowest Pulse:     1010 us"),
    "channels.centre": said(1505, "Receiver", "Centre Pulse:     1505 us"),
    "channels.high": said(1990, "Receiver", "Highest Pulse:    1990 us"),
    **switches_said(
        "Modes",
        [
            ("arm", 5, 1700, 2100, ("Arm:          Ch 5  1700-2100 us",)),
            ("level", 6, 1000, 1300, ("Level:        Ch 6  1000-1300 us",)),
            ("turtle", 8, 1800, 2100, ("Turtle:       Ch 8  1800-2100 us",)),
            ("beeper", 9, 1650, 2100, ("Beeper:       Ch 9  1650-2100 us",)),
        ],
    ),
    **ports_said(
        "Serial",
        [
            ("UART 1", ("console",), 115200, _port(1, "Console", 115200)),
            ("UART 2", ("telemetry",), 57600, _port(2, "Telemetry", 57600)),
            ("UART 3", ("unused",), None, _port(3, "Not Used", "-")),
            ("UART 5", ("receiver",), 100000, _port(5, "Receiver", 100000)),
            ("UART 7", ("esc-telemetry",), 115200, _port(7, "ESC Telemetry", 115200)),
        ],
    ),
    "overlay.enabled": said(True, "Osd", "OSD:              On"),
    "overlay.system": said("ntsc", "Osd", "Video System:     NTSC"),
    "overlay.columns": said(30, "Osd", "Columns:          30"),
    "overlay.rows": said(13, "Osd", "Rows:             13"),
    **elements_said(
        "Osd",
        [
            ("battery", 2, 11, True, ("Battery:          2,11 Shown",)),
            ("timer", 22, 11, True, ("Timer:            22,11 Shown",)),
            ("craft-name", 11, 1, False, ("Craft Name:       11,1 Hidden",)),
            ("altitude", 24, 6, True, ("Altitude:         24,6 Shown",)),
        ],
    ),
    "video.link": said("analog", "Osd", "Link:             Analog"),
    "video.band": said("E", "Osd", "Band:             E"),
    "video.channel": said(4, "Osd", "Channel:          4"),
    "video.frequency_mhz": said(5645, "Osd", "Frequency:        5645 MHz"),
    "video.power_mw": said(400.0, "Osd", "Power:            400 mW"),
    "battery.cells": said(6, "Battery", "Cells:            6"),
    "battery.volts": said(23.71, "Battery", "Voltage:          23.71 V"),
    "battery.scale": said(21.0, "Battery", "Voltage Divider:  21.0"),
    "battery.cell_low": said(3.25, "Battery", "Cell Minimum:     3.25 V"),
    "battery.cell_warn": said(3.45, "Battery", "Cell Warning:     3.45 V"),
    "battery.cell_full": said(4.2, "Battery", "Cell Full:        4.20 V"),
    "motors.protocol": said("dshot300", "Motors", "Protocol:         DShot300"),
    "motors.bidirectional": said(True, "Motors", "Bidirectional:    Yes"),
    "motors.poles": said(12, "Motors", "Poles:            12"),
    "motors.idle_percent": said(6.0, "Motors", "Idle:             6.0 %"),
    "motors.reversed": said(True, "Motors", "Reversed:         Yes"),
    "motors.loop_hz": said(4000, "Motors", "Loop Rate:        4 kHz"),
    "failsafe.action": said("land", "Failsafe", "Action:           Land"),
    "failsafe.delay_s": said(1.5, "Failsafe", "Delay:            1.5 s"),
    "failsafe.throttle_us": said(1180, "Failsafe", "Throttle:         1180 us"),
    "sensors.gyro": said("found", "Status", "Gyro:             Found"),
    "sensors.accelerometer": said("found", "Status", "Accelerometer:    Found"),
    "sensors.barometer": said("missing", "Status", "Barometer:        Missing"),
    "arming.blocks": said(("no-receiver-link", "not-level"), "Status", "Blocked By:       No Receiver Link, Not Level"),
    "logger.device": said("card", "Status", "Device:           Card"),
    "logger.free_bytes": said(1887436800, "Status", "Free:             1887436800 bytes"),
}

_HARMS = {
    "Boot": Harm("Updater ready."),
    "Erase": Harm("Erased.", "Status", "Flights:          31", "Flights:          0"),
    "Factory": Harm("Factory settings.", "About", "Craft Name:   Paper Owl", "Craft Name:   -        "),
    "Level": Harm("Calibrated.", "Status", "Level Error:      0.9 deg", "Level Error:      0.0 deg"),
    "Reset": Harm("Restarting.", "About", "Starts:       311", "Starts:       312"),
    "Save": Harm("Stored.", "About", "Times Saved:  29", "Times Saved:  30"),
    "Test": Harm("Motor 2 turns.", "Motors", "Output Now:       0 %", "Output Now:       6 %", "Test 2"),
}

_PAGES = {
    "About": _ABOUT,
    "Battery": _BATTERY,
    "Commands": _COMMANDS,
    "Failsafe": _FAILSAFE,
    "Modes": _MODES,
    "Motors": _MOTORS,
    "Osd": _OSD,
    "Receiver": _RECEIVER,
    "Serial": _SERIAL,
    "Status": _STATUS,
    "Tune": _TUNE,
}


class Skelgate(StatingConsole):
    """Two labels stand on a line, each with its value and unit; a page has a title that is underlined."""

    name = "skelgate"
    kinds = ("pairs side by side in two columns", "underlined titles", "help grouped by what the words do")
    banner = "Skelgate 5.3.0 on Tansy H743\nType Commands for the commands.\n"
    prompt = "Skelgate> "
    error = "Unknown command '{line}'. Type Commands."
    help_word = "Commands"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
