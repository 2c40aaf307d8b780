"""Tarrowby: a word per subject, name, value and unit on aligned columns without a header, a key per port. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_HELP = """\
battery    show battery voltage and limits
burn       write settings to flash
camera     show video transmitter
defaults   load factory settings
help       show this list
identity   show firmware and board
level      calibrate accelerometer
linkloss   show failsafe settings
loader     enter bootloader
log        show flight log
logwipe    erase flight log
motors     show motor settings
osd        show on-screen display
receiver   show receiver and channels
reset      restart the board
sensors    show sensors and arming
serial     show serial ports
spin       run a motor
switches   show switches
tuning     show gains and filters
"""

# Each page below the word that prints it.
_SHOWN = """\
--- identity
firmwareName              tarrowby
firmwareVersion           5.3.0
buildDate                 2026-02-17
bootloaderVersion         1.8
boardModel                SORGHUM-F7
boardSerialNumber         SG7-100342
boardRevision             3
craftName                 Patient Newt
craftWeight               512             g
writeCount                88
startCount                630
--- receiver
receiverType              serial
receiverProtocol          crsf
receiverPort              uart4
receiverInverted          no
receiverHalfDuplex        no
receiverTelemetry         on
telemetryInterval         150             ms
channelOrder              TAER
channelMin                985             us
channelCenter             1499            us
channelMax                2013            us
channelDeadband           3               us
gimbalServoCenter         1530            us
stickSmoothing            35              Hz
--- switches
armChannel                5
armFrom                   1680            us
armTo                     2090            us
levelChannel              6
levelFrom                 910             us
levelTo                   1340            us
beeperChannel             9
beeperFrom                1620            us
beeperTo                  2080            us
--- serial
usbFunction               console
uart1Function             gps
uart1Baud                 57600           baud
uart1Errors               2
uart3Function             escTelemetry
uart3Baud                 115200          baud
uart3Errors               0
uart4Function             receiver
uart4Baud                 420000          baud
uart4Errors               0
uart5Function             unused
--- osd
osdEnabled                yes
osdVideoSystem            NTSC
osdColumns                30
osdRows                   13
osdRefreshRate            20              Hz
osdFont                   2
batteryColumn             1
batteryRow                11
batteryVisible            yes
timerColumn               23
timerRow                  11
timerVisible              yes
craftNameColumn           9
craftNameRow              2
craftNameVisible          no
--- camera
videoLink                 analog
videoBand                 R
videoChannel              4
videoFrequency            5769            MHz
videoPower                400             mW
videoPowerMax             800             mW
videoPitMode              off
cameraTilt                25              deg
--- battery
batteryCells              4
batteryVoltage            16.12           V
batteryVoltageDivider     10.7
batteryCapacity           1450            mAh
batteryCurrent            0.38            A
cellVoltageMin            3.28            V
cellVoltageWarning        3.47            V
cellVoltageMax            4.22            V
regulatorVoltage          5.06            V
--- motors
motorProtocol             dshot600
motorBidirectional        yes
motorPoles                14
motorIdle                 4.6             %
motorReversed             no
motorKv                   1950            rpm/V
motorOutputNow            0               %
controlLoopRate           4000            Hz
gyroSampleRate            8000            Hz
--- linkloss
failsafeAction            hold
failsafeDelay             900             ms
failsafeThrottle          1260            us
failsafeRecoveryTime      500             ms
--- sensors
gyro                      found
accelerometer             found
barometer                 missing
compass                   missing
gyroTemperature           37              C
levelOffset               1.4             deg
armingBlockedBy           no receiver link, usb connected
armCount                  0
--- log
logDevice                 flash
logFreeSpace              6291456         bytes
logRate                   500             Hz
logFlights                9
--- tuning
rollP                     43
rollI                     74
rollD                     28
pitchP                    45
pitchI                    78
yawP                      37
gyroLowpass               210             Hz
dLowpass                  95              Hz
"""


def _row(name: str, value: str, unit: str = "") -> str:
    return f"{name:<26}{value:<16}{unit}".rstrip()


_PORT_ROWS = (
    ("usb", "console", "console", None),
    ("uart1", "gps", "positioning", 57600),
    ("uart3", "escTelemetry", "esc-telemetry", 115200),
    ("uart4", "receiver", "receiver", 420000),
    ("uart5", "unused", "unused", None),
)
_STATED = {
    "firmware.name": said("tarrowby", "identity", _row("firmwareName", "tarrowby")),
    "firmware.version": said("5.3.0", "identity", _row("firmwareVersion", "5.3.0")),
    "firmware.built": said("2026-02-17", "identity", _row("buildDate", "2026-02-17")),
    "board.name": said("SORGHUM-F7", "identity", _row("boardModel", "SORGHUM-F7")),
    "board.serial": said("SG7-100342", "identity", _row("boardSerialNumber", "SG7-100342")),
    "craft.name": said("Patient Newt", "identity", _row("craftName", "Patient Newt")),
    "receiver.kind": said("serial", "receiver", _row("receiverType", "serial")),
    "receiver.protocol": said("crsf", "receiver", _row("receiverProtocol", "crsf")),
    "receiver.port": said("uart4", "receiver", _row("receiverPort", "uart4")),
    "receiver.inverted": said(False, "receiver", _row("receiverInverted", "no")),
    "receiver.half_duplex": said(False, "receiver", _row("receiverHalfDuplex", "no")),
    "receiver.telemetry": said(True, "receiver", _row("receiverTelemetry", "on")),
    "channels.order": said("TAER", "receiver", _row("channelOrder", "TAER")),
    "channels.low": said(985, "receiver", _row("channelMin", "985", "us")),
    "channels.centre": said(1499, "receiver", _row("channelCenter", "1499", "us")),
    "channels.high": said(2013, "receiver", _row("channelMax", "2013", "us")),
    **switches_said(
        "switches",
        [
            (name, channel, low, high, (_row(f"{name}Channel", str(channel)), *ends))
            for name, channel, low, high in (("arm", 5, 1680, 2090), ("level", 6, 910, 1340), ("beeper", 9, 1620, 2080))
            for ends in [(_row(f"{name}From", str(low), "us"), _row(f"{name}To", str(high), "us"))]
        ],
    ),
    **ports_said(
        "serial",
        [
            (
                name,
                (role,),
                baud,
                (_row(f"{name}Function", use), *([_row(f"{name}Baud", f"{baud}", "baud")] * bool(baud))),
            )
            for name, use, role, baud in _PORT_ROWS
        ],
    ),
    "overlay.enabled": said(True, "osd", _row("osdEnabled", "yes")),
    "overlay.system": said("ntsc", "osd", _row("osdVideoSystem", "NTSC")),
    "overlay.columns": said(30, "osd", _row("osdColumns", "30")),
    "overlay.rows": said(13, "osd", _row("osdRows", "13")),
    **elements_said(
        "osd",
        [
            (
                name,
                column,
                row,
                shown == "yes",
                (_row(f"{key}Column", str(column)), _row(f"{key}Row", str(row)), _row(f"{key}Visible", shown)),
            )
            for key, name, column, row, shown in (
                ("battery", "battery", 1, 11, "yes"),
                ("timer", "timer", 23, 11, "yes"),
                ("craftName", "craft-name", 9, 2, "no"),
            )
        ],
    ),
    "video.link": said("analog", "camera", _row("videoLink", "analog")),
    "video.band": said("R", "camera", _row("videoBand", "R")),
    "video.channel": said(4, "camera", _row("videoChannel", "4")),
    "video.frequency_mhz": said(5769, "camera", _row("videoFrequency", "5769", "MHz")),
    "video.power_mw": said(400.0, "camera", _row("videoPower", "400", "mW")),
    "battery.cells": said(4, "battery", _row("batteryCells", "4")),
    "battery.volts": said(16.12, "battery", _row("batteryVoltage", "16.12", "V")),
    "battery.scale": said(10.7, "battery", _row("batteryVoltageDivider", "10.7")),
    "battery.cell_low": said(3.28, "battery", _row("cellVoltageMin", "3.28", "V")),
    "battery.cell_warn": said(3.47, "battery", _row("cellVoltageWarning", "3.47", "V")),
    "battery.cell_full": said(4.22, "battery", _row("cellVoltageMax", "4.22", "V")),
    "motors.protocol": said("dshot600", "motors", _row("motorProtocol", "dshot600")),
    "motors.bidirectional": said(True, "motors", _row("motorBidirectional", "yes")),
    "motors.poles": said(14, "motors", _row("motorPoles", "14")),
    "motors.idle_percent": said(4.6, "motors", _row("motorIdle", "4.6", "%")),
    "motors.reversed": said(False, "motors", _row("motorReversed", "no")),
    "motors.loop_hz": said(4000, "motors", _row("controlLoopRate", "4000", "Hz")),
    "failsafe.action": said("hold", "linkloss", _row("failsafeAction", "hold")),
    "failsafe.delay_s": said(0.9, "linkloss", _row("failsafeDelay", "900", "ms")),
    "failsafe.throttle_us": said(1260, "linkloss", _row("failsafeThrottle", "1260", "us")),
    "sensors.gyro": said("found", "sensors", _row("gyro", "found")),
    "sensors.accelerometer": said("found", "sensors", _row("accelerometer", "found")),
    "sensors.barometer": said("missing", "sensors", _row("barometer", "missing")),
    "arming.blocks": said(
        ("no-receiver-link", "usb-connected"), "sensors", _row("armingBlockedBy", "no receiver link, usb connected")
    ),
    "logger.device": said("flash", "log", _row("logDevice", "flash")),
    "logger.free_bytes": said(6291456, "log", _row("logFreeSpace", "6291456", "bytes")),
}

_HARMS = {
    "burn": Harm("settings written", "identity", _row("writeCount", "88"), _row("writeCount", "89")),
    "defaults": Harm("factory settings loaded", "identity", "Patient Newt", "-"),
    "level": Harm("calibrated", "sensors", _row("levelOffset", "1.4"), _row("levelOffset", "0.0")),
    "loader": Harm("bootloader 1.8"),
    "logwipe": Harm("log erased", "log", _row("logFlights", "9"), _row("logFlights", "0")),
    "reset": Harm("restarting", "identity", _row("startCount", "630"), _row("startCount", "631")),
    "spin": Harm("motor running", "motors", _row("motorOutputNow", "0"), _row("motorOutputNow", "7"), "spin 1"),
}

_PAGES = {"help": _HELP}
_PAGES |= {word: page for word, _, page in (text.partition("\n") for text in _SHOWN.split("--- ")[1:])}


class Tarrowby(StatingConsole):
    """One word a subject; a unit, where there is one, stands in the third column."""

    name = "tarrowby"
    kinds = ("camelCase on aligned columns without a header", "units in a column", "keys per port, switch and element")
    banner = "tarrowby 5.3.0\n"
    prompt = "tarrowby$ "
    error = "{line}: command not found, try help"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
