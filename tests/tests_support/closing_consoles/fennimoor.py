"""Fennimoor: nested blocks with lists of blocks, text in quotes, the unit in a comment behind the value. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

# Each page below the word that prints it.
_SHOWN = """\
--- commands
# show something
about: firmware, board and craft
radio: receiver, channels and failsafe
controls: switches
ports: serial ports
display: on-screen display and video transmitter
power: battery
drive: motors and control loop
status: sensors, arming and log
tuning: gains and filters
commands: this list
# change something
store: save the settings
restart: restart the firmware
reset-all: back to default settings
boot-loader: enter the boot loader
motor-test: run the motors
gyro-cal: calibrate the gyro
log-erase: erase the log
--- about
firmware:
  name: "Fennimoor"
  version: "9.0.4"
  build-date: "2026-03-11"
board:
  model: "TEAZLE G473"
  serial-number: "TZ-88412"
  revision: 2
  boot-loader: "3.3"
craft:
  name: "Round Robin"
  weight: 274  # g
counters:
  saves: 71
  starts: 452
--- radio
receiver:
  type: serial
  protocol: ibus
  port: ser-2
  inverted: false
  half-duplex: true
  telemetry: true
  telemetry-interval: 120  # ms
channels:
  order: AETR
  minimum: 1010  # us
  centre: 1500  # us
  maximum: 1990  # us
  dead-band: 4  # us
servo:
  centre: 1525  # us
  rate: 60  # Hz
failsafe:
  action: return
  delay: 1.1  # s
  throttle: 1310  # us
  return-height: 30  # m
--- controls
switches:
  - function: arm
    channel: 5
    from: 1690  # us
    to: 2070  # us
  - function: level
    channel: 7
    from: 930  # us
    to: 1310  # us
  - function: beeper
    channel: 9
    from: 1720  # us
    to: 2040  # us
--- ports
ports:
  - name: usb
    function: console
  - name: ser-1
    function: osd
    baud: 230400
    lost-bytes: 0
  - name: ser-2
    function: receiver
    baud: 115200
    lost-bytes: 4
  - name: ser-3
    function: gps
    baud: 57600
    lost-bytes: 0
  - name: ser-4
    function: unused
--- display
osd:
  enabled: true
  system: digital
  columns: 53
  rows: 20
  refresh: 30  # Hz
  elements:
    - name: battery
      column: 4
      row: 17
      visible: true
    - name: timer
      column: 44
      row: 17
      visible: true
    - name: link-quality
      column: 4
      row: 2
      visible: true
    - name: horizon
      column: 26
      row: 9
      visible: false
video-transmitter:
  link: digital
  frequency: 5732  # MHz
  power: 500  # mW
  power-limit: 1000  # mW
  temperature: 52  # C
--- power
battery:
  cells: 6
  voltage: 23.58  # V
  voltage-divider: 11.4
  current: 0.61  # A
  capacity: 1250  # mAh
  cell:
    minimum: 3.3  # V
    warning: 3.54  # V
    full: 4.2  # V
supply:
  voltage: 5.01  # V
--- drive
motors:
  protocol: dshot600
  bidirectional: true
  poles: 14
  idle: 4.8  # %
  reversed: false
  kv: 1700  # rpm/V
  output: 0  # %
control-loop:
  rate: 4000  # Hz
  load: 33  # %
gyro:
  rate: 8000  # Hz
--- status
sensors:
  gyro: found
  accelerometer: found
  barometer: found
  compass: missing
  gyro-offset: 2.6  # deg/s
arming:
  blocked-by:
    - no receiver link
    - usb connected
  count: 0
log:
  device: card
  free: 3984588800  # bytes
  rate: 1000  # Hz
  flights: 16
processor:
  temperature: 45  # C
--- tuning
gains:  # p, i, d
  roll: [44, 76, 27]
  pitch: [46, 79, 29]
  yaw: [38, 75, 0]
filters:
  gyro-lowpass: 205  # Hz
  d-lowpass: 92  # Hz
"""


def _block(*lines: str, indent: int = 2) -> str:
    """Lines of a list's block as they are printed, the first behind a dash."""
    return ("\n" + " " * (indent + 2)).join((" " * indent + "- " + lines[0], *lines[1:]))


