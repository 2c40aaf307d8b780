"""Harrowick: the settings in one listing of `key = value` under names in square brackets, a section a row. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.parting_consoles_a.marks import read_marks

_SHOWN = """\
--- help
Commands:
  help         this text
  info         what this controller is
  settings     print all settings
  state        print sensors, battery, arming and log
  store        write the settings to flash
  reboot       start the controller again
  factory      put all settings back to their defaults
  update       wait for new firmware over USB
  motor        run one motor: motor NUMBER PERCENT
  acc_cal      calibrate the accelerometer, craft on a level table
  log_erase    erase the flight log
--- info
[firmware] @@ head
name = harrowick @@ firmware.name='harrowick'
version = 3.4.0 @@ firmware.version='3.4.0'
build_date = 2026-05-21 @@ firmware.built='2026-05-21'
bootloader_version = 1.2

[board] @@ head
name = PLINTH F405 @@ board.name='PLINTH F405'
serial_number = PL4-00718 @@ board.serial='PL4-00718'
revision = 4

[counters]
saves = 26
reboots = 188
--- settings
[craft] @@ head
name = Wet Matches @@ craft.name='Wet Matches'
weight = 402 g

[receiver] @@ head
type = serial @@ receiver.kind='serial'
protocol = crsf @@ receiver.protocol='crsf'
port = uart2 @@ receiver.port='uart2'
inverted = off @@ receiver.inverted=False
half_duplex = off @@ receiver.half_duplex=False
telemetry = on @@ receiver.telemetry=True
telemetry_interval = 120 ms
smoothing = 35 Hz

[channels] @@ head
order = AETR @@ channels.order='AETR'
min = 988 us @@ channels.low=988
mid = 1500 us @@ channels.centre=1500
max = 2012 us @@ channels.high=2012
deadband = 3 us

[failsafe] @@ head
action = land @@ failsafe.action='land'
delay = 1.2 s @@ failsafe.delay_s=1.2
throttle = 1260 us @@ failsafe.throttle_us=1260
landing_time = 10 s

[switch arm] @@ head; switches[0].function='arm'
channel = 5 @@ switches[0].channel=5
min = 1700 us @@ switches[0].from_us=1700
max = 2100 us @@ switches[0].to_us=2100

[switch level] @@ head; switches[1].function='level'
channel = 6 @@ switches[1].channel=6
min = 900 us @@ switches[1].from_us=900
max = 1300 us @@ switches[1].to_us=1300

[switch beeper] @@ head; switches[2].function='beeper'
channel = 8 @@ switches[2].channel=8
min = 1650 us @@ switches[2].from_us=1650
max = 2050 us @@ switches[2].to_us=2050

[port uart1] @@ head; ports[0].id='uart1'
function = console @@ ports[0].roles=('console',)
baud = 115200 @@ ports[0].baud=115200

[port uart2] @@ head; ports[1].id='uart2'
function = receiver @@ ports[1].roles=('receiver',)
baud = 420000 @@ ports[1].baud=420000

[port uart3] @@ head; ports[2].id='uart3'
function = gps @@ ports[2].roles=('positioning',)
baud = 57600 @@ ports[2].baud=57600

[port uart6] @@ head; ports[3].id='uart6'
function = unused @@ ports[3].roles=('unused',)

[gps]
update_rate = 5 Hz
min_satellites = 8

[motors] @@ head
protocol = dshot600 @@ motors.protocol='dshot600'
bidirectional = on @@ motors.bidirectional=True
poles = 14 @@ motors.poles=14
idle = 5.5 % @@ motors.idle_percent=5.5
reversed = off @@ motors.reversed=False
kv = 1950
output_limit = 100 %

[control_loop] @@ head
rate = 4000 Hz @@ motors.loop_hz=4000

[gyro]
sample_rate = 8000 Hz
lowpass = 210 Hz

[pid_roll]
p = 44
i = 80
d = 31

[pid_pitch]
p = 46
i = 84
d = 34

[pid_yaw]
p = 45
i = 80
d = 0

[battery] @@ head
cells = 4 @@ battery.cells=4
cell_min_voltage = 3.30 V @@ battery.cell_low=3.3
cell_warning_voltage = 3.50 V @@ battery.cell_warn=3.5
cell_full_voltage = 4.20 V @@ battery.cell_full=4.2
voltage_divider = 11.0 @@ battery.scale=11.0
capacity = 1300 mAh
current_scale = 40 mV/A

[osd] @@ head
enabled = on @@ overlay.enabled=True
video_system = pal @@ overlay.system='pal'
columns = 30 @@ overlay.columns=30
rows = 16 @@ overlay.rows=16
brightness = 2

[osd_element battery] @@ head; overlay.elements[0].name='battery'
column = 2 @@ overlay.elements[0].column=2
row = 14 @@ overlay.elements[0].row=14
visible = on @@ overlay.elements[0].shown=True

[osd_element timer] @@ head; overlay.elements[1].name='timer'
column = 23 @@ overlay.elements[1].column=23
row = 14 @@ overlay.elements[1].row=14
visible = on @@ overlay.elements[1].shown=True

[osd_element altitude] @@ head; overlay.elements[2].name='altitude'
column = 23 @@ overlay.elements[2].column=23
row = 7 @@ overlay.elements[2].row=7
visible = off @@ overlay.elements[2].shown=False

[vtx] @@ head
video_link = analog @@ video.link='analog'
band = R @@ video.band='R'
channel = 4 @@ video.channel=4
frequency = 5769 MHz @@ video.frequency_mhz=5769
power = 200 mW @@ video.power_mw=200.0
pit_mode = off

[log] @@ head
device = flash @@ logger.device='flash'
rate = 1000 Hz

[led]
count = 8
colour = blue

[beeper]
volume = 3
--- state
[sensors] @@ head
gyro = found @@ sensors.gyro='found'
accelerometer = found @@ sensors.accelerometer='found'
barometer = found @@ sensors.barometer='found'
compass = missing
roll_angle = 0.7 deg

[battery] @@ head
voltage = 16.28 V @@ battery.volts=16.28
current = 0.35 A
used = 0 mAh

[supply]
voltage_5v = 5.02 V
voltage_9v = 9.11 V

[arming] @@ head
blocked_by = no receiver link, usb connected @@ arming.blocks=('no-receiver-link', 'usb-connected')

[motors]
output = 0 %

[log] @@ head
free = 12582912 bytes @@ logger.free_bytes=12582912
files = 7

[cpu]
load = 29 %
temperature = 42 C
uptime = 96 s
"""

_PAGES, _STATED = read_marks(_SHOWN)

_HARMS = {
    "store": Harm("Settings written.", "info", "saves = 26", "saves = 27"),
    "reboot": Harm("Rebooting.", "info", "reboots = 188", "reboots = 189"),
    "factory": Harm("Defaults loaded.", "settings", "name = Wet Matches", "name ="),
    "update": Harm("Waiting for firmware."),
    "motor": Harm("Motor 1 runs.", "state", "output = 0 %", "output = 6 %", sample="motor 1 6"),
    "acc_cal": Harm("Accelerometer calibrated.", "state", "roll_angle = 0.7 deg", "roll_angle = 0.0 deg"),
    "log_erase": Harm("Log erased.", "state", "files = 7", "files = 0"),
}


class Harrowick(StatingConsole):
    """A port, a switch and an element each have a section that is named after them."""

    name = "harrowick"
    kinds = ("one listing", "key = value in bracketed sections", "units in the value", "a section a row")
    banner = "harrowick 3.4.0, type help\n"
    prompt = "harrowick> "
    error = "unknown command: {line}"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
