"""Brindlemoor: sections within sections by indentation, masks spelled in words, loses what is typed fast. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_HELP = """\
show board      firmware, board and craft
show radio      receiver, channels and failsafe
show switches   what the switches do
show uarts      what the serial ports are for
show screen     on-screen display and video transmitter
show power      battery and motors
show health     sensors, arming and flight log
show tuning     gains and filters
keep            write the settings to flash
forget          back to the factory settings
reboot          start again
bootload        wait for new firmware
whirl N         spin motor N
trim            calibrate the level
purge           erase the flight log
help            these lines
"""

_BOARD = """\
board:
  firmware:
    name: Brindlemoor
    version: 0.14.3
    build date: 2026-03-30
  hardware:
    board name: MADDER F411
    serial number: 7F20-C3
    processor temperature: 41 C
  craft name: Little Owl
  counters:
    saves: 52
    boots: 271
    uptime: 640 s
"""

_RADIO = """\
radio:
  receiver:
    type: SPI
    telemetry: enabled
    telemetry interval: 160 ms
    packet rate: 250 Hz
  channels:
    order: TAER
    minimum: 992 us
    centre: 1504 us
    maximum: 2016 us
    deadband: 2 us
    smoothing: 30 Hz
  failsafe:
    action: return home
    delay: 700 ms
    throttle: 1280 us
    return altitude: 30 m
"""

_SWITCHES = """\
switches:
  arm:
    channel: 5
    range: 1720-2080 us
  level:
    channel: 7
    range: 920-1280 us
  beeper:
    channel: 8
    range: 1690-2070 us
"""

_UARTS = """\
uarts:
  uart1:
    function: console
    baud rate: 115200
    errors: 0
  uart2:
    function: GPS
    baud rate: 57600
    errors: 1
  uart3:
    function: telemetry
    baud rate: 19200
    errors: 0
  uart4:
    function: none
"""

_SCREEN = """\
screen:
  osd:
    enabled: yes
    video system: PAL
    columns: 30
    rows: 16
    refresh: 25 Hz
    elements:
      battery: column 3, row 13, visible
      timer: column 22, row 13, visible
      link quality: column 3, row 2, hidden
      horizon: column 8, row 6, visible
  video transmitter:
    link: analog
    band: E
    channel: 2
    frequency: 5685 MHz
    power: 100 mW
    highest power: 400 mW
    pit mode: no
"""

_POWER = """\
power:
  battery:
    cells: 2
    voltage: 7.94 V
    voltage divider: 10.5
    cell:
      minimum: 3.35 V
      warning: 3.55 V
      full: 4.35 V
    capacity: 450 mAh
    current: 0.28 A
  regulator:
    output: 4.98 V
  motors:
    protocol: DSHOT300
    bidirectional: yes
    poles: 12
    idle: 6 %
    reversed: no
    output now: 0 %
  loop:
    control loop rate: 3200 Hz
    gyro rate: 6400 Hz
    load: 38 %
"""

_HEALTH = """\
health:
  sensors:
    found: gyro + accelerometer
    missing: barometer
    level trim: 0.6 degrees
  arming:
    blocked by: no receiver link + usb connected
    arm count: 0
  flight log:
    device: flash
    free: 2031616 bytes
    rate: 400 Hz
    flights: 11
"""

_TUNING = """\
tuning:
  roll:
    P: 38
    I: 66
    D: 24
  pitch:
    P: 40
    I: 69
    D: 27
  yaw:
    P: 35
    I: 64
    D: 0
  filters:
    gyro lowpass: 180 Hz
    D lowpass: 90 Hz
  led colour: lilac
