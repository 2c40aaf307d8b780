"""Stonewick: one menu by letter, pages of labels led by dots to their values. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_WIDTH = 26

# Each page below the letter that prints it; the dots are put in for the bar.
_SHOWN = """\
--- ?
STONEWICK MENU
Pages
 a) About firmware, board and craft
 r) Receiver and channels
 k) Switches
 p) Serial ports
 o) OSD
 v) Video transmitter
 b) Battery
 m) Motors and control loop
 f) Failsafe
 s) Status and readings
 g) Gains and filters
 ?) This menu
Actions
 w) Write settings to flash
 x) Restart the board
 d) Restore defaults
 u) Update the firmware
 t) Test the motors
 c) Calibrate the accelerometer
 e) Erase the flight log
--- a
ABOUT
Firmware|Stonewick
Firmware version|5.0.3
Build date|2026-02-17
Bootloader version|1.1
Board|SAXIFRAGE F7
Board revision|E
Serial number|SX7-00318
Craft name|Paper Stoat
Take-off weight|590 g
Settings written|17
Restarts|88
--- r
RECEIVER AND CHANNELS
Receiver type|Serial
Receiver protocol|IBUS
Receiver port|UART3
Inverted|No
Half duplex|Yes
Telemetry to radio|Yes
Telemetry interval|160 ms
Channel order|AETR
Channel minimum|1004 us
Channel centre|1496 us
Channel maximum|1991 us
Stick deadband|6 us
Servo centre|1510 us
--- k
SWITCHES
Arm|channel 5, 1720-2090 us
Level|channel 8, 910-1260 us
Beeper|channel 7, 1745-2055 us
--- p
SERIAL PORTS
UART1|Console, 115200 baud
UART2|Telemetry, 38400 baud
UART3|Receiver, 115200 baud
UART5|Video control, 9600 baud
UART6|Unused
I2C clock|800 kHz
Framing errors|2
--- o
OSD
OSD enabled|Yes
OSD video system|PAL
OSD columns|30
OSD rows|16
OSD refresh rate|25 Hz
Battery position|column 2, row 14, visible
Timer position|column 23, row 14, visible
Speed position|column 3, row 7, hidden
Craft name position|column 9, row 1, visible
--- v
VIDEO TRANSMITTER
Video link|Analog
Video band|R
Video channel|2
Video frequency|5695 MHz
Video power|400 mW
Maximum video power|800 mW
Pit mode|Off
--- b
BATTERY
Cell count|4
Voltage divider|11.3
Minimum cell voltage|3.31 V
Warning cell voltage|3.56 V
Full cell voltage|4.19 V
Battery capacity|1500 mAh
Current scale|41 mV/A
--- m
MOTORS AND CONTROL LOOP
Motor protocol|DSHOT300
Bidirectional DShot|Yes
Motor poles|14
Motor idle|5.4 %
Motors reversed|No
Motor KV|2050 rpm/V
Control loop rate|2 kHz
Gyro sample rate|4 kHz
Throttle limit|90 %
--- f
FAILSAFE
Failsafe action|Land
Failsafe delay|0.7 s
Failsafe throttle|1230 us
Landing time|20 s
Recovery delay|1.2 s
--- s
STATUS AND READINGS
Battery voltage|16.04 V
Battery current|0.46 A
Energy used|8 mAh
5 V supply|5.02 V
Gyro|Found
Accelerometer|Found
Barometer|Missing
Compass|Missing
Arming blocked by|throttle not low, not level
Motor output|0 %
Level offset|1.1 deg
Processor temperature|43 C
Uptime|391 s
Log device|Flash
Log free space|12582912 bytes
Log rate|250 Hz
Log files|6
--- g
GAINS AND FILTERS
Roll gains|P 45, I 80, D 31
Pitch gains|P 48, I 85, D 34
Yaw gains|P 37, I 78, D 0
Gyro low-pass|215 Hz
"""


def _dotted(line: str) -> str:
    label, bar, value = line.partition("|")
    return f"{(label + ' ').ljust(_WIDTH, '.')} {value}" if bar else label


_PAGES = {
    word: "".join(_dotted(line) + "\n" for line in page.splitlines())
    for word, _, page in (text.partition("\n") for text in _SHOWN.split("--- ")[1:])
}

_SAID = [
    ("firmware.name", "Stonewick", "a", "Firmware|Stonewick"),
    ("firmware.version", "5.0.3", "a", "Firmware version|5.0.3"),
    ("firmware.built", "2026-02-17", "a", "Build date|2026-02-17"),
    ("board.name", "SAXIFRAGE F7", "a", "Board|SAXIFRAGE F7"),
    ("board.serial", "SX7-00318", "a", "Serial number|SX7-00318"),
    ("craft.name", "Paper Stoat", "a", "Craft name|Paper Stoat"),
    ("receiver.kind", "serial", "r", "Receiver type|Serial"),
    ("receiver.protocol", "ibus", "r", "Receiver protocol|IBUS"),
    ("receiver.port", "UART3", "r", "Receiver port|UART3"),
    ("receiver.inverted", False, "r", "Inverted|No"),
    ("receiver.half_duplex", True, "r", "Half duplex|Yes"),
    ("receiver.telemetry", True, "r", "Telemetry to radio|Yes"),
    ("channels.order", "AETR", "r", "Channel order|AETR"),
    ("channels.low", 1004, "r", "Channel minimum|1004 us"),
    ("channels.centre", 1496, "r", "Channel centre|1496 us"),
    ("channels.high", 1991, "r", "Channel maximum|1991 us"),
    ("overlay.enabled", True, "o", "OSD enabled|Yes"),
    ("overlay.system", "pal", "o", "OSD video system|PAL"),
    ("overlay.columns", 30, "o", "OSD columns|30"),
    ("overlay.rows", 16, "o", "OSD rows|16"),
    ("video.link", "analog", "v", "Video link|Analog"),
    ("video.band", "R", "v", "Video band|R"),
    ("video.channel", 2, "v", "Video channel|2"),
    ("video.frequency_mhz", 5695, "v", "Video frequency|5695 MHz"),
    ("video.power_mw", 400.0, "v", "Video power|400 mW"),
    ("battery.cells", 4, "b", "Cell count|4"),
    ("battery.scale", 11.3, "b", "Voltage divider|11.3"),
    ("battery.cell_low", 3.31, "b", "Minimum cell voltage|3.31 V"),
    ("battery.cell_warn", 3.56, "b", "Warning cell voltage|3.56 V"),
    ("battery.cell_full", 4.19, "b", "Full cell voltage|4.19 V"),
    ("motors.protocol", "dshot300", "m", "Motor protocol|DSHOT300"),
    ("motors.bidirectional", True, "m", "Bidirectional DShot|Yes"),
    ("motors.poles", 14, "m", "Motor poles|14"),
    ("motors.idle_percent", 5.4, "m", "Motor idle|5.4 %"),
    ("motors.reversed", False, "m", "Motors reversed|No"),
    ("motors.loop_hz", 2000, "m", "Control loop rate|2 kHz"),
    ("failsafe.action", "land", "f", "Failsafe action|Land"),
    ("failsafe.delay_s", 0.7, "f", "Failsafe delay|0.7 s"),
    ("failsafe.throttle_us", 1230, "f", "Failsafe throttle|1230 us"),
    ("battery.volts", 16.04, "s", "Battery voltage|16.04 V"),
    ("sensors.gyro", "found", "s", "Gyro|Found"),
    ("sensors.accelerometer", "found", "s", "Accelerometer|Found"),
    ("sensors.barometer", "missing", "s", "Barometer|Missing"),
    ("arming.blocks", ("throttle-not-low", "not-level"), "s", "Arming blocked by|throttle not low, not level"),
    ("logger.device", "flash", "s", "Log device|Flash"),
    ("logger.free_bytes", 12582912, "s", "Log free space|12582912 bytes"),
]
_STATED = {
    **{name: said(value, word, _dotted(line)) for name, value, word, line in _SAID},
    **switches_said(
        "k",
        [
            ("arm", 5, 1720, 2090, (_dotted("Arm|channel 5, 1720-2090 us"),)),
            ("level", 8, 910, 1260, (_dotted("Level|channel 8, 910-1260 us"),)),
            ("beeper", 7, 1745, 2055, (_dotted("Beeper|channel 7, 1745-2055 us"),)),
        ],
    ),
    **ports_said(
        "p",
        [
            ("UART1", ("console",), 115200, (_dotted("UART1|Console, 115200 baud"),)),
            ("UART2", ("telemetry",), 38400, (_dotted("UART2|Telemetry, 38400 baud"),)),
            ("UART3", ("receiver",), 115200, (_dotted("UART3|Receiver, 115200 baud"),)),
            ("UART5", ("video-control",), 9600, (_dotted("UART5|Video control, 9600 baud"),)),
            ("UART6", ("unused",), None, (_dotted("UART6|Unused"),)),
        ],
    ),
    **elements_said(
        "o",
        [
            ("battery", 2, 14, True, (_dotted("Battery position|column 2, row 14, visible"),)),
            ("timer", 23, 14, True, (_dotted("Timer position|column 23, row 14, visible"),)),
            ("speed", 3, 7, False, (_dotted("Speed position|column 3, row 7, hidden"),)),
            ("craft-name", 9, 1, True, (_dotted("Craft name position|column 9, row 1, visible"),)),
        ],
    ),
}

_HARMS = {
    "w": Harm("Written.", "a", _dotted("Settings written|17"), _dotted("Settings written|18")),
    "x": Harm("Restarting.", "a", _dotted("Restarts|88"), _dotted("Restarts|89")),
    "d": Harm("Defaults restored.", "a", "Paper Stoat", "-"),
    "u": Harm("Send the firmware."),
    "t": Harm("Motors running.", "s", _dotted("Motor output|0 %"), _dotted("Motor output|5 %")),
    "c": Harm("Calibrated.", "s", "1.1 deg", "0.0 deg"),
    "e": Harm("Log erased.", "s", _dotted("Log files|6"), _dotted("Log files|0")),
}


class Stonewick(StatingConsole):
    """Each letter prints its page, whatever was shown before."""

    name = "stonewick"
    kinds = ("one menu by letter", "dots between label and value", "units in the value", "pages and actions apart")
    banner = _PAGES["?"]
    prompt = "Letter: "
    error = '"{line}" is not in the menu, enter ? to see it'
    help_word = "?"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
