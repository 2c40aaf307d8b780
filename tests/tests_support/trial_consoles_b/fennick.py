"""Fennick: a JSON document of camelCase keys for each subject, one key a line, units in the keys. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_HELP = """\
[
  {"command": "about", "summary": "what this board is"},
  {"command": "auxModes", "summary": "switches and what they do"},
  {"command": "eraseLog", "summary": "empty the flight log"},
  {"command": "health", "summary": "sensors, arming and the log"},
  {"command": "help", "summary": "this list"},
  {"command": "keepSettings", "summary": "write the settings to flash"},
  {"command": "levelHere", "summary": "take the present attitude as level"},
  {"command": "linkLoss", "summary": "what happens without a link"},
  {"command": "motorOutput", "summary": "motors and control loop"},
  {"command": "osdLayout", "summary": "the on-screen display"},
  {"command": "powerPack", "summary": "battery and supply"},
  {"command": "radioInput", "summary": "receiver and channels"},
  {"command": "restartBoard", "summary": "start the firmware again"},
  {"command": "serialPorts", "summary": "what each UART is for"},
  {"command": "spinMotor", "summary": "run one motor for a second"},
  {"command": "tuning", "summary": "gains and filters"},
  {"command": "updateMode", "summary": "wait for new firmware"},
  {"command": "videoTransmitter", "summary": "the picture's way to the ground"},
  {"command": "wipeSettings", "summary": "go back to the defaults"}
]
"""

_ABOUT = """\
{
  "firmwareName": "Fennick",
  "firmwareVersion": "3.8.0",
  "buildDate": "2026-02-19",
  "loaderVersion": "1.4.2",
  "boardName": "TEASEL F722",
  "serialNumber": "TF7-002915",
  "craftName": "Pale Heron",
  "bootCount": 212,
  "saveCount": 38,
  "uptimeSec": 96,
  "coreTempC": 44
}
"""

_RADIO = """\
{
  "receiverType": "serial",
  "serialProtocol": "CRSF",
  "receiverUart": "uart2",
  "signalInverted": false,
  "halfDuplex": false,
  "telemetryEnabled": true,
  "telemetryIntervalMs": 120,
  "channelMap": "TAER",
  "minPulseUs": 988,
  "midPulseUs": 1500,
  "maxPulseUs": 2012,
  "deadbandUs": 3,
  "expoPercent": 20,
  "rssiDbm": -130,
  "channelsUs": [988, 1500, 1500, 1500, 1000, 1000, 2000, 1500]
}
"""

_AUX = """\
[
  {"mode": "arm", "channel": 5, "minUs": 1700, "maxUs": 2100},
  {"mode": "level", "channel": 6, "minUs": 900, "maxUs": 1300},
  {"mode": "beeper", "channel": 8, "minUs": 1600, "maxUs": 2100}
]
"""

_PORTS = """\
{
  "serialPorts": [
    {"port": "uart1", "function": "videoControl", "baudRate": 9600},
    {"port": "uart2", "function": "receiver", "baudRate": 420000},
    {"port": "uart4", "function": "gps", "baudRate": 57600},
    {"port": "uart6", "function": "none", "baudRate": null}
  ],
  "usbPort": {"connected": true, "bytesIn": 118, "bytesOut": 4096}
}
"""

_OSD = """\
{
  "osdEnabled": true,
  "videoSystem": "PAL",
  "gridColumns": 30,
  "gridRows": 16,
  "elements": [
    {"item": "battery", "column": 2, "row": 14, "visible": true},
    {"item": "timer", "column": 23, "row": 14, "visible": true},
    {"item": "linkQuality", "column": 2, "row": 1, "visible": true},
    {"item": "craftName", "column": 10, "row": 1, "visible": false}
  ]
}
"""

_VTX = """\
{
  "videoLink": "analog",
  "band": "R",
  "channel": 2,
  "frequencyMhz": 5695,
  "powerMw": 200,
  "maxPowerMw": 600,
  "pitMode": false
}
"""

_POWER = """\
{
  "cellCount": 6,
  "packVoltage": 23.71,
  "supplyVoltage": 5.02,
  "voltageDivider": 11.0,
  "cellMinVolts": 3.3,
  "cellWarnVolts": 3.52,
  "cellMaxVolts": 4.2,
  "capacityMah": 1300,
  "usedMah": 0,
  "currentAmps": 0.42
}
"""

_MOTORS = """\
{
  "escProtocol": "DSHOT600",
  "bidirectionalDshot": true,
  "motorPoles": 14,
  "idlePercent": 5.5,
  "motorsReversed": false,
  "pidLoopHz": 8000,
  "gyroSampleHz": 8000,
  "outputNow": [0, 0, 0, 0]
}
"""

_LOSS = """\
{
  "failsafeAction": "returnHome",
  "failsafeDelayMs": 1500,
  "failsafeThrottleUs": 1280,
  "returnAltitudeM": 25
}
"""

_HEALTH = """\
{
  "gyroscope": "ok",
  "accelerometer": "ok",
  "barometer": "ok",
  "rollTiltDeg": 1.4,
  "armingBlocks": ["usbConnected", "noReceiverLink"],
  "logDevice": "flash",
  "logFreeBytes": 15990784,
  "logRateHz": 1000,
  "logSessions": 6
}
"""

_TUNING = """\
{
  "roll": {"p": 45, "i": 80, "d": 30, "feedForward": 110},
  "pitch": {"p": 47, "i": 84, "d": 34, "feedForward": 115},
  "yaw": {"p": 45, "i": 80, "d": 0, "feedForward": 100},
  "gyroLowpassHz": 250,
  "dTermLowpassHz": 110,
  "ledColor": "teal"
}
"""

_STATED = {
    "firmware.name": said("Fennick", "about", '"firmwareName": "Fennick"'),
    "firmware.version": said("3.8.0", "about", '"firmwareVersion": "3.8.0"'),
    "firmware.built": said("2026-02-19", "about", '"buildDate": "2026-02-19"'),
    "board.name": said("TEASEL F722", "about", '"boardName": "TEASEL F722"'),
    "board.serial": said("TF7-002915", "about", '"serialNumber": "TF7-002915"'),
    "craft.name": said("Pale Heron", "about", '"craftName": "Pale Heron"'),
    "receiver.kind": said("serial", "radioInput", '"receiverType": "serial"'),
    "receiver.protocol": said("crsf", "radioInput", '"serialProtocol": "CRSF"'),
    "receiver.port": said("uart2", "radioInput", '"receiverUart": "uart2"'),
    "receiver.inverted": said(False, "radioInput", '"signalInverted": false'),
    "receiver.half_duplex": said(False, "radioInput", '"halfDuplex": false'),
    "receiver.telemetry": said(True, "radioInput", '"telemetryEnabled": true'),
    "channels.order": said("TAER", "radioInput", '"channelMap": "TAER"'),
    "channels.low": said(988, "radioInput", '"minPulseUs": 988'),
    "channels.centre": said(1500, "radioInput", '"midPulseUs": 1500'),
    "channels.high": said(2012, "radioInput", '"maxPulseUs": 2012'),
    "channels.live": said(
        (988, 1500, 1500, 1500, 1000, 1000, 2000, 1500),
        "radioInput",
        '"channelsUs": [988, 1500, 1500, 1500, 1000, 1000, 2000, 1500]',
    ),
    **switches_said(
        "auxModes",
        [
            ("arm", 5, 1700, 2100, ('{"mode": "arm", "channel": 5, "minUs": 1700, "maxUs": 2100}',)),
            ("level", 6, 900, 1300, ('{"mode": "level", "channel": 6, "minUs": 900, "maxUs": 1300}',)),
            ("beeper", 8, 1600, 2100, ('{"mode": "beeper", "channel": 8, "minUs": 1600, "maxUs": 2100}',)),
        ],
    ),
    **ports_said(
        "serialPorts",
        [
            ("uart1", ("video-control",), 9600, ('"port": "uart1", "function": "videoControl", "baudRate": 9600',)),
            ("uart2", ("receiver",), 420000, ('"port": "uart2", "function": "receiver", "baudRate": 420000',)),
            ("uart4", ("positioning",), 57600, ('"port": "uart4", "function": "gps", "baudRate": 57600',)),
            ("uart6", ("unused",), None, ('"port": "uart6", "function": "none", "baudRate": null',)),
        ],
    ),
    "overlay.enabled": said(True, "osdLayout", '"osdEnabled": true'),
    "overlay.system": said("pal", "osdLayout", '"videoSystem": "PAL"'),
    "overlay.columns": said(30, "osdLayout", '"gridColumns": 30'),
    "overlay.rows": said(16, "osdLayout", '"gridRows": 16'),
    **elements_said(
        "osdLayout",
        [
            ("battery", 2, 14, True, ('"item": "battery", "column": 2, "row": 14, "visible": true',)),
            ("timer", 23, 14, True, ('"item": "timer", "column": 23, "row": 14, "visible": true',)),
            ("link-quality", 2, 1, True, ('"item": "linkQuality", "column": 2, "row": 1, "visible": true',)),
            ("craft-name", 10, 1, False, ('"item": "craftName", "column": 10, "row": 1, "visible": false',)),
        ],
    ),
    "video.link": said("analog", "videoTransmitter", '"videoLink": "analog"'),
    "video.band": said("R", "videoTransmitter", '"band": "R"'),
    "video.channel": said(2, "videoTransmitter", '"channel": 2'),
    "video.frequency_mhz": said(5695, "videoTransmitter", '"frequencyMhz": 5695'),
    "video.power_mw": said(200.0, "videoTransmitter", '"powerMw": 200'),
    "battery.cells": said(6, "powerPack", '"cellCount": 6'),
    "battery.volts": said(23.71, "powerPack", '"packVoltage": 23.71'),
    "battery.scale": said(11.0, "powerPack", '"voltageDivider": 11.0'),
    "battery.cell_low": said(3.3, "powerPack", '"cellMinVolts": 3.3'),
    "battery.cell_warn": said(3.52, "powerPack", '"cellWarnVolts": 3.52'),
    "battery.cell_full": said(4.2, "powerPack", '"cellMaxVolts": 4.2'),
    "motors.protocol": said("dshot600", "motorOutput", '"escProtocol": "DSHOT600"'),
    "motors.bidirectional": said(True, "motorOutput", '"bidirectionalDshot": true'),
    "motors.poles": said(14, "motorOutput", '"motorPoles": 14'),
    "motors.idle_percent": said(5.5, "motorOutput", '"idlePercent": 5.5'),
    "motors.reversed": said(False, "motorOutput", '"motorsReversed": false'),
    "motors.loop_hz": said(8000, "motorOutput", '"pidLoopHz": 8000'),
    "failsafe.action": said("return", "linkLoss", '"failsafeAction": "returnHome"'),
    "failsafe.delay_s": said(1.5, "linkLoss", '"failsafeDelayMs": 1500'),
    "failsafe.throttle_us": said(1280, "linkLoss", '"failsafeThrottleUs": 1280'),
    "sensors.gyro": said("found", "health", '"gyroscope": "ok"'),
    "sensors.accelerometer": said("found", "health", '"accelerometer": "ok"'),
    "sensors.barometer": said("found", "health", '"barometer": "ok"'),
    "arming.blocks": said(
        ("usb-connected", "no-receiver-link"), "health", '"armingBlocks": ["usbConnected", "noReceiverLink"]'
    ),
    "logger.device": said("flash", "health", '"logDevice": "flash"'),
    "logger.free_bytes": said(15990784, "health", '"logFreeBytes": 15990784'),
}

_HARMS = {
    "eraseLog": Harm('{"erased": true}', "health", '"logSessions": 6', '"logSessions": 0'),
    "keepSettings": Harm('{"written": true}', "about", '"saveCount": 38', '"saveCount": 39'),
    "levelHere": Harm('{"levelTaken": true}', "health", '"rollTiltDeg": 1.4', '"rollTiltDeg": 0.0'),
    "restartBoard": Harm('{"restarting": true}', "about", '"bootCount": 212', '"bootCount": 213'),
    "spinMotor": Harm('{"spinning": 1}', "motorOutput", "[0, 0, 0, 0]", "[6, 0, 0, 0]", "spinMotor 1"),
    "updateMode": Harm('{"waitingForFirmware": true}'),
    "wipeSettings": Harm('{"wiped": true}', "about", '"craftName": "Pale Heron"', '"craftName": ""'),
}

_PAGES = {
    "help": _HELP,
    "about": _ABOUT,
    "radioInput": _RADIO,
    "auxModes": _AUX,
    "serialPorts": _PORTS,
    "osdLayout": _OSD,
    "videoTransmitter": _VTX,
    "powerPack": _POWER,
    "motorOutput": _MOTORS,
    "linkLoss": _LOSS,
    "health": _HEALTH,
    "tuning": _TUNING,
}


class Fennick(StatingConsole):
    """Every answer is a JSON document over several lines, the help and the error, too."""

    name = "fennick"
    kinds = ("JSON documents, indented", "camelCase", "units in keys", "help with descriptions")
    banner = '{"ready": "Fennick 3.8.0"}\n'
    newline = "\n"
    prompt = "fennick# "
    error = '{{"error": "noSuchCommand", "line": "{line}"}}'
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
