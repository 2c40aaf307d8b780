"""Orrin: menus by number, each entered and left again, one within another. Invented."""

from __future__ import annotations

from collections.abc import Mapping

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_TOP = "0"

_MENU = """\
Main menu
  1) Identity
  2) Radio control
  3) Serial lines
  4) Picture
  5) Flight battery
  6) Motors
  7) Readiness
  8) Control loop
  9) Keep everything as it is now
 10) Take a fresh breath
 11) Hand over to the updater
 12) Start with a clean sheet
"""

_IDENTITY = """\
Identity
  Firmware            Orrin
  Firmware version    11.2
  Hardware            STANE F405
  Hardware version    3
  Aircraft name       Quiet Mole
  Settings kept       33 times
  Powered up          140 times
  0) Back
"""

_RADIO = """\
Radio control
  Receiver input      PWM
  Stick order         AETR
  Lowest pulse        1.020 ms
  Neutral pulse       1.510 ms
  Highest pulse       1.980 ms
  Dead zone           0.008 ms
  Frame rate          50 Hz
  On loss of signal   hold
  Time until then     0.75 s
  Throttle then       1.240 ms
  Smoothing           2
  0) Back
"""

_SERIAL = """\
Serial lines
  LINE A              console, 115200 baud
  LINE B              ESC telemetry, 115200 baud
  LINE C              OSD, 230400 baud
  LINE D              not used
  Idle time-out       300 s
  0) Back
"""

_PICTURE = """\
Picture
 41) Overlay
 42) Transmitter
  0) Back
"""

_OVERLAY = """\
Overlay
  Shown               yes
  System              digital
  Grid                50 columns, 18 rows
  Blink rate          3
  Font version        7
  0) Back
"""

_TRANSMITTER = """\
Transmitter
  Kind of link        digital
  Frequency           5.805 GHz
  Output power        0.4 W
  Temperature         51 C
  Fan                 auto
  0) Back
"""

_BATTERY = """\
Flight battery
  Cells in series     6
  Cells in parallel   1
  Voltage             22.86 V
  Empty cell          3.25 V
  Warn at             3.60 V a cell
  Full cell           4.20 V
  Used so far         0 mAh
  0) Back
"""

_MOTORS = """\
Motors
  Signal              DShot600
  Speed feedback      yes
  Bell magnets        14
  Idle                7 %
  Turning             usual way
  Size of stator      2207
  Drive at present    0 %
 61) Let them stretch
  0) Back
"""

_READINESS = """\
Readiness
  Gyroscope           working
  Accelerometer       working
  Barometer           not fitted
  Tilt correction     2.2 deg
  Core temperature    45 C
  Running for         77 s
  Not ready because   receiver signal missing
                      craft is not level
 71) This is level
  0) Back
"""

_LOOP = """\
Control loop
  Frequency           4 kHz
  Load                38 %
  Gains roll          40 75 28
  Gains pitch         43 79 31
  Gains yaw           35 75 0
  Lamp                green
  0) Back
"""

_PORT = {
    "A": "LINE A              console, 115200 baud",
    "B": "LINE B              ESC telemetry, 115200 baud",
    "C": "LINE C              OSD, 230400 baud",
    "D": "LINE D              not used",
}

