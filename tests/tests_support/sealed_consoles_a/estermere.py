"""Estermere: aligned tables under headers in capitals, the unit in a column, defaults behind it. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.sealed_consoles_a.marks import read_marks

_SHOWN = """\
--- help
COMMAND     PURPOSE
help        list the commands
identity    show firmware, board and craft
radio       show receiver, channels and failsafe
modes       show the mode switches
serial      show the serial ports
display     show the on-screen display
vtx         show the video transmitter
power       show the battery
drive       show motors and control loop
tuning      show gains and filters
health      show sensors, arming and processor
log         show the flight log
commit      save the settings to flash
restart     reboot the board
revert      reset all settings to defaults
upgrade     enter the bootloader
runmotor    spin one motor
levelcal    calibrate the accelerometer
logwipe     erase the flight log
--- identity
READING                   VALUE           UNIT
firmware name             Estermere       - @@ firmware.name='Estermere'
firmware version          3.6.1           - @@ firmware.version='3.6.1'
build date                2026-06-03      - @@ firmware.built='2026-06-03'
bootloader version        0.9             -
board                     BISTORT H743    - @@ board.name='BISTORT H743'
board revision            3               -
serial number             BH-220417       - @@ board.serial='BH-220417'
craft name                Damp Lantern    - @@ craft.name='Damp Lantern'
take-off weight           612             g
settings saved            29              times
started                   118             times
--- radio
PARAMETER                 VALUE           UNIT    DEFAULT
receiver type             serial          -       serial @@ receiver.kind='serial'
receiver protocol         IBUS            -       SBUS @@ receiver.protocol='ibus'
receiver port             UART4           -       UART2 @@ receiver.port='UART4'
signal inverted           no              -       yes @@ receiver.inverted=False
half duplex               yes             -       no @@ receiver.half_duplex=True
telemetry                 off             -       on @@ receiver.telemetry=False
telemetry interval        300             ms      200
channel order             AETR            -       TAER @@ channels.order='AETR'
channel minimum           1006            us      1000 @@ channels.low=1006
channel center            1496            us      1500 @@ channels.centre=1496
channel maximum           1991            us      2000 @@ channels.high=1991
deadband                  4               us      3
servo center              1510            us      1500
failsafe action           hold            -       drop @@ failsafe.action='hold'
failsafe delay            0.9             s       0.5 @@ failsafe.delay_s=0.9
failsafe throttle         1260            us      1000 @@ failsafe.throttle_us=1260
recovery time             1.2             s       1.0

CHANNEL   NOW     UNIT
1         1496    us
2         1499    us
3         1007    us
4         1494    us
5         1006    us
6         1500    us
7         1008    us
8         1009    us
--- modes
MODE      CHANNEL   FROM    TO      UNIT    NOW
arm       5         1695    2065    us      off @@ switch 0 ('arm', 5, 1695, 2065)
level     6         1325    1675    us      on @@ switch 1 ('level', 6, 1325, 1675)
beeper    8         1705    2055    us      off @@ switch 2 ('beeper', 8, 1705, 2055)
turtle    7         1745    2075    us      off @@ switch 3 ('turtle', 7, 1745, 2075)
--- serial
PORT    FUNCTION        SPEED     UNIT    ERRORS
UART1   console         115200    baud    0 @@ port 0 ('UART1', ('console',), 115200)
UART2   ESC telemetry   115200    baud    4 @@ port 1 ('UART2', ('esc-telemetry',), 115200)
UART4   receiver        115200    baud    1 @@ port 2 ('UART4', ('receiver',), 115200)
UART6   GPS             57600     baud    0 @@ port 3 ('UART6', ('positioning',), 57600)
UART7   unused          -         -       0 @@ port 4 ('UART7', ('unused',))
--- display
PARAMETER                 VALUE           UNIT    DEFAULT
OSD enabled               yes             -       yes @@ overlay.enabled=True
video system              digital         -       auto @@ overlay.system='digital'
columns                   50              -       30 @@ overlay.columns=50
rows                      18              -       16 @@ overlay.rows=18
refresh rate              20              Hz      25
brightness                6               -       5

ELEMENT         COLUMN   ROW   WIDTH   VISIBLE
battery         3        16    6       yes @@ element 0 ('battery', 3, 16, True, 6)
timer           42       16    5       yes @@ element 1 ('timer', 42, 16, True, 5)
craft name      18       1     12      no @@ element 2 ('craft-name', 18, 1, False, 12)
link quality    2        2     4       yes @@ element 3 ('link-quality', 2, 2, True, 4)
altitude        43       9     5       yes @@ element 4 ('altitude', 43, 9, True, 5)
--- vtx
PARAMETER                 VALUE           UNIT    DEFAULT
video link                digital         -       digital @@ video.link='digital'
frequency                 5805            MHz     5770 @@ video.frequency_mhz=5805
power                     350             mW      25 @@ video.power_mw=350.0
power limit               700             mW      700
bit rate                  25              Mbit/s  25

