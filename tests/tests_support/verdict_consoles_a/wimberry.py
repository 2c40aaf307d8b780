"""Wimberry: a subject a word, labels led to their values by dots, records for the rows. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.verdict_consoles_a.marked import marked

_SHOWN = """\
--- help
Commands that only show:
  about ........ firmware, board and craft
  battery ...... battery, cells and measurement
  failsafe ..... what happens on link loss
  health ....... sensors and arming
  help ......... this list
  log .......... flight log
  motors ....... motors and control loop
  osd .......... on-screen display
  pids ......... gains and filters
  ports ........ serial ports
  receiver ..... receiver and channels
  switches ..... radio switches
  video ........ video transmitter
Commands that change something:
  calibrate .... calibrate the accelerometer
  erase ........ erase the flight log
  factory ...... restore the factory settings
  reboot ....... restart the board
  save ......... save the settings
  testmotor .... run one motor
  update ....... start the bootloader
--- about
Firmware ................. Wimberry @@ firmware.name='Wimberry'
Firmware version ......... 3.6.2 @@ firmware.version='3.6.2'
Build date ............... 2026-03-24 @@ firmware.built='2026-03-24'
Bootloader version ....... 1.1
Board .................... SANDWORT H7 @@ board.name='SANDWORT H7'
Board revision ........... C
Serial number ............ SH7-20418 @@ board.serial='SH7-20418'
Craft name ............... Tidy Dunlin @@ craft.name='Tidy Dunlin'
Craft weight ............. 702 g
Settings saved ........... 58 times
Uptime ................... 312 s
Starts ................... 401
--- receiver
Receiver type ............ serial @@ receiver.kind='serial'
Protocol ................. CRSF @@ receiver.protocol='crsf'
Port ..................... UART2 @@ receiver.port='UART2'
Inverted ................. no @@ receiver.inverted=False
Half duplex .............. no @@ receiver.half_duplex=False
Telemetry ................ on @@ receiver.telemetry=True
Telemetry interval ....... 120 ms
Channel order ............ TAER @@ channels.order='TAER'
Channel minimum .......... 988 us @@ channels.low=988
Channel centre ........... 1501 us @@ channels.centre=1501
Channel maximum .......... 2011 us @@ channels.high=2011
Deadband ................. 4 us
Servo centre ............. 1520 us
Packet rate .............. 250 Hz
--- switches
Arm ...................... channel 5, 1720 to 2080 us @@ switch 0 ('arm', 5, 1720, 2080)
Level .................... channel 6, 920 to 1280 us @@ switch 1 ('level', 6, 920, 1280)
Beeper ................... channel 8, 1690 to 2040 us @@ switch 2 ('beeper', 8, 1690, 2040)
Turtle ................... channel 9, 1750 to 2090 us @@ switch 3 ('turtle', 9, 1750, 2090)
--- ports
port UART1 console 115200 baud @@ port 0 ('UART1', ('console',), 115200)
port UART2 receiver 420000 baud @@ port 1 ('UART2', ('receiver',), 420000)
port UART3 gps 38400 baud @@ port 2 ('UART3', ('positioning',), 38400)
port UART5 osd 230400 baud @@ port 3 ('UART5', ('overlay-link',), 230400)
port UART6 unused @@ port 4 ('UART6', ('unused',))
Framing errors ........... 1
I2C clock ................ 400 kHz
--- osd
OSD enabled .............. yes @@ overlay.enabled=True
OSD system ............... digital @@ overlay.system='digital'
Columns .................. 53 @@ overlay.columns=53
Rows ..................... 20 @@ overlay.rows=20
Refresh rate ............. 30 Hz
Font ..................... 2
element battery column 2 row 18 shown @@ element 0 ('battery', 2, 18, True)
element timer column 45 row 18 shown @@ element 1 ('timer', 45, 18, True)
element speed column 3 row 9 hidden @@ element 2 ('speed', 3, 9, False)
element altitude column 46 row 9 shown @@ element 3 ('altitude', 46, 9, True)
--- video
Video link ............... digital @@ video.link='digital'
Frequency ................ 5769 MHz @@ video.frequency_mhz=5769
Power .................... 500 mW @@ video.power_mw=500.0
Power limit .............. 1000 mW
Temperature .............. 46 C
Latency .................. 27 ms
--- battery
Cells .................... 6 @@ battery.cells=6
Battery voltage .......... 23.34 V @@ battery.volts=23.34
Voltage divider .......... 20.8 @@ battery.scale=20.8
Cell minimum ............. 3.25 V @@ battery.cell_low=3.25
Cell warning ............. 3.55 V @@ battery.cell_warn=3.55
Cell full ................ 4.20 V @@ battery.cell_full=4.2
Capacity ................. 1250 mAh
Current .................. 0.58 A
Current scale ............ 400
5 V supply ............... 5.07 V
--- motors
Motor protocol ........... DShot600 @@ motors.protocol='dshot600'
Bidirectional ............ yes @@ motors.bidirectional=True
Motor poles .............. 14 @@ motors.poles=14
Idle ..................... 5.2 % @@ motors.idle_percent=5.2
Reversed ................. no @@ motors.reversed=False
Motor KV ................. 1750 rpm/V
Output now ............... 0 %
Control loop rate ........ 8 kHz @@ motors.loop_hz=8000
Gyro sample rate ......... 16 kHz
--- failsafe
Action ................... land @@ failsafe.action='land'
Delay .................... 0.8 s @@ failsafe.delay_s=0.8
Throttle ................. 1220 us @@ failsafe.throttle_us=1220
Landing time ............. 15 s
Recovery time ............ 0.5 s
--- health
Gyro ..................... found @@ sensors.gyro='found'
Accelerometer ............ found @@ sensors.accelerometer='found'
Barometer ................ found @@ sensors.barometer='found'
Compass .................. missing
Gyro temperature ......... 33 C
Level offset ............. 1.1 deg
Arming blocked by ........ no receiver link, usb connected @@ arming.blocks=('no-receiver-link', 'usb-connected')
CPU load ................. 26 %
--- log
Log device ............... card @@ logger.device='card'
Free space ............... 7944011776 bytes @@ logger.free_bytes=7944011776
Log rate ................. 1000 Hz
Logged flights ........... 23
--- pids
Roll ..................... P 42, I 76, D 29
Pitch .................... P 45, I 80, D 31
Yaw ...................... P 37, I 76, D 0
Gyro lowpass ............. 260 Hz
D lowpass ................ 110 Hz
"""

_PAGES, _STATED = marked(_SHOWN)

_HARMS = {
    "calibrate": Harm("Level taken.", "health", "offset ............. 1.1 deg", "offset ............. 0.0 deg"),
    "erase": Harm("Log erased.", "log", "flights ........... 23", "flights ........... 0"),
    "factory": Harm("Factory settings restored.", "about", "Tidy Dunlin", "-"),
    "reboot": Harm("Restarting.", "about", "Starts ................... 401", "Starts ................... 402"),
    "save": Harm("Saved.", "about", "58 times", "59 times"),
    "testmotor": Harm(
        "Motor is running.", "motors", "now ............... 0 %", "now ............... 6 %", "testmotor 1"
    ),
    "update": Harm("Bootloader 1.1"),
}


class Wimberry(StatingConsole):
    """One word a subject; ports and elements of the overlay are records."""

    name = "wimberry"
    kinds = ("a word a subject", "dots between label and value", "records for ports and elements")
    banner = "Wimberry 3.6.2\n"
    prompt = "wimberry> "
    error = "{line}: not a command, see help"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
