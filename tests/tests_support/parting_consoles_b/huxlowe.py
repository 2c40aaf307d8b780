"""Huxlowe: upper case only, every reply a table with bars, the unit in the column behind the value. Invented."""

from __future__ import annotations

from itertools import groupby

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.verdict_consoles_a.marked import marked

# Cells are set to one width for each table, and a rule is drawn below its header, by `_drawn`.
_SHOWN = """\
--- HELP
COMMAND|MEANING
HELP|LIST OF COMMANDS
ABOUT|SHOW FIRMWARE, BOARD AND CRAFT
RADIO|SHOW RECEIVER, CHANNELS AND FAILSAFE
MODES|SHOW MODE SWITCHES
UARTS|SHOW SERIAL PORTS
SCREEN|SHOW OSD AND ITS ELEMENTS
VTX|SHOW VIDEO TRANSMITTER
POWER|SHOW BATTERY SETTINGS
DRIVE|SHOW MOTORS AND CONTROL LOOP
TUNING|SHOW GAINS AND FILTERS
HEALTH|SHOW SENSORS, ARMING AND READINGS
COMMIT|SAVE SETTINGS TO FLASH
RELAUNCH|RESTART THE BOARD
PRISTINE|RESTORE DEFAULT SETTINGS
UPLOAD|ENTER THE BOOTLOADER
TURN|RUN A MOTOR TEST
TRIM|CALIBRATE THE ACCELEROMETER
--- ABOUT
ITEM|VALUE|UNIT
FIRMWARE NAME|HUXLOWE|- @@ firmware.name='HUXLOWE'
FIRMWARE VERSION|3.18.0|- @@ firmware.version='3.18.0'
BUILD DATE|2026-01-23|- @@ firmware.built='2026-01-23'
BOOTLOADER VERSION|1.9|-
BOARD TYPE|COLTSFOOT H7|- @@ board.name='COLTSFOOT H7'
BOARD REVISION|D|-
BOARD SERIAL|CF7-51938|- @@ board.serial='CF7-51938'
NAME OF CRAFT|BENT SPARROW|- @@ craft.name='BENT SPARROW'
CRAFT WEIGHT|442|G
SAVES|36|COUNT
BOOTS|275|COUNT
--- RADIO
PARAMETER|VALUE|UNIT
RX TYPE|SERIAL|- @@ receiver.kind='serial'
RX PROTOCOL|SBUS|- @@ receiver.protocol='sbus'
RX PORT|UART2|- @@ receiver.port='UART2'
RX INVERTED|YES|- @@ receiver.inverted=True
RX HALF DUPLEX|NO|- @@ receiver.half_duplex=False
RX TELEMETRY|NO|- @@ receiver.telemetry=False
RX SMOOTHING|40|HZ
CHANNEL ORDER|TAER|- @@ channels.order='TAER'
CHANNEL MIN|1008|US @@ channels.low=1008
CHANNEL CENTER|1503|US @@ channels.centre=1503
CHANNEL MAX|1994|US @@ channels.high=1994
CHANNEL DEADBAND|5|US
SERVO CENTER|1525|US
SERVO RATE|50|HZ
FAILSAFE ACTION|LAND|- @@ failsafe.action='land'
SIGNAL LOST DELAY|900|MS @@ failsafe.delay_s=0.9
FAILSAFE THROTTLE|1270|US @@ failsafe.throttle_us=1270
FAILSAFE RECOVERY|1400|MS
--- MODES
FUNCTION|CHANNEL|FROM|TO|UNIT
ARM|5|1725|2085|US @@ switch 0 ('arm', 5, 1725, 2085)
LEVEL|7|915|1285|US @@ switch 1 ('level', 7, 915, 1285)
BEEPER|8|1660|2040|US @@ switch 2 ('beeper', 8, 1660, 2040)
--- UARTS
PORT|FUNCTION|RATE|UNIT|ERRORS
UART1|CONSOLE|115200|BAUD|0 @@ port 0 ('UART1', ('console',), 115200)
UART2|RECEIVER|100000|BAUD|4 @@ port 1 ('UART2', ('receiver',), 100000)
UART3|GPS|57600|BAUD|0 @@ port 2 ('UART3', ('positioning',), 57600)
UART4|ESC TELEMETRY|115200|BAUD|1 @@ port 3 ('UART4', ('esc-telemetry',), 115200)
UART5|UNUSED|-|-|- @@ port 4 ('UART5', ('unused',))

BUS|CLOCK|UNIT
I2C1|400|KHZ
SPI1|21|MHZ
--- SCREEN
PARAMETER|VALUE|UNIT
OSD ENABLED|YES|- @@ overlay.enabled=True
OSD SYSTEM|PAL|- @@ overlay.system='pal'
OSD COLUMNS|30|- @@ overlay.columns=30
OSD ROWS|16|- @@ overlay.rows=16
OSD REFRESH|20|HZ

ELEMENT|COLUMN|ROW|VISIBLE
BATTERY|3|14|YES @@ element 0 ('battery', 3, 14, True)
TIMER|23|14|YES @@ element 1 ('timer', 23, 14, True)
LINK QUALITY|2|1|NO @@ element 2 ('link-quality', 2, 1, False)
WARNINGS|10|10|YES @@ element 3 ('warnings', 10, 10, True)
--- VTX
PARAMETER|VALUE|UNIT
VIDEO LINK|ANALOG|- @@ video.link='analog'
VTX BAND|F|- @@ video.band='F'
VTX CHANNEL|4|- @@ video.channel=4
VTX FREQUENCY|5800|MHZ @@ video.frequency_mhz=5800
VTX POWER|250|MW @@ video.power_mw=250.0
VTX MAX POWER|600|MW
VTX PIT MODE|NO|-
VTX TEMPERATURE|41|C
--- POWER
PARAMETER|VALUE|UNIT
BATTERY CELLS|4|- @@ battery.cells=4
CELL MIN VOLTAGE|3320|MV @@ battery.cell_low=3.32
CELL WARN VOLTAGE|3540|MV @@ battery.cell_warn=3.54
CELL FULL VOLTAGE|4210|MV @@ battery.cell_full=4.21
VOLTAGE DIVIDER|10.8|- @@ battery.scale=10.8
BATTERY CAPACITY|1300|MAH
CURRENT SCALE|36|MV/A
--- DRIVE
PARAMETER|VALUE|UNIT
MOTOR PROTOCOL|DSHOT600|- @@ motors.protocol='dshot600'
DSHOT BIDIRECTIONAL|YES|- @@ motors.bidirectional=True
POLES PER MOTOR|14|- @@ motors.poles=14
MOTOR IDLE|5.2|% @@ motors.idle_percent=5.2
MOTORS REVERSED|NO|- @@ motors.reversed=False
MOTOR KV|1950|RPM/V
LOOP RATE|4|KHZ @@ motors.loop_hz=4000
GYRO RATE|8|KHZ
THROTTLE LIMIT|95|%
--- TUNING
AXIS|P|I|D
ROLL|42|73|27
PITCH|45|76|29
YAW|38|74|0

FILTER|CUTOFF|UNIT
GYRO LOWPASS|215|HZ
D LOWPASS|105|HZ
--- HEALTH
SENSOR|STATE
GYRO|FOUND @@ sensors.gyro='found'
ACCELEROMETER|FOUND @@ sensors.accelerometer='found'
BAROMETER|MISSING @@ sensors.barometer='missing'
COMPASS|MISSING

READING|VALUE|UNIT
BATTERY VOLTAGE|15.88|V @@ battery.volts=15.88
BATTERY CURRENT|0.37|A
REGULATOR VOLTAGE|5.03|V
MOTOR OUTPUT|0|%
TILT|1.3|DEG
CPU LOAD|28|%
CPU TEMPERATURE|45|C
UPTIME|318|S
LOG DEVICE|FLASH|- @@ logger.device='flash'
LOG FREE|12582912|BYTES @@ logger.free_bytes=12582912
LOG RATE|1|KHZ
ARMING BLOCKED BY|USB CONNECTED, NOT LEVEL|- @@ arming.blocks=('usb-connected', 'not-level')
"""


