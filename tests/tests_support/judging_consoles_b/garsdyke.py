"""Garsdyke: upper case only, ruled tables whose unit stands before the present and the factory value. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

# Each page below the word that prints it.
_SHOWN = """\
--- HELP
COMMAND     PURPOSE
==========  ==================================
ABOUT       SHOW FIRMWARE, BOARD AND CRAFT
BATTERY     SHOW BATTERY LIMITS AND READINGS
CALIBRATE   LEVEL THE ACCELEROMETER
DEFAULTS    RETURN TO FACTORY SETTINGS
ERASE       DELETE THE FLIGHT LOG
FAILSAFE    SHOW LINK LOSS SETTINGS
FLASH       ENTER THE BOOTLOADER
GAINS       SHOW GAINS AND FILTERS
HELP        SHOW THIS TABLE
LOG         SHOW THE FLIGHT LOG
MODES       SHOW SWITCHES
MOTORS      SHOW MOTORS AND CONTROL LOOP
OSD         SHOW ON-SCREEN DISPLAY
PORTS       SHOW SERIAL PORTS
REBOOT      RESTART THE BOARD
RECEIVER    SHOW RECEIVER AND CHANNELS
SAVE        WRITE SETTINGS TO FLASH
SENSORS     SHOW SENSORS AND ARMING
SPIN        RUN THE MOTORS
VTX         SHOW VIDEO TRANSMITTER
--- ABOUT
ITEM                  CONTENT
====================  ==============
FIRMWARE NAME         GARSDYKE
FIRMWARE VERSION      4.8.1
BUILD DATE            2026-02-09
LOADER VERSION        2.2
BOARD MODEL           TORMENTIL F7
BOARD REVISION        D
BOARD SERIAL NUMBER   TF7-5518-09
CRAFT NAME            DRY THUNDER
ALL-UP WEIGHT         520 G
TIMES SAVED           61
TIMES STARTED         377
--- RECEIVER
SETTING               UNIT    PRESENT     FACTORY
====================  ======  ==========  ==========
RECEIVER TYPE         -       SERIAL      PPM
RECEIVER PROTOCOL     -       CRSF        SBUS
RECEIVER PORT         -       UART2       UART1
SIGNAL INVERTED       -       NO          NO
HALF DUPLEX           -       NO          YES
RECEIVER TELEMETRY    -       ON          OFF
TELEMETRY INTERVAL    MS      140         100
CHANNEL ORDER         -       TAER        AETR
LOWEST PULSE          US      988         1000
CENTRE PULSE          US      1504        1500
HIGHEST PULSE         US      2011        2000
STICK DEADBAND        US      5           3
STICK SMOOTHING       HZ      28          40
SERVO CENTRE          US      1525        1500
SERVO RATE            HZ      50          50
--- MODES
FUNCTION          CHANNEL   FROM US   TO US
================  ========  ========  ========
ARM               5         1690      2060
LEVEL             6         940       1280
BEEPER            8         1720      2080
--- PORTS
PORT    FUNCTION        BAUD      STOP BITS   ERRORS
======  ==============  ========  ==========  ========
UART1   CONSOLE         115200    1           0
UART2   RECEIVER        420000    1           4
UART3   GPS             57600     1           0
UART5   ESC TELEMETRY   115200    1           1
UART6   UNUSED          -         -           -

BUS     CLOCK KHZ       ERRORS
======  ==============  ========
I2C     400             0
SPI     10500           2
--- OSD
SETTING               UNIT    PRESENT     FACTORY
====================  ======  ==========  ==========
OSD ENABLED           -       YES         NO
VIDEO SYSTEM          -       PAL         AUTO
OSD COLUMNS           -       30          30
OSD ROWS              -       16          13
OSD BRIGHTNESS        %       70          60
REFRESH RATE          HZ      20          25

ELEMENT           COLUMN    ROW     SHOWN
================  ========  ======  ======
BATTERY           2         14      YES
TIMER             22        14      YES
LINK QUALITY      3         1       NO
CRAFT NAME        10        2       YES
--- VTX
SETTING               UNIT    PRESENT     FACTORY
====================  ======  ==========  ==========
VIDEO LINK            -       ANALOG      ANALOG
VIDEO BAND            -       A           F
VIDEO CHANNEL         -       6           1
VIDEO FREQUENCY       MHZ     5765        5740
VIDEO POWER           MW      200         25
VIDEO POWER LIMIT     MW      600         400
PIT MODE              -       OFF         OFF
CAMERA TILT           DEG     32          0
--- BATTERY
SETTING               UNIT    PRESENT     FACTORY
====================  ======  ==========  ==========
BATTERY CELLS         -       4           6
VOLTAGE DIVIDER       -       10.9        11.0
CELL MINIMUM          MV      3320        3300
CELL WARNING          MV      3540        3500
CELL FULL             MV      4180        4200
BATTERY CAPACITY      MAH     1550        0
CURRENT SCALE         MV/A    26          25

