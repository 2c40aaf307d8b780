"""Cawthwaite: a menu by number whose pages hold a label, a value and a unit; letters act and lead back. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_MENU = """\
== Cawthwaite main menu ==
[1]  Board and firmware
[2]  Receiver and channels
[3]  Switches
[4]  Serial ports
[5]  On-screen display
[6]  Video transmitter
[7]  Battery
[8]  Motors
[9]  Failsafe
[10] Sensors, arming and flight log
[11] Gains and filters
[S]  Save the settings
[R]  Restart the board
[D]  Default settings
[U]  Update the firmware
[M]  Motor test
[E]  Erase the flight log
[?]  This menu
"""

_BACK = "\n[B]  Back to the main menu\n"

_BOARD = """\
== Board and firmware ==
Firmware                  Cawthwaite
Firmware version          4.1.0
Build date                2026-06-11
Bootloader version        2.2
Board model               BURDOCK F745
Serial number             BK-77120-4
Craft name                Dusty Wren
Settings saved            61          times
Starts                    348         times
Run time                  212         s
Processor temperature     46          deg C
"""

_RECEIVER = """\
== Receiver and channels ==
Receiver type             serial
Receiver protocol         CRSF
Receiver port             UART 3
Signal inverted           no
Half duplex               no
Telemetry                 on
Telemetry interval        240         ms
Channel order             AETR
Lowest pulse              988         us
Centre pulse              1502        us
Highest pulse             2012        us
Stick deadband            4           us
Servo centre              1520        us
"""

_SWITCHES = """\
== Switches ==
Arm                       channel 5, 1700 to 2100     us
Level                     channel 6, 900 to 1300      us
Beeper                    channel 8, 1600 to 2050     us
"""

_PORTS = """\
== Serial ports ==
UART 1 use                console
UART 1 speed              115200      baud
UART 2 use                video transmitter control
UART 2 speed              9600        baud
UART 3 use                receiver
UART 3 speed              420000      baud
UART 4 use                GPS
UART 4 speed              57600       baud
UART 6 use                unused
Characters lost           0
"""

_OSD = """\
== On-screen display ==
OSD                       on
Video system              PAL
Grid columns              30
Grid rows                 16
Blink rate                2           Hz

