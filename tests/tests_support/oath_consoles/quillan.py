"""Quillan: one long listing of dotted camelCase keys whose values carry their units, and one of readings. Invented."""

from __future__ import annotations

from tests_support.oath_consoles.repeated import ELEMENT, PORT, SWITCH, repeated
from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_PAGES = {
    "help": """\
help - show this help
version - show firmware and board
settings - list all settings
live - list present readings
assign <key> <value> - change a setting
commit - write settings to memory
reset - restart the controller
update - restart into update mode
runMotor <number> <percent> - run a motor (propellers off!)
calibrate - calibrate the accelerometer
defaults - load default settings
""",
    "version": """\
firmware.name: Quillan
firmware.version: 2.0.4
firmware.built: 2026-01-30
board.name: MARLPIT G474
board.serialNumber: 0044-7B1C
board.clock: 170 MHz
memory.commits: 51
memory.resets: 9
""",
    "settings": """\
craft.name: Sunday Wasp
rx.type: serial
rx.protocol: SBUS
rx.port: uart3
rx.inverted: true
rx.halfDuplex: false
rx.telemetry: false
rx.smoothing: 30 %
rx.channelOrder: AETR
stick.minPulse: 1005 us
stick.midPulse: 1505 us
stick.maxPulse: 2005 us
stick.deadband: 6 us
servo.centre: 1500 us
servo.rate: 50 Hz
switch.arm: channel 5, 1750 to 2100 us
switch.beeper: channel 6, 1600 to 2100 us
switch.level: channel 7, 1250 to 1700 us
port.uart1.function: console
port.uart1.baud: 115200
port.uart2.function: telemetry
port.uart2.baud: 57600
port.uart3.function: receiver
port.uart3.baud: 100000
port.uart4.function: rangefinder
port.uart4.baud: 19200
port.uart5.function: unused
osd.enabled: true
osd.videoSystem: NTSC
osd.columns: 30
osd.rows: 13
osd.brightness: 80 %
osd.element.battery: column 1, row 11, shown
osd.element.timer: column 22, row 11, shown
osd.element.altitude: column 23, row 6, hidden
osd.element.speed: column 2, row 6, hidden
osd.element.warnings: column 10, row 9, shown
vtx.type: analog
vtx.band: F
vtx.channel: 4
vtx.frequency: 5800 MHz
vtx.power: 25 mW
battery.cells: 6
battery.dividerRatio: 10.9
battery.cellLow: 3250 mV
battery.cellWarning: 3450 mV
battery.cellFull: 4150 mV
battery.capacity: 1100 mAh
battery.currentScale: 400
motor.protocol: DShot600
motor.bidirectional: false
motor.magnets: 14
motor.idle: 4.5 %
motor.reversed: false
motor.outputLimit: 100 %
loop.rate: 8 kHz
filter.gyroLowpass: 250 Hz
filter.dLowpass: 110 Hz
filter.notchWidth: 3.5
pid.roll.p: 44
pid.roll.i: 75
pid.roll.d: 28
pid.pitch.p: 47
pid.pitch.i: 79
pid.pitch.d: 32
pid.yaw.p: 40
pid.yaw.i: 72
rate.roll: 700 deg/s
rate.pitch: 700 deg/s
rate.yaw: 550 deg/s
failsafe.action: return home
failsafe.delay: 800 ms
failsafe.throttle: 1350 us
failsafe.climb: 30 m
log.device: card
log.rate: 500 Hz
beeper.volume: 3
led.colour: violet
""",
    "live": """\
battery.voltage: 23.41 V
battery.current: 0.42 A
supply.voltage: 5.08 V
rx.channels: 1506, 1504, 1409, 1505, 1001, 1001, 2004, 1505 us
motor.outputs: 0, 0, 0, 0 %
sensors.gyro: ok
sensors.accelerometer: ok
sensors.barometer: ok
sensors.compass: missing
accelerometer.offset: 0.03 g
arming.blockedBy: USB connected, throttle not low
log.freeSpace: 1843200 KiB
log.files: 12
core.temperature: 47 C
core.load: 31 %
core.uptime: 95 s
""",
}

