"""Norrick: one listing of keys with the value, and in brackets what it means, its default and its range. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_HELP = """\
settings: list
readings: ident state usage
changes : persist revert_all boot_again fw_upload nudge_motor level_now drop_logs
(list_help explains the brackets; commands lists these words)
"""

_LIST_HELP = """\
Each line of list is a key, its value, and in brackets what the value means
(a unit or the name of a choice), the default and the range.
"""

_IDENT = """\
fw_name norrick
fw_version 7.0.4
fw_build_date 2026-06-21
boot_version 1.9.0
board_model BRACKEN H743
board_rev 3
board_serial_no 0H7-66231
"""

_LIST = """\
name_of_craft "Dusk Tern" (text, default "", up to 16 characters)
rx_type 2 (serial, default 1, range 0..4)
rx_protocol 1 (CRSF, default 1, range 0..5)
rx_uart 4 (uart4, default 2, range 1..6)
rx_inverted 0 (off, default 0, range 0..1)
rx_half_duplex 1 (on, default 0, range 0..1)
rx_telemetry 1 (on, default 1, range 0..1)
rssi_from_channel 0 (none, default 0, range 0..16)
rx_smoothing 28 (Hz, default 30, range 1..200)
channel_order ETAR (text, default AETR)
pulse_min 990 (us, default 1000, range 800..1200)
pulse_mid 1510 (us, default 1500, range 1400..1600)
pulse_max 2010 (us, default 2000, range 1800..2200)
pulse_deadband 4 (us, default 3, range 0..50)
switch_arm_channel 5 (default 5, range 5..16)
switch_arm_from 1725 (us, default 1700, range 900..2100)
switch_arm_to 2100 (us, default 2100, range 900..2100)
switch_level_channel 6 (default 6, range 5..16)
switch_level_from 900 (us, default 900, range 900..2100)
switch_level_to 1275 (us, default 1300, range 900..2100)
uart1_function 1 (console, default 1, range 0..9)
uart1_baud 115200 (default 115200)
uart2_function 5 (GPS, default 0, range 0..9)
uart2_baud 57600 (default 38400)
uart3_function 7 (video transmitter, default 0, range 0..9)
uart3_baud 9600 (default 9600)
uart4_function 2 (receiver, default 0, range 0..9)
uart4_baud 420000 (default 420000)
uart5_function 0 (unused, default 0, range 0..9)
usb_idle_timeout 300 (s, default 300, range 0..3600)
osd_enabled 1 (on, default 1, range 0..1)
osd_video_system 1 (NTSC, default 0, range 0..3)
osd_columns 30 (default 30, range 20..60)
osd_rows 13 (default 16, range 10..24)
osd_font 2 (default 0, range 0..7)
osd_battery_at 2,11 (column,row, default 1,12)
osd_battery_shown 1 (yes, default 1, range 0..1)
osd_timer_at 21,11 (column,row, default 22,12)
osd_timer_shown 1 (yes, default 1, range 0..1)
osd_altitude_at 23,5 (column,row, default 23,7)
osd_altitude_shown 0 (no, default 0, range 0..1)
video_link 0 (analog, default 0, range 0..1)
video_band 4 (band F, default 5, range 1..5)
video_channel 7 (default 1, range 1..8)
video_freq 5860 (MHz, default 5658, range 5600..5950)
video_power 400 (mW, default 25, range 25..800)
video_pit 0 (off, default 0, range 0..1)
battery_cells 5 (default 0, range 0..8)
battery_cell_min 325 (x 0.01 V, default 330, range 250..400)
battery_cell_warn 352 (x 0.01 V, default 350, range 250..420)
battery_cell_max 422 (x 0.01 V, default 420, range 360..450)
battery_divider 111 (x 0.1, default 110, range 10..500)
battery_mah 1400 (mAh, default 0, range 0..30000)
motor_signal 6 (DSHOT300, default 7, range 0..8)
motor_two_way_dshot 1 (on, default 0, range 0..1)
motor_magnets 14 (default 14, range 4..48)
motor_idling 48 (x 0.1 %, default 55, range 0..150)
motor_reversed 1 (on, default 0, range 0..1)
loop_rate 4000 (Hz, default 8000, range 500..8000)
gyro_cutoff 240 (Hz, default 250, range 0..500)
on_failsafe 0 (drop, default 0, range 0..3)
failsafe_after 9 (x 0.1 s, default 10, range 1..200)
failsafe_thr 1040 (us, default 1000, range 900..2000)
return_climb 15 (m, default 20, range 0..100)
gain_roll_p 46 (default 45, range 0..250)
gain_roll_i 82 (default 80, range 0..250)
gain_roll_d 32 (default 30, range 0..250)
led_colour 3 (green, default 1, range 0..7)
log_rate_hz 500 (default 1000, range 50..4000)
"""

_STATE = """\
battery_voltage 20.35 (V)
supply_voltage 5.07 (V)
current 0.33 (A)
used_charge 0 (mAh)
gyro 1 (found)
accelerometer 1 (found)
barometer 0 (missing)
gyro_temperature 38 (C)
level_error 17 (x 0.1 deg)
arming_blocked 2 (usb connected, arm switch on)
motor_output 0 (%)
log_device 2 (flash)
log_free 8257536 (bytes)
log_flights 4
persist_count 61
boot_count 299
uptime 187 (s)
"""

_USAGE = """\
job_gyro 8000 (Hz, 9 us)
job_loop 4000 (Hz, 58 us)
job_osd 15 (Hz, 340 us)
cpu_load 22 (%)
stack_free 3104 (bytes)
"""


def _switch(name: str, channel: int, low: int, high: int) -> tuple[str, int, int, int, tuple[str, ...]]:
    key = f"switch_{name}_"
    return (name, channel, low, high, (f"{key}channel {channel} ", f"{key}from {low} (us", f"{key}to {high} (us"))


def _element(name: str, column: int, row: int, shown: bool) -> tuple[str, int, int, bool, tuple[str, ...]]:
    visible = "1 (yes," if shown else "0 (no,"
    return (name, column, row, shown, (f"osd_{name}_at {column},{row} (column,row,", f"osd_{name}_shown {visible}"))


_STATED = {
    "firmware.name": said("norrick", "ident", "fw_name norrick"),
    "firmware.version": said("7.0.4", "ident", "fw_version 7.0.4"),
    "firmware.built": said("2026-06-21", "ident", "fw_build_date 2026-06-21"),
    "board.name": said("BRACKEN H743", "ident", "board_model BRACKEN H743"),
    "board.serial": said("0H7-66231", "ident", "board_serial_no 0H7-66231"),
    "craft.name": said("Dusk Tern", "list", 'name_of_craft "Dusk Tern" (text,'),
    "receiver.kind": said("serial", "list", "rx_type 2 (serial,"),
    "receiver.protocol": said("crsf", "list", "rx_protocol 1 (CRSF,"),
    "receiver.port": said("uart4", "list", "rx_uart 4 (uart4,"),
    "receiver.inverted": said(False, "list", "rx_inverted 0 (off,"),
    "receiver.half_duplex": said(True, "list", "rx_half_duplex 1 (on,"),
    "receiver.telemetry": said(True, "list", "rx_telemetry 1 (on,"),
    "channels.order": said("ETAR", "list", "channel_order ETAR (text,"),
    "channels.low": said(990, "list", "pulse_min 990 (us,"),
    "channels.centre": said(1510, "list", "pulse_mid 1510 (us,"),
    "channels.high": said(2010, "list", "pulse_max 2010 (us,"),
    **switches_said("list", [_switch("arm", 5, 1725, 2100), _switch("level", 6, 900, 1275)]),
    **ports_said(
        "list",
        [
            ("uart1", ("console",), 115200, ("uart1_function 1 (console,", "uart1_baud 115200 (")),
            ("uart2", ("positioning",), 57600, ("uart2_function 5 (GPS,", "uart2_baud 57600 (")),
            ("uart3", ("video-control",), 9600, ("uart3_function 7 (video transmitter,", "uart3_baud 9600 (")),
            ("uart4", ("receiver",), 420000, ("uart4_function 2 (receiver,", "uart4_baud 420000 (")),
            ("uart5", ("unused",), None, ("uart5_function 0 (unused,",)),
        ],
    ),
    "overlay.enabled": said(True, "list", "osd_enabled 1 (on,"),
    "overlay.system": said("ntsc", "list", "osd_video_system 1 (NTSC,"),
    "overlay.columns": said(30, "list", "osd_columns 30 ("),
    "overlay.rows": said(13, "list", "osd_rows 13 ("),
    **elements_said(
        "list",
        [_element("battery", 2, 11, True), _element("timer", 21, 11, True), _element("altitude", 23, 5, False)],
    ),
    "video.link": said("analog", "list", "video_link 0 (analog,"),
    "video.band": said("F", "list", "video_band 4 (band F,"),
    "video.channel": said(7, "list", "video_channel 7 ("),
    "video.frequency_mhz": said(5860, "list", "video_freq 5860 (MHz,"),
    "video.power_mw": said(400.0, "list", "video_power 400 (mW,"),
    "battery.cells": said(5, "list", "battery_cells 5 ("),
    "battery.volts": said(20.35, "state", "battery_voltage 20.35 (V)"),
    "battery.scale": said(11.1, "list", "battery_divider 111 (x 0.1,"),
    "battery.cell_low": said(3.25, "list", "battery_cell_min 325 (x 0.01 V,"),
    "battery.cell_warn": said(3.52, "list", "battery_cell_warn 352 (x 0.01 V,"),
    "battery.cell_full": said(4.22, "list", "battery_cell_max 422 (x 0.01 V,"),
    "motors.protocol": said("dshot300", "list", "motor_signal 6 (DSHOT300,"),
    "motors.bidirectional": said(True, "list", "motor_two_way_dshot 1 (on,"),
    "motors.poles": said(14, "list", "motor_magnets 14 ("),
    "motors.idle_percent": said(4.8, "list", "motor_idling 48 (x 0.1 %,"),
    "motors.reversed": said(True, "list", "motor_reversed 1 (on,"),
    "motors.loop_hz": said(4000, "list", "loop_rate 4000 (Hz,"),
    "failsafe.action": said("drop", "list", "on_failsafe 0 (drop,"),
    "failsafe.delay_s": said(0.9, "list", "failsafe_after 9 (x 0.1 s,"),
    "failsafe.throttle_us": said(1040, "list", "failsafe_thr 1040 (us,"),
    "sensors.gyro": said("found", "state", "gyro 1 (found)"),
    "sensors.accelerometer": said("found", "state", "accelerometer 1 (found)"),
    "sensors.barometer": said("missing", "state", "barometer 0 (missing)"),
    "arming.blocks": said(
        ("usb-connected", "arm-switch-on"), "state", "arming_blocked 2 (usb connected, arm switch on)"
    ),
    "logger.device": said("flash", "state", "log_device 2 (flash)"),
    "logger.free_bytes": said(8257536, "state", "log_free 8257536 (bytes)"),
}

_HARMS = {
    "boot_again": Harm("booting", "state", "boot_count 299", "boot_count 300"),
    "drop_logs": Harm("logs dropped", "state", "log_flights 4", "log_flights 0"),
    "fw_upload": Harm("upload now"),
    "level_now": Harm("level taken", "state", "level_error 17 ", "level_error 0 "),
    "nudge_motor": Harm("motor 1 at 60", "state", "motor_output 0 ", "motor_output 6 ", "nudge_motor 1 60"),
    "persist": Harm("persisted", "state", "persist_count 61", "persist_count 62"),
    "revert_all": Harm("reverted", "list", 'name_of_craft "Dusk Tern"', 'name_of_craft ""'),
}

_PAGES = {
    "commands": _HELP,
    "list_help": _LIST_HELP,
    "ident": _IDENT,
    "list": _LIST,
    "state": _STATE,
    "usage": _USAGE,
}


class Norrick(StatingConsole):
    """Choices are numbers that the brackets explain; the words are grouped but not described."""

    name = "norrick"
    kinds = ("snake case", "numbers explained in brackets", "defaults and ranges", "scaled integers", "grouped help")
    banner = "norrick 7.0.4 (commands lists the words)\n"
    prompt = "norrick:/ "
    error = "? {line}"
    help_word = "commands"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
