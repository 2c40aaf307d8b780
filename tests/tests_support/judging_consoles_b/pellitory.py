"""Pellitory: sections within sections by indentation, masks beside the words, loses what is typed fast. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

# Each page below the word that prints it.
_SHOWN = """\
--- help
help        list the commands
info        firmware, board and craft
config      all settings
ports       serial ports
display     on-screen display and video
status      sensors, arming, battery and flight log
write       save the settings
reset       restart the board
defaults    restore the default settings
bootloader  start the bootloader
motor_test  run a motor: motor_test NUMBER
gyro_cal    calibrate the gyro
log_erase   erase the flight log
--- info
firmware:
  name: pellitory
  version: 1.27.0
  build_date: 2025-11-18
  features: 0x00A4
board:
  model: HAREBELL F722
  serial_number: 3A-7719-E
  revision: 5
  bootloader: 0.9
craft:
  name: Slow Comet
  weight: 298 g
counters:
  writes: 94
  starts: 518
--- config
receiver:
  type: serial
  protocol: ibus
  port: uart5
  inverted: no
  half_duplex: yes
  telemetry: on
  telemetry_interval: 170 ms
  options: 0x0009
channels:
  order: TAER
  minimum: 1007 us
  centre: 1497 us
  maximum: 1986 us
  deadband: 3 us
servo:
  centre: 1515 us
  rate: 60 Hz
switches:
  mask: 0x0023
  arm:
    channel: 6
    from: 1705 us
    to: 2065 us
  level:
    channel: 5
    from: 925 us
    to: 1255 us
  beeper:
    channel: 7
    from: 1735 us
    to: 2085 us
failsafe:
  action: hold
  delay: 1.4 s
  throttle: 1320 us
  stages: 0x03
battery:
  cells: 3
  voltage_divider: 9.8
  cell_minimum: 3.36 V
  cell_warning: 3.58 V
  cell_full: 4.17 V
  capacity: 850 mAh
  current_scale: 31 mV/A
motors:
  protocol: dshot150
  bidirectional: no
  poles: 12
  idle: 6.4 %
  reversed: yes
  output_mask: 0x0F
control_loop:
  rate: 3200 Hz
  load_limit: 85 %
gyro:
  sample_rate: 6400 Hz
  lowpass: 175 Hz
gains:
  roll: p 36, i 62, d 22
  pitch: p 38, i 66, d 25
  yaw: p 33, i 60, d 0
--- ports
serial:
  uart1:
    function: console
    baud: 115200
    options: 0x01
    errors: 0
  uart2:
    function: video control
    baud: 9600
    options: 0x20
    errors: 0
  uart3:
    function: gps
    baud: 38400
    options: 0x04
    errors: 2
  uart5:
    function: receiver
    baud: 115200
    options: 0x02
    errors: 6
  uart6:
    function: unused
    options: 0x00
    errors: 0
i2c:
  clock: 400 kHz
  errors: 1
--- display
osd:
  enabled: yes
  system: ntsc
  columns: 30
  rows: 13
  refresh: 15 Hz
  flags: 0x1F
  elements:
    battery:
      column: 1
      row: 11
      visible: yes
    timer:
      column: 23
      row: 11
      visible: no
    warnings:
      column: 11
      row: 2
      visible: yes
video:
  link: analog
  band: R
  channel: 5
  frequency: 5806 MHz
  power: 100 mW
  power_limit: 400 mW
  pit_mode: off
camera:
  tilt: 27 deg
  supply: 4.96 V
--- status
sensors:
  mask: 0x0003
  gyro: found
  accelerometer: found
  barometer: missing
  compass: missing
  gyro_temperature: 34 C
  gyro_offset: 1.3 deg/s
arming:
  flags: 0x0048
  blocked_by: throttle not low, not level
  attempts: 1
battery:
  voltage: 11.72 V
  current: 0.29 A
  used: 4 mAh
flight_log:
  device: flash
  free: 6291456 bytes
  rate: 250 Hz
  flights: 26
system:
  flags: 0x8001
  motor_output: 0 %
  load: 36 %
  temperature: 43 C
  uptime: 1507 s