_STATED = {
    "firmware.name": said("Orrin", "1", "Firmware            Orrin"),
    "firmware.version": said("11.2", "1", "Firmware version    11.2"),
    "board.name": said("STANE F405", "1", "Hardware            STANE F405"),
    "craft.name": said("Quiet Mole", "1", "Aircraft name       Quiet Mole"),
    "receiver.kind": said("pwm", "2", "Receiver input      PWM"),
    "channels.order": said("AETR", "2", "Stick order         AETR"),
    "channels.low": said(1020, "2", "Lowest pulse        1.020 ms"),
    "channels.centre": said(1510, "2", "Neutral pulse       1.510 ms"),
    "channels.high": said(1980, "2", "Highest pulse       1.980 ms"),
    "failsafe.action": said("hold", "2", "On loss of signal   hold"),
    "failsafe.delay_s": said(0.75, "2", "On loss of signal   hold", "Time until then     0.75 s"),
    "failsafe.throttle_us": said(1240, "2", "On loss of signal   hold", "Throttle then       1.240 ms"),
    "ports[0].id": said("LINE A", "3", _PORT["A"]),
    "ports[0].roles": said(("console",), "3", _PORT["A"]),
    "ports[0].baud": said(115200, "3", _PORT["A"]),
    "ports[1].id": said("LINE B", "3", _PORT["B"]),
    "ports[1].roles": said(("esc-telemetry",), "3", _PORT["B"]),
    "ports[1].baud": said(115200, "3", _PORT["B"]),
    "ports[2].id": said("LINE C", "3", _PORT["C"]),
    "ports[2].roles": said(("overlay-link",), "3", _PORT["C"]),
    "ports[2].baud": said(230400, "3", _PORT["C"]),
    "ports[3].id": said("LINE D", "3", _PORT["D"]),
    "ports[3].roles": said(("unused",), "3", _PORT["D"]),
    "overlay.enabled": said(True, "41", "Overlay", "Shown               yes"),
    "overlay.system": said("digital", "41", "System              digital"),
    "overlay.columns": said(50, "41", "Grid                50 columns, 18 rows"),
    "overlay.rows": said(18, "41", "Grid                50 columns, 18 rows"),
    "video.link": said("digital", "42", "Kind of link        digital"),
    "video.frequency_mhz": said(5805, "42", "Transmitter", "Frequency           5.805 GHz"),
    "video.power_mw": said(400.0, "42", "Output power        0.4 W"),
    "battery.cells": said(6, "5", "Cells in series     6"),
    "battery.volts": said(22.86, "5", "Voltage             22.86 V"),
    "battery.cell_low": said(3.25, "5", "Empty cell          3.25 V"),
    "battery.cell_warn": said(3.6, "5", "Warn at             3.60 V a cell"),
    "battery.cell_full": said(4.2, "5", "Full cell           4.20 V"),
    "motors.protocol": said("dshot600", "6", "Motors", "Signal              DShot600"),
    "motors.bidirectional": said(True, "6", "Speed feedback      yes"),
    "motors.poles": said(14, "6", "Bell magnets        14"),
    "motors.idle_percent": said(7.0, "6", "Idle                7 %"),
    "motors.reversed": said(False, "6", "Turning             usual way"),
    "motors.loop_hz": said(4000, "8", "Control loop", "Frequency           4 kHz"),
    "arming.blocks": said(
        ("no-receiver-link", "not-level"),
        "7",
        "Not ready because   receiver signal missing",
        "                      craft is not level",
    ),
    "sensors.gyro": said("found", "7", "Gyroscope           working"),
    "sensors.accelerometer": said("found", "7", "Accelerometer       working"),
    "sensors.barometer": said("missing", "7", "Barometer           not fitted"),
}

_HARMS = {
    "9": Harm("Kept.", "1", "Settings kept       33 times", "Settings kept       34 times"),
    "10": Harm("Breathing.", "1", "Powered up          140 times", "Powered up          141 times"),
    "11": Harm("Updater."),
    "12": Harm("Clean.", "1", "Aircraft name       Quiet Mole", "Aircraft name       -"),
    "61": Harm("Stretching.", "6", "Drive at present    0 %", "Drive at present    9 %"),
    "71": Harm("Noted.", "7", "Tilt correction     2.2 deg", "Tilt correction     0.0 deg"),
}

_PAGES = {
    _TOP: _MENU,
    "1": _IDENTITY,
    "2": _RADIO,
    "3": _SERIAL,
    "4": _PICTURE,
    "41": _OVERLAY,
    "42": _TRANSMITTER,
    "5": _BATTERY,
    "6": _MOTORS,
    "7": _READINESS,
    "8": _LOOP,
}


class Orrin(StatingConsole):
    """A number is taken only in the menu that shows it; 0 leads out of an entry, ? shows the present one again."""

    name = "orrin"
    kinds = ("menu by number with entries and a way back", "help with descriptions")
    banner = "\n" + _MENU
    prompt = "No.? "
    error = "{line}: not offered here (? shows what is)"
    help_word = "?"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)

    way_back = _TOP
    within: Mapping[str, str] = {"41": "4", "42": "4", "61": "6", "71": "7"}
    """The entry in which a number is offered; the main menu offers the others."""

    def __init__(self) -> None:
        super().__init__()
        self._at = _TOP

    def answer(self, line: str) -> str:
        typed = line.strip()
        if typed == "?":
            return super().answer(self._at)
        if typed == self.way_back:
            self._at = self.within.get(self._at, _TOP)
            return super().answer(self._at)
        if (typed not in self.pages and typed not in self.harms) or self.within.get(typed, _TOP) != self._at:
            return self.lines(self.error.format(line=typed))
        if typed in self.pages:
            self._at = typed
        return super().answer(typed)
