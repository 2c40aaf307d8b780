"""Ibbrook: dotted camelCase keys, `key: value`, with the unit in the key. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_HELP = """\
?          show the commands
about      show firmware and hardware
params     show all parameters
live       show live values
counters   show counters
write      write one parameter: write key value
keep       keep parameters over a power cycle
forget     load default parameters
boot       restart
dfu        start the firmware loader
turn       turn a motor: turn number percent
flat       calibrate: the craft lies flat
"""

_ABOUT = """\
firmware.name: Ibbrook
firmware.version: 7.0-beta2
firmware.buildDate: 2033-01-28
hardware.board: Sedge F4 AIO
hardware.revision: 2
hardware.serialNumber: 88A0C41D
hardware.flashSizeKilobytes: 1024
hardware.oscillatorMhz: 8
"""

_PARAMS = """\
craft.name: Little Plum
craft.weightGrams: 248
receiver.type: serial
receiver.protocol: ibus
receiver.port: serial2
receiver.inverted: false
receiver.halfDuplex: false
receiver.telemetry: true
receiver.rssiChannel: 12
channels.order: TAER
channels.minMicroseconds: 1008
channels.centreMicroseconds: 1502
channels.maxMicroseconds: 1996
channels.deadbandMicroseconds: 3
failsafe.action: drop
failsafe.delayMilliseconds: 350
failsafe.throttleMicroseconds: 1010
failsafe.recoverMilliseconds: 1000
serial1.function: gps
serial1.baudRate: 38400
serial2.function: receiver
serial2.baudRate: 115200
serial3.function: telemetry
serial3.baudRate: 9600
serial4.function: none
serial4.baudRate: 57600
serial5.function: vtxControl
serial5.baudRate: 4800
modes.arm.channel: 5
modes.arm.minMicroseconds: 1750
modes.arm.maxMicroseconds: 2100
modes.level.channel: 6
modes.level.minMicroseconds: 1400
modes.level.maxMicroseconds: 1600
modes.turtle.channel: 9
modes.turtle.minMicroseconds: 1850
modes.turtle.maxMicroseconds: 2090
osd.enabled: true
osd.videoSystem: auto
osd.columns: 30
osd.rows: 16
osd.font: 1
osd.units: metric
osd.elements.battery.column: 12
osd.elements.battery.row: 1
osd.elements.battery.visible: true
osd.elements.timer.column: 22
osd.elements.timer.row: 13
osd.elements.timer.visible: true
osd.elements.speed.column: 3
osd.elements.speed.row: 7
osd.elements.speed.visible: false
vtx.band: A
vtx.channel: 5
vtx.frequencyMhz: 5785
vtx.powerMilliwatts: 25
vtx.pitMode: false
battery.cellCount: 2
battery.capacityMilliampHours: 550
battery.minCellMillivolts: 3250
battery.warningCellMillivolts: 3450
battery.fullCellMillivolts: 4350
battery.dividerRatio: 10.2
battery.currentOffset: 18
motors.protocol: dshot300
motors.bidirectional: true
motors.poles: 12
motors.idlePercent: 7.5
motors.reversed: true
motors.beaconVolume: 60
loop.rateHz: 3200
loop.gyroFilterHz: 180
loop.dFilterHz: 95
pid.roll.p: 52
pid.roll.i: 90
pid.roll.d: 38
pid.pitch.p: 55
pid.pitch.i: 94
pid.pitch.d: 41
pid.yaw.p: 50
pid.yaw.i: 90
rates.rollDegreesPerSecond: 720
rates.yawDegreesPerSecond: 540
log.device: flash
log.rateHz: 800
led.colour: violet
led.count: 4
"""

_LIVE = """\
battery.voltageMillivolts: 8120
battery.currentMilliamps: 380
regulator.voltageMillivolts: 5020
sensors.gyro: found
sensors.accelerometer: found
sensors.barometer: found
sensors.compass: missing
sensors.levelTrimDegrees: 0.7
cpu.temperatureCelsius: 46
cpu.loadPercent: 31
motors.outputPercent: 0
log.freeBytes: 2031616
arming.blockedBy: noReceiverLink, throttleNotLow
"""

_COUNTERS = """\
counters.starts: 77
counters.saves: 15
counters.lostFrames: 0
counters.flights: 29
counters.uptimeSeconds: 41
"""

_STATED = {
    "firmware.name": said("Ibbrook", "about", "firmware.name: Ibbrook"),
    "firmware.version": said("7.0-beta2", "about", "firmware.version: 7.0-beta2"),
    "firmware.built": said("2033-01-28", "about", "firmware.buildDate: 2033-01-28"),
    "board.name": said("Sedge F4 AIO", "about", "hardware.board: Sedge F4 AIO"),
    "board.serial": said("88A0C41D", "about", "hardware.serialNumber: 88A0C41D"),
    "craft.name": said("Little Plum", "params", "craft.name: Little Plum"),
    "receiver.kind": said("serial", "params", "receiver.type: serial"),
    "receiver.protocol": said("ibus", "params", "receiver.protocol: ibus"),
    "receiver.port": said("serial2", "params", "receiver.port: serial2"),
    "receiver.inverted": said(False, "params", "receiver.inverted: false"),
    "receiver.half_duplex": said(False, "params", "receiver.halfDuplex: false"),
    "receiver.telemetry": said(True, "params", "receiver.telemetry: true"),
    "channels.order": said("TAER", "params", "channels.order: TAER"),
    "channels.low": said(1008, "params", "channels.minMicroseconds: 1008"),
    "channels.centre": said(1502, "params", "channels.centreMicroseconds: 1502"),
    "channels.high": said(1996, "params", "channels.maxMicroseconds: 1996"),
    "failsafe.action": said("drop", "params", "failsafe.action: drop"),
    "failsafe.delay_s": said(0.35, "params", "failsafe.delayMilliseconds: 350"),
    "failsafe.throttle_us": said(1010, "params", "failsafe.throttleMicroseconds: 1010"),
    "ports[0].id": said("serial1", "params", "serial1.function: gps"),
    "ports[0].roles": said(("positioning",), "params", "serial1.function: gps"),
    "ports[0].baud": said(38400, "params", "serial1.baudRate: 38400"),
    "ports[1].id": said("serial2", "params", "serial2.function: receiver"),
    "ports[1].roles": said(("receiver",), "params", "serial2.function: receiver"),
    "ports[1].baud": said(115200, "params", "serial2.baudRate: 115200"),
    "ports[2].id": said("serial3", "params", "serial3.function: telemetry"),
    "ports[2].roles": said(("telemetry",), "params", "serial3.function: telemetry"),
    "ports[2].baud": said(9600, "params", "serial3.baudRate: 9600"),
    "ports[3].id": said("serial4", "params", "serial4.function: none"),
    "ports[3].roles": said(("unused",), "params", "serial4.function: none"),
    "ports[3].baud": said(57600, "params", "serial4.baudRate: 57600"),
    "ports[4].id": said("serial5", "params", "serial5.function: vtxControl"),
    "ports[4].roles": said(("video-control",), "params", "serial5.function: vtxControl"),
    "ports[4].baud": said(4800, "params", "serial5.baudRate: 4800"),
    "switches[0].function": said("arm", "params", "modes.arm.channel: 5"),
    "switches[0].channel": said(5, "params", "modes.arm.channel: 5"),
    "switches[0].from_us": said(1750, "params", "modes.arm.minMicroseconds: 1750"),
    "switches[0].to_us": said(2100, "params", "modes.arm.maxMicroseconds: 2100"),
    "switches[1].function": said("level", "params", "modes.level.channel: 6"),
    "switches[1].channel": said(6, "params", "modes.level.channel: 6"),
    "switches[1].from_us": said(1400, "params", "modes.level.minMicroseconds: 1400"),
    "switches[1].to_us": said(1600, "params", "modes.level.maxMicroseconds: 1600"),
    "switches[2].function": said("turtle", "params", "modes.turtle.channel: 9"),
    "switches[2].channel": said(9, "params", "modes.turtle.channel: 9"),
    "switches[2].from_us": said(1850, "params", "modes.turtle.minMicroseconds: 1850"),
    "switches[2].to_us": said(2090, "params", "modes.turtle.maxMicroseconds: 2090"),
    "overlay.enabled": said(True, "params", "osd.enabled: true"),
    "overlay.system": said("auto", "params", "osd.videoSystem: auto"),
    "overlay.columns": said(30, "params", "osd.columns: 30"),
    "overlay.rows": said(16, "params", "osd.rows: 16"),
    "overlay.elements[0].name": said("battery", "params", "osd.elements.battery.column: 12"),
    "overlay.elements[0].column": said(12, "params", "osd.elements.battery.column: 12"),
    "overlay.elements[0].row": said(1, "params", "osd.elements.battery.row: 1"),
    "overlay.elements[0].shown": said(True, "params", "osd.elements.battery.visible: true"),
    "overlay.elements[1].name": said("timer", "params", "osd.elements.timer.column: 22"),
    "overlay.elements[1].column": said(22, "params", "osd.elements.timer.column: 22"),
    "overlay.elements[1].row": said(13, "params", "osd.elements.timer.row: 13"),
    "overlay.elements[1].shown": said(True, "params", "osd.elements.timer.visible: true"),
    "overlay.elements[2].name": said("speed", "params", "osd.elements.speed.column: 3"),
    "overlay.elements[2].column": said(3, "params", "osd.elements.speed.column: 3"),
    "overlay.elements[2].row": said(7, "params", "osd.elements.speed.row: 7"),
    "overlay.elements[2].shown": said(False, "params", "osd.elements.speed.visible: false"),
    "video.band": said("A", "params", "vtx.band: A"),
    "video.channel": said(5, "params", "vtx.channel: 5"),
    "video.frequency_mhz": said(5785, "params", "vtx.frequencyMhz: 5785"),
    "video.power_mw": said(25.0, "params", "vtx.powerMilliwatts: 25"),
    "battery.cells": said(2, "params", "battery.cellCount: 2"),
    "battery.cell_low": said(3.25, "params", "battery.minCellMillivolts: 3250"),
    "battery.cell_warn": said(3.45, "params", "battery.warningCellMillivolts: 3450"),
    "battery.cell_full": said(4.35, "params", "battery.fullCellMillivolts: 4350"),
    "battery.scale": said(10.2, "params", "battery.dividerRatio: 10.2"),
    "battery.volts": said(8.12, "live", "battery.voltageMillivolts: 8120"),
    "motors.protocol": said("dshot300", "params", "motors.protocol: dshot300"),
    "motors.bidirectional": said(True, "params", "motors.bidirectional: true"),
    "motors.poles": said(12, "params", "motors.poles: 12"),
    "motors.idle_percent": said(7.5, "params", "motors.idlePercent: 7.5"),
    "motors.reversed": said(True, "params", "motors.reversed: true"),
    "motors.loop_hz": said(3200, "params", "loop.rateHz: 3200"),
    "sensors.gyro": said("found", "live", "sensors.gyro: found"),
    "sensors.accelerometer": said("found", "live", "sensors.accelerometer: found"),
    "sensors.barometer": said("found", "live", "sensors.barometer: found"),
    "logger.device": said("flash", "params", "log.device: flash"),
    "logger.free_bytes": said(2031616, "live", "log.freeBytes: 2031616"),
    "arming.blocks": said(
        ("no-receiver-link", "throttle-not-low"), "live", "arming.blockedBy: noReceiverLink, throttleNotLow"
    ),
}

_HARMS = {
    "write": Harm("ok", "params", "led.count: 4", "led.count: 6", "write led.count 6"),
    "keep": Harm("kept", "counters", "counters.saves: 15", "counters.saves: 16"),
    "forget": Harm("defaults", "params", "craft.name: Little Plum", "craft.name: "),
    "boot": Harm("restarting", "counters", "counters.starts: 77", "counters.starts: 78"),
    "dfu": Harm("loader"),
    "turn": Harm("turning", "live", "motors.outputPercent: 0", "motors.outputPercent: 12", "turn 4 12"),
    "flat": Harm("calibrated", "live", "sensors.levelTrimDegrees: 0.7", "sensors.levelTrimDegrees: 0.0"),
}

_PAGES = {"?": _HELP, "about": _ABOUT, "params": _PARAMS, "live": _LIVE, "counters": _COUNTERS}


class Ibbrook(StatingConsole):
    """What is typed is not echoed."""

    name = "ibbrook"
    kinds = ("dotted camelCase keys with units in the key", "help by a question mark", "no echo")
    banner = "Ibbrook 7.0-beta2. ? for help.\n"
    prompt = "ib> "
    echo = False
    error = "not a command: {line}"
    help_word = "?"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
