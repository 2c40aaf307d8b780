"""Quennick: one menu by number, pages of labels, an equals sign, a value and its unit, and lists of rows. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.verdict_consoles_a.marked import marked

_SHOWN = """\
--- ?
Quennick flight controller
 1. Firmware, board and craft
 2. Receiver
 3. Channels and failsafe
 4. Switches
 5. Serial ports
 6. OSD
 7. Video transmitter
 8. Battery
 9. Motors and control loop
10. Gains and filters
11. Status
20. Save settings
21. Reboot
22. Reset to factory settings
23. Start the bootloader
24. Test the motors
25. Calibrate the accelerometer
26. Erase the flight log
 ?. Show this menu
--- 1
Firmware, board and craft
Firmware name = Quennick @@ firmware.name='Quennick'
Firmware version = 8.2.1 @@ firmware.version='8.2.1'
Build date = 2026-04-14 @@ firmware.built='2026-04-14'
Bootloader version = 3.0
Board name = MILKWORT F405 @@ board.name='MILKWORT F405'
Board serial number = MW-0091-77 @@ board.serial='MW-0091-77'
Board revision = 2
Craft name = Tin Heron @@ craft.name='Tin Heron'
Craft weight = 268 g
Times saved = 48
Times started = 302
--- 2
Receiver
Receiver type = serial @@ receiver.kind='serial'
Receiver protocol = CRSF @@ receiver.protocol='crsf'
Receiver port = UART3 @@ receiver.port='UART3'
Inverted = no @@ receiver.inverted=False
Half duplex = no @@ receiver.half_duplex=False
Telemetry = yes @@ receiver.telemetry=True
Telemetry interval = 250 ms
Smoothing = 35 Hz
--- 3
Channels and failsafe
Channel order = AETR @@ channels.order='AETR'
Channel minimum = 992 us @@ channels.low=992
Channel centre = 1497 us @@ channels.centre=1497
Channel maximum = 2006 us @@ channels.high=2006
Stick deadband = 4 us
Servo centre = 1535 us
Failsafe action = drop @@ failsafe.action='drop'
Failsafe delay = 0.6 s @@ failsafe.delay_s=0.6
Failsafe throttle = 1015 us @@ failsafe.throttle_us=1015
Recovery time = 1.1 s
--- 4
Switches
Arm = channel 6, 1690 to 2095 us @@ switch 0 ('arm', 6, 1690, 2095)
Level = channel 5, 920 to 1310 us @@ switch 1 ('level', 5, 920, 1310)
Turtle = channel 9, 1755 to 2065 us @@ switch 2 ('turtle', 9, 1755, 2065)
Beeper = channel 7, 1640 to 2030 us @@ switch 3 ('beeper', 7, 1640, 2030)
--- 5
Serial ports
UART1 = telemetry, 57600 baud @@ port 0 ('UART1', ('telemetry',), 57600)
UART2 = console, 115200 baud @@ port 1 ('UART2', ('console',), 115200)
UART3 = receiver, 420000 baud @@ port 2 ('UART3', ('receiver',), 420000)
UART4 = unused @@ port 3 ('UART4', ('unused',))
UART6 = GPS, 38400 baud @@ port 4 ('UART6', ('positioning',), 38400)
I2C clock = 400 kHz
Framing errors = 3
--- 6
OSD
OSD enabled = yes @@ overlay.enabled=True
Video system = NTSC @@ overlay.system='ntsc'
Columns = 30 @@ overlay.columns=30
Rows = 13 @@ overlay.rows=13
Refresh rate = 30 Hz
Elements:
  Battery = column 2, row 11, shown @@ element 0 ('battery', 2, 11, True)
  Timer = column 22, row 11, shown @@ element 1 ('timer', 22, 11, True)
  Altitude = column 24, row 6, hidden @@ element 2 ('altitude', 24, 6, False)
  Craft name = column 10, row 1, shown @@ element 3 ('craft-name', 10, 1, True)
--- 7
Video transmitter
Video link = analog @@ video.link='analog'
Band = B @@ video.band='B'
Channel = 5 @@ video.channel=5
Frequency = 5809 MHz @@ video.frequency_mhz=5809
Power = 150 mW @@ video.power_mw=150.0
Maximum power = 500 mW
Pit mode = no
Temperature = 39 C
--- 8
Battery
Cells = 3 @@ battery.cells=3
Minimum cell voltage = 3.27 V @@ battery.cell_low=3.27
Warning cell voltage = 3.52 V @@ battery.cell_warn=3.52
Full cell voltage = 4.18 V @@ battery.cell_full=4.18
Voltage divider = 11.6 @@ battery.scale=11.6
Capacity = 720 mAh
Current scale = 44 mV/A
--- 9
Motors and control loop
Motor protocol = DShot300 @@ motors.protocol='dshot300'
Bidirectional DShot = no @@ motors.bidirectional=False
Motor poles = 12 @@ motors.poles=12
Motor idle = 6.1 % @@ motors.idle_percent=6.1
Motors reversed = yes @@ motors.reversed=True
Motor KV = 3600 rpm/V
Throttle limit = 85 %
Control loop rate = 2000 Hz @@ motors.loop_hz=2000
Gyro sample rate = 4000 Hz
--- 10
Gains and filters
Roll P = 36
Roll I = 66
Roll D = 22
Pitch P = 38
Pitch I = 69
Pitch D = 24
Gyro lowpass = 190 Hz
--- 11
Status
Gyro = found @@ sensors.gyro='found'
Accelerometer = found @@ sensors.accelerometer='found'
Barometer = found @@ sensors.barometer='found'
Compass = missing
Battery voltage = 11.82 V @@ battery.volts=11.82
Battery current = 0.24 A
Supply voltage = 5.01 V
Motor output = 0 %
Level error = 0.8 deg
Processor load = 33 %
Arming blocked by = no receiver link, throttle not low @@ arming.blocks=('no-receiver-link', 'throttle-not-low')
Log device = flash @@ logger.device='flash'
Log free space = 7680 KiB @@ logger.free_bytes=7864320
Log rate = 500 Hz
Log files = 9
Uptime = 171 s
"""

_PAGES, _STATED = marked(_SHOWN)

_HARMS = {
    "20": Harm("Settings saved.", "1", "Times saved = 48", "Times saved = 49"),
    "21": Harm("Rebooting.", "1", "Times started = 302", "Times started = 303"),
    "22": Harm("Factory settings are back.", "1", "Craft name = Tin Heron", "Craft name = -"),
    "23": Harm("Bootloader 3.0 waits for an image."),
    "24": Harm("Motors are turning.", "11", "Motor output = 0 %", "Motor output = 5 %"),
    "25": Harm("Calibrated.", "11", "Level error = 0.8 deg", "Level error = 0.0 deg"),
    "26": Harm("Log erased.", "11", "Log files = 9", "Log files = 0"),
}


class Quennick(StatingConsole):
    """Each number prints its page or acts, whatever was shown before."""

    name = "quennick"
    kinds = ("one menu by number", "equals sign with blanks", "units in the value", "lists of rows")
    banner = _PAGES["?"]
    prompt = "Number (? for menu): "
    error = "{line} is not in the menu. Enter ? for the menu."
    help_word = "?"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
