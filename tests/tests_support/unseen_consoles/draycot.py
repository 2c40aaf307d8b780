"""Draycot: upper-case words only, tables with value, default and range, masks, help without descriptions. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_HELP = """\
BATTERY    BURN       COLDSTART  DEFAULTS   FAILSAFE
GAINS      HELP       IDENT      LEVEL      LOADER
OUTPUTS    PORTS      RXCFG      SPINUP     STATUS
TIDY       TIMING     VTX
"""

_IDENT = """\
FIELD            CONTENT
---------------  ----------------
FIRMWARE         DRAYCOT
FW REV           6.0.2
BOOTBLOCK REV    1.3
PARAM LAYOUT     22
TARGET           YARROW-H7
TARGET REV       B
MCU ID           0031-44AE-91
MODEL NAME       GREY WAGTAIL
"""

_RXCFG = """\
PARAMETER        VALUE       DEFAULT     RANGE        UNIT
---------------  ----------  ----------  -----------  -------
RX TYPE          SERIAL      PPM         -            -
RX PROTOCOL      SBUS        CRSF        -            -
RX UART          UART3       UART2       -            -
RX INVERT        ON          OFF         -            -
CH MAP           TAER        AETR        -            -
PULSE MIN        1010        1000        800..1200    US
PULSE MID        1505        1500        1400..1600   US
PULSE MAX        1995        2000        1800..2200   US
STICK DEADBAND   4           2           0..30        US
RSSI CHANNEL     0           0           0..16        -
SMOOTHING        30          45          5..200       HZ
STICK RATE       1.10        1.00        0.10..2.55   -
"""

_PORTS = """\
PORT    ASSIGNMENT    BAUD     PARITY  OVERRUNS
------  ------------  -------  ------  --------
UART1   CONSOLE       115200   N       0
UART3   RECEIVER      100000   E       3
UART4   RANGEFINDER   19200    N       0
UART6   FREE          -        -       -
"""

_BATTERY = """\
PARAMETER        VALUE       DEFAULT     RANGE        UNIT
---------------  ----------  ----------  -----------  -------
CELL COUNT       4           0           0..8         -
CELL CUTOFF      3.20        3.30        2.50..4.00   V
CELL ALARM       3.45        3.50        2.50..4.20   V
CELL FULL        4.15        4.20        3.60..4.50   V
VBAT DIVIDER     11.0        10.0        1.0..50.0    -
CAPACITY         1550        0           0..30000     MAH
CURRENT SCALE    400         250         -            -
"""

_OUTPUTS = """\
PARAMETER        VALUE       DEFAULT     RANGE        UNIT
---------------  ----------  ----------  -----------  -------
ESC PROTOCOL     DSHOT300    DSHOT600    -            -
BIDIR DSHOT      ON          OFF         -            -
MAGNETS          12          14          4..48        -
MOTOR IDLE       5.0         5.5         0.0..15.0    %
MOTOR REVERSE    OFF         OFF         -            -
LOOP RATE        4           8           1..8         KHZ
GYRO RATE        8           8           1..8         KHZ
MOTOR KV         1850        2450        -            RPM/V
BEEP PITCH       3           3           1..5         -
"""

_FAILSAFE = """\
PARAMETER        VALUE       DEFAULT     RANGE        UNIT
---------------  ----------  ----------  -----------  -------
FS ACTION        CUT MOTORS  LAND        -            -
FS DELAY         15          10          1..200       X 0.1 S
FS THROTTLE      1020        1000        900..2000    US
FS MIN DISTANCE  0           0           0..500       M
"""

_VTX = """\
PARAMETER        VALUE       DEFAULT     RANGE        UNIT
---------------  ----------  ----------  -----------  -------
VIDEO LINK       ANALOG      ANALOG      -            -
VTX BAND         E           R           -            -
VTX CHANNEL      3           1           1..8         -
VTX FREQ         5665        5658        5600..5950   MHZ
VTX POWER        200         25          25..600      MW
PIT MODE         OFF         OFF         -            -
"""

_GAINS = """\
AXIS    P     I     D     FF
------  ----  ----  ----  ----
ROLL    41    77    29    95
PITCH   44    81    33    98
YAW     36    77    0     90

