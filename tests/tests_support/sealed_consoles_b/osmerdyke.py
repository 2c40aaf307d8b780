"""Osmerdyke: a menu by number, pages of `label : value unit` under a title, factory values behind some. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.verdict_consoles_a.marked import marked

_SHOWN = """\
--- 0
OSMERDYKE MAIN MENU

  1  About this flight controller
  2  Receiver and channels
  3  Mode switches
  4  Serial ports
  5  On-screen display
  6  Video transmitter
  7  Battery
  8  Motors
  9  Gains and filters
 10  Failsafe
 11  Status
 12  Flight log
 51  Save settings
 52  Restart
 53  Load factory settings
 54  Go to bootloader
 55  Spin motors
 56  Calibrate accelerometer
 57  Erase flight log
  0  This menu
--- 1
ABOUT THIS FLIGHT CONTROLLER
Firmware            : Osmerdyke @@ firmware.name='Osmerdyke'
Firmware version    : 5.0.7 @@ firmware.version='5.0.7'
Build date          : 2026-01-30 @@ firmware.built='2026-01-30'
Board               : BISTORT F411 @@ board.name='BISTORT F411'
Board serial number : BF4-66120 @@ board.serial='BF4-66120'
Board revision      : 1
Craft name          : Small Thunder @@ craft.name='Small Thunder'
Craft weight        : 98 g
Settings saved      : 14 times
Power-ups           : 96
--- 2
RECEIVER AND CHANNELS
Receiver type       : serial @@ receiver.kind='serial'
Receiver protocol   : IBUS @@ receiver.protocol='ibus'
Receiver port       : UART1 @@ receiver.port='UART1'
Receiver inverted   : no @@ receiver.inverted=False
Receiver half duplex: no @@ receiver.half_duplex=False
Receiver telemetry  : yes @@ receiver.telemetry=True
Telemetry interval  : 100 ms
Channel order       : AETR @@ channels.order='AETR'
Channel minimum     : 1006 us (factory 1000 us) @@ channels.low=1006
Channel centre      : 1502 us (factory 1500 us) @@ channels.centre=1502
Channel maximum     : 1989 us (factory 2000 us) @@ channels.high=1989
Stick deadband      : 5 us (factory 3 us)
Stick expo          : 0.20
Servo centre        : 1510 us
--- 3
MODE SWITCHES
Arm channel         : 5 @@ switches[0].function='arm'; switches[0].channel=5
Arm range           : 1715 to 2085 us @@ switches[0].from_us=1715; switches[0].to_us=2085
Level channel       : 6 @@ switches[1].function='level'; switches[1].channel=6
Level range         : 920 to 1325 us @@ switches[1].from_us=920; switches[1].to_us=1325
Turtle channel      : 8 @@ switches[2].function='turtle'; switches[2].channel=8
Turtle range        : 1735 to 2065 us @@ switches[2].from_us=1735; switches[2].to_us=2065
--- 4
SERIAL PORTS
UART1 function      : receiver @@ ports[0].id='UART1'; ports[0].roles=('receiver',)
UART1 baud rate     : 115200 baud @@ ports[0].baud=115200
UART2 function      : console @@ ports[1].id='UART2'; ports[1].roles=('console',)
UART2 baud rate     : 57600 baud @@ ports[1].baud=57600
UART3 function      : video control @@ ports[2].id='UART3'; ports[2].roles=('video-control',)
UART3 baud rate     : 9600 baud @@ ports[2].baud=9600
UART6 function      : unused @@ ports[3].id='UART6'; ports[3].roles=('unused',)
I2C clock           : 400 kHz
Framing errors      : 1
--- 5
ON-SCREEN DISPLAY
OSD                 : enabled @@ overlay.enabled=True
Video system        : NTSC @@ overlay.system='ntsc'
Columns             : 30 @@ overlay.columns=30
Rows                : 13 @@ overlay.rows=13
Refresh rate        : 20 Hz
Font                : 1
Battery             : column 2, row 11, shown @@ element 0 ('battery', 2, 11, True)
Timer               : column 23, row 11, shown @@ element 1 ('timer', 23, 11, True)
Warnings            : column 9, row 9, shown @@ element 2 ('warnings', 9, 9, True)
Horizon             : column 14, row 6, hidden @@ element 3 ('horizon', 14, 6, False)
--- 6
VIDEO TRANSMITTER
Video link          : analog @@ video.link='analog'
Band                : F @@ video.band='F'
Channel             : 2 @@ video.channel=2
Frequency           : 5760 MHz @@ video.frequency_mhz=5760
Output power        : 100 mW (factory 25 mW) @@ video.power_mw=100.0
Power limit         : 200 mW
Pit mode            : off
Temperature         : 37 C
--- 7
BATTERY
Battery cells       : 2 @@ battery.cells=2
Battery voltage     : 7.64 V @@ battery.volts=7.64
Cell minimum        : 3.20 V (factory 3.30 V) @@ battery.cell_low=3.2
Cell warning        : 3.45 V (factory 3.50 V) @@ battery.cell_warn=3.45
Cell full           : 4.33 V (factory 4.20 V) @@ battery.cell_full=4.33
Voltage divider     : 11.1 @@ battery.scale=11.1
Capacity            : 450 mAh
Current             : 0.19 A
Current scale       : 42 mV/A
Regulator voltage   : 5.02 V
--- 8
MOTORS
Motor protocol      : DShot300 @@ motors.protocol='dshot300'
Bidirectional DShot : on @@ motors.bidirectional=True
Motor poles         : 12 @@ motors.poles=12
Motor idle          : 6.4 % (factory 5.5 %) @@ motors.idle_percent=6.4
Motors reversed     : no @@ motors.reversed=False
Motor KV            : 8500 rpm/V
Motor output        : 0 %
Control loop rate   : 2 kHz @@ motors.loop_hz=2000
Gyro rate           : 4 kHz
--- 9
GAINS AND FILTERS
Roll P              : 52
Roll I              : 88
Roll D              : 26
Pitch P             : 55
Pitch I             : 91
Pitch D             : 28
Yaw P               : 44
Yaw I               : 86
Gyro lowpass        : 280 Hz
D lowpass           : 130 Hz
--- 10
FAILSAFE
Failsafe action     : drop @@ failsafe.action='drop'
Failsafe delay      : 500 ms (factory 1000 ms) @@ failsafe.delay_s=0.5
Failsafe throttle   : 1008 us @@ failsafe.throttle_us=1008
Recovery time       : 300 ms
--- 11
STATUS
Gyro                : found @@ sensors.gyro='found'
Accelerometer       : found @@ sensors.accelerometer='found'
Barometer           : missing @@ sensors.barometer='missing'
Level error         : 0.9 deg
Arming blocked by   : USB connected, throttle not low @@ arming.blocks=('usb-connected', 'throttle-not-low')
Processor load      : 47 %
Processor temp.     : 51 C
Uptime              : 88 s
LED colour          : orange
--- 12
FLIGHT LOG
Log device          : flash @@ logger.device='flash'
Log free space      : 1792 KiB @@ logger.free_bytes=1835008
Log rate            : 500 Hz
Logged flights      : 7
"""

_PAGES, _STATED = marked(_SHOWN)

_HARMS = {
    "51": Harm("Settings saved.", "1", "saved      : 14 times", "saved      : 15 times"),
    "52": Harm("Restarting.", "1", "Power-ups           : 96", "Power-ups           : 97"),
    "53": Harm("Factory settings loaded.", "1", "Small Thunder", "(none)"),
    "54": Harm("Bootloader: send the image."),
    "55": Harm("Motors are spinning.", "8", "Motor output        : 0 %", "Motor output        : 8 %"),
    "56": Harm("Accelerometer calibrated.", "11", "Level error         : 0.9 deg", "Level error         : 0.0 deg"),
    "57": Harm("Flight log erased.", "12", "Logged flights      : 7", "Logged flights      : 0"),
}


class Osmerdyke(StatingConsole):
    """Each number prints its page or acts, whatever was shown before; 0 shows the menu again."""

    name = "osmerdyke"
    kinds = ("menu by number", "label, colon, value, unit", "factory values in brackets", "keys per port and switch")
    banner = _PAGES["0"]
    prompt = "Choice: "
    error = "No entry {line}. 0 shows the menu."
    help_word = "0"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