Element                   Place
Battery                   column 2, row 14, shown
Timer                     column 23, row 14, shown
Link quality              column 2, row 1, shown
Craft name                column 10, row 2, hidden
"""

_VIDEO = """\
== Video transmitter ==
Video link                analog
Band                      F
Channel                   4
Frequency                 5800        MHz
Power                     200         mW
Power limit               600         mW
Pit mode                  off
"""

_BATTERY = """\
== Battery ==
Cells                     4
Battery voltage           15.92       V
Supply voltage            5.04        V
Voltage divider           10.9
Lowest cell voltage       3.30        V
Cell warning voltage      3.52        V
Full cell voltage         4.20        V
Capacity                  1500        mAh
Current                   0.41        A
"""

_MOTORS = """\
== Motors ==
Motor protocol            DShot600
Bidirectional DShot       on
Motor poles               14
Motor idle                5.5         %
Motors reversed           no
Control loop rate         4000        Hz
Gyro sample rate          8000        Hz
Output now                0           %
"""

_FAILSAFE = """\
== Failsafe ==
Failsafe action           land
Failsafe delay            1.2         s
Failsafe throttle         1150        us
Landing time              10          s
"""

_SENSORS = """\
== Sensors, arming and flight log ==
Gyro                      found
Accelerometer             found
Barometer                 missing
Roll trim                 0.8         deg
Pitch trim                -0.3        deg
Arming blocked by         USB connected, throttle not low
Log device                flash
Free space                8126464     bytes
Log rate                  500         Hz
Flights logged            4
"""

_GAINS = """\
== Gains and filters ==
Roll P, I, D              44, 78, 28
Pitch P, I, D             46, 82, 31
Yaw P, I, D               40, 75, 0
Gyro low-pass             240         Hz
D low-pass                105         Hz
LED colour                amber
"""


def _port(number: int, use: str, speed: str) -> tuple[str, str]:
    """The two lines of a port."""
    return f"UART {number} use                {use}", f"UART {number} speed              {speed}"


_STATED = {
    "firmware.name": said("Cawthwaite", "1", "Firmware                  Cawthwaite"),
    "firmware.version": said("4.1.0", "1", "Firmware version          4.1.0"),
    "firmware.built": said("2026-06-11", "1", "Build date                2026-06-11"),
    "board.name": said("BURDOCK F745", "1", "Board model               BURDOCK F745"),
    "board.serial": said("BK-77120-4", "1", "Serial number             BK-77120-4"),
    "craft.name": said("Dusty Wren", "1", "Craft name                Dusty Wren"),
    "receiver.kind": said("serial", "2", "Receiver type             serial"),
    "receiver.protocol": said("crsf", "2", "Receiver protocol         CRSF"),
    "receiver.port": said("UART 3", "2", "Receiver port             UART 3"),
    "receiver.inverted": said(False, "2", "Signal inverted           no"),
    "receiver.half_duplex": said(False, "2", "Half duplex               no"),
    "receiver.telemetry": said(True, "2", "Telemetry                 on"),
    "channels.order": said("AETR", "2", "Channel order             AETR"),
    "channels.low": said(988, "2", "Lowest pulse              988 "),
    "channels.centre": said(1502, "2", "Centre pulse              1502 "),
    "channels.high": said(2012, "2", "Highest pulse             2012 "),
    **switches_said(
        "3",
        [
            ("arm", 5, 1700, 2100, ("Arm                       channel 5, 1700 to 2100 ",)),
            ("level", 6, 900, 1300, ("Level                     channel 6, 900 to 1300 ",)),
            ("beeper", 8, 1600, 2050, ("Beeper                    channel 8, 1600 to 2050 ",)),
        ],
    ),
    **ports_said(
        "4",
        [
            ("UART 1", ("console",), 115200, _port(1, "console", "115200 ")),
            ("UART 2", ("video-control",), 9600, _port(2, "video transmitter control", "9600 ")),
            ("UART 3", ("receiver",), 420000, _port(3, "receiver", "420000 ")),
            ("UART 4", ("positioning",), 57600, _port(4, "GPS", "57600 ")),
            ("UART 6", ("unused",), None, ("UART 6 use                unused",)),
        ],
    ),
    "overlay.enabled": said(True, "5", "OSD                       on"),
    "overlay.system": said("pal", "5", "Video system              PAL"),
    "overlay.columns": said(30, "5", "Grid columns              30"),
    "overlay.rows": said(16, "5", "Grid rows                 16"),
    **elements_said(
        "5",
        [
            ("battery", 2, 14, True, ("Battery                   column 2, row 14, shown",)),
            ("timer", 23, 14, True, ("Timer                     column 23, row 14, shown",)),
            ("link-quality", 2, 1, True, ("Link quality              column 2, row 1, shown",)),
            ("craft-name", 10, 2, False, ("Craft name                column 10, row 2, hidden",)),
        ],
    ),
    "video.link": said("analog", "6", "Video link                analog"),
    "video.band": said("F", "6", "Band                      F"),
    "video.channel": said(4, "6", "Channel                   4"),
    "video.frequency_mhz": said(5800, "6", "Frequency                 5800 "),
    "video.power_mw": said(200.0, "6", "Power                     200 "),
    "battery.cells": said(4, "7", "Cells                     4"),
    "battery.volts": said(15.92, "7", "Battery voltage           15.92 "),
    "battery.scale": said(10.9, "7", "Voltage divider           10.9"),
    "battery.cell_low": said(3.3, "7", "Lowest cell voltage       3.30 "),
    "battery.cell_warn": said(3.52, "7", "Cell warning voltage      3.52 "),
    "battery.cell_full": said(4.2, "7", "Full cell voltage         4.20 "),
    "motors.protocol": said("dshot600", "8", "Motor protocol            DShot600"),
    "motors.bidirectional": said(True, "8", "Bidirectional DShot       on"),
    "motors.poles": said(14, "8", "Motor poles               14"),
    "motors.idle_percent": said(5.5, "8", "Motor idle                5.5 "),
    "motors.reversed": said(False, "8", "Motors reversed           no"),
    "motors.loop_hz": said(4000, "8", "Control loop rate         4000 "),
    "failsafe.action": said("land", "9", "Failsafe action           land"),
    "failsafe.delay_s": said(1.2, "9", "Failsafe delay            1.2 "),
    "failsafe.throttle_us": said(1150, "9", "Failsafe throttle         1150 "),
    "sensors.gyro": said("found", "10", "Gyro                      found"),
    "sensors.accelerometer": said("found", "10", "Accelerometer             found"),
    "sensors.barometer": said("missing", "10", "Barometer                 missing"),
    "arming.blocks": said(
        ("usb-connected", "throttle-not-low"), "10", "Arming blocked by         USB connected, throttle not low"
    ),
    "logger.device": said("flash", "10", "Log device                flash"),
    "logger.free_bytes": said(8126464, "10", "Free space                8126464 "),
}

_HARMS = {
    "S": Harm("Saved.", "1", "Settings saved            61", "Settings saved            62"),
    "R": Harm("Restarting.", "1", "Starts                    348", "Starts                    349"),
    "D": Harm("Defaults set.", "1", "Craft name                Dusty Wren", "Craft name                -"),
    "U": Harm("Waiting for a firmware file."),
    "M": Harm("Motors turning.", "8", "Output now                0", "Output now                6"),
    "E": Harm("Erased.", "10", "Flights logged            4", "Flights logged            0"),
}

_LEAVES = (_BOARD, _RECEIVER, _SWITCHES, _PORTS, _OSD, _VIDEO, _BATTERY, _MOTORS, _FAILSAFE, _SENSORS, _GAINS)
_PAGES = {"?": _MENU, "HELP": _MENU, **{str(at): page + _BACK for at, page in enumerate(_LEAVES, start=1)}}


class Cawthwaite(StatingConsole):
    """The entries are taken in the main menu; on a page only the way back and the question mark are."""

    name = "cawthwaite"
    kinds = ("menu by number, letters to act", "pages of label, value and unit with a way back")
    banner = "\n" + _MENU
    prompt = "Entry: "
    error = "There is no {line} here. [?] shows what there is."
    help_word = "?"
    any_case = True
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)

    way_back = "B"

    def __init__(self) -> None:
        super().__init__()
        self._at = self.help_word

    def answer(self, line: str) -> str:
        typed = line.strip().upper()
        if typed in ("?", "HELP"):
            return super().answer(self._at)
        inside = self._at != self.help_word
        if inside and typed == self.way_back:
            self._at = self.help_word
            return super().answer(self._at)
        if inside or (typed not in self.pages and typed not in self.harms):
            return self.lines(self.error.format(line=typed))
        if typed in self.pages:
            self._at = typed
        return super().answer(typed)
