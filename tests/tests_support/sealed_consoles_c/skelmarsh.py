"""Skelmarsh: `show` and a subject, kebab keys with blanks before the value, ranges in brackets behind it. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.parting_consoles_a.marks import read_marks

_SHOWN = """\
--- help
help              list the commands
show info         show firmware, board and craft
show receiver     show receiver and channels
show switches     show the mode switches
show ports        show the serial ports
show osd          show the OSD layout
show vtx          show the video transmitter
show battery      show battery settings and voltage
show motors       show motors and control loop
show failsafe     show the failsafe
show status       show sensors, arming and log
show tuning       show gains and filters
save              save the settings to flash
reboot            restart the board
reset-defaults    reset all settings to defaults
enter-loader      start the bootloader
spin-motor        run one motor for a test
calibrate-level   calibrate the accelerometer
erase-log         erase the flight log
--- show info
firmware-name        skelmarsh @@ firmware.name='skelmarsh'
firmware-version     3.2.11 @@ firmware.version='3.2.11'
build-date           2026-04-22 @@ firmware.built='2026-04-22'
loader-version       1.0
board-name           YARROW F411 @@ board.name='YARROW F411'
board-revision       b2
board-serial         YF4-20088 @@ board.serial='YF4-20088'
craft-name           Mild Hornet @@ craft.name='Mild Hornet'
craft-weight         244 g
save-count           31
boot-count           162
--- show receiver
receiver-type        serial @@ receiver.kind='serial'
receiver-protocol    crsf @@ receiver.protocol='crsf'
receiver-port        uart3 @@ receiver.port='uart3'
receiver-inverted    off @@ receiver.inverted=False
half-duplex          off @@ receiver.half_duplex=False
telemetry            on @@ receiver.telemetry=True
telemetry-interval   120 ms      [50..1000]
packet-rate          150 Hz
channel-order        AETR @@ channels.order='AETR'
channel-min          1007 us     [800..1200] @@ channels.low=1007
channel-mid          1501 us     [1400..1600] @@ channels.centre=1501
channel-max          1996 us     [1800..2200] @@ channels.high=1996
channel-deadband     4 us        [0..30]
servo-mid            1525 us     [1400..1600]
servo-rate           50 Hz       [50..330]
--- show switches
arm                  ch 5   1720..2090 us @@ switch 0 ('arm', 5, 1720, 2090)
level                ch 6   910..1320 us @@ switch 1 ('level', 6, 910, 1320)
beeper               ch 8   1680..2060 us @@ switch 2 ('beeper', 8, 1680, 2060)
turtle               ch 7   1640..2050 us @@ switch 3 ('turtle', 7, 1640, 2050)
--- show ports
uart1                console          115200 baud @@ port 0 ('uart1', ('console',), 115200)
uart2                gps              38400 baud @@ port 1 ('uart2', ('positioning',), 38400)
uart3                receiver         420000 baud @@ port 2 ('uart3', ('receiver',), 420000)
uart4                video-control    9600 baud @@ port 3 ('uart4', ('video-control',), 9600)
uart5                esc-telemetry    115200 baud @@ port 4 ('uart5', ('esc-telemetry',), 115200)
uart6                unused @@ port 5 ('uart6', ('unused',))
i2c-clock            400 kHz
--- show osd
osd-enabled          on @@ overlay.enabled=True
osd-system           ntsc @@ overlay.system='ntsc'
osd-columns          30 @@ overlay.columns=30
osd-rows             13 @@ overlay.rows=13
osd-refresh          30 Hz
osd-brightness       3           [0..7]
element-battery      col 2    row 11   visible @@ element 0 ('battery', 2, 11, True)
element-timer        col 23   row 11   visible @@ element 1 ('timer', 23, 11, True)
element-craft-name   col 10   row 1    hidden @@ element 2 ('craft-name', 10, 1, False)
element-warnings     col 9    row 8    visible @@ element 3 ('warnings', 9, 8, True)
--- show vtx
video-link           analog @@ video.link='analog'
vtx-band             A @@ video.band='A'
vtx-channel          3           [1..8] @@ video.channel=3
vtx-frequency        5825 MHz @@ video.frequency_mhz=5825
vtx-power            25 mW @@ video.power_mw=25.0
vtx-power-max        400 mW
vtx-temperature      37 C
--- show battery
battery-cells        4           [1..8] @@ battery.cells=4
battery-voltage      15.74 V @@ battery.volts=15.74
voltage-divider      11.2 @@ battery.scale=11.2
cell-min             3.25 V      [2.80..3.60] @@ battery.cell_low=3.25
cell-warning         3.48 V      [3.00..3.80] @@ battery.cell_warn=3.48
cell-full            4.22 V      [4.00..4.40] @@ battery.cell_full=4.22
battery-capacity     1500 mAh
battery-current      0.41 A
used-capacity        3 mAh
supply-voltage       5.02 V
--- show motors
motor-protocol       dshot300 @@ motors.protocol='dshot300'
dshot-bidirectional  on @@ motors.bidirectional=True
motor-poles          12          [4..48] @@ motors.poles=12
motor-idle           4.5 %       [0..15] @@ motors.idle_percent=4.5
motors-reversed      on @@ motors.reversed=True
motor-kv             2750 rpm/V
motor-output         0 %
loop-rate            4000 Hz @@ motors.loop_hz=4000
gyro-rate            8000 Hz
--- show failsafe
failsafe-action      drop        [drop, hold, land, return] @@ failsafe.action='drop'
failsafe-delay       0.4 s       [0.1..5.0] @@ failsafe.delay_s=0.4
failsafe-throttle    1010 us     [900..1500] @@ failsafe.throttle_us=1010
recovery-delay       1.5 s
--- show status
gyro                 found @@ sensors.gyro='found'
accelerometer        found @@ sensors.accelerometer='found'
barometer            missing @@ sensors.barometer='missing'
compass              missing
arming-blocked-by    usb-connected, throttle-not-low @@ arming.blocks=('usb-connected', 'throttle-not-low')
log-device           flash @@ logger.device='flash'
log-free             6291456 bytes @@ logger.free_bytes=6291456
log-rate             1000 Hz
log-files            11
level-error          1.8 deg
cpu-load             33 %
cpu-temperature      44 C
uptime               127 s
--- show tuning
roll-gains           41 74 28
pitch-gains          44 79 31
yaw-gains            37 72 0
gyro-lowpass         210 Hz
dterm-lowpass        98 Hz
"""

_PAGES, _STATED = read_marks(_SHOWN)

_HARMS = {
    "save": Harm("saved", "show info", "save-count           31", "save-count           32"),
    "reboot": Harm("restarting", "show info", "boot-count           162", "boot-count           163"),
    "reset-defaults": Harm("defaults loaded", "show info", "Mild Hornet", "-"),
    "enter-loader": Harm("loader 1.0 ready"),
    "spin-motor": Harm(
        "spinning", "show motors", "motor-output         0 %", "motor-output         6 %", sample="spin-motor 2"
    ),
    "calibrate-level": Harm("calibrated", "show status", "1.8 deg", "0.0 deg"),
    "erase-log": Harm("erased", "show status", "log-files            11", "log-files            0"),
}


class Skelmarsh(StatingConsole):
    """Each page is asked for by two words; a value is followed by its unit and by the range that it may have."""

    name = "skelmarsh"
    kinds = ("two words for a page", "kebab-case keys with blanks", "unit and range behind the value")
    banner = "skelmarsh 3.2.11\n"
    prompt = "skelmarsh> "
    error = "unknown command: {line} (try help)"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