READING               UNIT    VALUE
====================  ======  ==========
BATTERY VOLTAGE       V       15.74
BATTERY CURRENT       A       0.41
CAPACITY USED         MAH     12
5 V RAIL              V       5.06
--- MOTORS
SETTING               UNIT    PRESENT     FACTORY
====================  ======  ==========  ==========
MOTOR PROTOCOL        -       DSHOT300    DSHOT600
BIDIRECTIONAL DSHOT   -       YES         NO
MOTOR POLES           -       12          14
MOTOR IDLE            %       5.7         5.5
MOTORS REVERSED       -       NO          NO
MOTOR KV              RPM/V   1950        2400
CONTROL LOOP RATE     HZ      4000        2000
GYRO SAMPLE RATE      HZ      8000        6400

READING               UNIT    VALUE
====================  ======  ==========
MOTOR OUTPUT NOW      %       0
LOOP LOAD             %       34
--- FAILSAFE
SETTING               UNIT    PRESENT     FACTORY
====================  ======  ==========  ==========
FAILSAFE ACTION       -       LAND        DROP
FAILSAFE DELAY        S       0.9         1.0
FAILSAFE THROTTLE     US      1210        1000
LANDING TIME          S       18          15
LOW BATTERY ALARM     -       ON          OFF
--- SENSORS
SENSOR                STATE     TEMP C
====================  ========  ======
GYRO                  FOUND     36
ACCELEROMETER         FOUND     37
BAROMETER             MISSING   -
COMPASS               MISSING   -

ITEM                  STATE
====================  ====================================
ARMING BLOCKED BY     NO RECEIVER LINK, THROTTLE NOT LOW
ARMINGS SO FAR        0
LEVEL OFFSET          1.6 DEG
PROCESSOR TEMP        46 C
UPTIME                428 S
--- LOG
READING               UNIT    VALUE
====================  ======  ==========
LOG DEVICE            -       FLASH
LOG FREE SPACE        BYTES   3407872
LOG RATE              HZ      500
LOGGED FLIGHTS        -       17
--- GAINS
AXIS      P      I      D
========  =====  =====  =====
ROLL      43     78     29
PITCH     46     82     31
YAW       37     75     0

