"""Lindrick: a menu by letter with nested pages, a pager, tabs between label and value, units in the label. Invented."""

from __future__ import annotations

from collections.abc import Mapping

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_TOP = "x"

_MENU = """\
LINDRICK
(b) board            (r) radio >
(p) serial ports     (v) video >
(e) energy           (d) drive >
(f) failsafe         (h) health >
(k) keep settings    (z) factory settings
(a) restart          (u) firmware upload
(?) this again       (x) back
"""

_BOARD = """\
BOARD
Board\tSORREL F411 AIO
Serial number\tSF4-88-0146
Firmware\tLindrick
Version\t1.8.0
Build date\t2026-07-30
Craft name\tMoss Wagtail
Times kept\t44
Times started\t519
"""

_RADIO = """\
RADIO
Receiver kind\tSPI
Telemetry\ton
Telemetry interval [ms]\t240
(c) channels         (s) switches
(x) back
"""

_CHANNELS = """\
RADIO / CHANNELS
Channel order\tAETR
Pulse low [us]\t985
Pulse centre [us]\t1500
Pulse high [us]\t2015
Now [us]\t1500 1499 985 1500 985 985
(x) back
"""

_SWITCHES = """\
RADIO / SWITCHES
Switch\tChannel\tFrom [us]\tTo [us]
Arm\t5\t1800\t2100
Level\t6\t900\t1150
Beeper\t7\t1700\t2100
(x) back
"""

_PORTS = """\
SERIAL PORTS
Port\tUse\tBaud
P1\tconsole\t115200
P2\tvideo control\t9600
P3\tGPS\t115200
P4\tunused\t-
"""

_VIDEO = """\
VIDEO
Link\tanalog
Camera tilt [deg]\t30
(o) overlay          (t) transmitter
(x) back
"""

_OVERLAY = """\
VIDEO / OVERLAY
Overlay\ton
Video standard\tauto
Columns\t30
Rows\t16

Element\tColumn\tRow\tDrawn
Battery\t2\t14\tyes
Timer\t21\t14\tyes
Craft name\t10\t1\tno
Warnings\t9\t11\tyes
(x) back
"""

_TRANSMITTER = """\
VIDEO / TRANSMITTER
Band\tA
Channel\t6
Frequency [MHz]\t5765
Power [mW]\t100
(x) back
"""

_ENERGY = """\
ENERGY
Cells\t2
Battery [V]\t8.02
Logic supply [V]\t4.97
Divider\t10.8
Lowest cell [V]\t3.30
Cell warning [V]\t3.60
Full cell [V]\t4.35
Capacity [mAh]\t550
"""

_DRIVE = """\
DRIVE
Motor protocol\tDSHOT150
Bidirectional\tyes
Poles\t12
Idle [%]\t7.5
Direction\tnormal
Loop rate [kHz]\t3.2
Gyro rate [kHz]\t6.4
Output [%]\t0
(g) gains            (w) whirl a motor
(x) back
"""

_GAINS = """\
DRIVE / GAINS
Axis\tP\tI\tD
Roll\t52\t88\t36
Pitch\t54\t90\t38
(x) back
"""

_FAILSAFE = """\
FAILSAFE
Action\treturn
Delay [ms]\t600
Throttle [us]\t1260
"""

_HEALTH = """\
HEALTH
Gyro\tfound
Accelerometer\tfound
Barometer\tfound
Level error [deg]\t1.1
Arming blocked by\tno receiver link, USB connected
Log memory\tflash
Log free [KiB]\t15360
Log rate [Hz]\t800
Log flights\t3
(l) learn level      (y) empty the log
(x) back
"""


def _switch(name: str, channel: int, low: int, high: int) -> tuple[str, int, int, int, tuple[str]]:
    return name, channel, low, high, (f"{name.title()}\t{channel}\t{low}\t{high}",)


_SWITCH_ROWS = [_switch("arm", 5, 1800, 2100), _switch("level", 6, 900, 1150), _switch("beeper", 7, 1700, 2100)]

