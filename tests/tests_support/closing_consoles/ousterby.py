"""Ousterby: an upper-case menu by number, pages of values in square brackets, 0 leads back. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_MENU = """\
OUSTERBY - MAIN MENU
 1 - FIRMWARE, BOARD AND CRAFT
 2 - RECEIVER AND CHANNELS
 3 - SWITCHES
 4 - SERIAL PORTS
 5 - OSD AND VIDEO TRANSMITTER
 6 - BATTERY
 7 - MOTORS
 8 - FAILSAFE
 9 - SENSORS, ARMING AND LOG
10 - GAINS AND FILTERS
20 - SAVE ALL SETTINGS
21 - REBOOT
22 - RESET TO DEFAULTS
23 - FIRMWARE UPDATE
24 - TEST THE MOTORS
25 - CALIBRATE THE LEVEL
26 - ERASE THE LOG
"""

_ABOUT = """\
FIRMWARE, BOARD AND CRAFT
  FIRMWARE NAME        [OUSTERBY]
  FIRMWARE VERSION     [2.15]
  BUILD DATE           [2026-01-29]
  LOADER VERSION       [1.1]
  BOARD NAME           [YARROWAY F405]
  BOARD SERIAL NUMBER  [YF-3302-18]
  CRAFT NAME           [LAZY CURLEW]
  ALL-UP WEIGHT        [486] G
  TIMES SAVED          [44]
  TIMES STARTED        [309]
"""

_RECEIVER = """\
RECEIVER AND CHANNELS
  RECEIVER TYPE        [PPM]
  SIGNAL INVERTED      [NO]
  TELEMETRY            [NO]
  CHANNEL ORDER        [TAER]
  MINIMUM PULSE        [1015] US
  CENTRE PULSE         [1505] US
  MAXIMUM PULSE        [1990] US
  DEADBAND             [6] US
  FRAME LENGTH         [22.5] MS
  SERVO CENTRE         [1520] US
  SMOOTHING            [30] HZ
"""

_SWITCHES = """\
SWITCHES
  ARM                  CHANNEL [5] FROM [1650] US TO [2100] US
  LEVEL                CHANNEL [6] FROM [900] US TO [1275] US
  BEEPER               CHANNEL [8] FROM [1750] US TO [2050] US
"""

_PORTS = """\
SERIAL PORTS
  UART1                [CONSOLE] AT [115200] BAUD
  UART2                [GPS] AT [57600] BAUD
  UART3                [TELEMETRY] AT [19200] BAUD
  UART6                [UNUSED]
  FRAMING ERRORS       [3]
  I2C CLOCK            [400] KHZ
"""

_OSD = """\
OSD AND VIDEO TRANSMITTER
  OSD ENABLED          [YES]
  VIDEO SYSTEM         [PAL]
  OSD COLUMNS          [30]
  OSD ROWS             [16]
  OSD BRIGHTNESS       [5]
  OSD REFRESH          [15] HZ
 OSD ELEMENTS
  BATTERY              COLUMN [3] ROW [14] [SHOWN]
  TIMER                COLUMN [21] ROW [14] [SHOWN]
  LINK QUALITY         COLUMN [3] ROW [2] [HIDDEN]
  WARNINGS             COLUMN [10] ROW [9] [SHOWN]
 VIDEO TRANSMITTER
  VIDEO LINK           [ANALOG]
  VIDEO BAND           [B]
  VIDEO CHANNEL        [5]
  VIDEO FREQUENCY      [5809] MHZ
  VIDEO POWER          [100] MW
  VIDEO POWER LIMIT    [500] MW
  PIT MODE             [OFF]
"""

_BATTERY = """\
BATTERY
  NUMBER OF CELLS      [4]
  BATTERY VOLTAGE      [14.96] V
  VOLTAGE DIVIDER      [11.3]
  LOWEST CELL VOLTAGE  [3.35] V
  CELL WARNING VOLTAGE [3.55] V
  FULL CELL VOLTAGE    [4.18] V
  BATTERY CAPACITY     [1600] MAH
  BATTERY CURRENT      [0.45] A
  5 V RAIL VOLTAGE     [5.03] V
"""

_MOTORS = """\
MOTORS
  MOTOR PROTOCOL       [DSHOT300]
  BIDIRECTIONAL        [YES]
  MOTOR POLES          [12]
  MOTOR IDLE           [5.8] %
  MOTORS REVERSED      [NO]
  MOTOR KV             [2350] RPM/V
  MOTOR OUTPUT NOW     [0] %
  CONTROL LOOP RATE    [2000] HZ
  GYRO SAMPLE RATE     [8000] HZ
