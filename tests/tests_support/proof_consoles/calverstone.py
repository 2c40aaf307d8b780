"""Calverstone: a word a subject, labels with a colon and the values in a column, small tables for rows. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.parting_consoles_a.marks import read_marks

_SHOWN = """\
--- ?
?          Show this list
version    Show firmware, board and craft
radio      Show the receiver and the channels
modes      Show the switches
uarts      Show the serial ports
display    Show the OSD
vtx        Show the video transmitter
power      Show the battery
motors     Show the motors and the control loop
lost       Show the failsafe
check      Show sensors and arming blocks
log        Show the flight log
tune       Show PID gains and filters
system     Show load, supply and counters
write      Save the settings
restart    Reboot the flight controller
default    Reset all settings to defaults
boot       Enter the bootloader
spin       Spin the motors (remove the propellers first)
level      Calibrate the accelerometer
wipe       Erase the flight log
--- version
Firmware:                 Calverstone @@ firmware.name='Calverstone'
Firmware version:         1.9.3 @@ firmware.version='1.9.3'
Built on:                 2026-02-11 @@ firmware.built='2026-02-11'
Bootloader version:       2.0
Board:                    GANTRY H743 @@ board.name='GANTRY H743'
Board serial number:      GH7-0419-22 @@ board.serial='GH7-0419-22'
Board revision:           C
Craft name:               Dusty Corner @@ craft.name='Dusty Corner'
All-up weight:            655 g
--- radio
Receiver type:            serial @@ receiver.kind='serial'
Receiver protocol:        SBUS @@ receiver.protocol='sbus'
Receiver UART:            UART4 @@ receiver.port='UART4'
Signal inverted:          yes @@ receiver.inverted=True
Half duplex:              no @@ receiver.half_duplex=False
Telemetry:                disabled @@ receiver.telemetry=False
Failed frames:            12
Channel order:            TAER @@ channels.order='TAER'
Channel minimum:          1005 us @@ channels.low=1005
Channel centre:           1502 us @@ channels.centre=1502
Channel maximum:          1994 us @@ channels.high=1994
Stick deadband:           6 us
Stick smoothing:          25 Hz
Servo centre:             1520 us
--- modes
Function    Channel    From       To
Arm         7          1680 us    2090 us @@ switch 0 ('arm', 7, 1680, 2090)
Level       5          910 us     1320 us @@ switch 1 ('level', 5, 910, 1320)
Turtle      9          1720 us    2080 us @@ switch 2 ('turtle', 9, 1720, 2080)
Beeper      8          1660 us    2040 us @@ switch 3 ('beeper', 8, 1660, 2040)
--- uarts
Port     Function         Baud      Errors
UART1    Console          115200    0 @@ port 0 ('UART1', ('console',), 115200)
UART2    ESC telemetry    38400     4 @@ port 1 ('UART2', ('esc-telemetry',), 38400)
UART3    Unused           -         - @@ port 2 ('UART3', ('unused',))
UART4    Receiver         100000    1 @@ port 3 ('UART4', ('receiver',), 100000)
UART6    OSD              230400    0 @@ port 4 ('UART6', ('overlay-link',), 230400)
--- display
OSD:                      enabled @@ overlay.enabled=True
Video system:             digital @@ overlay.system='digital'
Columns:                  53 @@ overlay.columns=53
Rows:                     20 @@ overlay.rows=20
Update rate:              10 Hz
Units:                    metric

Element         Column    Row    Visible
Battery         4         18     yes @@ element 0 ('battery', 4, 18, True)
Timer           44        18     yes @@ element 1 ('timer', 44, 18, True)
Link quality    4         1      yes @@ element 2 ('link-quality', 4, 1, True)
Craft name      21        1      no @@ element 3 ('craft-name', 21, 1, False)
Warnings        18        14     yes @@ element 4 ('warnings', 18, 14, True)
--- vtx
Video link:               digital @@ video.link='digital'
Frequency:                5805 MHz @@ video.frequency_mhz=5805
Output power:             400 mW @@ video.power_mw=400.0
Highest power allowed:    700 mW
Pit mode:                 no
VTX temperature:          54 C
--- power
Battery cells:            6 @@ battery.cells=6
Battery voltage:          23.46 V @@ battery.volts=23.46
Battery current:          0.62 A
Battery capacity:         1400 mAh
Cell minimum:             3.25 V @@ battery.cell_low=3.25
Cell warning:             3.55 V @@ battery.cell_warn=3.55
Cell full:                4.15 V @@ battery.cell_full=4.15
Voltage divider ratio:    20.9 @@ battery.scale=20.9
Current sensor offset:    12 mA
--- motors
Motor protocol:           DShot300 @@ motors.protocol='dshot300'
Bidirectional DShot:      enabled @@ motors.bidirectional=True
Magnets per motor:        12 @@ motors.poles=12
Motor idle:               6.5 % @@ motors.idle_percent=6.5
Motor direction:          reversed @@ motors.reversed=True
Motor KV:                 1750 rpm/V
Motor output now:         0 %
Control loop rate:        2 kHz @@ motors.loop_hz=2000
Gyro rate:                4 kHz
--- lost
Failsafe action:          drop @@ failsafe.action='drop'
Failsafe delay:           0.8 s @@ failsafe.delay_s=0.8
Failsafe throttle:        1005 us @@ failsafe.throttle_us=1005
Signal back for:          0.5 s
--- check
Gyro:                     found @@ sensors.gyro='found'
Accelerometer:            found @@ sensors.accelerometer='found'
Barometer:                not found @@ sensors.barometer='missing'
Compass:                  not found
Level error:              1.4 deg
Arming blocked by:        throttle not low, not level @@ arming.blocks=('throttle-not-low', 'not-level')
--- log
Log device:               card @@ logger.device='card'
Free space:               15804137472 bytes @@ logger.free_bytes=15804137472
Log rate:                 2000 Hz
Logs on the card:         19
--- tune
Roll P:                   49
Roll I:                   86
Roll D:                   35
Pitch P:                  52
Pitch I:                  90
Pitch D:                  38
Yaw P:                    48
Yaw I:                    86
Gyro lowpass:             240 Hz
D lowpass:                105 Hz
--- system
Processor load:           24 %
Processor temperature:    46 C
5 V supply:               5.06 V
Uptime:                   213 s
Settings saved:           58 times
Restarts:                 341
"""

_PAGES, _STATED = read_marks(_SHOWN)

_HARMS = {
    "write": Harm("Settings saved.", "system", "58 times", "59 times"),
    "restart": Harm("Restarting...", "system", "Restarts:                 341", "Restarts:                 342"),
    "default": Harm("Defaults set.", "version", "Craft name:               Dusty Corner", "Craft name:"),
    "boot": Harm("Bootloader 2.0 ready."),
    "spin": Harm("Motors spinning.", "motors", "Motor output now:         0 %", "Motor output now:         5 %"),
    "level": Harm("Done.", "check", "Level error:              1.4 deg", "Level error:              0.0 deg"),
    "wipe": Harm("Log erased.", "log", "Logs on the card:         19", "Logs on the card:         0"),
}


class Calverstone(StatingConsole):
    """What repeats stands in a table of its own, everything else on a line each."""

    name = "calverstone"
    kinds = ("a word a subject", "aligned values behind label and colon", "small tables with headers", "help by ?")
    banner = "\nCalverstone flight controller. ? for help.\n"
    prompt = "cmd> "
    error = "Unknown command: {line}. Type ? for help."
    help_word = "?"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