FILTER        CUTOFF  UNIT
------------  ------  ----
GYRO LPF      230     HZ
DTERM LPF     115     HZ
"""

_STATUS = """\
READING          NOW         UNIT
---------------  ----------  -------
VBAT             15.72       V
AMPS             0.42        A
HW FLAGS         0X0003      -
ARM INHIBIT      0X0014      -
OUTPUT LEVEL     0           %
MCU TEMP         47          C
MCU LOAD         19          %
UPTIME           1042        S
POWER CYCLES     517         -
LOG PAGES USED   318         -
TILT BIAS        1.7         DEG
PARAM SET        9           -
"""

_TIMING = """\
JOB       HZ      AVG US  MAX US
--------  ------  ------  ------
GYRO      8000    9       14
LOOP      4000    55      71
RX        111     18      26
"""

_STATED = {
    "firmware.name": said("DRAYCOT", "IDENT", "FIRMWARE         DRAYCOT"),
    "firmware.version": said("6.0.2", "IDENT", "FW REV           6.0.2"),
    "board.name": said("YARROW-H7", "IDENT", "TARGET           YARROW-H7"),
    "board.serial": said("0031-44AE-91", "IDENT", "MCU ID           0031-44AE-91"),
    "craft.name": said("GREY WAGTAIL", "IDENT", "MODEL NAME       GREY WAGTAIL"),
    "receiver.kind": said("serial", "RXCFG", "RX TYPE          SERIAL "),
    "receiver.protocol": said("sbus", "RXCFG", "RX PROTOCOL      SBUS "),
    "receiver.port": said("UART3", "RXCFG", "RX UART          UART3 "),
    "receiver.inverted": said(True, "RXCFG", "RX INVERT        ON "),
    "channels.order": said("TAER", "RXCFG", "CH MAP           TAER "),
    "channels.low": said(1010, "RXCFG", "PULSE MIN        1010 "),
    "channels.centre": said(1505, "RXCFG", "PULSE MID        1505 "),
    "channels.high": said(1995, "RXCFG", "PULSE MAX        1995 "),
    "ports[0].id": said("UART1", "PORTS", "UART1   CONSOLE       115200"),
    "ports[0].roles": said(("console",), "PORTS", "UART1   CONSOLE       115200"),
    "ports[0].baud": said(115200, "PORTS", "UART1   CONSOLE       115200"),
    "ports[1].id": said("UART3", "PORTS", "UART3   RECEIVER      100000"),
    "ports[1].roles": said(("receiver",), "PORTS", "UART3   RECEIVER      100000"),
    "ports[1].baud": said(100000, "PORTS", "UART3   RECEIVER      100000"),
    "ports[2].id": said("UART4", "PORTS", "UART4   RANGEFINDER   19200"),
    "ports[2].roles": said(("rangefinder",), "PORTS", "UART4   RANGEFINDER   19200"),
    "ports[2].baud": said(19200, "PORTS", "UART4   RANGEFINDER   19200"),
    "ports[3].id": said("UART6", "PORTS", "UART6   FREE          -"),
    "ports[3].roles": said(("unused",), "PORTS", "UART6   FREE          -"),
    "battery.cells": said(4, "BATTERY", "CELL COUNT       4 "),
    "battery.volts": said(15.72, "STATUS", "VBAT             15.72       V"),
    "battery.scale": said(11.0, "BATTERY", "VBAT DIVIDER     11.0 "),
    "battery.cell_low": said(3.2, "BATTERY", "CELL CUTOFF      3.20 "),
    "battery.cell_warn": said(3.45, "BATTERY", "CELL ALARM       3.45 "),
    "battery.cell_full": said(4.15, "BATTERY", "CELL FULL        4.15 "),
    "motors.protocol": said("dshot300", "OUTPUTS", "ESC PROTOCOL     DSHOT300 "),
    "motors.bidirectional": said(True, "OUTPUTS", "BIDIR DSHOT      ON "),
    "motors.poles": said(12, "OUTPUTS", "MAGNETS          12 "),
    "motors.idle_percent": said(5.0, "OUTPUTS", "MOTOR IDLE       5.0 "),
    "motors.reversed": said(False, "OUTPUTS", "MOTOR REVERSE    OFF "),
    "motors.loop_hz": said(4000, "OUTPUTS", "LOOP RATE        4           8           1..8         KHZ"),
    "failsafe.action": said("drop", "FAILSAFE", "FS ACTION        CUT MOTORS"),
    "failsafe.delay_s": said(1.5, "FAILSAFE", "FS DELAY         15          10          1..200       X 0.1 S"),
    "failsafe.throttle_us": said(1020, "FAILSAFE", "FS THROTTLE      1020 "),
    "video.link": said("analog", "VTX", "VIDEO LINK       ANALOG "),
    "video.band": said("E", "VTX", "VTX BAND         E "),
    "video.channel": said(3, "VTX", "VTX CHANNEL      3 "),
    "video.frequency_mhz": said(5665, "VTX", "VTX FREQ         5665 "),
    "video.power_mw": said(200.0, "VTX", "VTX POWER        200 "),
}

# Only the source tells. Sensors: 1 gyro, 2 accelerometer, 4 barometer. Arming: 4 no receiver link, 16 USB connected.
_CODED = {
    "sensors.gyro": said("found", "STATUS", "HW FLAGS         0X0003"),
    "sensors.accelerometer": said("found", "STATUS", "HW FLAGS         0X0003"),
    "sensors.barometer": said("missing", "STATUS", "HW FLAGS         0X0003"),
    "arming.blocks": said(("no-receiver-link", "usb-connected"), "STATUS", "ARM INHIBIT      0X0014"),
}

_HARMS = {
    "BURN": Harm("BURNT", "STATUS", "PARAM SET        9 ", "PARAM SET        10"),
    "COLDSTART": Harm("DRAYCOT 6.0.2 COLD", "STATUS", "POWER CYCLES     517", "POWER CYCLES     518"),
    "DEFAULTS": Harm("DEFAULTS IN FORCE", "IDENT", "MODEL NAME       GREY WAGTAIL", "MODEL NAME       -"),
    "LEVEL": Harm("LEVEL TAKEN", "STATUS", "TILT BIAS        1.7", "TILT BIAS        0.0"),
    "LOADER": Harm("LOADER 1.3"),
    "SPINUP": Harm("OUTPUTS LIVE", "STATUS", "OUTPUT LEVEL     0 ", "OUTPUT LEVEL     7 "),
    "TIDY": Harm("TIDIED", "STATUS", "LOG PAGES USED   318", "LOG PAGES USED   0  "),
}

_PAGES = {
    "HELP": _HELP,
    "IDENT": _IDENT,
    "RXCFG": _RXCFG,
    "PORTS": _PORTS,
    "BATTERY": _BATTERY,
    "OUTPUTS": _OUTPUTS,
    "FAILSAFE": _FAILSAFE,
    "VTX": _VTX,
    "GAINS": _GAINS,
    "STATUS": _STATUS,
    "TIMING": _TIMING,
}


class Draycot(StatingConsole):
    """Takes upper case only; each setting stands beside its default and its range."""

    name = "draycot"
    kinds = ("upper case", "aligned tables with headers", "masks", "help without descriptions")
    banner = "DRAYCOT 6.0.2 READY\n"
    prompt = "DC: "
    error = "E07 UNRECOGNISED: {line}"
    help_word = "HELP"
    pages = _PAGES
    stated = _STATED
    coded = _CODED
    harms = _HARMS
    truth = truth_of(_STATED, _CODED)
    harmful = frozenset(_HARMS)
