"""Ostrel: one long listing of dotted keys with colons, units and legends in comments. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_a.rows import element_rows, port_rows, switch_rows

_WORDS = """\
again       start from the beginning
everything  all values there are, one a line
flatten     teach it what level is
forget      put every value back as delivered
hum         let the motors sound
now         what is measured at this moment
stash       write the values to flash
uploader    wait for new firmware
words       this list
"""

_EVERYTHING = """\
board.model: SEDGE-405             # printed on the underside
board.revision: 4
board.chip.uid: 5D10-77A2
firmware.name: Ostrel
firmware.version: 1.14.2
firmware.date: 2026-08-19          # build date
firmware.loader.version: 0.8
craft.name: Small Hours
craft.weight: 388                  # g
values.stashed: 27                 # times
input.type: 3                      # 0 none, 1 ppm, 2 pwm, 3 serial, 4 spi
input.protocol: crsf
input.port: u3
input.inverted: no
input.half-duplex: no
input.telemetry: yes               # report back over the radio link
input.telemetry.interval: 200      # ms
input.order: AETR
input.pulse.low: 1005              # us
input.pulse.centre: 1498           # us
input.pulse.high: 1995             # us
input.deadband: 4                  # us
input.smoothing: 30                # Hz
servo.pulse.centre: 1520           # us, gimbal only
servo.rate: 50                     # Hz
lost.action: 2                     # 0 drop, 1 hold, 2 land, 3 return
lost.delay: 12                     # tenths of a second from loss to action
lost.throttle: 1290                # us
lost.descent: 80                   # cm/s
switch.arm.channel: 5
switch.arm.from: 1700              # us
switch.arm.to: 2050                # us
switch.level.channel: 6
switch.level.from: 950             # us
switch.level.to: 1350              # us
switch.beeper.channel: 8
switch.beeper.from: 1600           # us
switch.beeper.to: 2050             # us
serial.u1.use: console
serial.u1.baud: 115200
serial.u2.use: esc-telemetry
serial.u2.baud: 57600
serial.u3.use: receiver
serial.u3.baud: 420000
serial.u5.use: unused
serial.timeout: 250                # ms
osd.enabled: yes
osd.standard: ntsc                 # auto, pal, ntsc, digital
osd.columns: 30
osd.rows: 13
osd.font: 3
osd.blink: 2                       # Hz
osd.element.battery: 2 11 yes      # column row visible
osd.element.timer: 23 11 yes       # column row visible
osd.element.craft-name: 10 1 no    # column row visible
osd.element.link-quality: 23 1 yes # column row visible
osd.element.warnings: 9 9 yes      # column row visible
vtx.link: analog
vtx.band: F
vtx.channel: 4
vtx.frequency: 5800                # MHz
vtx.power: 25                      # mW
vtx.power.levels: 3
battery.cells: 4                   # in series
battery.capacity: 1500             # mAh
battery.divider: 10.9              # ratio of the voltage divider
battery.current.scale: 402         # 0.1 mV/A
battery.cell.empty: 330            # hundredths of a volt
battery.cell.warning: 350          # hundredths of a volt
battery.cell.full: 420             # hundredths of a volt
regulator.voltage: 9.0             # V, supply of the transmitter
esc.protocol: dshot300
esc.bidirectional: yes             # motor speed comes back
esc.beep: 2                        # tone
motor.magnets: 14                  # on the bell
motor.idle: 55                     # tenths of a percent
motor.reversed: no
motor.kv: 1960                     # rpm/V
loop.rate: 4000                    # Hz
loop.gyro.rate: 8000               # Hz
loop.gyro.cutoff: 240              # Hz
loop.d.cutoff: 110                 # Hz
pid.roll: 44 82 30
pid.pitch: 47 86 33
pid.yaw: 40 82 0
turn.roll: 660                     # deg/s
turn.yaw: 520                      # deg/s
log.device: flash
log.rate: 500                      # Hz
lamp.colour: amber
lamp.brightness: 40                # %
"""

_NOW = """\
now.uptime: 318                    # s
now.load: 23                       # %
now.core.temperature: 46           # C
now.gyro: found
now.accelerometer: found
now.barometer: missing
now.tilt.trim: 1.4                 # deg
now.voltage.battery: 16.21         # V
now.voltage.regulator: 8.97        # V
now.current: 0.31                  # A
now.channels: 1497 1499 1006 1500 1000 1000 1994 1500 # us
now.output: 0                      # % on all motors
now.starts: 84
now.not-arming: usb-connected, no-receiver-link
now.log.free: 1638400              # bytes
now.log.used: 458752               # bytes
"""

_ALL = "everything"
_STATED = {
    "board.name": said("SEDGE-405", _ALL, "board.model: SEDGE-405"),
    "board.serial": said("5D10-77A2", _ALL, "board.chip.uid: 5D10-77A2"),
    "firmware.name": said("Ostrel", _ALL, "firmware.name: Ostrel"),
    "firmware.version": said("1.14.2", _ALL, "firmware.version: 1.14.2"),
    "firmware.built": said("2026-08-19", _ALL, "firmware.date: 2026-08-19          # build date"),
    "craft.name": said("Small Hours", _ALL, "craft.name: Small Hours"),
    "receiver.kind": said("serial", _ALL, "input.type: 3                      # 0 none, 1 ppm, 2 pwm, 3 serial"),
    "receiver.protocol": said("crsf", _ALL, "input.protocol: crsf"),
    "receiver.port": said("u3", _ALL, "input.port: u3"),
    "receiver.inverted": said(False, _ALL, "input.inverted: no"),
    "receiver.half_duplex": said(False, _ALL, "input.half-duplex: no"),
    "receiver.telemetry": said(True, _ALL, "input.telemetry: yes"),
    "channels.order": said("AETR", _ALL, "input.order: AETR"),
    "channels.low": said(1005, _ALL, "input.pulse.low: 1005"),
    "channels.centre": said(1498, _ALL, "input.pulse.centre: 1498"),
    "channels.high": said(1995, _ALL, "input.pulse.high: 1995"),
    "channels.live": said(
        (1497, 1499, 1006, 1500, 1000, 1000, 1994, 1500), "now", "now.channels: 1497 1499 1006 1500 1000 1000 1994 1500"
    ),
    "failsafe.action": said("land", _ALL, "lost.action: 2                     # 0 drop, 1 hold, 2 land"),
    "failsafe.delay_s": said(1.2, _ALL, "lost.delay: 12                     # tenths of a second"),
    "failsafe.throttle_us": said(1290, _ALL, "lost.throttle: 1290"),
    **switch_rows(
        _ALL,
        (("switch.arm.channel: 5", "switch.arm.from: 1700", "switch.arm.to: 2050"), "arm", 5, 1700, 2050),
        (("switch.level.channel: 6", "switch.level.from: 950", "switch.level.to: 1350"), "level", 6, 950, 1350),
        (("switch.beeper.channel: 8", "switch.beeper.from: 1600", "switch.beeper.to: 2050"), "beeper", 8, 1600, 2050),
    ),
    **port_rows(
        _ALL,
        (("serial.u1.use: console", "serial.u1.baud: 115200"), "u1", ("console",), 115200),
        (("serial.u2.use: esc-telemetry", "serial.u2.baud: 57600"), "u2", ("esc-telemetry",), 57600),
        (("serial.u3.use: receiver", "serial.u3.baud: 420000"), "u3", ("receiver",), 420000),
        (("serial.u5.use: unused",), "u5", ("unused",), None),
    ),
    "overlay.enabled": said(True, _ALL, "osd.enabled: yes"),
    "overlay.system": said("ntsc", _ALL, "osd.standard: ntsc"),
    "overlay.columns": said(30, _ALL, "osd.columns: 30"),
    "overlay.rows": said(13, _ALL, "osd.rows: 13"),
    **element_rows(
        _ALL,
        (("osd.element.battery: 2 11 yes",), "battery", 2, 11, True),
        (("osd.element.timer: 23 11 yes",), "timer", 23, 11, True),
        (("osd.element.craft-name: 10 1 no",), "craft-name", 10, 1, False),
        (("osd.element.link-quality: 23 1 yes",), "link-quality", 23, 1, True),
        (("osd.element.warnings: 9 9 yes",), "warnings", 9, 9, True),
    ),
    "video.link": said("analog", _ALL, "vtx.link: analog"),
    "video.band": said("F", _ALL, "vtx.band: F"),
    "video.channel": said(4, _ALL, "vtx.channel: 4"),
    "video.frequency_mhz": said(5800, _ALL, "vtx.frequency: 5800"),
    "video.power_mw": said(25.0, _ALL, "vtx.power: 25"),
    "battery.cells": said(4, _ALL, "battery.cells: 4"),
    "battery.volts": said(16.21, "now", "now.voltage.battery: 16.21"),
    "battery.scale": said(10.9, _ALL, "battery.divider: 10.9"),
    "battery.cell_low": said(3.3, _ALL, "battery.cell.empty: 330            # hundredths of a volt"),
    "battery.cell_warn": said(3.5, _ALL, "battery.cell.warning: 350          # hundredths of a volt"),
    "battery.cell_full": said(4.2, _ALL, "battery.cell.full: 420             # hundredths of a volt"),
    "motors.protocol": said("dshot300", _ALL, "esc.protocol: dshot300"),
    "motors.bidirectional": said(True, _ALL, "esc.bidirectional: yes"),
    "motors.poles": said(14, _ALL, "motor.magnets: 14"),
    "motors.idle_percent": said(5.5, _ALL, "motor.idle: 55                     # tenths of a percent"),
    "motors.reversed": said(False, _ALL, "motor.reversed: no"),
    "motors.loop_hz": said(4000, _ALL, "loop.rate: 4000"),
    "arming.blocks": said(
        ("usb-connected", "no-receiver-link"), "now", "now.not-arming: usb-connected, no-receiver-link"
    ),
    "sensors.gyro": said("found", "now", "now.gyro: found"),
    "sensors.accelerometer": said("found", "now", "now.accelerometer: found"),
    "sensors.barometer": said("missing", "now", "now.barometer: missing"),
    "logger.device": said("flash", _ALL, "log.device: flash"),
    "logger.free_bytes": said(1638400, "now", "now.log.free: 1638400"),
}

_HARMS = {
    "again": Harm("from the beginning", "now", "now.starts: 84", "now.starts: 85"),
    "flatten": Harm("level taken", "now", "now.tilt.trim: 1.4", "now.tilt.trim: 0.0"),
    "forget": Harm("as delivered", _ALL, "craft.name: Small Hours", "craft.name: -"),
    "hum": Harm("humming", "now", "now.output: 0 ", "now.output: 6 "),
    "stash": Harm("stashed", _ALL, "values.stashed: 27", "values.stashed: 28"),
    "uploader": Harm("waiting for firmware"),
}

_PAGES = {"words": _WORDS, _ALL: _EVERYTHING, "now": _NOW}


class Ostrel(StatingConsole):
    """Everything by one word, what is measured by another; lines end with LF alone."""

    name = "ostrel"
    kinds = ("dotted keys with colons", "units and legends in comments", "help with descriptions")
    banner = "ostrel is listening, try words\n"
    newline = "\n"
    prompt = "ostrel$ "
    error = "not a word: {line}"
    help_word = "words"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