_STATED = {
    "firmware.name": said("Lindrick", "b", "Firmware\tLindrick"),
    "firmware.version": said("1.8.0", "b", "Version\t1.8.0"),
    "firmware.built": said("2026-07-30", "b", "Build date\t2026-07-30"),
    "board.name": said("SORREL F411 AIO", "b", "Board\tSORREL F411 AIO"),
    "board.serial": said("SF4-88-0146", "b", "Serial number\tSF4-88-0146"),
    "craft.name": said("Moss Wagtail", "b", "Craft name\tMoss Wagtail"),
    "receiver.kind": said("spi", "r", "Receiver kind\tSPI"),
    "receiver.telemetry": said(True, "r", "Telemetry\ton"),
    "channels.order": said("AETR", "c", "Channel order\tAETR"),
    "channels.low": said(985, "c", "Pulse low [us]\t985"),
    "channels.centre": said(1500, "c", "Pulse centre [us]\t1500"),
    "channels.high": said(2015, "c", "Pulse high [us]\t2015"),
    "channels.live": said((1500, 1499, 985, 1500, 985, 985), "c", "Now [us]\t1500 1499 985 1500 985 985"),
    **switches_said("s", _SWITCH_ROWS),
    **ports_said(
        "p",
        [
            ("P1", ("console",), 115200, ("P1\tconsole\t115200",)),
            ("P2", ("video-control",), 9600, ("P2\tvideo control\t9600",)),
            ("P3", ("positioning",), 115200, ("P3\tGPS\t115200",)),
            ("P4", ("unused",), None, ("P4\tunused\t-",)),
        ],
    ),
    "overlay.enabled": said(True, "o", "Overlay\ton"),
    "overlay.system": said("auto", "o", "Video standard\tauto"),
    "overlay.columns": said(30, "o", "Columns\t30"),
    "overlay.rows": said(16, "o", "Rows\t16"),
    **elements_said(
        "o",
        [
            ("battery", 2, 14, True, ("Battery\t2\t14\tyes",)),
            ("timer", 21, 14, True, ("Timer\t21\t14\tyes",)),
            ("craft-name", 10, 1, False, ("Craft name\t10\t1\tno",)),
            ("warnings", 9, 11, True, ("Warnings\t9\t11\tyes",)),
        ],
    ),
    "video.link": said("analog", "v", "Link\tanalog"),
    "video.band": said("A", "t", "Band\tA"),
    "video.channel": said(6, "t", "Channel\t6"),
    "video.frequency_mhz": said(5765, "t", "Frequency [MHz]\t5765"),
    "video.power_mw": said(100.0, "t", "Power [mW]\t100"),
    "battery.cells": said(2, "e", "Cells\t2"),
    "battery.volts": said(8.02, "e", "Battery [V]\t8.02"),
    "battery.scale": said(10.8, "e", "Divider\t10.8"),
    "battery.cell_low": said(3.3, "e", "Lowest cell [V]\t3.30"),
    "battery.cell_warn": said(3.6, "e", "Cell warning [V]\t3.60"),
    "battery.cell_full": said(4.35, "e", "Full cell [V]\t4.35"),
    "motors.protocol": said("dshot150", "d", "Motor protocol\tDSHOT150"),
    "motors.bidirectional": said(True, "d", "Bidirectional\tyes"),
    "motors.poles": said(12, "d", "Poles\t12"),
    "motors.idle_percent": said(7.5, "d", "Idle [%]\t7.5"),
    "motors.reversed": said(False, "d", "Direction\tnormal"),
    "motors.loop_hz": said(3200, "d", "Loop rate [kHz]\t3.2"),
    "failsafe.action": said("return", "f", "Action\treturn"),
    "failsafe.delay_s": said(0.6, "f", "Delay [ms]\t600"),
    "failsafe.throttle_us": said(1260, "f", "Throttle [us]\t1260"),
    "sensors.gyro": said("found", "h", "Gyro\tfound"),
    "sensors.accelerometer": said("found", "h", "Accelerometer\tfound"),
    "sensors.barometer": said("found", "h", "Barometer\tfound"),
    "arming.blocks": said(("no-receiver-link", "usb-connected"), "h", "blocked by\tno receiver link, USB connected"),
    "logger.device": said("flash", "h", "Log memory\tflash"),
    "logger.free_bytes": said(15360 * 1024, "h", "Log free [KiB]\t15360"),
}

_HARMS = {
    "a": Harm("Restarting.", "b", "Times started\t519", "Times started\t520"),
    "k": Harm("Kept.", "b", "Times kept\t44", "Times kept\t45"),
    "l": Harm("Level learnt.", "h", "Level error [deg]\t1.1", "Level error [deg]\t0.0"),
    "u": Harm("Upload."),
    "w": Harm("Whirling motor 1.", "d", "Output [%]\t0", "Output [%]\t9"),
    "y": Harm("Log is empty.", "h", "Log flights\t3", "Log flights\t0"),
    "z": Harm("Factory settings.", "b", "Craft name\tMoss Wagtail", "Craft name\t-"),
}

_PAGES = {_TOP: _MENU, "b": _BOARD, "r": _RADIO, "c": _CHANNELS, "s": _SWITCHES, "p": _PORTS, "v": _VIDEO}
_PAGES |= {"o": _OVERLAY, "t": _TRANSMITTER, "e": _ENERGY, "d": _DRIVE, "g": _GAINS, "f": _FAILSAFE, "h": _HEALTH}

_ROOM = 10
"""Lines that are printed before the pager stops."""


class Lindrick(StatingConsole):
    """A page of the menu stays open, and offers its own letters only, when it has pages below; x leads back."""

    name = "lindrick"
    kinds = ("menu by letter with nested pages", "pager with any key", "tabs", "units in square brackets")
    prompt = "Choice? "
    error = "({line}) is not on this page, ? shows it"
    help_word = _TOP
    pager = ("-- more --", b" ")
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)

    way_back = _TOP
    within: Mapping[str, str] = {"c": "r", "s": "r", "o": "v", "t": "v", "g": "d", "w": "d", "l": "h", "y": "h"}
    """The page on which a letter is offered; the main menu offers the others."""

    def __init__(self) -> None:
        super().__init__()
        self._at = _TOP
        self._left: list[str] = []

    def answer(self, line: str) -> str:
        typed = line.strip()
        if typed == "?":
            return super().answer(self._at)
        if typed == self.way_back:
            self._at = self.within.get(self._at, _TOP)
            return super().answer(self._at)
        if (typed not in self.pages and typed not in self.harms) or self.within.get(typed, _TOP) != self._at:
            return self.lines(self.error.format(line=typed))
        if "(x) back" in self.pages.get(typed, ""):
            self._at = typed
        return super().answer(typed)

    def entered(self, line: str) -> str:
        self._left = super().entered(line).splitlines(keepends=True)
        return self._some()

    def _some(self) -> str:
        room = len(self._left) if len(self._left) <= _ROOM + 1 else _ROOM
        now, self._left = self._left[:room], self._left[room:]
        return "".join(now) + (self.pager[0] if self._left and self.pager else "")

    def _key(self, byte: int) -> bytes:
        if not self._left or not self.pager:
            return super()._key(byte)
        wiped = "\r" + " " * len(self.pager[0]) + "\r"
        return (wiped + self._some()).encode()