_STATED = {
    "firmware.name": said("Fennimoor", "about", "firmware:", 'name: "Fennimoor"'),
    "firmware.version": said("9.0.4", "about", "firmware:", 'version: "9.0.4"'),
    "firmware.built": said("2026-03-11", "about", "firmware:", 'build-date: "2026-03-11"'),
    "board.name": said("TEAZLE G473", "about", "board:", 'model: "TEAZLE G473"'),
    "board.serial": said("TZ-88412", "about", "board:", 'serial-number: "TZ-88412"'),
    "craft.name": said("Round Robin", "about", "craft:", 'name: "Round Robin"'),
    "receiver.kind": said("serial", "radio", "receiver:", "type: serial"),
    "receiver.protocol": said("ibus", "radio", "receiver:", "protocol: ibus"),
    "receiver.port": said("ser-2", "radio", "receiver:", "port: ser-2"),
    "receiver.inverted": said(False, "radio", "receiver:", "inverted: false"),
    "receiver.half_duplex": said(True, "radio", "receiver:", "half-duplex: true"),
    "receiver.telemetry": said(True, "radio", "receiver:", "telemetry: true"),
    "channels.order": said("AETR", "radio", "channels:", "order: AETR"),
    "channels.low": said(1010, "radio", "channels:", "minimum: 1010  # us"),
    "channels.centre": said(1500, "radio", "channels:", "centre: 1500  # us"),
    "channels.high": said(1990, "radio", "channels:", "maximum: 1990  # us"),
    "failsafe.action": said("return", "radio", "failsafe:", "action: return"),
    "failsafe.delay_s": said(1.1, "radio", "failsafe:", "delay: 1.1  # s"),
    "failsafe.throttle_us": said(1310, "radio", "failsafe:", "throttle: 1310  # us"),
    **switches_said(
        "controls",
        [
            (name, channel, low, high, (_block(f"function: {name}", f"channel: {channel}", *ends),))
            for name, channel, low, high in (("arm", 5, 1690, 2070), ("level", 7, 930, 1310), ("beeper", 9, 1720, 2040))
            for ends in [(f"from: {low}  # us", f"to: {high}  # us")]
        ],
    ),
    **ports_said(
        "ports",
        [
            ("usb", ("console",), None, (_block("name: usb", "function: console"),)),
            ("ser-1", ("overlay-link",), 230400, (_block("name: ser-1", "function: osd", "baud: 230400"),)),
            ("ser-2", ("receiver",), 115200, (_block("name: ser-2", "function: receiver", "baud: 115200"),)),
            ("ser-3", ("positioning",), 57600, (_block("name: ser-3", "function: gps", "baud: 57600"),)),
            ("ser-4", ("unused",), None, (_block("name: ser-4", "function: unused"),)),
        ],
    ),
    "overlay.enabled": said(True, "display", "osd:", "enabled: true"),
    "overlay.system": said("digital", "display", "osd:", "system: digital"),
    "overlay.columns": said(53, "display", "osd:", "columns: 53"),
    "overlay.rows": said(20, "display", "osd:", "rows: 20"),
    **elements_said(
        "display",
        [
            (name, column, row, shown == "true", (_block(f"name: {name}", *place, f"visible: {shown}", indent=4),))
            for name, column, row, shown in (
                ("battery", 4, 17, "true"),
                ("timer", 44, 17, "true"),
                ("link-quality", 4, 2, "true"),
                ("horizon", 26, 9, "false"),
            )
            for place in [(f"column: {column}", f"row: {row}")]
        ],
    ),
    "video.link": said("digital", "display", "video-transmitter:", "link: digital"),
    "video.frequency_mhz": said(5732, "display", "video-transmitter:", "frequency: 5732  # MHz"),
    "video.power_mw": said(500.0, "display", "video-transmitter:", "power: 500  # mW"),
    "battery.cells": said(6, "power", "battery:", "cells: 6"),
    "battery.volts": said(23.58, "power", "battery:", "voltage: 23.58  # V"),
    "battery.scale": said(11.4, "power", "battery:", "voltage-divider: 11.4"),
    "battery.cell_low": said(3.3, "power", "battery:", "cell:", "minimum: 3.3  # V"),
    "battery.cell_warn": said(3.54, "power", "battery:", "cell:", "warning: 3.54  # V"),
    "battery.cell_full": said(4.2, "power", "battery:", "cell:", "full: 4.2  # V"),
    "motors.protocol": said("dshot600", "drive", "motors:", "protocol: dshot600"),
    "motors.bidirectional": said(True, "drive", "motors:", "bidirectional: true"),
    "motors.poles": said(14, "drive", "motors:", "poles: 14"),
    "motors.idle_percent": said(4.8, "drive", "motors:", "idle: 4.8  # %"),
    "motors.reversed": said(False, "drive", "motors:", "reversed: false"),
    "motors.loop_hz": said(4000, "drive", "control-loop:", "rate: 4000  # Hz"),
    "sensors.gyro": said("found", "status", "sensors:", "gyro: found"),
    "sensors.accelerometer": said("found", "status", "sensors:", "accelerometer: found"),
    "sensors.barometer": said("found", "status", "sensors:", "barometer: found"),
    "arming.blocks": said(
        ("no-receiver-link", "usb-connected"), "status", "blocked-by:", "    - no receiver link\n    - usb connected"
    ),
    "logger.device": said("card", "status", "log:", "device: card"),
    "logger.free_bytes": said(3984588800, "status", "log:", "free: 3984588800  # bytes"),
}

_HARMS = {
    "store": Harm("stored", "about", "saves: 71", "saves: 72"),
    "restart": Harm("restarting", "about", "starts: 452", "starts: 453"),
    "reset-all": Harm("defaults set", "about", "Round Robin", ""),
    "boot-loader": Harm("boot loader 3.3"),
    "motor-test": Harm("motors running", "drive", "output: 0", "output: 6"),
    "gyro-cal": Harm("calibrated", "status", "gyro-offset: 2.6", "gyro-offset: 0.0"),
    "log-erase": Harm("erased", "status", "flights: 16", "flights: 0"),
}

_PAGES = {word: page for word, _, page in (text.partition("\n") for text in _SHOWN.split("--- ")[1:])}


class Fennimoor(StatingConsole):
    """Has no word for help but the one that its greeting and its refusal name."""

    name = "fennimoor"
    kinds = ("nested blocks with lists of blocks", "units in comments", "help named by the greeting and the refusal")
    banner = 'Fennimoor 9.0.4, type "commands" for the list of commands\n'
    newline = "\n"
    prompt = "fennimoor: "
    error = 'error: "{line}" is no command, type "commands" for the list'
    help_word = "commands"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