"""

_STATED = {
    "firmware.name": said("Brindlemoor", "show board", "firmware:", "name: Brindlemoor"),
    "firmware.version": said("0.14.3", "show board", "firmware:", "version: 0.14.3"),
    "firmware.built": said("2026-03-30", "show board", "firmware:", "build date: 2026-03-30"),
    "board.name": said("MADDER F411", "show board", "board name: MADDER F411"),
    "board.serial": said("7F20-C3", "show board", "serial number: 7F20-C3"),
    "craft.name": said("Little Owl", "show board", "craft name: Little Owl"),
    "receiver.kind": said("spi", "show radio", "receiver:", "type: SPI"),
    "receiver.telemetry": said(True, "show radio", "receiver:", "telemetry: enabled"),
    "channels.order": said("TAER", "show radio", "channels:", "order: TAER"),
    "channels.low": said(992, "show radio", "channels:", "minimum: 992 us"),
    "channels.centre": said(1504, "show radio", "channels:", "centre: 1504 us"),
    "channels.high": said(2016, "show radio", "channels:", "maximum: 2016 us"),
    "failsafe.action": said("return", "show radio", "failsafe:", "action: return home"),
    "failsafe.delay_s": said(0.7, "show radio", "failsafe:", "delay: 700 ms"),
    "failsafe.throttle_us": said(1280, "show radio", "failsafe:", "throttle: 1280 us"),
    **switches_said(
        "show switches",
        [
            ("arm", 5, 1720, 2080, ("  arm:", "channel: 5", "range: 1720-2080 us")),
            ("level", 7, 920, 1280, ("  level:", "channel: 7", "range: 920-1280 us")),
            ("beeper", 8, 1690, 2070, ("  beeper:", "channel: 8", "range: 1690-2070 us")),
        ],
    ),
    **ports_said(
        "show uarts",
        [
            ("uart1", ("console",), 115200, ("uart1:", "function: console", "baud rate: 115200")),
            ("uart2", ("positioning",), 57600, ("uart2:", "function: GPS", "baud rate: 57600")),
            ("uart3", ("telemetry",), 19200, ("uart3:", "function: telemetry", "baud rate: 19200")),
            ("uart4", ("unused",), None, ("uart4:", "function: none")),
        ],
    ),
    "overlay.enabled": said(True, "show screen", "osd:", "enabled: yes"),
    "overlay.system": said("pal", "show screen", "osd:", "video system: PAL"),
    "overlay.columns": said(30, "show screen", "osd:", "columns: 30"),
    "overlay.rows": said(16, "show screen", "osd:", "rows: 16"),
    **elements_said(
        "show screen",
        [
            ("battery", 3, 13, True, ("elements:", "battery: column 3, row 13, visible")),
            ("timer", 22, 13, True, ("elements:", "timer: column 22, row 13, visible")),
            ("link-quality", 3, 2, False, ("elements:", "link quality: column 3, row 2, hidden")),
            ("horizon", 8, 6, True, ("elements:", "horizon: column 8, row 6, visible")),
        ],
    ),
    "video.link": said("analog", "show screen", "video transmitter:", "link: analog"),
    "video.band": said("E", "show screen", "video transmitter:", "band: E"),
    "video.channel": said(2, "show screen", "video transmitter:", "channel: 2"),
    "video.frequency_mhz": said(5685, "show screen", "video transmitter:", "frequency: 5685 MHz"),
    "video.power_mw": said(100.0, "show screen", "video transmitter:", "power: 100 mW"),
    "battery.cells": said(2, "show power", "battery:", "cells: 2"),
    "battery.volts": said(7.94, "show power", "battery:", "voltage: 7.94 V"),
    "battery.scale": said(10.5, "show power", "battery:", "voltage divider: 10.5"),
    "battery.cell_low": said(3.35, "show power", "battery:", "cell:", "minimum: 3.35 V"),
    "battery.cell_warn": said(3.55, "show power", "battery:", "cell:", "warning: 3.55 V"),
    "battery.cell_full": said(4.35, "show power", "battery:", "cell:", "full: 4.35 V"),
    "motors.protocol": said("dshot300", "show power", "motors:", "protocol: DSHOT300"),
    "motors.bidirectional": said(True, "show power", "motors:", "bidirectional: yes"),
    "motors.poles": said(12, "show power", "motors:", "poles: 12"),
    "motors.idle_percent": said(6.0, "show power", "motors:", "idle: 6 %"),
    "motors.reversed": said(False, "show power", "motors:", "reversed: no"),
    "motors.loop_hz": said(3200, "show power", "control loop rate: 3200 Hz"),
    "sensors.gyro": said("found", "show health", "sensors:", "found: gyro + accelerometer"),
    "sensors.accelerometer": said("found", "show health", "sensors:", "found: gyro + accelerometer"),
    "sensors.barometer": said("missing", "show health", "sensors:", "missing: barometer"),
    "arming.blocks": said(
        ("no-receiver-link", "usb-connected"),
        "show health",
        "arming:",
        "blocked by: no receiver link + usb connected",
    ),
    "logger.device": said("flash", "show health", "flight log:", "device: flash"),
    "logger.free_bytes": said(2031616, "show health", "flight log:", "free: 2031616 bytes"),
}

_HARMS = {
    "keep": Harm("kept", "show board", "saves: 52", "saves: 53"),
    "forget": Harm("forgotten", "show board", "craft name: Little Owl", "craft name:"),
    "reboot": Harm("rebooting", "show board", "boots: 271", "boots: 272"),
    "bootload": Harm("waiting for firmware"),
    "whirl": Harm("whirling", "show power", "output now: 0 %", "output now: 9 %", "whirl 2"),
    "trim": Harm("trimmed", "show health", "level trim: 0.6", "level trim: 0.0"),
    "purge": Harm("purged", "show health", "flights: 11", "flights: 0"),
}

_TOPICS = (_BOARD, _RADIO, _SWITCHES, _UARTS, _SCREEN, _POWER, _HEALTH, _TUNING)
_PAGES = {"help": _HELP, **{f"show {page.partition(':')[0]}": page for page in _TOPICS}}


class Brindlemoor(StatingConsole):
    """Shows a topic at a time, each a section of sections; characters must not come faster than it takes them."""

    name = "brindlemoor"
    kinds = ("nested indentation", "masks in words", "commands of two words", "loses characters that are typed fast")
    banner = "brindlemoor 0.14.3 (help shows the commands)\n"
    newline = "\n"
    prompt = "bm] "
    error = "no such command: {line}"
    slowest_s = 0.003
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
