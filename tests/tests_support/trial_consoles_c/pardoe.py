"""Pardoe: camelCase keys and arrows, choices and flags in hexadecimal, scaled integers, legends above. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_HELP = """\
namePlate  - firmware, board, craft
allParams  - every parameter, with legends
liveData   - measurements and flags, with legends
cmdList    - this list
storeAll   - write parameters to flash
clearAll   - parameters to factory values
coldStart  - reboot
loaderWait - wait for a firmware image
motorTick  - let a motor turn briefly
tareLevel  - calibrate level
blankLog   - erase the log
Values with 0x are hexadecimal: choices and flags. Flags add up.
All other numbers are decimal integers; the unit of one step is in the legend.
"""

_PLATE = """\
fwName -> Pardoe
fwVersion -> 2.9.4
fwDate -> 2026-03-07
loaderVersion -> 1.1
boardName -> YARROW F405 MINI
boardRev -> 0x0C
boardSerial -> 3F91A06C
craftName -> Night Heron
paramVersion -> 0x0021
"""

_PARAMS = """\
# receiver
# rxType: 0x0 none, 0x1 PPM, 0x2 PWM, 0x3 serial, 0x4 SPI
# rxProtocol: 0x0 none, 0x1 SBUS, 0x2 IBUS, 0x3 CRSF
# rxInverted, rxHalfDuplex, rxTelemetry: 0x0 no, 0x1 yes
# telemetryBaud: 100 baud
rxType -> 0x3
rxProtocol -> 0x3
rxPort -> U2
rxInverted -> 0x0
rxHalfDuplex -> 0x0
rxTelemetry -> 0x1
telemetryBaud -> 576

# channels: pulses in us
chanOrder -> AETR
pulseLow -> 990
pulseCentre -> 1503
pulseHigh -> 2010
servoCentre -> 1520

# switches: channel, from (us), to (us)
switchArm -> 5, 1700, 2100
switchLevel -> 6, 900, 1200
switchBeeper -> 10, 1600, 2100

# ports: function, rate (100 baud)
# function: 0x00 unused, 0x01 console, 0x02 receiver, 0x04 GPS, 0x08 telemetry, 0x10 video control
U1 -> 0x01, 1152
U2 -> 0x02, 4200
U3 -> 0x04, 384
U4 -> 0x10, 96
U5 -> 0x00, 0

# OSD
# osdOn: 0x0 off, 0x1 on
# osdSystem: 0x0 auto, 0x1 PAL, 0x2 NTSC, 0x3 digital
# osd items: column, row, 0x1 visible or 0x0 hidden
osdOn -> 0x1
osdSystem -> 0x1
osdColumns -> 30
osdRows -> 16
osdBattery -> 2, 13, 0x1
osdTimer -> 22, 13, 0x1
osdLinkQuality -> 23, 1, 0x1
osdCraftName -> 9, 2, 0x0

# video transmitter: vtxFreq in MHz, vtxPower in mW
# vtxLink: 0x0 analog, 0x1 digital
# vtxBand: 0x1 A, 0x2 B, 0x3 E, 0x4 F, 0x5 R
vtxLink -> 0x0
vtxBand -> 0x5
vtxChannel -> 3
vtxFreq -> 5732
vtxPower -> 25

# battery: cell voltages 0.01 V, divider 0.1, capacity mAh
batCells -> 3
batCellMin -> 330
batCellWarn -> 355
batCellFull -> 420
batDivider -> 109
batCapacity -> 850
batAmpScale -> 386

# motors: idle 0.1 %, loop rate Hz, gyro rate Hz
# motorProtocol: 0x5 DShot150, 0x6 DShot300, 0x7 DShot600
# motorBidir, motorReversed: 0x0 no, 0x1 yes
motorProtocol -> 0x6
motorBidir -> 0x1
motorPoles -> 12
motorIdle -> 65
motorReversed -> 0x1
motorKv -> 3600
loopRate -> 2000
gyroRate -> 4000

# failsafe: delay 0.1 s, throttle us
# fsAction: 0x0 drop, 0x1 hold, 0x2 land, 0x3 return
fsAction -> 0x2
fsDelay -> 12
fsThrottle -> 1210
fsLandTime -> 150

# gains: 0.01; filters: Hz
lpfGyro -> 210
pidRoll -> 42, 78, 27
pidPitch -> 44, 82, 30
pidYaw -> 38, 75, 0
"""

_LIVE = """\
# voltages 0.01 V, current 0.01 A, temperature C
vBattery -> 1187
vSupply -> 502
aBattery -> 41
tProcessor -> 46

# sensors, found or missing
# sensorGyro, sensorAccel, sensorBaro: 0x0 missing, 0x1 found
sensorGyro -> 0x1
sensorAccel -> 0x1
sensorBaro -> 0x0

# attitude: 0.1 deg
tiltError -> 21

# arming blocked by
# armBlock: 0x01 no receiver link, 0x02 throttle not low, 0x04 USB connected, 0x08 not level, 0x10 arm switch on
armBlock -> 0x05