FILTER          CUTOFF HZ
==============  ==========
GYRO LOWPASS    210
D LOWPASS       95
"""

_STATED = {
    "firmware.name": said("GARSDYKE", "ABOUT", "FIRMWARE NAME         GARSDYKE"),
    "firmware.version": said("4.8.1", "ABOUT", "FIRMWARE VERSION      4.8.1"),
    "firmware.built": said("2026-02-09", "ABOUT", "BUILD DATE            2026-02-09"),
    "board.name": said("TORMENTIL F7", "ABOUT", "BOARD MODEL           TORMENTIL F7"),
    "board.serial": said("TF7-5518-09", "ABOUT", "BOARD SERIAL NUMBER   TF7-5518-09"),
    "craft.name": said("DRY THUNDER", "ABOUT", "CRAFT NAME            DRY THUNDER"),
    "receiver.kind": said("serial", "RECEIVER", "RECEIVER TYPE         -       SERIAL"),
    "receiver.protocol": said("crsf", "RECEIVER", "RECEIVER PROTOCOL     -       CRSF"),
    "receiver.port": said("UART2", "RECEIVER", "RECEIVER PORT         -       UART2"),
    "receiver.inverted": said(False, "RECEIVER", "SIGNAL INVERTED       -       NO"),
    "receiver.half_duplex": said(False, "RECEIVER", "HALF DUPLEX           -       NO"),
    "receiver.telemetry": said(True, "RECEIVER", "RECEIVER TELEMETRY    -       ON"),
    "channels.order": said("TAER", "RECEIVER", "CHANNEL ORDER         -       TAER"),
    "channels.low": said(988, "RECEIVER", "LOWEST PULSE          US      988"),
    "channels.centre": said(1504, "RECEIVER", "CENTRE PULSE          US      1504"),
    "channels.high": said(2011, "RECEIVER", "HIGHEST PULSE         US      2011"),
    **switches_said(
        "MODES",
        [
            ("arm", 5, 1690, 2060, ("ARM               5         1690      2060",)),
            ("level", 6, 940, 1280, ("LEVEL             6         940       1280",)),
            ("beeper", 8, 1720, 2080, ("BEEPER            8         1720      2080",)),
        ],
    ),
    **ports_said(
        "PORTS",
        [
            ("UART1", ("console",), 115200, ("UART1   CONSOLE         115200",)),
            ("UART2", ("receiver",), 420000, ("UART2   RECEIVER        420000",)),
            ("UART3", ("positioning",), 57600, ("UART3   GPS             57600",)),
            ("UART5", ("esc-telemetry",), 115200, ("UART5   ESC TELEMETRY   115200",)),
            ("UART6", ("unused",), None, ("UART6   UNUSED          -",)),
        ],
    ),
    "overlay.enabled": said(True, "OSD", "OSD ENABLED           -       YES"),
    "overlay.system": said("pal", "OSD", "VIDEO SYSTEM          -       PAL"),
    "overlay.columns": said(30, "OSD", "OSD COLUMNS           -       30"),
    "overlay.rows": said(16, "OSD", "OSD ROWS              -       16"),
    **elements_said(
        "OSD",
        [
            ("battery", 2, 14, True, ("BATTERY           2         14      YES",)),
            ("timer", 22, 14, True, ("TIMER             22        14      YES",)),
            ("link-quality", 3, 1, False, ("LINK QUALITY      3         1       NO",)),
            ("craft-name", 10, 2, True, ("CRAFT NAME        10        2       YES",)),
        ],
    ),
    "video.link": said("analog", "VTX", "VIDEO LINK            -       ANALOG"),
    "video.band": said("A", "VTX", "VIDEO BAND            -       A"),
    "video.channel": said(6, "VTX", "VIDEO CHANNEL         -       6"),
    "video.frequency_mhz": said(5765, "VTX", "VIDEO FREQUENCY       MHZ     5765"),
    "video.power_mw": said(200.0, "VTX", "VIDEO POWER           MW      200"),
    "battery.cells": said(4, "BATTERY", "BATTERY CELLS         -       4"),
    "battery.scale": said(10.9, "BATTERY", "VOLTAGE DIVIDER       -       10.9"),
    "battery.cell_low": said(3.32, "BATTERY", "CELL MINIMUM          MV      3320"),
    "battery.cell_warn": said(3.54, "BATTERY", "CELL WARNING          MV      3540"),
    "battery.cell_full": said(4.18, "BATTERY", "CELL FULL             MV      4180"),
    "battery.volts": said(15.74, "BATTERY", "BATTERY VOLTAGE       V       15.74"),
    "motors.protocol": said("dshot300", "MOTORS", "MOTOR PROTOCOL        -       DSHOT300"),
    "motors.bidirectional": said(True, "MOTORS", "BIDIRECTIONAL DSHOT   -       YES"),
    "motors.poles": said(12, "MOTORS", "MOTOR POLES           -       12"),
    "motors.idle_percent": said(5.7, "MOTORS", "MOTOR IDLE            %       5.7"),
    "motors.reversed": said(False, "MOTORS", "MOTORS REVERSED       -       NO"),
    "motors.loop_hz": said(4000, "MOTORS", "CONTROL LOOP RATE     HZ      4000"),
    "failsafe.action": said("land", "FAILSAFE", "FAILSAFE ACTION       -       LAND"),
    "failsafe.delay_s": said(0.9, "FAILSAFE", "FAILSAFE DELAY        S       0.9"),
    "failsafe.throttle_us": said(1210, "FAILSAFE", "FAILSAFE THROTTLE     US      1210"),
    "sensors.gyro": said("found", "SENSORS", "GYRO                  FOUND"),
    "sensors.accelerometer": said("found", "SENSORS", "ACCELEROMETER         FOUND"),
    "sensors.barometer": said("missing", "SENSORS", "BAROMETER             MISSING"),
    "arming.blocks": said(
        ("no-receiver-link", "throttle-not-low"), "SENSORS", "ARMING BLOCKED BY     NO RECEIVER LINK, THROTTLE NOT LOW"
    ),
    "logger.device": said("flash", "LOG", "LOG DEVICE            -       FLASH"),
    "logger.free_bytes": said(3407872, "LOG", "LOG FREE SPACE        BYTES   3407872"),
}

_HARMS = {
    "SAVE": Harm("SAVED", "ABOUT", "TIMES SAVED           61", "TIMES SAVED           62"),
    "REBOOT": Harm("REBOOTING", "ABOUT", "TIMES STARTED         377", "TIMES STARTED         378"),
    "DEFAULTS": Harm("FACTORY SETTINGS", "ABOUT", "DRY THUNDER", "-"),
    "FLASH": Harm("SEND THE FIRMWARE"),
    "SPIN": Harm("MOTORS RUNNING", "MOTORS", "MOTOR OUTPUT NOW      %       0", "MOTOR OUTPUT NOW      %       7"),
    "CALIBRATE": Harm("LEVELLED", "SENSORS", "1.6 DEG", "0.0 DEG"),
    "ERASE": Harm("LOG DELETED", "LOG", "LOGGED FLIGHTS        -       17", "LOGGED FLIGHTS        -       0"),
}

_PAGES = {word: page for word, _, page in (text.partition("\n") for text in _SHOWN.split("--- ")[1:])}


class Garsdyke(StatingConsole):
    """Every reply is a table with a header and a rule, the help as well."""

    name = "garsdyke"
    kinds = ("upper case", "ruled tables, unit before the value", "factory values in a column", "help in a table")
    banner = "GARSDYKE 4.8.1, HELP SHOWS THE COMMANDS\n"
    prompt = "READY> "
    error = "NO COMMAND {line}"
    help_word = "HELP"
    any_case = True
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
