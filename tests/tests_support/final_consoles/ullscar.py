"""Ullscar: one listing that the banner names, UPPER_SNAKE keys, records, sections in brackets. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_HELP = """\
HELP          THIS TEXT
SHOWALL       LIST ALL SETTINGS AND READINGS
STORE         WRITE SETTINGS TO FLASH
FACTORY       SET EVERYTHING TO FACTORY VALUES
WARMSTART     RESTART THE FIRMWARE
UPLOAD        WAIT FOR NEW FIRMWARE
SPIN n        TURN MOTOR n
SETLEVEL      CALIBRATE THE ACCELEROMETER
CLEARLOG      ERASE THE FLIGHT LOG
"""

_SHOWALL = """\
<IDENTITY>
FIRMWARE_NAME=Ullscar
FIRMWARE_VERSION=2.7.1
FIRMWARE_BUILT=2026-01-23
LOADER_VERSION=1.0.6
BOARD_MODEL=FESCUE-H7
BOARD_SERIAL=0B41-77E2
AIRCRAFT_NAME=Amber Vole
STORE_COUNT=14
START_COUNT=95

<RECEIVER>
RECEIVER_TYPE=SERIAL
RECEIVER_PROTOCOL=SBUS
RECEIVER_PORT=UART2
RECEIVER_INVERTED=YES
RECEIVER_HALF_DUPLEX=NO
RECEIVER_TELEMETRY=NO
TELEMETRY_BAUD=38400
CHANNEL_ORDER=TAER
PULSE_MIN_US=1005
PULSE_CENTRE_US=1500
PULSE_MAX_US=1995
STICK_DEADBAND_US=3
SERVO_CENTRE_US=1520
SMOOTHING_HZ=40

<SWITCHES>
# SWITCH=FUNCTION,CHANNEL,FROM_US,TO_US
SWITCH=ARM,6,1650,2100
SWITCH=LEVEL,7,900,1250
SWITCH=BEEPER,9,1700,2100

<PORTS>
# PORT=NAME,FUNCTION,BAUD
PORT=UART1,CONSOLE,115200
PORT=UART2,RECEIVER,100000
PORT=UART3,GPS,57600
PORT=UART5,ESC_TELEMETRY,115200
PORT=UART8,UNUSED,-

<FAILSAFE>
FAILSAFE_ACTION=DROP
FAILSAFE_DELAY_MS=800
FAILSAFE_THROTTLE_US=1000
RECOVERY_TIME_MS=250

<OSD>
OSD_ENABLED=YES
OSD_SYSTEM=NTSC
OSD_COLUMNS=30
OSD_ROWS=13
OSD_REFRESH_HZ=25
# ELEMENT=NAME,COLUMN,ROW,VISIBLE
ELEMENT=BATTERY,1,11,YES
ELEMENT=TIMER,24,11,YES
ELEMENT=LINK_QUALITY,1,1,NO
ELEMENT=ALTITUDE,22,6,YES

<VIDEO>
VIDEO_LINK=ANALOG
VIDEO_BAND=A
VIDEO_CHANNEL=2
VIDEO_FREQUENCY_MHZ=5845
VIDEO_POWER_MW=25
VIDEO_PIT_MODE=NO

<BATTERY>
BATTERY_CELLS=3
BATTERY_VOLTAGE_MV=12240
BATTERY_DIVIDER=11.2
CELL_MIN_MV=3250
CELL_WARNING_MV=3480
CELL_MAX_MV=4180
BATTERY_CAPACITY_MAH=850
CURRENT_MA=390
RAIL_VOLTAGE_MV=5010

<MOTORS>
MOTOR_PROTOCOL=DSHOT300
MOTOR_BIDIRECTIONAL=NO
MOTOR_MAGNETS=12
MOTOR_IDLE_PERCENT=6.5
MOTORS_REVERSED=YES
LOOP_RATE_HZ=4000
GYRO_SAMPLE_HZ=8000
MOTOR_OUTPUT_PERCENT=0

<GAINS>
# GAIN=AXIS,P,I,D
GAIN=ROLL,41,72,26
GAIN=PITCH,43,75,29
GAIN=YAW,38,70,0
GYRO_LOWPASS_HZ=220
D_LOWPASS_HZ=100

