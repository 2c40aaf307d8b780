"""Tessock: a word for each subject, which prints its snake keys with `=`; the units stand in the keys. Invented."""

from __future__ import annotations

from tests_support.oath_consoles.repeated import ELEMENT, PORT, SWITCH, repeated
from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_PAGES = {
    "help": """\
Words of this console:
  help      this list
  about     firmware, board and craft
  radio     receiver and its link
  sticks    channel order and pulses
  modes     what the switches do
  uarts     serial ports
  osd       overlay on the picture
  vtx       video transmitter
  battery   flight battery
  motors    motors and speed controllers
  tuning    control loop and gains
  failsafe  what happens when the link is lost
  health    sensors and arming
  logging   flight log
  put       put KEY VALUE: change a setting
  store     keep the settings
  restart   start the board again
  loader    wait for new firmware
  spin      spin MOTOR PERCENT: turn a motor
  trim      take the present attitude as level
  wipe      all settings back to those of the factory
""",
    "about": """\
firmware_name = Tessock
firmware_version = 4.7.2
build_date = 2026-03-14
board_model = BRINDLE H743
board_serial = 5A17-00C3-9E42
aircraft_name = Paper Heron
times_stored = 18
times_started = 212
uptime_s = 341
""",
    "radio": """\
receiver_type = serial
receiver_protocol = CRSF
receiver_port = uart2
receiver_inverted = no
receiver_half_duplex = no
receiver_telemetry = yes
telemetry_interval_ms = 100
packet_rate_hz = 250
packets_lost = 3
signal_dbm = -48
""",
    "sticks": """\
channel_order = TAER
pulse_low_us = 988
pulse_centre_us = 1500
pulse_high_us = 2012
deadband_us = 4
servo_centre_us = 1520
channels_now_us = 989 1501 1499 1502 1000 1000 1750 1000
roll_expo_percent = 20
roll_rate_deg_s = 620
pitch_rate_deg_s = 620
yaw_rate_deg_s = 480
""",
    "modes": """\
arm_channel = 5
arm_from_us = 1700
arm_to_us = 2100
level_channel = 6
level_from_us = 900
level_to_us = 1300
beeper_channel = 7
beeper_from_us = 1650
beeper_to_us = 2050
turtle_channel = 8
turtle_from_us = 1725
turtle_to_us = 2075
""",
    "uarts": """\
uart1_function = console
uart1_baud = 115200
uart2_function = receiver
uart2_baud = 420000
uart3_function = gps
uart3_baud = 38400
uart4_function = vtx_control
uart4_baud = 9600
uart5_function = esc_telemetry
uart5_baud = 115200
uart6_function = none
""",
    "osd": """\
osd_enabled = yes
osd_video_system = PAL
osd_columns = 30
osd_rows = 16
osd_blink_ms = 250
battery_column = 2
battery_row = 14
battery_visible = yes
timer_column = 23
timer_row = 13
timer_visible = yes
link_quality_column = 24
link_quality_row = 1
link_quality_visible = no
horizon_column = 9
horizon_row = 3
horizon_visible = yes
""",
    "vtx": """\
video_link = analog
vtx_band = R
vtx_channel = 5
vtx_frequency_mhz = 5806
vtx_power_mw = 200
vtx_pit_mode = no
vtx_temperature_c = 44
""",
    "battery": """\
cell_count = 4
pack_voltage_v = 15.92
voltage_divider_ratio = 11.2
cell_low_v = 3.30
cell_warning_v = 3.50
cell_full_v = 4.20
capacity_mah = 1300
used_mah = 6
current_a = 0.31
current_offset_mv = 12
regulator_v = 5.04
""",
    "motors": """\
motor_protocol = DShot300
bidirectional = yes
bell_magnets = 12
idle_percent = 5.5
motors_reversed = yes
motor1_output_percent = 0
motor2_output_percent = 0
motor3_output_percent = 0
motor4_output_percent = 0
""",
    "tuning": """\
control_loop_hz = 4000
gyro_sample_hz = 8000
gyro_lowpass_hz = 220
roll_p = 46
roll_i = 82
roll_d = 31
pitch_p = 49
pitch_i = 86
pitch_d = 34
yaw_p = 44
yaw_i = 80
yaw_d = 0
led_colour = amber
""",
    "failsafe": """\
failsafe_action = land
failsafe_delay_s = 1.5
failsafe_throttle_us = 1270
landing_limit_s = 25
losses_since_start = 0
""",
    "health": """\
gyro = found
accelerometer = found
barometer = missing
compass = missing
level_trim_deg = 1.4
cpu_load_percent = 27
core_temperature_c = 46
arming_blocked_by = no receiver link, not level
""",
    "logging": """\
log_device = flash
log_free_bytes = 12582912
log_size_bytes = 16777216
log_rate_hz = 1000
""",
}