_STATED = {
    "firmware.name": said("Quillan", "version", "firmware.name: Quillan"),
    "firmware.version": said("2.0.4", "version", "firmware.version: 2.0.4"),
    "firmware.built": said("2026-01-30", "version", "firmware.built: 2026-01-30"),
    "board.name": said("MARLPIT G474", "version", "board.name: MARLPIT G474"),
    "board.serial": said("0044-7B1C", "version", "board.serialNumber: 0044-7B1C"),
    "craft.name": said("Sunday Wasp", "settings", "craft.name: Sunday Wasp"),
    "receiver.kind": said("serial", "settings", "rx.type: serial"),
    "receiver.protocol": said("sbus", "settings", "rx.protocol: SBUS"),
    "receiver.port": said("uart3", "settings", "rx.port: uart3"),
    "receiver.inverted": said(True, "settings", "rx.inverted: true"),
    "receiver.half_duplex": said(False, "settings", "rx.halfDuplex: false"),
    "receiver.telemetry": said(False, "settings", "rx.telemetry: false"),
    "channels.order": said("AETR", "settings", "rx.channelOrder: AETR"),
    "channels.low": said(1005, "settings", "stick.minPulse: 1005 us"),
    "channels.centre": said(1505, "settings", "stick.midPulse: 1505 us"),
    "channels.high": said(2005, "settings", "stick.maxPulse: 2005 us"),
    "channels.live": said(
        (1506, 1504, 1409, 1505, 1001, 1001, 2004, 1505),
        "live",
        "rx.channels: 1506, 1504, 1409, 1505, 1001, 1001, 2004, 1505 us",
    ),
    **repeated(
        "switches",
        SWITCH,
        "settings",
        ("switch.arm: channel 5, 1750 to 2100 us", "arm", 5, 1750, 2100),
        ("switch.beeper: channel 6, 1600 to 2100 us", "beeper", 6, 1600, 2100),
        ("switch.level: channel 7, 1250 to 1700 us", "level", 7, 1250, 1700),
    ),
    **repeated(
        "ports",
        PORT,
        "settings",
        ("port.uart1.function: console|port.uart1.baud: 115200", "uart1", ("console",), 115200),
        ("port.uart2.function: telemetry|port.uart2.baud: 57600", "uart2", ("telemetry",), 57600),
        ("port.uart3.function: receiver|port.uart3.baud: 100000", "uart3", ("receiver",), 100000),
        ("port.uart4.function: rangefinder|port.uart4.baud: 19200", "uart4", ("rangefinder",), 19200),
        ("port.uart5.function: unused", "uart5", ("unused",)),
    ),
    "overlay.enabled": said(True, "settings", "osd.enabled: true"),
    "overlay.system": said("ntsc", "settings", "osd.videoSystem: NTSC"),
    "overlay.columns": said(30, "settings", "osd.columns: 30"),
    "overlay.rows": said(13, "settings", "osd.rows: 13"),
    **repeated(
        "overlay.elements",
        ELEMENT,
        "settings",
        ("osd.element.battery: column 1, row 11, shown", "battery", 1, 11, True),
        ("osd.element.timer: column 22, row 11, shown", "timer", 22, 11, True),
        ("osd.element.altitude: column 23, row 6, hidden", "altitude", 23, 6, False),
        ("osd.element.speed: column 2, row 6, hidden", "speed", 2, 6, False),
        ("osd.element.warnings: column 10, row 9, shown", "warnings", 10, 9, True),
    ),
    "video.link": said("analog", "settings", "vtx.type: analog"),
    "video.band": said("F", "settings", "vtx.band: F"),
    "video.channel": said(4, "settings", "vtx.channel: 4"),
    "video.frequency_mhz": said(5800, "settings", "vtx.frequency: 5800 MHz"),
    "video.power_mw": said(25.0, "settings", "vtx.power: 25 mW"),
    "battery.cells": said(6, "settings", "battery.cells: 6"),
    "battery.scale": said(10.9, "settings", "battery.dividerRatio: 10.9"),
    "battery.cell_low": said(3.25, "settings", "battery.cellLow: 3250 mV"),
    "battery.cell_warn": said(3.45, "settings", "battery.cellWarning: 3450 mV"),
    "battery.cell_full": said(4.15, "settings", "battery.cellFull: 4150 mV"),
    "battery.volts": said(23.41, "live", "battery.voltage: 23.41 V"),
    "motors.protocol": said("dshot600", "settings", "motor.protocol: DShot600"),
    "motors.bidirectional": said(False, "settings", "motor.bidirectional: false"),
    "motors.poles": said(14, "settings", "motor.magnets: 14"),
    "motors.idle_percent": said(4.5, "settings", "motor.idle: 4.5 %"),
    "motors.reversed": said(False, "settings", "motor.reversed: false"),
    "motors.loop_hz": said(8000, "settings", "loop.rate: 8 kHz"),
    "failsafe.action": said("return", "settings", "failsafe.action: return home"),
    "failsafe.delay_s": said(0.8, "settings", "failsafe.delay: 800 ms"),
    "failsafe.throttle_us": said(1350, "settings", "failsafe.throttle: 1350 us"),
    "logger.device": said("card", "settings", "log.device: card"),
    "logger.free_bytes": said(1843200 * 1024, "live", "log.freeSpace: 1843200 KiB"),
    "sensors.gyro": said("found", "live", "sensors.gyro: ok"),
    "sensors.accelerometer": said("found", "live", "sensors.accelerometer: ok"),
    "sensors.barometer": said("found", "live", "sensors.barometer: ok"),
    "arming.blocks": said(
        ("usb-connected", "throttle-not-low"), "live", "arming.blockedBy: USB connected, throttle not low"
    ),
}

_HARMS = {
    "assign": Harm("done", "settings", "craft.name: Sunday Wasp", "craft.name: Gnat", sample="assign craft.name Gnat"),
    "commit": Harm("written", "version", "memory.commits: 51", "memory.commits: 52"),
    "reset": Harm("restarting", "version", "memory.resets: 9", "memory.resets: 10"),
    "update": Harm("update mode"),
    "runMotor": Harm(
        "running", "live", "motor.outputs: 0, 0, 0, 0 %", "motor.outputs: 7, 0, 0, 0 %", sample="runMotor 1 7"
    ),
    "calibrate": Harm("calibrated", "live", "accelerometer.offset: 0.03 g", "accelerometer.offset: 0.00 g"),
    "defaults": Harm("defaults loaded", "settings", "stick.minPulse: 1005 us", "stick.minPulse: 1000 us"),
}


class Quillan(StatingConsole):
    """What is set and what is read now are apart; it does not echo."""

    name = "quillan"
    kinds = ("one listing of dotted camelCase keys with :", "units in values", "records by keys and by phrases")
    banner = "Quillan ready\n"
    echo = False
    prompt = "quillan $ "
    error = "unknown command '{line}' (try help)"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
