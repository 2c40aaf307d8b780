"""Tolvane: one listing of snake_case names, in groups, with units and choices in comments. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_HELP = """\
Commands:
  help      this list
  version   firmware and board
  config    list all settings, by group
  state     measured values, and why arming is refused
  timing    processor time of each task
  put       change a setting (put name value)
  store     write the settings to flash
  factory   put every setting back to its default
  restart   start the board again
  loader    enter the boot loader
  spin      turn one motor (spin number percent)
  trimacc   calibrate the accelerometer
"""

_VERSION = """\
firmware = Tolvane
version = 3.4.1
build_date = 2031-04-17
compiler = 13.2
board = TV405 Mini
serial_number = 0042-7F19-A3
config_revision = 12
boot_count = 318
"""

_CONFIG = """\
# craft
aircraft_name = Second Wind
pilot_id = 7

# receiver
rx_type = serial              # serial, ppm, pwm, none
rx_protocol = crsf
rx_port = uart2
rx_inverted = off
rx_half_duplex = off
rx_telemetry = on
rx_smoothing = 25             # percent

# channels
channel_order = TAER
channel_min = 990             # us
channel_mid = 1500            # us
channel_max = 2012            # us
channel_deadband = 6          # us

# failsafe
failsafe_action = drop        # drop, hold, land
failsafe_time = 0.4           # s
failsafe_throttle = 1005      # us
failsafe_beeps = 3

# serial ports
uart1_function = gps
uart1_baud = 57600
uart2_function = receiver
uart2_baud = 420000
uart3_function = vtx_control
uart3_baud = 9600
uart4_function = unused
uart4_baud = 115200
console_timeout = 600         # s

# switches (range in us)
switch_arm_channel = 5
switch_arm_min = 1700
switch_arm_max = 2100
switch_level_channel = 6
switch_level_min = 900
switch_level_max = 1300
switch_beeper_channel = 8
switch_beeper_min = 1600
switch_beeper_max = 2050

# osd (elements: column, row, on/off)
osd_enabled = on
osd_video_system = pal        # auto, pal, ntsc
osd_columns = 30
osd_rows = 16
osd_font = 2
osd_brightness = 80           # percent
osd_element_battery = 1, 14, on
osd_element_timer = 23, 14, on
osd_element_craft_name = 10, 1, off
osd_element_warnings = 9, 10, on

# video transmitter
video_band = F
video_channel = 4
video_frequency = 5800        # MHz
video_output_power = 200      # mW
video_pit_mode = off

# battery
battery_cells = 4
battery_divider = 10.9        # ratio of the voltage divider
battery_capacity = 1300       # mAh
battery_cell_min = 3.30       # V
battery_cell_warning = 3.50   # V
battery_cell_max = 4.25       # V
current_sensor_scale = 250

# motors
motor_protocol = dshot600
motor_bidirectional = on
motor_magnets = 14
motor_idle = 5.5              # percent
motor_reversed = off
motor_kv = 1950

# control
loop_rate = 4000              # Hz
gyro_filter = 120             # Hz
d_filter = 85                 # Hz
gain_roll_p = 44
gain_roll_i = 78
gain_roll_d = 30
gain_pitch_p = 47
gain_pitch_i = 82
gain_pitch_d = 33
gain_yaw_p = 40
gain_yaw_i = 80
max_tilt = 55                 # degrees

# log
log_device = flash            # none, flash, card
log_rate = 1000               # Hz

