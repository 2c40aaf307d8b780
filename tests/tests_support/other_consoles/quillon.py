"""Quillon: upper case, aligned tables with a header, a pager that takes two keys. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_HELP = """\
WORD        WHAT IT DOES
BENCH       SHOW THE SUPPLY AND THE CLOCKS
COMMIT      REMEMBER THE PRESENT VALUES
CYCLE       BEGIN AGAIN
DISPLAY     SHOW THE OVERLAY
DRIVE       SHOW THE MOTOR OUTPUT
FACTORY     GO BACK TO HOW IT LEFT THE WORKS
FRESHEN     MAKE ROOM IN THE RECORDER
HEALTH      SHOW SENSORS AND ARMING
HELP        SHOW THESE WORDS
IDENT       SHOW WHAT THIS UNIT IS
INTAKE      GET READY FOR NEW FIRMWARE
PORTS       SHOW THE SERIAL PORTS
POWER       SHOW THE BATTERY
RADIO       SHOW THE RECEIVER AND CHANNELS
SAFETY      SHOW WHAT HAPPENS WITHOUT A SIGNAL
TASKS       SHOW HOW THE TIME IS SPENT
TRIM        LEVEL IT OUT
TUNING      SHOW GAINS AND FILTERS
TWIRL       LET EACH MOTOR HAVE A GO
VIDEO       SHOW THE PICTURE TRANSMITTER
"""

_IDENT = """\
ITEM                VALUE
FIRMWARE            QUILLON
VERSION             3.0.7
BUILT               2025-12-19
BOARD               TAVY-722
SERIAL NUMBER       77-0193-A
CRAFT NAME          COPPER JAY
TABLE VERSION       12
STARTS              230
"""

_RADIO = """\
ITEM                VALUE     UNIT
RECEIVER INPUT      PPM
FRAME PERIOD        22.5      MS
CHANNEL ORDER       AETR
LOWEST PULSE        1000      US
CENTRE PULSE        1500      US
HIGHEST PULSE       2000      US
DEADBAND            6         US
EXPO                25        %
TURN RATE           640       DEG/S

FUNCTION     CHANNEL   FROM US   TO US
ARM          5         1700      2100
LEVEL        6         900       1300
"""

_PORTS = """\
PORT     FUNCTION         BAUD      ERRORS
USB      CONSOLE          -         0
COM1     GPS              38400     2
COM2     ESC TELEMETRY    115200    0
COM3     NONE             -         0
"""

_DISPLAY = """\
ITEM                VALUE
OVERLAY             ON
VIDEO STANDARD      NTSC
COLUMNS             30
ROWS                13
BRIGHTNESS          3
BLINK RATE          2

ELEMENT        COLUMN   ROW   WIDTH   SHOWN
BATTERY        2        11    5       YES
TIMER          22       11    6       NO
"""

_VIDEO = """\
ITEM                VALUE     UNIT
LINK                ANALOG
BAND                F
CHANNEL             4
FREQUENCY           5800      MHZ
POWER               25        MW
TEMPERATURE         44        C
"""

_POWER = """\
ITEM                VALUE     UNIT
CELLS               4
PACK VOLTAGE        15880     MV
LOWEST CELL LIMIT   3200      MV
CELL WARNING        3500      MV
FULL CELL           4200      MV
CURRENT             410       MA
CAPACITY            1500      MAH
BALANCE CELLS       0
"""

_DRIVE = """\
ITEM                VALUE     UNIT
MOTOR PROTOCOL      DSHOT600
BIDIRECTIONAL       NO
MOTOR POLES         12
MOTOR IDLE          6.0       %
LOOP PERIOD         250       US
OUTPUT NOW          0         %
VOLTAGE BOOST       15        %
"""

_SAFETY = """\
ITEM                VALUE     UNIT
FAILSAFE ACTION     LAND
FAILSAFE DELAY      1200      MS
FAILSAFE THROTTLE   1150      US
TILT LIMIT          65        DEG
CRASH RATE          900       DEG/S
"""

_HEALTH = """\
SENSOR           STATE      TEMP C
GYRO             FOUND      39
ACCELEROMETER    FOUND      39
BAROMETER        MISSING    -

ARMING BLOCKED BY
NO RECEIVER LINK
USB CONNECTED

RECORDER         VALUE      UNIT
FREE             2097152    BYTES
"""

_TUNING = """\
AXIS     P      I      D     FEED
ROLL     42     81     33    110
PITCH    47     86     36    115
YAW      39     80     0     100

FILTER        KIND      HZ
GYRO          LOWPASS   220
D TERM        LOWPASS   105
NOTCH         NOTCH     280

