"""Tolverne: one listing of slashed keys, units and choices in comments, a key for each field of a row. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.verdict_consoles_a.marked import marked

_SHOWN = """\
--- ?
list      print all settings and readings
tasks     print the run times
?         print this help
write     write the settings to flash
restart   restart the firmware
defaults  load the default settings
dfu       enter the bootloader
spin      run the motors
level     calibrate the accelerometer
logerase  erase the flight log
--- list
firmware/name = tolverne @@ firmware.name='tolverne'
firmware/version = 0.18.4 @@ firmware.version='0.18.4'
firmware/build_date = 2026-01-30 @@ firmware.built='2026-01-30'
bootloader/version = 2.0
board/name = MILKWORT F722 @@ board.name='MILKWORT F722'
board/serial_number = MW-7731-04 @@ board.serial='MW-7731-04'
board/revision = 2
craft/name = Plain Turnip @@ craft.name='Plain Turnip'
craft/weight = 391  # g
receiver/type = serial  # serial, ppm, pwm or none @@ receiver.kind='serial'
receiver/protocol = sbus @@ receiver.protocol='sbus'
receiver/port = uart3 @@ receiver.port='uart3'
receiver/inverted = yes @@ receiver.inverted=True
receiver/half_duplex = no @@ receiver.half_duplex=False
receiver/telemetry = no @@ receiver.telemetry=False
receiver/smoothing = 32  # Hz
channels/order = AETR @@ channels.order='AETR'
channels/min = 1004  # us @@ channels.low=1004
channels/center = 1503  # us @@ channels.centre=1503
channels/max = 1997  # us @@ channels.high=1997
channels/deadband = 5  # us
servo/center = 1515  # us
servo/rate = 50  # Hz
switch/arm/channel = 7 @@ switches[0].function='arm'; switches[0].channel=7
switch/arm/from = 1680  # us @@ switches[0].from_us=1680
switch/arm/to = 2070  # us @@ switches[0].to_us=2070
switch/level/channel = 5 @@ switches[1].function='level'; switches[1].channel=5
switch/level/from = 940  # us @@ switches[1].from_us=940
switch/level/to = 1310  # us @@ switches[1].to_us=1310
switch/beeper/channel = 6 @@ switches[2].function='beeper'; switches[2].channel=6
switch/beeper/from = 1640  # us @@ switches[2].from_us=1640
switch/beeper/to = 2050  # us @@ switches[2].to_us=2050
port/uart1/function = console @@ ports[0].id='uart1'; ports[0].roles=('console',)
port/uart1/baud = 115200 @@ ports[0].baud=115200
port/uart3/function = receiver @@ ports[1].id='uart3'; ports[1].roles=('receiver',)
port/uart3/baud = 100000 @@ ports[1].baud=100000
port/uart4/function = video_control @@ ports[2].id='uart4'; ports[2].roles=('video-control',)
port/uart4/baud = 9600 @@ ports[2].baud=9600
port/uart5/function = telemetry @@ ports[3].id='uart5'; ports[3].roles=('telemetry',)
port/uart5/baud = 57600 @@ ports[3].baud=57600
port/uart6/function = unused @@ ports[4].id='uart6'; ports[4].roles=('unused',)
i2c/clock = 400  # kHz
failsafe/action = drop  # drop, hold, land or return @@ failsafe.action='drop'
failsafe/delay = 650  # ms @@ failsafe.delay_s=0.65
failsafe/throttle = 1010  # us @@ failsafe.throttle_us=1010
failsafe/recovery = 300  # ms
osd/enabled = yes @@ overlay.enabled=True
osd/system = ntsc  # auto, pal or ntsc @@ overlay.system='ntsc'
osd/columns = 30 @@ overlay.columns=30
osd/rows = 13 @@ overlay.rows=13
osd/brightness = 4
osd/element/battery/column = 1 @@ overlay.elements[0].name='battery'; overlay.elements[0].column=1
osd/element/battery/row = 11 @@ overlay.elements[0].row=11
osd/element/battery/visible = yes @@ overlay.elements[0].shown=True
osd/element/timer/column = 23 @@ overlay.elements[1].name='timer'; overlay.elements[1].column=23
osd/element/timer/row = 10 @@ overlay.elements[1].row=10
osd/element/timer/visible = yes @@ overlay.elements[1].shown=True
osd/element/horizon/column = 8 @@ overlay.elements[2].name='horizon'; overlay.elements[2].column=8
osd/element/horizon/row = 6 @@ overlay.elements[2].row=6
osd/element/horizon/visible = no @@ overlay.elements[2].shown=False
video/link = analog @@ video.link='analog'
video/band = F @@ video.band='F'
video/channel = 2 @@ video.channel=2
video/frequency = 5760  # MHz @@ video.frequency_mhz=5760
video/power = 25  # mW @@ video.power_mw=25.0
video/power_limit = 400  # mW
video/pit_mode = off
camera/tilt = 28  # deg
battery/cells = 4 @@ battery.cells=4
battery/voltage = 15.48  # V @@ battery.volts=15.48
battery/current = 0.37  # A
battery/capacity = 1550  # mAh
battery/used = 0  # mAh
battery/divider = 10.9  # voltage divider ratio @@ battery.scale=10.9
battery/current_scale = 250  # mV/A
cell/min = 3.30  # V @@ battery.cell_low=3.3
cell/warning = 3.52  # V @@ battery.cell_warn=3.52
cell/full = 4.18  # V @@ battery.cell_full=4.18
supply/voltage = 5.02  # V
motor/protocol = dshot300 @@ motors.protocol='dshot300'
motor/bidirectional = no @@ motors.bidirectional=False
motor/poles = 12 @@ motors.poles=12
motor/idle = 6.5  # % @@ motors.idle_percent=6.5
motor/reversed = yes @@ motors.reversed=True
motor/kv = 2450  # rpm/V
motor/output = 0  # %
loop/rate = 4000  # Hz @@ motors.loop_hz=4000
gyro/rate = 8000  # Hz
gyro/lowpass = 220  # Hz
dterm/lowpass = 90  # Hz
pid/roll/p = 41
pid/roll/i = 72
pid/roll/d = 27
pid/pitch/p = 43
pid/pitch/i = 75
pid/pitch/d = 29
pid/yaw/p = 36
pid/yaw/i = 70
sensor/gyro = found @@ sensors.gyro='found'
sensor/accelerometer = found @@ sensors.accelerometer='found'
sensor/barometer = missing @@ sensors.barometer='missing'
sensor/compass = missing
level/offset = 0.8  # deg
arming/blocked_by = usb_connected, not_level @@ arming.blocks=('usb-connected', 'not-level')
log/device = flash @@ logger.device='flash'
log/free = 4194304  # bytes @@ logger.free_bytes=4194304
log/rate = 500  # Hz
log/flights = 14
count/writes = 36
count/restarts = 228
cpu/load = 33  # %
cpu/temperature = 49  # C
--- tasks
task/gyro = 12  # us
task/loop = 51  # us
task/receiver = 17  # us
"""

_PAGES, _STATED = marked(_SHOWN)

_HARMS = {
    "write": Harm("written", "list", "count/writes = 36", "count/writes = 37"),
    "restart": Harm("restarting", "list", "count/restarts = 228", "count/restarts = 229"),
    "defaults": Harm("defaults loaded", "list", "craft/name = Plain Turnip", "craft/name ="),
    "dfu": Harm("bootloader"),
    "spin": Harm("motors running", "list", "motor/output = 0 ", "motor/output = 8 "),
    "level": Harm("calibrated", "list", "level/offset = 0.8", "level/offset = 0.0"),
    "logerase": Harm("erased", "list", "log/flights = 14", "log/flights = 0"),
}


class Tolverne(StatingConsole):
    """Everything stands in one listing; units are comments."""

    name = "tolverne"
    kinds = ("one listing of slashed keys", "units and choices in comments", "keys per port, switch and element")
    banner = "tolverne ready\n"
    newline = "\n"
    prompt = "$ "
    error = "unknown command {line}, ? for help"
    help_word = "?"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