READING                   VALUE           UNIT
transmitter temperature   48              C
--- power
PARAMETER                 VALUE           UNIT    DEFAULT
battery cells             5               -       4 @@ battery.cells=5
minimum cell voltage      3.25            V       3.30 @@ battery.cell_low=3.25
warning cell voltage      3.55            V       3.50 @@ battery.cell_warn=3.55
full cell voltage         4.18            V       4.20 @@ battery.cell_full=4.18
voltage divider           10.9            -       11.0 @@ battery.scale=10.9
battery capacity          1250            mAh     1500
current scale             190             mV/A    200

READING                   VALUE           UNIT
battery voltage           19.45           V @@ battery.volts=19.45
supply voltage            5.02            V
current                   0.44            A
charge used               0               mAh
--- drive
PARAMETER                 VALUE           UNIT    DEFAULT
motor protocol            DSHOT300        -       DSHOT600 @@ motors.protocol='dshot300'
bidirectional             no              -       yes @@ motors.bidirectional=False
motor poles               12              -       14 @@ motors.poles=12
motor idle                6.2             %       5.0 @@ motors.idle_percent=6.2
motors reversed           no              -       no @@ motors.reversed=False
motor KV                  2100            rpm/V   2000
loop rate                 2000            Hz      4000 @@ motors.loop_hz=2000
gyro rate                 4000            Hz      8000

READING                   VALUE           UNIT
motor output              0               %
--- tuning
AXIS    P     I     D     UNIT
roll    39    68    25    -
pitch   42    72    27    -
yaw     35    66    0     -

PARAMETER                 VALUE           UNIT    DEFAULT
gyro lowpass              195             Hz      200
D lowpass                 89              Hz      100
notch                     165             Hz      180
--- health
SENSOR          STATE     TEMPERATURE   UNIT
gyro            found     36            C @@ sensors.gyro='found'
accelerometer   found     36            C @@ sensors.accelerometer='found'
barometer       found     34            C @@ sensors.barometer='found'
compass         missing   -             -

READING                   VALUE           UNIT
level offset              1.9             deg
processor load            27              %
processor temperature     45              C
uptime                    88              s

ARMING BLOCKED BY   SINCE   UNIT
USB connected       88      s
throttle not low    12      s
--- log
PARAMETER                 VALUE           UNIT    DEFAULT
log device                card            -       flash @@ logger.device='card'
log rate                  400             Hz      500

READING                   VALUE           UNIT
free space                3951034368      bytes @@ logger.free_bytes=3951034368
flights recorded          21              -
"""

_PAGES, _MARKED = read_marks(_SHOWN)

_STATED = {
    **_MARKED,
    "channels.live": said(
        (1496, 1499, 1007, 1494, 1006, 1500, 1008, 1009),
        "radio",
        "CHANNEL   NOW     UNIT",
        "1         1496    us",
        "2         1499    us",
        "3         1007    us",
        "4         1494    us",
        "5         1006    us",
        "6         1500    us",
        "7         1008    us",
        "8         1009    us",
    ),
    "arming.blocks": said(
        ("usb-connected", "throttle-not-low"),
        "health",
        "ARMING BLOCKED BY   SINCE   UNIT",
        "USB connected       88      s",
        "throttle not low    12      s",
    ),
}

_HARMS = {
    "commit": Harm("settings saved to flash", "identity", "29              times", "30              times"),
    "restart": Harm("rebooting", "identity", "118             times", "119             times"),
    "revert": Harm("settings reset to defaults", "identity", "Damp Lantern", "-           "),
    "upgrade": Harm("bootloader 0.9, waiting for an image"),
    "runmotor": Harm("motor 1 spinning", "drive", "0               %", "8               %"),
    "levelcal": Harm("accelerometer calibrated", "health", "1.9             deg", "0.0             deg"),
    "logwipe": Harm("flight log erased", "log", "21              -", "0               -"),
}


class Estermere(StatingConsole):
    """Tables of parameters with value, unit and default, tables of readings without one, small tables for the rows."""

    name = "estermere"
    kinds = (
        "aligned tables with headers",
        "a unit column",
        "defaults in the last column",
        "help in a table",
        "no echo",
    )
    banner = "Estermere 3.6.1, help lists the commands\n"
    echo = False
    prompt = "estermere % "
    error = "{line}: unknown command, see help"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