LEVEL OFFSET  -1.4
"""

_TASKS = """\
TASK        RATE    MEAN US   MOST US
GYRO        8000    12        19
CONTROL     4000    61        88
RADIO       44      20        31
DISPLAY     12      140       900
"""

_BENCH = """\
ITEM                VALUE     UNIT
SUPPLY              5.04      V
CORE CLOCK          216       MHZ
CORE LOAD           31        %
RUNNING FOR         418       S
"""

_STATED = {
    "firmware.name": said("QUILLON", "IDENT", "FIRMWARE            QUILLON"),
    "firmware.version": said("3.0.7", "IDENT", "VERSION             3.0.7"),
    "firmware.built": said("2025-12-19", "IDENT", "BUILT               2025-12-19"),
    "board.name": said("TAVY-722", "IDENT", "BOARD               TAVY-722"),
    "board.serial": said("77-0193-A", "IDENT", "SERIAL NUMBER       77-0193-A"),
    "craft.name": said("COPPER JAY", "IDENT", "CRAFT NAME          COPPER JAY"),
    "receiver.kind": said("ppm", "RADIO", "RECEIVER INPUT      PPM"),
    "channels.order": said("AETR", "RADIO", "CHANNEL ORDER       AETR"),
    "channels.low": said(1000, "RADIO", "LOWEST PULSE        1000      US"),
    "channels.centre": said(1500, "RADIO", "CENTRE PULSE        1500      US"),
    "channels.high": said(2000, "RADIO", "HIGHEST PULSE       2000      US"),
    "switches[0].function": said("arm", "RADIO", "ARM          5         1700      2100"),
    "switches[0].channel": said(5, "RADIO", "ARM          5         1700      2100"),
    "switches[0].from_us": said(1700, "RADIO", "ARM          5         1700      2100"),
    "switches[0].to_us": said(2100, "RADIO", "ARM          5         1700      2100"),
    "switches[1].function": said("level", "RADIO", "LEVEL        6         900       1300"),
    "switches[1].channel": said(6, "RADIO", "LEVEL        6         900       1300"),
    "switches[1].from_us": said(900, "RADIO", "LEVEL        6         900       1300"),
    "switches[1].to_us": said(1300, "RADIO", "LEVEL        6         900       1300"),
    "ports[0].id": said("USB", "PORTS", "USB      CONSOLE          -         0"),
    "ports[0].roles": said(("console",), "PORTS", "USB      CONSOLE          -         0"),
    "ports[1].id": said("COM1", "PORTS", "COM1     GPS              38400     2"),
    "ports[1].roles": said(("positioning",), "PORTS", "COM1     GPS              38400     2"),
    "ports[1].baud": said(38400, "PORTS", "COM1     GPS              38400     2"),
    "ports[2].id": said("COM2", "PORTS", "COM2     ESC TELEMETRY    115200    0"),
    "ports[2].roles": said(("esc-telemetry",), "PORTS", "COM2     ESC TELEMETRY    115200    0"),
    "ports[2].baud": said(115200, "PORTS", "COM2     ESC TELEMETRY    115200    0"),
    "ports[3].id": said("COM3", "PORTS", "COM3     NONE             -         0"),
    "ports[3].roles": said(("unused",), "PORTS", "COM3     NONE             -         0"),
    "overlay.enabled": said(True, "DISPLAY", "OVERLAY             ON"),
    "overlay.system": said("ntsc", "DISPLAY", "VIDEO STANDARD      NTSC"),
    "overlay.columns": said(30, "DISPLAY", "COLUMNS             30"),
    "overlay.rows": said(13, "DISPLAY", "ROWS                13"),
    "overlay.elements[0].name": said("battery", "DISPLAY", "BATTERY        2        11    5       YES"),
    "overlay.elements[0].column": said(2, "DISPLAY", "BATTERY        2        11    5       YES"),
    "overlay.elements[0].row": said(11, "DISPLAY", "BATTERY        2        11    5       YES"),
    "overlay.elements[0].width": said(5, "DISPLAY", "BATTERY        2        11    5       YES"),
    "overlay.elements[0].shown": said(True, "DISPLAY", "BATTERY        2        11    5       YES"),
    "overlay.elements[1].name": said("timer", "DISPLAY", "TIMER          22       11    6       NO"),
    "overlay.elements[1].column": said(22, "DISPLAY", "TIMER          22       11    6       NO"),
    "overlay.elements[1].row": said(11, "DISPLAY", "TIMER          22       11    6       NO"),
    "overlay.elements[1].width": said(6, "DISPLAY", "TIMER          22       11    6       NO"),
    "overlay.elements[1].shown": said(False, "DISPLAY", "TIMER          22       11    6       NO"),
    "video.link": said("analog", "VIDEO", "LINK                ANALOG"),
    "video.band": said("F", "VIDEO", "BAND                F"),
    "video.channel": said(4, "VIDEO", "CHANNEL             4"),
    "video.frequency_mhz": said(5800, "VIDEO", "FREQUENCY           5800      MHZ"),
    "video.power_mw": said(25.0, "VIDEO", "POWER               25        MW"),
    "battery.cells": said(4, "POWER", "CELLS               4"),
    "battery.volts": said(15.88, "POWER", "PACK VOLTAGE        15880     MV"),
    "battery.cell_low": said(3.2, "POWER", "LOWEST CELL LIMIT   3200      MV"),
    "battery.cell_warn": said(3.5, "POWER", "CELL WARNING        3500      MV"),
    "battery.cell_full": said(4.2, "POWER", "FULL CELL           4200      MV"),
    "motors.protocol": said("dshot600", "DRIVE", "MOTOR PROTOCOL      DSHOT600"),
    "motors.bidirectional": said(False, "DRIVE", "BIDIRECTIONAL       NO"),
    "motors.poles": said(12, "DRIVE", "MOTOR POLES         12"),
    "motors.idle_percent": said(6.0, "DRIVE", "MOTOR IDLE          6.0       %"),
    "motors.loop_hz": said(4000, "DRIVE", "LOOP PERIOD         250       US"),  # 1 / 250 us
    "failsafe.action": said("land", "SAFETY", "FAILSAFE ACTION     LAND"),
    "failsafe.delay_s": said(1.2, "SAFETY", "FAILSAFE DELAY      1200      MS"),
    "failsafe.throttle_us": said(1150, "SAFETY", "FAILSAFE THROTTLE   1150      US"),
    "sensors.gyro": said("found", "HEALTH", "GYRO             FOUND      39"),
    "sensors.accelerometer": said("found", "HEALTH", "ACCELEROMETER    FOUND      39"),
    "sensors.barometer": said("missing", "HEALTH", "BAROMETER        MISSING    -"),
    "arming.blocks": said(
        ("no-receiver-link", "usb-connected"), "HEALTH", "ARMING BLOCKED BY", "NO RECEIVER LINK", "USB CONNECTED"
    ),
    "logger.free_bytes": said(2097152, "HEALTH", "FREE             2097152    BYTES"),
}

_HARMS = {
    "COMMIT": Harm("COMMITTED", "IDENT", "TABLE VERSION       12", "TABLE VERSION       13"),
    "CYCLE": Harm("QUILLON 3.0.7 STARTING", "IDENT", "STARTS              230", "STARTS              231"),
    "FACTORY": Harm("AS DELIVERED", "IDENT", "CRAFT NAME          COPPER JAY", "CRAFT NAME          -"),
    "FRESHEN": Harm("RECORDER EMPTY", "HEALTH", "FREE             2097152", "FREE             16777216"),
    "INTAKE": Harm("SEND IMAGE"),
    "TRIM": Harm("LEVELLED", "TUNING", "LEVEL OFFSET  -1.4", "LEVEL OFFSET  0.0"),
    "TWIRL": Harm("TWIRLING", "DRIVE", "OUTPUT NOW          0         %", "OUTPUT NOW          8         %"),
}

_ROOM = 12
"""Lines that are printed before the pager stops."""

_PAGES = {
    "HELP": _HELP,
    "IDENT": _IDENT,
    "RADIO": _RADIO,
    "PORTS": _PORTS,
    "DISPLAY": _DISPLAY,
    "VIDEO": _VIDEO,
    "POWER": _POWER,
    "DRIVE": _DRIVE,
    "SAFETY": _SAFETY,
    "HEALTH": _HEALTH,
    "TUNING": _TUNING,
    "TASKS": _TASKS,
    "BENCH": _BENCH,
}


class Quillon(StatingConsole):
    """Upper case (it takes either), aligned tables, a pager that goes on with a blank and stops with Q."""

    name = "quillon"
    kinds = ("upper case", "aligned tables", "pager with a key")
    banner = "QUILLON 3.0.7   TYPE HELP\n"
    prompt = "QLN] "
    error = "NO SUCH WORD {line}"
    help_word = "HELP"
    any_case = True
    pager = ("(MORE - SPACE, OR Q)", b" ")
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)

    def __init__(self) -> None:
        super().__init__()
        self._left: list[str] = []

    def entered(self, line: str) -> str:
        self._left = super().entered(line).splitlines(keepends=True)
        return self._some()

    def _some(self) -> str:
        now, self._left = self._left[:_ROOM], self._left[_ROOM:]
        if self._left == [self.prompt]:
            now, self._left = [*now, self.prompt], []
        return "".join(now) + (self.pager[0] if self._left and self.pager else "")

    def _key(self, byte: int) -> bytes:
        if not self._left or not self.pager:
            return super()._key(byte)
        width = len(self.pager[0])
        wiped = "\r" + " " * width + "\r"
        if byte == ord(" "):
            return (wiped + self._some()).encode()
        if byte in b"qQ":
            self._left = []
            return (wiped + self.prompt).encode()
        return b"\x07"