def _drawn(shown: str) -> str:
    """The pages with each table's cells padded and its header ruled; the marks stay behind the lines."""
    lines: list[str] = []
    for is_table, group in groupby(shown.splitlines(), key=lambda line: "|" in line):
        block = list(group)
        lines += _table(block) if is_table else block
    return "\n".join(lines) + "\n"


def _table(lines: list[str]) -> list[str]:
    split = [line.partition("@@") for line in lines]
    rows = [shown.strip().split("|") for shown, _, _ in split]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    drawn = [_line(row, widths) + bar + marks for row, (_, bar, marks) in zip(rows, split, strict=True)]
    return [drawn[0], "-+-".join("-" * width for width in widths), *drawn[1:]]


def _line(row: list[str], widths: list[int]) -> str:
    return " | ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True))


_PAGES, _STATED = marked(_drawn(_SHOWN))


def _harm(prints: str, look: str, key: str, before: str, after: str) -> Harm:
    """A harm that changes the value in the row of a key; the row keeps its width."""
    [row] = [line for line in _PAGES[look].splitlines() if line.split(" |")[0].rstrip() == key]
    return Harm(prints, look, row, row.replace(before, after.ljust(len(before))))


_HARMS = {
    "COMMIT": _harm("SETTINGS SAVED", "ABOUT", "SAVES", "36", "37"),
    "RELAUNCH": _harm("RESTARTING", "ABOUT", "BOOTS", "275", "276"),
    "PRISTINE": _harm("DEFAULTS RESTORED", "ABOUT", "NAME OF CRAFT", "BENT SPARROW", "-"),
    "UPLOAD": Harm("BOOTLOADER 1.9 WAITING"),
    "TURN": _harm("MOTOR RUNNING", "HEALTH", "MOTOR OUTPUT", "| 0 ", "| 6 "),
    "TRIM": _harm("ACCELEROMETER CALIBRATED", "HEALTH", "TILT", "1.3", "0.0"),
}


class Huxlowe(StatingConsole):
    """Takes small letters, too; answers in capitals."""

    name = "huxlowe"
    kinds = ("upper case", "tables with bars, a header and a unit column", "help as a table")
    banner = "HUXLOWE 3.18.0. TYPE HELP.\n"
    prompt = "HUX> "
    error = "UNKNOWN COMMAND {line}, TYPE HELP"
    help_word = "HELP"
    any_case = True
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