_STATED = {
    "firmware.name": said("Tessock", "about", "firmware_name = Tessock"),
    "firmware.version": said("4.7.2", "about", "firmware_version = 4.7.2"),
    "firmware.built": said("2026-03-14", "about", "build_date = 2026-03-14"),
    "board.name": said("BRINDLE H743", "about", "board_model = BRINDLE H743"),
    "board.serial": said("5A17-00C3-9E42", "about", "board_serial = 5A17-00C3-9E42"),
    "craft.name": said("Paper Heron", "about", "aircraft_name = Paper Heron"),
    "receiver.kind": said("serial", "radio", "receiver_type = serial"),
    "receiver.protocol": said("crsf", "radio", "receiver_protocol = CRSF"),
    "receiver.port": said("uart2", "radio", "receiver_port = uart2"),
    "receiver.inverted": said(False, "radio", "receiver_inverted = no"),
    "receiver.half_duplex": said(False, "radio", "receiver_half_duplex = no"),
    "receiver.telemetry": said(True, "radio", "receiver_telemetry = yes"),
    "channels.order": said("TAER", "sticks", "channel_order = TAER"),
    "channels.low": said(988, "sticks", "pulse_low_us = 988"),
    "channels.centre": said(1500, "sticks", "pulse_centre_us = 1500"),
    "channels.high": said(2012, "sticks", "pulse_high_us = 2012"),
    "channels.live": said(
        (989, 1501, 1499, 1502, 1000, 1000, 1750, 1000),
        "sticks",
        "channels_now_us = 989 1501 1499 1502 1000 1000 1750 1000",
    ),
    **repeated(
        "switches",
        SWITCH,
        "modes",
        ("arm_channel = 5|arm_from_us = 1700|arm_to_us = 2100", "arm", 5, 1700, 2100),
        ("level_channel = 6|level_from_us = 900|level_to_us = 1300", "level", 6, 900, 1300),
        ("beeper_channel = 7|beeper_from_us = 1650|beeper_to_us = 2050", "beeper", 7, 1650, 2050),
        ("turtle_channel = 8|turtle_from_us = 1725|turtle_to_us = 2075", "turtle", 8, 1725, 2075),
    ),
    **repeated(
        "ports",
        PORT,
        "uarts",
        ("uart1_function = console|uart1_baud = 115200", "uart1", ("console",), 115200),
        ("uart2_function = receiver|uart2_baud = 420000", "uart2", ("receiver",), 420000),
        ("uart3_function = gps|uart3_baud = 38400", "uart3", ("positioning",), 38400),
        ("uart4_function = vtx_control|uart4_baud = 9600", "uart4", ("video-control",), 9600),
        ("uart5_function = esc_telemetry|uart5_baud = 115200", "uart5", ("esc-telemetry",), 115200),
        ("uart6_function = none", "uart6", ("unused",)),
    ),
    "overlay.enabled": said(True, "osd", "osd_enabled = yes"),
    "overlay.system": said("pal", "osd", "osd_video_system = PAL"),
    "overlay.columns": said(30, "osd", "osd_columns = 30"),
    "overlay.rows": said(16, "osd", "osd_rows = 16"),
    **repeated(
        "overlay.elements",
        ELEMENT,
        "osd",
        ("battery_column = 2|battery_row = 14|battery_visible = yes", "battery", 2, 14, True),
        ("timer_column = 23|timer_row = 13|timer_visible = yes", "timer", 23, 13, True),
        ("link_quality_column = 24|link_quality_row = 1|link_quality_visible = no", "link-quality", 24, 1, False),
        ("horizon_column = 9|horizon_row = 3|horizon_visible = yes", "horizon", 9, 3, True),
    ),
    "video.link": said("analog", "vtx", "video_link = analog"),
    "video.band": said("R", "vtx", "vtx_band = R"),
    "video.channel": said(5, "vtx", "vtx_channel = 5"),
    "video.frequency_mhz": said(5806, "vtx", "vtx_frequency_mhz = 5806"),
    "video.power_mw": said(200.0, "vtx", "vtx_power_mw = 200"),
    "battery.cells": said(4, "battery", "cell_count = 4"),
    "battery.volts": said(15.92, "battery", "pack_voltage_v = 15.92"),
    "battery.scale": said(11.2, "battery", "voltage_divider_ratio = 11.2"),
    "battery.cell_low": said(3.3, "battery", "cell_low_v = 3.30"),
    "battery.cell_warn": said(3.5, "battery", "cell_warning_v = 3.50"),
    "battery.cell_full": said(4.2, "battery", "cell_full_v = 4.20"),
    "motors.protocol": said("dshot300", "motors", "motor_protocol = DShot300"),
    "motors.bidirectional": said(True, "motors", "bidirectional = yes"),
    "motors.poles": said(12, "motors", "bell_magnets = 12"),
    "motors.idle_percent": said(5.5, "motors", "idle_percent = 5.5"),
    "motors.reversed": said(True, "motors", "motors_reversed = yes"),
    "motors.loop_hz": said(4000, "tuning", "control_loop_hz = 4000"),
    "failsafe.action": said("land", "failsafe", "failsafe_action = land"),
    "failsafe.delay_s": said(1.5, "failsafe", "failsafe_delay_s = 1.5"),
    "failsafe.throttle_us": said(1270, "failsafe", "failsafe_throttle_us = 1270"),
    "sensors.gyro": said("found", "health", "gyro = found"),
    "sensors.accelerometer": said("found", "health", "accelerometer = found"),
    "sensors.barometer": said("missing", "health", "barometer = missing"),
    "arming.blocks": said(
        ("no-receiver-link", "not-level"), "health", "arming_blocked_by = no receiver link, not level"
    ),
    "logger.device": said("flash", "logging", "log_device = flash"),
    "logger.free_bytes": said(12582912, "logging", "log_free_bytes = 12582912"),
}

_HARMS = {
    "put": Harm(
        "changed", "about", "aircraft_name = Paper Heron", "aircraft_name = Reed", sample="put aircraft_name Reed"
    ),
    "store": Harm("settings kept", "about", "times_stored = 18", "times_stored = 19"),
    "restart": Harm("starting again", "about", "times_started = 212", "times_started = 213"),
    "loader": Harm("waiting for firmware"),
    "spin": Harm("turning", "motors", "motor1_output_percent = 0", "motor1_output_percent = 8", sample="spin 1 8"),
    "trim": Harm("level taken", "health", "level_trim_deg = 1.4", "level_trim_deg = 0.0"),
    "wipe": Harm("settings of the factory", "sticks", "pulse_low_us = 988", "pulse_low_us = 1000"),
}


class Tessock(StatingConsole):
    """Every subject has a word; a key that repeats (ports, switches, elements) begins with what it is about."""

    name = "tessock"
    kinds = ("snake keys with = in pages by subject", "units in keys", "records by keys with a common beginning")
    banner = "\nTessock 4.7.2, type help\n"
    prompt = "tk> "
    error = "{line}: no such word, type help"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