"""

_FAILSAFE = """\
FAILSAFE
  FAILSAFE ACTION      [LAND]
  FAILSAFE DELAY       [1.3] S
  FAILSAFE THROTTLE    [1190] US
  LANDING TIME         [20] S
"""

_SENSORS = """\
SENSORS, ARMING AND LOG
  GYRO                 [FOUND]
  ACCELEROMETER        [FOUND]
  BAROMETER            [MISSING]
  COMPASS              [MISSING]
  GYRO TEMPERATURE     [35] C
  LEVEL OFFSET         [1.2] DEG
  ARMING BLOCKED BY    [NO RECEIVER LINK, THROTTLE NOT LOW]
  LOG DEVICE           [FLASH]
  LOG FREE SPACE       [1048576] BYTES
  LOG RATE             [400] HZ
  LOGGED FLIGHTS       [13]
"""

_GAINS = """\
GAINS AND FILTERS
  ROLL                 P [39] I [70] D [26]
  PITCH                P [41] I [73] D [28]
  YAW                  P [34] I [69] D [0]
  GYRO LOWPASS         [185] HZ
  D LOWPASS            [88] HZ
"""

_BACK = "  0 - BACK TO MAIN MENU\n"

_STATED = {
    "firmware.name": said("OUSTERBY", "1", "FIRMWARE NAME        [OUSTERBY]"),
    "firmware.version": said("2.15", "1", "FIRMWARE VERSION     [2.15]"),
    "firmware.built": said("2026-01-29", "1", "BUILD DATE           [2026-01-29]"),
    "board.name": said("YARROWAY F405", "1", "BOARD NAME           [YARROWAY F405]"),
    "board.serial": said("YF-3302-18", "1", "BOARD SERIAL NUMBER  [YF-3302-18]"),
    "craft.name": said("LAZY CURLEW", "1", "CRAFT NAME           [LAZY CURLEW]"),
    "receiver.kind": said("ppm", "2", "RECEIVER TYPE        [PPM]"),
    "receiver.inverted": said(False, "2", "SIGNAL INVERTED      [NO]"),
    "receiver.telemetry": said(False, "2", "TELEMETRY            [NO]"),
    "channels.order": said("TAER", "2", "CHANNEL ORDER        [TAER]"),
    "channels.low": said(1015, "2", "MINIMUM PULSE        [1015] US"),
    "channels.centre": said(1505, "2", "CENTRE PULSE         [1505] US"),
    "channels.high": said(1990, "2", "MAXIMUM PULSE        [1990] US"),
    **switches_said(
        "3",
        [
            ("arm", 5, 1650, 2100, ("ARM                  CHANNEL [5] FROM [1650] US TO [2100] US",)),
            ("level", 6, 900, 1275, ("LEVEL                CHANNEL [6] FROM [900] US TO [1275] US",)),
            ("beeper", 8, 1750, 2050, ("BEEPER               CHANNEL [8] FROM [1750] US TO [2050] US",)),
        ],
    ),
    **ports_said(
        "4",
        [
            ("UART1", ("console",), 115200, ("UART1                [CONSOLE] AT [115200] BAUD",)),
            ("UART2", ("positioning",), 57600, ("UART2                [GPS] AT [57600] BAUD",)),
            ("UART3", ("telemetry",), 19200, ("UART3                [TELEMETRY] AT [19200] BAUD",)),
            ("UART6", ("unused",), None, ("UART6                [UNUSED]",)),
        ],
    ),
    "overlay.enabled": said(True, "5", "OSD ENABLED          [YES]"),
    "overlay.system": said("pal", "5", "VIDEO SYSTEM         [PAL]"),
    "overlay.columns": said(30, "5", "OSD COLUMNS          [30]"),
    "overlay.rows": said(16, "5", "OSD ROWS             [16]"),
    **elements_said(
        "5",
        [
            ("battery", 3, 14, True, ("BATTERY              COLUMN [3] ROW [14] [SHOWN]",)),
            ("timer", 21, 14, True, ("TIMER                COLUMN [21] ROW [14] [SHOWN]",)),
            ("link-quality", 3, 2, False, ("LINK QUALITY         COLUMN [3] ROW [2] [HIDDEN]",)),
            ("warnings", 10, 9, True, ("WARNINGS             COLUMN [10] ROW [9] [SHOWN]",)),
        ],
    ),
    "video.link": said("analog", "5", "VIDEO LINK           [ANALOG]"),
    "video.band": said("B", "5", "VIDEO BAND           [B]"),
    "video.channel": said(5, "5", "VIDEO CHANNEL        [5]"),
    "video.frequency_mhz": said(5809, "5", "VIDEO FREQUENCY      [5809] MHZ"),
    "video.power_mw": said(100.0, "5", "VIDEO POWER          [100] MW"),
    "battery.cells": said(4, "6", "NUMBER OF CELLS      [4]"),
    "battery.volts": said(14.96, "6", "BATTERY VOLTAGE      [14.96] V"),
    "battery.scale": said(11.3, "6", "VOLTAGE DIVIDER      [11.3]"),
    "battery.cell_low": said(3.35, "6", "LOWEST CELL VOLTAGE  [3.35] V"),
    "battery.cell_warn": said(3.55, "6", "CELL WARNING VOLTAGE [3.55] V"),
    "battery.cell_full": said(4.18, "6", "FULL CELL VOLTAGE    [4.18] V"),
    "motors.protocol": said("dshot300", "7", "MOTOR PROTOCOL       [DSHOT300]"),
    "motors.bidirectional": said(True, "7", "BIDIRECTIONAL        [YES]"),
    "motors.poles": said(12, "7", "MOTOR POLES          [12]"),
    "motors.idle_percent": said(5.8, "7", "MOTOR IDLE           [5.8] %"),
    "motors.reversed": said(False, "7", "MOTORS REVERSED      [NO]"),
    "motors.loop_hz": said(2000, "7", "CONTROL LOOP RATE    [2000] HZ"),
    "failsafe.action": said("land", "8", "FAILSAFE ACTION      [LAND]"),
    "failsafe.delay_s": said(1.3, "8", "FAILSAFE DELAY       [1.3] S"),
    "failsafe.throttle_us": said(1190, "8", "FAILSAFE THROTTLE    [1190] US"),
    "sensors.gyro": said("found", "9", "GYRO                 [FOUND]"),
    "sensors.accelerometer": said("found", "9", "ACCELEROMETER        [FOUND]"),
    "sensors.barometer": said("missing", "9", "BAROMETER            [MISSING]"),
    "arming.blocks": said(
        ("no-receiver-link", "throttle-not-low"), "9", "ARMING BLOCKED BY    [NO RECEIVER LINK, THROTTLE NOT LOW]"
    ),
    "logger.device": said("flash", "9", "LOG DEVICE           [FLASH]"),
    "logger.free_bytes": said(1048576, "9", "LOG FREE SPACE       [1048576] BYTES"),
}

_HARMS = {
    "20": Harm("SAVED", "1", "TIMES SAVED          [44]", "TIMES SAVED          [45]"),
    "21": Harm("REBOOTING", "1", "TIMES STARTED        [309]", "TIMES STARTED        [310]"),
    "22": Harm("DEFAULTS SET", "1", "[LAZY CURLEW]", "[]"),
    "23": Harm("SEND THE FIRMWARE"),
    "24": Harm("MOTORS RUNNING", "7", "MOTOR OUTPUT NOW     [0]", "MOTOR OUTPUT NOW     [5]"),
    "25": Harm("LEVEL TAKEN", "9", "LEVEL OFFSET         [1.2]", "LEVEL OFFSET         [0.0]"),
    "26": Harm("LOG ERASED", "9", "LOGGED FLIGHTS       [13]", "LOGGED FLIGHTS       [0]"),
}

_LEAVES = (_ABOUT, _RECEIVER, _SWITCHES, _PORTS, _OSD, _BATTERY, _MOTORS, _FAILSAFE, _SENSORS, _GAINS)
_PAGES = {"?": _MENU, **{str(at): page + _BACK for at, page in enumerate(_LEAVES, start=1)}}


class Ousterby(StatingConsole):
    """A number is taken in the main menu; on a page only 0 is, and ? shows the page again."""

    name = "ousterby"
    kinds = ("upper-case menu by number", "values in square brackets, units behind", "pages with a way back")
    banner = _MENU
    prompt = "NUMBER? "
    error = "{line} IS NOT ON THIS PAGE, ? SHOWS IT AGAIN"
    help_word = "?"
    any_case = True
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)

    way_back = "0"

    def __init__(self) -> None:
        super().__init__()
        self._at = self.help_word

    def answer(self, line: str) -> str:
        typed = line.strip().upper()
        if typed == "?":
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
