"""Pennock: one listing of snake_case keys with a colon, records with a remark that names their fields. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, Said, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_HELP = """\
?              show this list
print_all      print all settings and readings
print_tasks    print how long the tasks take
store          store the settings in flash
restart        restart the controller
load_defaults  put all settings back to their defaults
bootloader     start the boot loader
test_motors    run the motors slowly
calibrate_acc  take the present attitude as level
"""

_ALL = """\
firmware_name: Pennock
firmware_version: 0.9.7
firmware_build_date: 2026-06-03
bootloader_version: 1.0
board_model: BURDOCK H743
board_revision: C
board_serial_number: BH7-55-0210
aircraft_name: Long Thursday
pilot_name: nobody
store_count: 63
restart_count: 440
receiver_type: serial
receiver_protocol: sbus
receiver_port: serial3
receiver_inverted: true
receiver_half_duplex: false
receiver_telemetry: false
receiver_smoothing_hz: 40
channel_order: AETR
channel_min_us: 1008
channel_center_us: 1504
channel_max_us: 1996
channel_deadband_us: 5
servo_center_us: 1525
servo_rate_hz: 50
# switch: function channel from_us to_us
switch: arm 7 1725 2110
switch: level 6 950 1325
switch: beeper 10 1650 2040
# port: name function baud
port: serial1 console 230400
port: serial2 telemetry 57600
port: serial3 receiver 100000
port: serial4 osd 115200
port: serial7 gps 38400
port: serial8 unused -
console_timeout_s: 600
failsafe_action: drop
failsafe_delay_ms: 850
failsafe_throttle_us: 1005
failsafe_recovery_ms: 400
video_link: digital
video_latency_ms: 28
osd_enabled: true
osd_system: digital
osd_columns: 53
osd_rows: 20
osd_refresh_hz: 20
# element: name column row width visible
element: battery 3 18 7 yes
element: timer 44 18 6 yes
element: altitude 46 9 5 no
element: horizon 22 10 9 no
element: warnings 20 15 14 yes
battery_cells: 6
battery_voltage_mv: 23520
battery_current_ma: 620
battery_capacity_mah: 1350
voltage_divider: 21.0
current_sensor_scale: 400
cell_low_mv: 3350
cell_warning_mv: 3600
cell_full_mv: 4180
supply_voltage_mv: 4985
motor_protocol: dshot300
motor_bidirectional: false
motor_pole_count: 12
motor_idle_percent: 4.5
motor_reversed: true
motor_output_percent: 0
motor_kv: 1750
control_loop_hz: 8000
gyro_sample_hz: 16000
gyro_lowpass_hz: 280
dterm_lowpass_hz: 120
pid_roll: 43 78 28
pid_pitch: 47 82 31
pid_yaw: 40 76 0
gyro: found
accelerometer: found
barometer: found
compass: missing
level_offset_deg: 0.9
arming_blocked_by: usb_connected throttle_not_low
arming_attempts: 0
log_device: card
log_free_bytes: 7948206080
log_rate_hz: 1000
log_flights: 35
led_count: 12
led_color: blue
cpu_load_percent: 31
cpu_temperature_c: 52
uptime_s: 1330
"""

_TASKS = """\
task_gyro_us: 11
task_loop_us: 48
task_receiver_us: 19
task_osd_us: 60
task_idle_percent: 69
"""

_WORD = "print_all"
_WIDTHS = (
    (7, "element: battery 3 18 7 yes"),
    (6, "element: timer 44 18 6 yes"),
    (5, "element: altitude 46 9 5 no"),
    (9, "element: horizon 22 10 9 no"),
    (14, "element: warnings 20 15 14 yes"),
)


def _of(value: object, text: str) -> Said:
    return said(value, _WORD, text)


_STATED = {
    "firmware.name": _of("Pennock", "firmware_name: Pennock"),
    "firmware.version": _of("0.9.7", "firmware_version: 0.9.7"),
    "firmware.built": _of("2026-06-03", "firmware_build_date: 2026-06-03"),
    "board.name": _of("BURDOCK H743", "board_model: BURDOCK H743"),
    "board.serial": _of("BH7-55-0210", "board_serial_number: BH7-55-0210"),
    "craft.name": _of("Long Thursday", "aircraft_name: Long Thursday"),
    "receiver.kind": _of("serial", "receiver_type: serial"),
    "receiver.protocol": _of("sbus", "receiver_protocol: sbus"),
    "receiver.port": _of("serial3", "receiver_port: serial3"),
    "receiver.inverted": _of(True, "receiver_inverted: true"),
    "receiver.half_duplex": _of(False, "receiver_half_duplex: false"),
    "receiver.telemetry": _of(False, "receiver_telemetry: false"),
    "channels.order": _of("AETR", "channel_order: AETR"),
    "channels.low": _of(1008, "channel_min_us: 1008"),
    "channels.centre": _of(1504, "channel_center_us: 1504"),
    "channels.high": _of(1996, "channel_max_us: 1996"),
    **switches_said(
        _WORD,
        [
            ("arm", 7, 1725, 2110, ("switch: arm 7 1725 2110",)),
            ("level", 6, 950, 1325, ("switch: level 6 950 1325",)),
            ("beeper", 10, 1650, 2040, ("switch: beeper 10 1650 2040",)),
        ],
    ),
    **ports_said(
        _WORD,
        [
            ("serial1", ("console",), 230400, ("port: serial1 console 230400",)),
            ("serial2", ("telemetry",), 57600, ("port: serial2 telemetry 57600",)),
            ("serial3", ("receiver",), 100000, ("port: serial3 receiver 100000",)),
            ("serial4", ("overlay-link",), 115200, ("port: serial4 osd 115200",)),
            ("serial7", ("positioning",), 38400, ("port: serial7 gps 38400",)),
            ("serial8", ("unused",), None, ("port: serial8 unused -",)),
        ],
    ),
    "failsafe.action": _of("drop", "failsafe_action: drop"),
    "failsafe.delay_s": _of(0.85, "failsafe_delay_ms: 850"),
    "failsafe.throttle_us": _of(1005, "failsafe_throttle_us: 1005"),
    "video.link": _of("digital", "video_link: digital"),
    "overlay.enabled": _of(True, "osd_enabled: true"),
    "overlay.system": _of("digital", "osd_system: digital"),
    "overlay.columns": _of(53, "osd_columns: 53"),
    "overlay.rows": _of(20, "osd_rows: 20"),
    **elements_said(
        _WORD,
        [
            ("battery", 3, 18, True, ("element: battery 3 18 7 yes",)),
            ("timer", 44, 18, True, ("element: timer 44 18 6 yes",)),
            ("altitude", 46, 9, False, ("element: altitude 46 9 5 no",)),
            ("horizon", 22, 10, False, ("element: horizon 22 10 9 no",)),
            ("warnings", 20, 15, True, ("element: warnings 20 15 14 yes",)),
        ],
    ),
    **{f"overlay.elements[{at}].width": _of(width, text) for at, (width, text) in enumerate(_WIDTHS)},
    "battery.cells": _of(6, "battery_cells: 6"),
    "battery.volts": _of(23.52, "battery_voltage_mv: 23520"),
    "battery.scale": _of(21.0, "voltage_divider: 21.0"),
    "battery.cell_low": _of(3.35, "cell_low_mv: 3350"),
    "battery.cell_warn": _of(3.6, "cell_warning_mv: 3600"),
    "battery.cell_full": _of(4.18, "cell_full_mv: 4180"),
    "motors.protocol": _of("dshot300", "motor_protocol: dshot300"),
    "motors.bidirectional": _of(False, "motor_bidirectional: false"),
    "motors.poles": _of(12, "motor_pole_count: 12"),
    "motors.idle_percent": _of(4.5, "motor_idle_percent: 4.5"),
    "motors.reversed": _of(True, "motor_reversed: true"),
    "motors.loop_hz": _of(8000, "control_loop_hz: 8000"),
    "sensors.gyro": _of("found", "gyro: found"),
    "sensors.accelerometer": _of("found", "accelerometer: found"),
    "sensors.barometer": _of("found", "barometer: found"),
    "arming.blocks": _of(("usb-connected", "throttle-not-low"), "arming_blocked_by: usb_connected throttle_not_low"),
    "logger.device": _of("card", "log_device: card"),
    "logger.free_bytes": _of(7948206080, "log_free_bytes: 7948206080"),
}

_HARMS = {
    "store": Harm("ok: stored", _WORD, "store_count: 63", "store_count: 64"),
    "restart": Harm("ok: restarting", _WORD, "restart_count: 440", "restart_count: 441"),
    "load_defaults": Harm("ok: defaults loaded", _WORD, "aircraft_name: Long Thursday", "aircraft_name: craft"),
    "bootloader": Harm("ok: boot loader 1.0"),
    "test_motors": Harm("ok: motors run", _WORD, "motor_output_percent: 0", "motor_output_percent: 8"),
    "calibrate_acc": Harm("ok: level taken", _WORD, "level_offset_deg: 0.9", "level_offset_deg: 0.0"),
}
_PAGES = {"?": _HELP, _WORD: _ALL, "print_tasks": _TASKS}


class Pennock(StatingConsole):
    """Everything in one listing; units are in the keys, and rows follow a remark that names their fields."""

    name = "pennock"
    kinds = ("one listing", "snake_case with a colon", "records", "no echo")
    banner = ""
    prompt = "ready: "
    echo = False
    error = "error: {line} is not a command, ? lists them"
    help_word = "?"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