"""

_STATED = {
    "firmware.name": said("pellitory", "info", "firmware:", "name: pellitory"),
    "firmware.version": said("1.27.0", "info", "firmware:", "version: 1.27.0"),
    "firmware.built": said("2025-11-18", "info", "firmware:", "build_date: 2025-11-18"),
    "board.name": said("HAREBELL F722", "info", "board:", "model: HAREBELL F722"),
    "board.serial": said("3A-7719-E", "info", "board:", "serial_number: 3A-7719-E"),
    "craft.name": said("Slow Comet", "info", "craft:", "name: Slow Comet"),
    "receiver.kind": said("serial", "config", "receiver:", "type: serial"),
    "receiver.protocol": said("ibus", "config", "receiver:", "protocol: ibus"),
    "receiver.port": said("uart5", "config", "receiver:", "port: uart5"),
    "receiver.inverted": said(False, "config", "receiver:", "inverted: no"),
    "receiver.half_duplex": said(True, "config", "receiver:", "half_duplex: yes"),
    "receiver.telemetry": said(True, "config", "receiver:", "telemetry: on"),
    "channels.order": said("TAER", "config", "channels:", "order: TAER"),
    "channels.low": said(1007, "config", "channels:", "minimum: 1007 us"),
    "channels.centre": said(1497, "config", "channels:", "centre: 1497 us"),
    "channels.high": said(1986, "config", "channels:", "maximum: 1986 us"),
    "failsafe.action": said("hold", "config", "failsafe:", "action: hold"),
    "failsafe.delay_s": said(1.4, "config", "failsafe:", "delay: 1.4 s"),
    "failsafe.throttle_us": said(1320, "config", "failsafe:", "throttle: 1320 us"),
    "battery.cells": said(3, "config", "battery:", "cells: 3"),
    "battery.scale": said(9.8, "config", "battery:", "voltage_divider: 9.8"),
    "battery.cell_low": said(3.36, "config", "battery:", "cell_minimum: 3.36 V"),
    "battery.cell_warn": said(3.58, "config", "battery:", "cell_warning: 3.58 V"),
    "battery.cell_full": said(4.17, "config", "battery:", "cell_full: 4.17 V"),
    "motors.protocol": said("dshot150", "config", "motors:", "protocol: dshot150"),
    "motors.bidirectional": said(False, "config", "motors:", "bidirectional: no"),
    "motors.poles": said(12, "config", "motors:", "poles: 12"),
    "motors.idle_percent": said(6.4, "config", "motors:", "idle: 6.4 %"),
    "motors.reversed": said(True, "config", "motors:", "reversed: yes"),
    "motors.loop_hz": said(3200, "config", "control_loop:", "rate: 3200 Hz"),
    **switches_said(
        "config",
        [
            ("arm", 6, 1705, 2065, ("switches:", "arm:", "channel: 6", "from: 1705 us", "to: 2065 us")),
            ("level", 5, 925, 1255, ("switches:", "level:", "channel: 5", "from: 925 us", "to: 1255 us")),
            ("beeper", 7, 1735, 2085, ("switches:", "beeper:", "channel: 7", "from: 1735 us", "to: 2085 us")),
        ],
    ),
    **ports_said(
        "ports",
        [
            ("uart1", ("console",), 115200, ("uart1:", "function: console", "baud: 115200")),
            ("uart2", ("video-control",), 9600, ("uart2:", "function: video control", "baud: 9600")),
            ("uart3", ("positioning",), 38400, ("uart3:", "function: gps", "baud: 38400")),
            ("uart5", ("receiver",), 115200, ("uart5:", "function: receiver", "baud: 115200")),
            ("uart6", ("unused",), None, ("uart6:", "function: unused")),
        ],
    ),
    "overlay.enabled": said(True, "display", "osd:", "enabled: yes"),
    "overlay.system": said("ntsc", "display", "osd:", "system: ntsc"),
    "overlay.columns": said(30, "display", "osd:", "columns: 30"),
    "overlay.rows": said(13, "display", "osd:", "rows: 13"),
    "video.link": said("analog", "display", "video:", "link: analog"),
    "video.band": said("R", "display", "video:", "band: R"),
    "video.channel": said(5, "display", "video:", "channel: 5"),
    "video.frequency_mhz": said(5806, "display", "video:", "frequency: 5806 MHz"),
    "video.power_mw": said(100.0, "display", "video:", "power: 100 mW"),
    **elements_said(
        "display",
        [
            ("battery", 1, 11, True, ("elements:", "battery:", "column: 1", "row: 11", "visible: yes")),
            ("timer", 23, 11, False, ("elements:", "timer:", "column: 23", "row: 11", "visible: no")),
            ("warnings", 11, 2, True, ("elements:", "warnings:", "column: 11", "row: 2", "visible: yes")),
        ],
    ),
    "sensors.gyro": said("found", "status", "sensors:", "gyro: found"),
    "sensors.accelerometer": said("found", "status", "sensors:", "accelerometer: found"),
    "sensors.barometer": said("missing", "status", "sensors:", "barometer: missing"),
    "arming.blocks": said(
        ("throttle-not-low", "not-level"), "status", "arming:", "blocked_by: throttle not low, not level"
    ),
    "battery.volts": said(11.72, "status", "battery:", "voltage: 11.72 V"),
    "logger.device": said("flash", "status", "flight_log:", "device: flash"),
    "logger.free_bytes": said(6291456, "status", "flight_log:", "free: 6291456 bytes"),
}

_HARMS = {
    "write": Harm("written", "info", "writes: 94", "writes: 95"),
    "reset": Harm("resetting", "info", "starts: 518", "starts: 519"),
    "defaults": Harm("defaults restored", "info", "name: Slow Comet", "name: -"),
    "bootloader": Harm("waiting for firmware"),
    "motor_test": Harm("running", "status", "motor_output: 0 %", "motor_output: 8 %", "motor_test 2"),
    "gyro_cal": Harm("calibrated", "status", "gyro_offset: 1.3 deg/s", "gyro_offset: 0.0 deg/s"),
    "log_erase": Harm("erased", "status", "flights: 26", "flights: 0"),
}

_PAGES = {word: page for word, _, page in (text.partition("\n") for text in _SHOWN.split("--- ")[1:])}


class Pellitory(StatingConsole):
    """Snake-case keys below heads that end with a colon; characters must not come faster than it takes them."""

    name = "pellitory"
    kinds = ("nested indentation, a head a row", "masks beside facts in words", "loses characters that are typed fast")
    banner = "pellitory 1.27.0\n"
    newline = "\n"
    prompt = "pellitory# "
    error = "unknown command: {line}"
    slowest_s = 0.003
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
