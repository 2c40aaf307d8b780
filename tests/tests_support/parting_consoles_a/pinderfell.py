"""Pinderfell: kebab-case listings with `=`, what it is and the unit in a remark behind the value. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.parting_consoles_a.marks import read_marks

_SHOWN = """\
--- ?
?               list the commands
get-info        print firmware, board and craft
get-settings    print all settings
get-status      print live readings and sensors
save-settings   write the settings to flash
reboot          restart the board
load-defaults   reset all settings to defaults
start-dfu       enter the bootloader
test-motors     spin the motors
calibrate-acc   calibrate the accelerometer
erase-log       delete the flight log
--- get-info
firmware-name = pinderfell       # name of the firmware @@ firmware.name='pinderfell'
firmware-version = 0.18.3 @@ firmware.version='0.18.3'
firmware-date = 2026-05-07       # build date @@ firmware.built='2026-05-07'
bootloader-version = 2.1
board-name = mullein h743 @@ board.name='mullein h743'
board-serial = mh7-55-20931      # serial number @@ board.serial='mh7-55-20931'
board-revision = 2
craft-name = grey lantern @@ craft.name='grey lantern'
craft-weight = 655               # g
save-count = 52
boot-count = 318
--- get-settings
# receiver
rx-type = serial                 # serial, spi, ppm or none @@ receiver.kind='serial'
rx-protocol = sbus @@ receiver.protocol='sbus'
rx-port = uart6 @@ receiver.port='uart6'
rx-inverted = on                 # signal inverted @@ receiver.inverted=True
rx-half-duplex = off @@ receiver.half_duplex=False
rx-telemetry = off               # telemetry back to the radio @@ receiver.telemetry=False
rx-smoothing = 35                # Hz
channel-order = TAER @@ channels.order='TAER'
channel-min = 1008               # us, default 1000 @@ channels.low=1008
channel-mid = 1497               # us, default 1500 @@ channels.centre=1497
channel-max = 1986               # us, default 2000 @@ channels.high=1986
channel-deadband = 6             # us
# failsafe
failsafe-action = hold           # drop, hold, land or return @@ failsafe.action='hold'
failsafe-delay = 700             # ms @@ failsafe.delay_s=0.7
failsafe-throttle = 1260         # us @@ failsafe.throttle_us=1260
failsafe-recovery = 900          # ms
# switches
switch-arm = 5 1690 2075         # channel, from us, to us @@ switch 0 ('arm', 5, 1690, 2075)
switch-level = 7 925 1290        # channel, from us, to us @@ switch 1 ('level', 7, 925, 1290)
switch-beeper = 9 1710 2065      # channel, from us, to us @@ switch 2 ('beeper', 9, 1710, 2065)
# serial ports
port-uart1 = telemetry 57600     # function, baud @@ port 0 ('uart1', ('telemetry',), 57600)
port-uart2 = gps 38400           # function, baud @@ port 1 ('uart2', ('positioning',), 38400)
port-uart3 = osd 115200          # function, baud @@ port 2 ('uart3', ('overlay-link',), 115200)
port-uart5 = unused              # function, baud @@ port 3 ('uart5', ('unused',))
port-uart6 = receiver 100000     # function, baud @@ port 4 ('uart6', ('receiver',), 100000)
i2c-speed = 800                  # kHz
# osd and video
osd-enabled = on @@ overlay.enabled=True
osd-system = digital             # auto, pal, ntsc or digital @@ overlay.system='digital'
osd-columns = 53 @@ overlay.columns=53
osd-rows = 20 @@ overlay.rows=20
osd-refresh = 30                 # Hz
osd-battery = 3 18 on            # column, row, visible @@ element 0 ('battery', 3, 18, True)
osd-timer = 46 18 on             # column, row, visible @@ element 1 ('timer', 46, 18, True)
osd-craft-name = 20 1 off        # column, row, visible @@ element 2 ('craft-name', 20, 1, False)
osd-warnings = 19 10 on          # column, row, visible @@ element 3 ('warnings', 19, 10, True)
video-link = digital             # analog or digital @@ video.link='digital'
video-frequency = 5770           # MHz @@ video.frequency_mhz=5770
video-power = 400                # mW @@ video.power_mw=400.0
video-power-max = 700            # mW
camera-tilt = 25                 # deg
# battery
battery-cells = 6 @@ battery.cells=6
battery-capacity = 1100          # mAh
cell-min = 3.25                  # V, lowest cell voltage @@ battery.cell_low=3.25
cell-warning = 3.45              # V @@ battery.cell_warn=3.45
cell-full = 4.18                 # V @@ battery.cell_full=4.18
voltage-divider = 11.2 @@ battery.scale=11.2
current-scale = 170              # mV/A
# motors
motor-protocol = dshot300 @@ motors.protocol='dshot300'
motor-bidirectional = on         # speed controllers send the motor speed @@ motors.bidirectional=True
motor-poles = 12                 # magnets @@ motors.poles=12
motor-idle = 4.4                 # % @@ motors.idle_percent=4.4
motor-reversed = off @@ motors.reversed=False
motor-kv = 2550                  # rpm/V
loop-rate = 4                    # kHz, control loop @@ motors.loop_hz=4000
gyro-rate = 8                    # kHz
# tuning
pid-roll = 39 70 26              # p, i, d
pid-pitch = 41 74 28             # p, i, d
pid-yaw = 33 68 0                # p, i, d
gyro-lowpass = 190               # Hz
dterm-lowpass = 88               # Hz
# log
log-device = card                # flash, card or none @@ logger.device='card'
log-rate = 500                   # Hz
led-color = amber
--- get-status
battery-voltage = 23.34          # V @@ battery.volts=23.34
supply-voltage = 5.06            # V
current = 0.42                   # A
gyro = found @@ sensors.gyro='found'
accelerometer = found @@ sensors.accelerometer='found'
barometer = found @@ sensors.barometer='found'
compass = missing
level-offset = 2.3               # deg
arming-blocked-by = usb-connected, throttle-not-low @@ arming.blocks=('usb-connected', 'throttle-not-low')
log-free = 7902068736            # bytes @@ logger.free_bytes=7902068736
log-count = 27                   # flights
motor-output = 0                 # %
cpu-load = 26                    # %
cpu-temperature = 47             # C
uptime = 112                     # s
"""

_PAGES, _STATED = read_marks(_SHOWN)

_HARMS = {
    "save-settings": Harm("ok, settings written", "get-info", "save-count = 52", "save-count = 53"),
    "reboot": Harm("ok, rebooting", "get-info", "boot-count = 318", "boot-count = 319"),
    "load-defaults": Harm("ok, defaults loaded", "get-info", "craft-name = grey lantern", "craft-name ="),
    "start-dfu": Harm("ok, bootloader"),
    "test-motors": Harm("ok, motors spinning", "get-status", "motor-output = 0", "motor-output = 8"),
    "calibrate-acc": Harm("ok, calibrated", "get-status", "level-offset = 2.3", "level-offset = 0.0"),
    "erase-log": Harm("ok, log erased", "get-status", "log-count = 27", "log-count = 0"),
}


class Pinderfell(StatingConsole):
    """Three listings; remarks behind `#` give units, fields and choices, lines of remarks alone part the listing."""

    name = "pinderfell"
    kinds = ("kebab-case keys with =", "units, fields and choices in trailing remarks", "help by ?", "no echo")
    echo = False
    banner = "pinderfell 0.18.3 (? for commands)\n"
    prompt = "pf> "
    error = "error: unknown command {line}"
    help_word = "?"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