<STATUS>
GYRO=FOUND
ACCELEROMETER=FOUND
BAROMETER=FOUND
LEVEL_TRIM_DEG=1.3
ARMING_BLOCKED_BY=NO_RECEIVER_LINK,USB_CONNECTED
LOG_DEVICE=CARD
LOG_FREE_BYTES=7948206080
LOG_RATE_HZ=1000
LOG_FILES=17
UPTIME_S=433
CPU_LOAD_PERCENT=31
CPU_TEMPERATURE_C=43
"""

_ALL = "SHOWALL"
_STATED = {
    "firmware.name": said("Ullscar", _ALL, "FIRMWARE_NAME=Ullscar"),
    "firmware.version": said("2.7.1", _ALL, "FIRMWARE_VERSION=2.7.1"),
    "firmware.built": said("2026-01-23", _ALL, "FIRMWARE_BUILT=2026-01-23"),
    "board.name": said("FESCUE-H7", _ALL, "BOARD_MODEL=FESCUE-H7"),
    "board.serial": said("0B41-77E2", _ALL, "BOARD_SERIAL=0B41-77E2"),
    "craft.name": said("Amber Vole", _ALL, "AIRCRAFT_NAME=Amber Vole"),
    "receiver.kind": said("serial", _ALL, "RECEIVER_TYPE=SERIAL"),
    "receiver.protocol": said("sbus", _ALL, "RECEIVER_PROTOCOL=SBUS"),
    "receiver.port": said("UART2", _ALL, "RECEIVER_PORT=UART2"),
    "receiver.inverted": said(True, _ALL, "RECEIVER_INVERTED=YES"),
    "receiver.half_duplex": said(False, _ALL, "RECEIVER_HALF_DUPLEX=NO"),
    "receiver.telemetry": said(False, _ALL, "RECEIVER_TELEMETRY=NO"),
    "channels.order": said("TAER", _ALL, "CHANNEL_ORDER=TAER"),
    "channels.low": said(1005, _ALL, "PULSE_MIN_US=1005"),
    "channels.centre": said(1500, _ALL, "PULSE_CENTRE_US=1500"),
    "channels.high": said(1995, _ALL, "PULSE_MAX_US=1995"),
    **switches_said(
        _ALL,
        [
            ("arm", 6, 1650, 2100, ("SWITCH=ARM,6,1650,2100",)),
            ("level", 7, 900, 1250, ("SWITCH=LEVEL,7,900,1250",)),
            ("beeper", 9, 1700, 2100, ("SWITCH=BEEPER,9,1700,2100",)),
        ],
    ),
    **ports_said(
        _ALL,
        [
            ("UART1", ("console",), 115200, ("PORT=UART1,CONSOLE,115200",)),
            ("UART2", ("receiver",), 100000, ("PORT=UART2,RECEIVER,100000",)),
            ("UART3", ("positioning",), 57600, ("PORT=UART3,GPS,57600",)),
            ("UART5", ("esc-telemetry",), 115200, ("PORT=UART5,ESC_TELEMETRY,115200",)),
            ("UART8", ("unused",), None, ("PORT=UART8,UNUSED,-",)),
        ],
    ),
    "failsafe.action": said("drop", _ALL, "FAILSAFE_ACTION=DROP"),
    "failsafe.delay_s": said(0.8, _ALL, "FAILSAFE_DELAY_MS=800"),
    "failsafe.throttle_us": said(1000, _ALL, "FAILSAFE_THROTTLE_US=1000"),
    "overlay.enabled": said(True, _ALL, "OSD_ENABLED=YES"),
    "overlay.system": said("ntsc", _ALL, "OSD_SYSTEM=NTSC"),
    "overlay.columns": said(30, _ALL, "OSD_COLUMNS=30"),
    "overlay.rows": said(13, _ALL, "OSD_ROWS=13"),
    **elements_said(
        _ALL,
        [
            ("battery", 1, 11, True, ("ELEMENT=BATTERY,1,11,YES",)),
            ("timer", 24, 11, True, ("ELEMENT=TIMER,24,11,YES",)),
            ("link-quality", 1, 1, False, ("ELEMENT=LINK_QUALITY,1,1,NO",)),
            ("altitude", 22, 6, True, ("ELEMENT=ALTITUDE,22,6,YES",)),
        ],
    ),
    "video.link": said("analog", _ALL, "VIDEO_LINK=ANALOG"),
    "video.band": said("A", _ALL, "VIDEO_BAND=A"),
    "video.channel": said(2, _ALL, "VIDEO_CHANNEL=2"),
    "video.frequency_mhz": said(5845, _ALL, "VIDEO_FREQUENCY_MHZ=5845"),
    "video.power_mw": said(25.0, _ALL, "VIDEO_POWER_MW=25"),
    "battery.cells": said(3, _ALL, "BATTERY_CELLS=3"),
    "battery.volts": said(12.24, _ALL, "BATTERY_VOLTAGE_MV=12240"),
    "battery.scale": said(11.2, _ALL, "BATTERY_DIVIDER=11.2"),
    "battery.cell_low": said(3.25, _ALL, "CELL_MIN_MV=3250"),
    "battery.cell_warn": said(3.48, _ALL, "CELL_WARNING_MV=3480"),
    "battery.cell_full": said(4.18, _ALL, "CELL_MAX_MV=4180"),
    "motors.protocol": said("dshot300", _ALL, "MOTOR_PROTOCOL=DSHOT300"),
    "motors.bidirectional": said(False, _ALL, "MOTOR_BIDIRECTIONAL=NO"),
    "motors.poles": said(12, _ALL, "MOTOR_MAGNETS=12"),
    "motors.idle_percent": said(6.5, _ALL, "MOTOR_IDLE_PERCENT=6.5"),
    "motors.reversed": said(True, _ALL, "MOTORS_REVERSED=YES"),
    "motors.loop_hz": said(4000, _ALL, "LOOP_RATE_HZ=4000"),
    "sensors.gyro": said("found", _ALL, "GYRO=FOUND"),
    "sensors.accelerometer": said("found", _ALL, "ACCELEROMETER=FOUND"),
    "sensors.barometer": said("found", _ALL, "BAROMETER=FOUND"),
    "arming.blocks": said(
        ("no-receiver-link", "usb-connected"), _ALL, "ARMING_BLOCKED_BY=NO_RECEIVER_LINK,USB_CONNECTED"
    ),
    "logger.device": said("card", _ALL, "LOG_DEVICE=CARD"),
    "logger.free_bytes": said(7948206080, _ALL, "LOG_FREE_BYTES=7948206080"),
}

_HARMS = {
    "STORE": Harm("STORED", _ALL, "STORE_COUNT=14", "STORE_COUNT=15"),
    "FACTORY": Harm("FACTORY VALUES SET", _ALL, "AIRCRAFT_NAME=Amber Vole", "AIRCRAFT_NAME="),
    "WARMSTART": Harm("STARTING", _ALL, "START_COUNT=95", "START_COUNT=96"),
    "UPLOAD": Harm("SEND FIRMWARE NOW"),
    "SPIN": Harm("SPINNING", _ALL, "MOTOR_OUTPUT_PERCENT=0", "MOTOR_OUTPUT_PERCENT=8", "SPIN 1"),
    "SETLEVEL": Harm("LEVEL SET", _ALL, "LEVEL_TRIM_DEG=1.3", "LEVEL_TRIM_DEG=0.0"),
    "CLEARLOG": Harm("LOG CLEARED", _ALL, "LOG_FILES=17", "LOG_FILES=0"),
}
_PAGES = {"HELP": _HELP, _ALL: _SHOWALL}


class Ullscar(StatingConsole):
    """One word lists everything; the comments in it say what stands in a record."""

    name = "ullscar"
    kinds = ("upper-case snake keys with =", "sections in angle brackets", "records with a comment", "no echo")
    banner = "ULLSCAR 2.7.1 READY. SHOWALL LISTS THE SETTINGS, HELP THE WORDS.\n"
    echo = False
    prompt = "OK> "
    error = "ERROR: UNKNOWN WORD {line}"
    help_word = "HELP"
    any_case = True
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