# light
led_colour = amber
led_count = 8
"""

_STATE = """\
uptime = 95                   # s
battery_voltage = 15.92       # V
supply_5v = 5.04              # V
current = 0.6                 # A
used = 12                     # mAh
cpu_temperature = 43          # C
cpu_load = 27                 # percent
gyro = found
accelerometer = found
barometer = missing
acc_offset = 14
channels_now = 1500, 1502, 991, 1498, 1000, 1000, 1500, 1000    # us
frames_lost = 4
log_free = 14680064           # bytes
motor_output = 0              # percent
arming_blocked_by = throttle_not_low, usb_connected
"""

_TIMING = """\
# task, average us, longest us
gyro    11   19
pid     24   38
rx       5   21
osd     32   70
log     14   55
"""

_STATED = {
    "firmware.name": said("Tolvane", "version", "firmware = Tolvane"),
    "firmware.version": said("3.4.1", "version", "version = 3.4.1"),
    "firmware.built": said("2031-04-17", "version", "build_date = 2031-04-17"),
    "board.name": said("TV405 Mini", "version", "board = TV405 Mini"),
    "board.serial": said("0042-7F19-A3", "version", "serial_number = 0042-7F19-A3"),
    "craft.name": said("Second Wind", "config", "aircraft_name = Second Wind"),
    "receiver.kind": said("serial", "config", "rx_type = serial              # serial, ppm, pwm, none"),
    "receiver.protocol": said("crsf", "config", "rx_protocol = crsf"),
    "receiver.port": said("uart2", "config", "rx_port = uart2"),
    "receiver.inverted": said(False, "config", "rx_inverted = off"),
    "receiver.half_duplex": said(False, "config", "rx_half_duplex = off"),
    "receiver.telemetry": said(True, "config", "rx_telemetry = on"),
    "channels.order": said("TAER", "config", "channel_order = TAER"),
    "channels.low": said(990, "config", "channel_min = 990             # us"),
    "channels.centre": said(1500, "config", "channel_mid = 1500            # us"),
    "channels.high": said(2012, "config", "channel_max = 2012            # us"),
    "channels.live": said(
        (1500, 1502, 991, 1498, 1000, 1000, 1500, 1000),
        "state",
        "channels_now = 1500, 1502, 991, 1498, 1000, 1000, 1500, 1000    # us",
    ),
    "failsafe.action": said("drop", "config", "failsafe_action = drop        # drop, hold, land"),
    "failsafe.delay_s": said(0.4, "config", "failsafe_time = 0.4           # s"),
    "failsafe.throttle_us": said(1005, "config", "failsafe_throttle = 1005      # us"),
    "ports[0].id": said("uart1", "config", "uart1_function = gps"),
    "ports[0].roles": said(("positioning",), "config", "uart1_function = gps"),
    "ports[0].baud": said(57600, "config", "uart1_baud = 57600"),
    "ports[1].id": said("uart2", "config", "uart2_function = receiver"),
    "ports[1].roles": said(("receiver",), "config", "uart2_function = receiver"),
    "ports[1].baud": said(420000, "config", "uart2_baud = 420000"),
    "ports[2].id": said("uart3", "config", "uart3_function = vtx_control"),
    "ports[2].roles": said(("video-control",), "config", "uart3_function = vtx_control"),
    "ports[2].baud": said(9600, "config", "uart3_baud = 9600"),
    "ports[3].id": said("uart4", "config", "uart4_function = unused"),
    "ports[3].roles": said(("unused",), "config", "uart4_function = unused"),
    "ports[3].baud": said(115200, "config", "uart4_baud = 115200"),
    "switches[0].function": said("arm", "config", "switch_arm_channel = 5"),
    "switches[0].channel": said(5, "config", "switch_arm_channel = 5"),
    "switches[0].from_us": said(1700, "config", "switch_arm_min = 1700"),
    "switches[0].to_us": said(2100, "config", "switch_arm_max = 2100"),
    "switches[1].function": said("level", "config", "switch_level_channel = 6"),
    "switches[1].channel": said(6, "config", "switch_level_channel = 6"),
    "switches[1].from_us": said(900, "config", "switch_level_min = 900"),
    "switches[1].to_us": said(1300, "config", "switch_level_max = 1300"),
    "switches[2].function": said("beeper", "config", "switch_beeper_channel = 8"),
    "switches[2].channel": said(8, "config", "switch_beeper_channel = 8"),
    "switches[2].from_us": said(1600, "config", "switch_beeper_min = 1600"),
    "switches[2].to_us": said(2050, "config", "switch_beeper_max = 2050"),
    "overlay.enabled": said(True, "config", "osd_enabled = on"),
    "overlay.system": said("pal", "config", "osd_video_system = pal        # auto, pal, ntsc"),
    "overlay.columns": said(30, "config", "osd_columns = 30"),
    "overlay.rows": said(16, "config", "osd_rows = 16"),
    "overlay.elements[0].name": said("battery", "config", "osd_element_battery = 1, 14, on"),
    "overlay.elements[0].column": said(1, "config", "osd_element_battery = 1, 14, on"),
    "overlay.elements[0].row": said(14, "config", "osd_element_battery = 1, 14, on"),
    "overlay.elements[0].shown": said(True, "config", "osd_element_battery = 1, 14, on"),
    "overlay.elements[1].name": said("timer", "config", "osd_element_timer = 23, 14, on"),
    "overlay.elements[1].column": said(23, "config", "osd_element_timer = 23, 14, on"),
    "overlay.elements[1].row": said(14, "config", "osd_element_timer = 23, 14, on"),
    "overlay.elements[1].shown": said(True, "config", "osd_element_timer = 23, 14, on"),
    "overlay.elements[2].name": said("craft-name", "config", "osd_element_craft_name = 10, 1, off"),
    "overlay.elements[2].column": said(10, "config", "osd_element_craft_name = 10, 1, off"),
    "overlay.elements[2].row": said(1, "config", "osd_element_craft_name = 10, 1, off"),
    "overlay.elements[2].shown": said(False, "config", "osd_element_craft_name = 10, 1, off"),
    "overlay.elements[3].name": said("warnings", "config", "osd_element_warnings = 9, 10, on"),
    "overlay.elements[3].column": said(9, "config", "osd_element_warnings = 9, 10, on"),
    "overlay.elements[3].row": said(10, "config", "osd_element_warnings = 9, 10, on"),
    "overlay.elements[3].shown": said(True, "config", "osd_element_warnings = 9, 10, on"),
    "video.band": said("F", "config", "video_band = F"),
    "video.channel": said(4, "config", "video_channel = 4"),
    "video.frequency_mhz": said(5800, "config", "video_frequency = 5800        # MHz"),
    "video.power_mw": said(200.0, "config", "video_output_power = 200      # mW"),
    "battery.cells": said(4, "config", "battery_cells = 4"),
    "battery.scale": said(10.9, "config", "battery_divider = 10.9        # ratio of the voltage divider"),
    "battery.cell_low": said(3.3, "config", "battery_cell_min = 3.30       # V"),
    "battery.cell_warn": said(3.5, "config", "battery_cell_warning = 3.50   # V"),
    "battery.cell_full": said(4.25, "config", "battery_cell_max = 4.25       # V"),
    "battery.volts": said(15.92, "state", "battery_voltage = 15.92       # V"),
    "motors.protocol": said("dshot600", "config", "motor_protocol = dshot600"),
    "motors.bidirectional": said(True, "config", "motor_bidirectional = on"),
    "motors.poles": said(14, "config", "motor_magnets = 14"),
    "motors.idle_percent": said(5.5, "config", "motor_idle = 5.5              # percent"),
    "motors.reversed": said(False, "config", "motor_reversed = off"),
    "motors.loop_hz": said(4000, "config", "loop_rate = 4000              # Hz"),
    "sensors.gyro": said("found", "state", "gyro = found"),
    "sensors.accelerometer": said("found", "state", "accelerometer = found"),
    "sensors.barometer": said("missing", "state", "barometer = missing"),
    "logger.device": said("flash", "config", "log_device = flash            # none, flash, card"),
    "logger.free_bytes": said(14680064, "state", "log_free = 14680064           # bytes"),
    "arming.blocks": said(
        ("throttle-not-low", "usb-connected"), "state", "arming_blocked_by = throttle_not_low, usb_connected"
    ),
}

_HARMS = {
    "put": Harm("changed", "config", "led_count = 8", "led_count = 9", "put led_count 9"),
    "store": Harm("settings written", "version", "config_revision = 12", "config_revision = 13"),
    "factory": Harm("defaults loaded", "config", "aircraft_name = Second Wind", "aircraft_name = "),
    "restart": Harm("starting again", "version", "boot_count = 318", "boot_count = 319"),
    "loader": Harm("boot loader"),
    "spin": Harm("motor turns", "state", "motor_output = 0 ", "motor_output = 8 ", "spin 1 8"),
    "trimacc": Harm("calibrated", "state", "acc_offset = 14", "acc_offset = 0"),
}

_PAGES = {"help": _HELP, "version": _VERSION, "config": _CONFIG, "state": _STATE, "timing": _TIMING}


class Tolvane(StatingConsole):
    """A word for the listing of all settings, a few beside it for what is measured."""

    name = "tolvane"
    kinds = ("grouped name = value listing with comments", "help with descriptions")
    banner = "\nTolvane 3.4.1, type help\n"
    prompt = "tv> "
    error = "unknown command: {line}"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