# log
# logDevice: 0x0 none, 0x1 flash, 0x2 card
# logFree: KiB
# logRate: Hz
logDevice -> 0x1
logFree -> 3968
logRate -> 1000
logFlights -> 8

# counters
storeCount -> 37
startCount -> 160
motorOutput -> 0
upTime -> 88
"""

_TYPE = "# rxType: 0x0 none, 0x1 PPM, 0x2 PWM, 0x3 serial, 0x4 SPI"
_PROTOCOL = "# rxProtocol: 0x0 none, 0x1 SBUS, 0x2 IBUS, 0x3 CRSF"
_FLAGS = "# rxInverted, rxHalfDuplex, rxTelemetry: 0x0 no, 0x1 yes"
_FUNCTION = (
    "# ports: function, rate (100 baud)",
    "# function: 0x00 unused, 0x01 console, 0x02 receiver, 0x04 GPS, 0x08 telemetry, 0x10 video control",
)
_ITEM = "# osd items: column, row, 0x1 visible or 0x0 hidden"
_VTX = "# video transmitter: vtxFreq in MHz, vtxPower in mW"
_BATTERY = "# battery: cell voltages 0.01 V, divider 0.1, capacity mAh"
_MOTORS = "# motors: idle 0.1 %, loop rate Hz, gyro rate Hz"
_MOTOR_FLAGS = "# motorBidir, motorReversed: 0x0 no, 0x1 yes"
_FAILSAFE = "# failsafe: delay 0.1 s, throttle us"
_SENSORS = "# sensorGyro, sensorAccel, sensorBaro: 0x0 missing, 0x1 found"
_BLOCKS = (
    "# armBlock: 0x01 no receiver link, 0x02 throttle not low, 0x04 USB connected, 0x08 not level, 0x10 arm switch on"
)


def _switch(name: str, channel: int, low: int, high: int) -> tuple[str, int, int, int, tuple[str, ...]]:
    legend = "# switches: channel, from (us), to (us)"
    return name, channel, low, high, (legend, f"switch{name.title()} -> {channel}, {low}, {high}")


def _port(name: str, role: str, code: str, hundreds: int) -> tuple[str, tuple[str], int | None, tuple[str, ...]]:
    return name, (role,), hundreds * 100 or None, (*_FUNCTION, f"{name} -> {code}, {hundreds}")


def _item(name: str, key: str, column: int, row: int, shown: bool) -> tuple[str, int, int, bool, tuple[str, ...]]:
    return name, column, row, shown, (_ITEM, f"{key} -> {column}, {row}, 0x{int(shown)}")


_STATED = {
    "firmware.name": said("Pardoe", "namePlate", "fwName -> Pardoe"),
    "firmware.version": said("2.9.4", "namePlate", "fwVersion -> 2.9.4"),
    "firmware.built": said("2026-03-07", "namePlate", "fwDate -> 2026-03-07"),
    "board.name": said("YARROW F405 MINI", "namePlate", "boardName -> YARROW F405 MINI"),
    "board.serial": said("3F91A06C", "namePlate", "boardSerial -> 3F91A06C"),
    "craft.name": said("Night Heron", "namePlate", "craftName -> Night Heron"),
    "receiver.kind": said("serial", "allParams", _TYPE, "rxType -> 0x3"),
    "receiver.protocol": said("crsf", "allParams", _PROTOCOL, "rxProtocol -> 0x3"),
    "receiver.port": said("U2", "allParams", "rxPort -> U2"),
    "receiver.inverted": said(False, "allParams", _FLAGS, "rxInverted -> 0x0"),
    "receiver.half_duplex": said(False, "allParams", _FLAGS, "rxHalfDuplex -> 0x0"),
    "receiver.telemetry": said(True, "allParams", _FLAGS, "rxTelemetry -> 0x1"),
    "channels.order": said("AETR", "allParams", "chanOrder -> AETR"),
    "channels.low": said(990, "allParams", "pulseLow -> 990"),
    "channels.centre": said(1503, "allParams", "pulseCentre -> 1503"),
    "channels.high": said(2010, "allParams", "pulseHigh -> 2010"),
    **switches_said(
        "allParams", [_switch("arm", 5, 1700, 2100), _switch("level", 6, 900, 1200), _switch("beeper", 10, 1600, 2100)]
    ),
    **ports_said(
        "allParams",
        [
            _port("U1", "console", "0x01", 1152),
            _port("U2", "receiver", "0x02", 4200),
            _port("U3", "positioning", "0x04", 384),
            _port("U4", "video-control", "0x10", 96),
            _port("U5", "unused", "0x00", 0),
        ],
    ),
    "overlay.enabled": said(True, "allParams", "# osdOn: 0x0 off, 0x1 on", "osdOn -> 0x1"),
    "overlay.system": said(
        "pal", "allParams", "# osdSystem: 0x0 auto, 0x1 PAL, 0x2 NTSC, 0x3 digital", "osdSystem -> 0x1"
    ),
    "overlay.columns": said(30, "allParams", "osdColumns -> 30"),
    "overlay.rows": said(16, "allParams", "osdRows -> 16"),
    **elements_said(
        "allParams",
        [
            _item("battery", "osdBattery", 2, 13, True),
            _item("timer", "osdTimer", 22, 13, True),
            _item("link-quality", "osdLinkQuality", 23, 1, True),
            _item("craft-name", "osdCraftName", 9, 2, False),
        ],
    ),
    "video.link": said("analog", "allParams", "# vtxLink: 0x0 analog, 0x1 digital", "vtxLink -> 0x0"),
    "video.band": said("R", "allParams", "# vtxBand: 0x1 A, 0x2 B, 0x3 E, 0x4 F, 0x5 R", "vtxBand -> 0x5"),
    "video.channel": said(3, "allParams", "vtxChannel -> 3"),
    "video.frequency_mhz": said(5732, "allParams", _VTX, "vtxFreq -> 5732"),
    "video.power_mw": said(25.0, "allParams", _VTX, "vtxPower -> 25"),
    "battery.cells": said(3, "allParams", "batCells -> 3"),
    "battery.volts": said(11.87, "liveData", "# voltages 0.01 V, current 0.01 A", "vBattery -> 1187"),
    "battery.scale": said(10.9, "allParams", _BATTERY, "batDivider -> 109"),
    "battery.cell_low": said(3.3, "allParams", _BATTERY, "batCellMin -> 330"),
    "battery.cell_warn": said(3.55, "allParams", _BATTERY, "batCellWarn -> 355"),
    "battery.cell_full": said(4.2, "allParams", _BATTERY, "batCellFull -> 420"),
    "motors.protocol": said(
        "dshot300", "allParams", "# motorProtocol: 0x5 DShot150, 0x6 DShot300, 0x7 DShot600", "motorProtocol -> 0x6"
    ),
    "motors.bidirectional": said(True, "allParams", _MOTOR_FLAGS, "motorBidir -> 0x1"),
    "motors.poles": said(12, "allParams", "motorPoles -> 12"),
    "motors.idle_percent": said(6.5, "allParams", _MOTORS, "motorIdle -> 65"),
    "motors.reversed": said(True, "allParams", _MOTOR_FLAGS, "motorReversed -> 0x1"),
    "motors.loop_hz": said(2000, "allParams", _MOTORS, "loopRate -> 2000"),
    "failsafe.action": said(
        "land", "allParams", "# fsAction: 0x0 drop, 0x1 hold, 0x2 land, 0x3 return", "fsAction -> 0x2"
    ),
    "failsafe.delay_s": said(1.2, "allParams", _FAILSAFE, "fsDelay -> 12"),
    "failsafe.throttle_us": said(1210, "allParams", _FAILSAFE, "fsThrottle -> 1210"),
    "sensors.gyro": said("found", "liveData", _SENSORS, "sensorGyro -> 0x1"),
    "sensors.accelerometer": said("found", "liveData", _SENSORS, "sensorAccel -> 0x1"),
    "sensors.barometer": said("missing", "liveData", _SENSORS, "sensorBaro -> 0x0"),
    "arming.blocks": said(("no-receiver-link", "usb-connected"), "liveData", _BLOCKS, "armBlock -> 0x05"),
    "logger.device": said("flash", "liveData", "# logDevice: 0x0 none, 0x1 flash, 0x2 card", "logDevice -> 0x1"),
    "logger.free_bytes": said(3968 * 1024, "liveData", "# logFree: KiB", "logFree -> 3968"),
}

_HARMS = {
    "storeAll": Harm("stored", "liveData", "storeCount -> 37", "storeCount -> 38"),
    "clearAll": Harm("cleared", "namePlate", "craftName -> Night Heron", "craftName -> none"),
    "coldStart": Harm("starting", "liveData", "startCount -> 160", "startCount -> 161"),
    "loaderWait": Harm("loader 1.1"),
    "motorTick": Harm("tick", "liveData", "motorOutput -> 0", "motorOutput -> 5"),
    "tareLevel": Harm("level", "liveData", "tiltError -> 21", "tiltError -> 0"),
    "blankLog": Harm("blank", "liveData", "logFlights -> 8", "logFlights -> 0"),
}

_PAGES = {"cmdList": _HELP, "namePlate": _PLATE, "allParams": _PARAMS, "liveData": _LIVE}


class Pardoe(StatingConsole):
    """A number with 0x is a choice or a sum of flags; the remark above says which."""

    name = "pardoe"
    kinds = ("camelCase with arrows", "hexadecimal choices and flags", "scaled integers", "legends in remarks above")
    banner = "Pardoe 2.9.4 - cmdList lists the commands\n"
    prompt = ": "
    error = "bad command {line}"
    help_word = "cmdList"
    newline = "\n"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
