"""Pibworth: a menu by letter, pages of labels with the unit in brackets, rows in tables with a header. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.parting_consoles_a.marks import read_marks

_SHOWN = """\
--- ?
Pibworth menu
  A  Firmware, board and craft
  B  Receiver and channels
  C  Mode switches
  D  Serial ports
  E  On-screen display
  F  Video transmitter
  G  Battery
  H  Motors and control loop
  I  Failsafe
  J  Sensors and arming
  K  Flight log
  L  Gains and filters
  S  Save settings
  R  Reboot
  W  Reset to default settings
  U  Start bootloader
  M  Motor test
  N  Calibrate accelerometer
  X  Erase flight log
  ?  Show this menu
--- A
Firmware, board and craft
  Firmware name              : Pibworth @@ firmware.name='Pibworth'
  Firmware version           : 6.0.4 @@ firmware.version='6.0.4'
  Firmware build date        : 2026-01-19 @@ firmware.built='2026-01-19'
  Bootloader version         : 2.2
  Board name                 : CAMPION H7 @@ board.name='CAMPION H7'
  Board serial number        : CH7-0092-4 @@ board.serial='CH7-0092-4'
  Board revision             : A
  Craft name                 : Odd Lapwing @@ craft.name='Odd Lapwing'
  Craft weight (g)           : 703
  Number of saves            : 42
  Number of restarts         : 289
--- B
Receiver and channels
  Receiver type              : Serial @@ receiver.kind='serial'
  Receiver protocol          : CRSF @@ receiver.protocol='crsf'
  Receiver port              : UART1 @@ receiver.port='UART1'
  Signal inverted            : No @@ receiver.inverted=False
  Half duplex                : No @@ receiver.half_duplex=False
  Telemetry                  : Yes @@ receiver.telemetry=True
  Telemetry interval (ms)    : 100
  Channel order              : AETR @@ channels.order='AETR'
  Channel minimum (us)       : 994 @@ channels.low=994
  Channel centre (us)        : 1503 @@ channels.centre=1503
  Channel maximum (us)       : 2004 @@ channels.high=2004
  Channel deadband (us)      : 6
  Servo centre (us)          : 1530
--- C
Mode switches
  Mode        Channel   From (us)   To (us)
  Arm         6         1730        2095 @@ switch 0 ('arm', 6, 1730, 2095)
  Level       5         925         1275 @@ switch 1 ('level', 5, 925, 1275)
  Beeper      9         1670        2040 @@ switch 2 ('beeper', 9, 1670, 2040)
--- D
Serial ports
  Port     Function         Baud rate   Errors
  UART1    Receiver         420000      2 @@ port 0 ('UART1', ('receiver',), 420000)
  UART2    OSD              115200      0 @@ port 1 ('UART2', ('overlay-link',), 115200)
  UART3    Telemetry        57600       0 @@ port 2 ('UART3', ('telemetry',), 57600)
  UART4    Rangefinder      19200       5 @@ port 3 ('UART4', ('rangefinder',), 19200)
  UART6    Console          230400      0 @@ port 4 ('UART6', ('console',), 230400)
  UART8    Unused           -           - @@ port 5 ('UART8', ('unused',))

  Bus      Clock (kHz)
  I2C1     400
  SPI2     10500
--- E
On-screen display
  OSD enabled                : Yes @@ overlay.enabled=True
  OSD system                 : Digital @@ overlay.system='digital'
  OSD columns                : 60 @@ overlay.columns=60
  OSD rows                   : 22 @@ overlay.rows=22
  OSD refresh (Hz)           : 20

  Element          Column   Row   Visible
  Battery          3        20    Yes @@ element 0 ('battery', 3, 20, True)
  Timer            52       20    Yes @@ element 1 ('timer', 52, 20, True)
  Craft name       25       1     No @@ element 2 ('craft-name', 25, 1, False)
  Link quality     4        2     Yes @@ element 3 ('link-quality', 4, 2, True)
  Warnings         21       13    Yes @@ element 4 ('warnings', 21, 13, True)
