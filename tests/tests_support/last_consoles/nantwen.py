"""Nantwen: upper-case words without a description, a subject's clauses on one line between semicolons. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

# Each page below the word that prints it.
_SHOWN = """\
--- HELP
BATTERY BOOTLOADER CALIBRATE DEFAULTS ERASELOG FAILSAFE GAINS HELP MOTORS
MOTORTEST OSD PORTS RECEIVER RESTART SAVE SENSORS STATUS SWITCHES VERSION VIDEO
--- VERSION
FIRMWARE: NAME NANTWEN; VERSION 3.12; BUILD DATE 2026-04-02; LOADER VERSION 1.4
BOARD: MODEL COLTSFOOT F7; SERIAL NUMBER CF7-20931; REVISION B
CRAFT: NAME TIN WHISTLE; WEIGHT 388 G
SETTINGS: SAVED 27 TIMES; STARTED 206 TIMES
--- RECEIVER
RECEIVER: TYPE SERIAL; PROTOCOL SBUS; PORT UART2; INVERTED YES; HALF DUPLEX NO
TELEMETRY: ENABLED NO; BAUD 57600; INTERVAL 200 MS
CHANNELS: ORDER AETR; MINIMUM 1005 US; CENTRE 1495 US; MAXIMUM 1985 US; DEADBAND 4 US
GIMBAL: SERVO CENTRE 1520 US; SERVO RATE 50 HZ
--- SWITCHES
SWITCH ARM: CHANNEL 5; FROM 1680 US; TO 2090 US
SWITCH LEVEL: CHANNEL 6; FROM 910 US; TO 1260 US
SWITCH TURTLE: CHANNEL 8; FROM 1740 US; TO 2080 US
--- PORTS
PORT UART1: USE CONSOLE; BAUD 115200; ERRORS 0
PORT UART2: USE RECEIVER; BAUD 100000; ERRORS 2
PORT UART3: USE GPS; BAUD 38400; ERRORS 0
PORT UART5: USE ESC TELEMETRY; BAUD 115200; ERRORS 1
PORT UART6: USE NONE
I2C: CLOCK 400 KHZ; ERRORS 0
--- OSD
OSD: ENABLED YES; SYSTEM NTSC; COLUMNS 30; ROWS 13; REFRESH 20 HZ; FONT 2
ELEMENT BATTERY: COLUMN 2; ROW 11; VISIBLE YES
ELEMENT TIMER: COLUMN 23; ROW 11; VISIBLE YES
ELEMENT ALTITUDE: COLUMN 23; ROW 6; VISIBLE NO
ELEMENT CRAFT NAME: COLUMN 10; ROW 1; VISIBLE YES
--- VIDEO
VIDEO: LINK ANALOG; BAND F; CHANNEL 4; FREQUENCY 5800 MHZ; POWER 25 MW; POWER LIMIT 200 MW; TEMPERATURE 48 C
CAMERA: TILT 30 DEG; SUPPLY 5.04 V
--- BATTERY
BATTERY: CELLS 4; VOLTAGE 15.62 V; CURRENT 0.38 A; CAPACITY 1500 MAH; USED 0 MAH
CELL: MINIMUM 3.3 V; WARNING 3.52 V; FULL 4.2 V
METER: VOLTAGE DIVIDER 10.8; CURRENT SCALE 25 MV/A
RADIO: BATTERY CELLS 2
--- MOTORS
MOTORS: PROTOCOL DSHOT300; BIDIRECTIONAL YES; POLES 14; IDLE 5.2 %; REVERSED NO; KV 1950; OUTPUT NOW 0 %
LOOP: CONTROL LOOP RATE 4000 HZ; GYRO RATE 8000 HZ; LOAD 29 %
--- FAILSAFE
FAILSAFE: ACTION DROP; DELAY 0.8 S; THROTTLE 1000 US
LOW BATTERY: ACTION LAND; DELAY 12 S
--- SENSORS
SENSORS: GYRO FOUND; ACCELEROMETER FOUND; BAROMETER MISSING; COMPASS MISSING
GYRO: TEMPERATURE 37 C; OFFSET 1.9 DEG/S; RANGE 2000 DEG/S
--- STATUS
ARMING: BLOCKED BY USB CONNECTED, THROTTLE NOT LOW; ATTEMPTS 0
LOG: DEVICE FLASH; FREE 8126464 BYTES; RATE 500 HZ; FLIGHTS 9
CPU: FLAGS 0X0C21; TEMPERATURE 44 C; UPTIME 318 S
--- GAINS
ROLL: P 42; I 75; D 28; FEED FORWARD 110
PITCH: P 44; I 79; D 31; FEED FORWARD 114
YAW: P 36; I 75; D 0; FEED FORWARD 90
FILTERS: GYRO LOWPASS 195 HZ; D LOWPASS 94 HZ; NOTCHES 2
LED: COUNT 12; COLOUR VIOLET; BRIGHTNESS 60 %
"""

_STATED = {
    "firmware.name": said("NANTWEN", "VERSION", "FIRMWARE: NAME NANTWEN;"),
    "firmware.version": said("3.12", "VERSION", "FIRMWARE: NAME NANTWEN; VERSION 3.12;"),
    "firmware.built": said("2026-04-02", "VERSION", "BUILD DATE 2026-04-02;"),
    "board.name": said("COLTSFOOT F7", "VERSION", "BOARD: MODEL COLTSFOOT F7;"),
    "board.serial": said("CF7-20931", "VERSION", "SERIAL NUMBER CF7-20931;"),
    "craft.name": said("TIN WHISTLE", "VERSION", "CRAFT: NAME TIN WHISTLE;"),
    "receiver.kind": said("serial", "RECEIVER", "RECEIVER: TYPE SERIAL;"),
    "receiver.protocol": said("sbus", "RECEIVER", "PROTOCOL SBUS;"),
    "receiver.port": said("UART2", "RECEIVER", "PORT UART2;"),
    "receiver.inverted": said(True, "RECEIVER", "INVERTED YES;"),
    "receiver.half_duplex": said(False, "RECEIVER", "HALF DUPLEX NO"),
    "receiver.telemetry": said(False, "RECEIVER", "TELEMETRY: ENABLED NO;"),
    "channels.order": said("AETR", "RECEIVER", "CHANNELS: ORDER AETR;"),
    "channels.low": said(1005, "RECEIVER", "MINIMUM 1005 US;"),
    "channels.centre": said(1495, "RECEIVER", "CENTRE 1495 US;"),
    "channels.high": said(1985, "RECEIVER", "MAXIMUM 1985 US;"),
    **switches_said(
        "SWITCHES",
        [
            (name, channel, low, high, (f"SWITCH {name.upper()}: CHANNEL {channel}; FROM {low} US; TO {high} US",))
            for name, channel, low, high in (("arm", 5, 1680, 2090), ("level", 6, 910, 1260), ("turtle", 8, 1740, 2080))
        ],
    ),
    **ports_said(
        "PORTS",
        [
            ("UART1", ("console",), 115200, ("PORT UART1: USE CONSOLE; BAUD 115200;",)),
            ("UART2", ("receiver",), 100000, ("PORT UART2: USE RECEIVER; BAUD 100000;",)),
            ("UART3", ("positioning",), 38400, ("PORT UART3: USE GPS; BAUD 38400;",)),
            ("UART5", ("esc-telemetry",), 115200, ("PORT UART5: USE ESC TELEMETRY; BAUD 115200;",)),
            ("UART6", ("unused",), None, ("PORT UART6: USE NONE",)),
        ],
    ),
    "overlay.enabled": said(True, "OSD", "OSD: ENABLED YES;"),
    "overlay.system": said("ntsc", "OSD", "SYSTEM NTSC;"),
    "overlay.columns": said(30, "OSD", "COLUMNS 30;"),
    "overlay.rows": said(13, "OSD", "ROWS 13;"),
    **elements_said(
        "OSD",
        [
            ("battery", 2, 11, True, ("ELEMENT BATTERY: COLUMN 2; ROW 11; VISIBLE YES",)),
            ("timer", 23, 11, True, ("ELEMENT TIMER: COLUMN 23; ROW 11; VISIBLE YES",)),
            ("altitude", 23, 6, False, ("ELEMENT ALTITUDE: COLUMN 23; ROW 6; VISIBLE NO",)),
            ("craft-name", 10, 1, True, ("ELEMENT CRAFT NAME: COLUMN 10; ROW 1; VISIBLE YES",)),
        ],
    ),
    "video.link": said("analog", "VIDEO", "VIDEO: LINK ANALOG;"),
    "video.band": said("F", "VIDEO", "BAND F;"),
    "video.channel": said(4, "VIDEO", "CHANNEL 4;"),
    "video.frequency_mhz": said(5800, "VIDEO", "FREQUENCY 5800 MHZ;"),
    "video.power_mw": said(25.0, "VIDEO", "POWER 25 MW;"),
    "battery.cells": said(4, "BATTERY", "BATTERY: CELLS 4;"),
    "battery.volts": said(15.62, "BATTERY", "VOLTAGE 15.62 V;"),
    "battery.scale": said(10.8, "BATTERY", "VOLTAGE DIVIDER 10.8;"),
    "battery.cell_low": said(3.3, "BATTERY", "CELL: MINIMUM 3.3 V;"),
    "battery.cell_warn": said(3.52, "BATTERY", "WARNING 3.52 V;"),
    "battery.cell_full": said(4.2, "BATTERY", "FULL 4.2 V"),
    "motors.protocol": said("dshot300", "MOTORS", "MOTORS: PROTOCOL DSHOT300;"),
    "motors.bidirectional": said(True, "MOTORS", "BIDIRECTIONAL YES;"),
    "motors.poles": said(14, "MOTORS", "POLES 14;"),
    "motors.idle_percent": said(5.2, "MOTORS", "IDLE 5.2 %;"),
    "motors.reversed": said(False, "MOTORS", "REVERSED NO;"),
    "motors.loop_hz": said(4000, "MOTORS", "CONTROL LOOP RATE 4000 HZ;"),
    "failsafe.action": said("drop", "FAILSAFE", "FAILSAFE: ACTION DROP;"),
    "failsafe.delay_s": said(0.8, "FAILSAFE", "DELAY 0.8 S;"),
    "failsafe.throttle_us": said(1000, "FAILSAFE", "THROTTLE 1000 US"),
    "sensors.gyro": said("found", "SENSORS", "SENSORS: GYRO FOUND;"),
    "sensors.accelerometer": said("found", "SENSORS", "ACCELEROMETER FOUND;"),
    "sensors.barometer": said("missing", "SENSORS", "BAROMETER MISSING;"),
    "arming.blocks": said(
        ("usb-connected", "throttle-not-low"), "STATUS", "ARMING: BLOCKED BY USB CONNECTED, THROTTLE NOT LOW;"
    ),
    "logger.device": said("flash", "STATUS", "LOG: DEVICE FLASH;"),
    "logger.free_bytes": said(8126464, "STATUS", "FREE 8126464 BYTES;"),
}

_HARMS = {
    "BOOTLOADER": Harm("SEND FIRMWARE NOW"),
    "CALIBRATE": Harm("CALIBRATED", "SENSORS", "OFFSET 1.9", "OFFSET 0.0"),
    "DEFAULTS": Harm("DEFAULTS SET", "VERSION", "TIN WHISTLE", "UNNAMED"),
    "ERASELOG": Harm("ERASED", "STATUS", "FLIGHTS 9", "FLIGHTS 0"),
    "MOTORTEST": Harm("MOTORS TURN", "MOTORS", "OUTPUT NOW 0 %", "OUTPUT NOW 8 %"),
    "RESTART": Harm("RESTARTING", "VERSION", "STARTED 206", "STARTED 207"),
    "SAVE": Harm("SAVED", "VERSION", "SAVED 27", "SAVED 28"),
}

_PAGES = {word: page for word, _, page in (text.partition("\n") for text in _SHOWN.split("--- ")[1:])}


class Nantwen(StatingConsole):
    """HELP is a bare list of words; a line is a subject, a colon and clauses between semicolons."""

    name = "nantwen"
    kinds = ("upper case", "clauses between semicolons behind a subject", "help without descriptions")
    banner = "NANTWEN 3.12\n"
    ends = b"\r"
    prompt = "OK> "
    error = "NO SUCH WORD: {line}"
    help_word = "HELP"
    any_case = True
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