--- F
Video transmitter
  Video link                 : Digital @@ video.link='digital'
  Frequency (MHz)            : 5769 @@ video.frequency_mhz=5769
  Power (mW)                 : 500 @@ video.power_mw=500.0
  Maximum power (mW)         : 1200
  Bit rate (Mbit/s)          : 50
  Temperature (C)            : 52
--- G
Battery
  Number of cells            : 6 @@ battery.cells=6
  Battery voltage (V)        : 23.16 @@ battery.volts=23.16
  Voltage divider            : 21.3 @@ battery.scale=21.3
  Cell minimum (V)           : 3.35 @@ battery.cell_low=3.35
  Cell warning (V)           : 3.57 @@ battery.cell_warn=3.57
  Cell full (V)              : 4.18 @@ battery.cell_full=4.18
  Capacity (mAh)             : 1800
  Current (A)                : 0.63
  Regulator voltage (V)      : 10.02
--- H
Motors and control loop
  Motor protocol             : DShot600 @@ motors.protocol='dshot600'
  Bidirectional DShot        : No @@ motors.bidirectional=False
  Motor poles                : 14 @@ motors.poles=14
  Motor idle (%)             : 5.8 @@ motors.idle_percent=5.8
  Motors reversed            : Yes @@ motors.reversed=True
  Motor KV (rpm/V)           : 1850
  Motor output (%)           : 0
  Control loop rate (kHz)    : 8 @@ motors.loop_hz=8000
  Gyro sample rate (kHz)     : 16
--- I
Failsafe
  Failsafe action            : Return @@ failsafe.action='return'
  Failsafe delay (ms)        : 1100 @@ failsafe.delay_s=1.1
  Failsafe throttle (us)     : 1340 @@ failsafe.throttle_us=1340
  Return altitude (m)        : 35
  Recovery time (ms)         : 900
--- J
Sensors and arming
  Gyroscope                  : Found @@ sensors.gyro='found'
  Accelerometer              : Found @@ sensors.accelerometer='found'
  Barometer                  : Found @@ sensors.barometer='found'
  Compass                    : Missing
  Arming blocked by          : No receiver link, USB connected @@ arming.blocks=('no-receiver-link', 'usb-connected')
  Tilt (deg)                 : 2.3
  Processor load (%)         : 35
  Processor temperature (C)  : 49
  Uptime (s)                 : 174
--- K
Flight log
  Log device                 : Card @@ logger.device='card'
  Free space (bytes)         : 15728640000 @@ logger.free_bytes=15728640000
  Log rate (Hz)              : 1600
  Log files                  : 13
--- L
Gains and filters
  Axis     P     I     D
  Roll     45    78    31
  Pitch    48    83    34
  Yaw      39    76    0

  Gyro low-pass (Hz)         : 260
  D-term low-pass (Hz)       : 115
"""

_PAGES, _STATED = read_marks(_SHOWN)

_HARMS = {
    "S": Harm("Settings saved.", "A", "saves            : 42", "saves            : 43"),
    "R": Harm("Restarting.", "A", "restarts         : 289", "restarts         : 290"),
    "W": Harm("Default settings loaded.", "A", "Odd Lapwing", "-"),
    "U": Harm("Bootloader 2.2."),
    "M": Harm("Motor 1 is turning.", "H", "output (%)           : 0", "output (%)           : 8"),
    "N": Harm("Accelerometer calibrated.", "J", "(deg)                 : 2.3", "(deg)                 : 0.0"),
    "X": Harm("Flight log erased.", "K", "files                  : 13", "files                  : 0"),
}


class Pibworth(StatingConsole):
    """Each letter, small or capital, prints its page or acts; nothing has to be left again."""

    name = "pibworth"
    kinds = ("menu by letter", "unit in brackets behind the label", "tables with a header for rows")
    banner = _PAGES["?"]
    prompt = "Letter: "
    error = "There is no entry {line}. Enter ? for the menu."
    help_word = "?"
    any_case = True
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
