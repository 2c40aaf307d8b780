"""Wendlecote: one listing of everything in sections of indented pairs, a help that describes its words. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.parting_consoles_a.marks import read_marks

_SHOWN = """\
--- help
help       print this list of words
list       print all settings and readings
tasks      print the timing of the processor's tasks
keep       store the settings in flash
restart    reboot the board
fresh      set everything back to factory defaults
loader     leave the firmware and wait for a new one
spin       run the motors at idle (take the propellers off first)
trim       calibrate the accelerometer
bind       put the receiver into bind mode
clear      erase the flight log
--- list
firmware @@ head
  name                   Wendlecote @@ firmware.name='Wendlecote'
  version                4.2.0 @@ firmware.version='4.2.0'
  built                  2026-02-17 @@ firmware.built='2026-02-17'
  loader version         1.6

board @@ head
  model                  TEASEL F722 @@ board.name='TEASEL F722'
  serial number          TF7-20417 @@ board.serial='TF7-20417'
  revision               B
  times saved            37
  times started          412

craft @@ head
  name                   Dun Plover @@ craft.name='Dun Plover'
  weight                 520 g

receiver @@ head
  type                   serial @@ receiver.kind='serial'
  protocol               CRSF @@ receiver.protocol='crsf'
  port                   uart2 @@ receiver.port='uart2'
  inverted               off @@ receiver.inverted=False
  half duplex            off @@ receiver.half_duplex=False
  telemetry              on @@ receiver.telemetry=True
  telemetry ratio        1:64
  bind mode              off

channels @@ head
  order                  AETR @@ channels.order='AETR'
  minimum                1003 us @@ channels.low=1003
  centre                 1499 us @@ channels.centre=1499
  maximum                2001 us @@ channels.high=2001
  deadband               3 us
  live                   1501 1497 1004 1500 1000 1000 2000 1000 @@ \
channels.live=(1501, 1497, 1004, 1500, 1000, 1000, 2000, 1000)

switches @@ head
  arm                    channel 6 from 1720 to 2070 us @@ switch 0 ('arm', 6, 1720, 2070)
  level                  channel 5 from 930 to 1340 us @@ switch 1 ('level', 5, 930, 1340)
  beeper                 channel 8 from 1630 to 2020 us @@ switch 2 ('beeper', 8, 1630, 2020)
  turtle                 channel 7 from 1710 to 2080 us @@ switch 3 ('turtle', 7, 1710, 2080)

failsafe @@ head
  action                 return home @@ failsafe.action='return'
  delay                  1.4 s @@ failsafe.delay_s=1.4
  throttle               1310 us @@ failsafe.throttle_us=1310
  recovery time          0.7 s
  lost frames            0

serial ports @@ head
  uart1                  telemetry at 57600 baud @@ port 0 ('uart1', ('telemetry',), 57600)
  uart2                  receiver at 420000 baud @@ port 1 ('uart2', ('receiver',), 420000)
  uart3                  gps at 38400 baud @@ port 2 ('uart3', ('positioning',), 38400)
  uart4                  free @@ port 3 ('uart4', ('unused',))
  uart6                  console at 230400 baud @@ port 4 ('uart6', ('console',), 230400)

osd @@ head
  enabled                on @@ overlay.enabled=True
  video system           PAL @@ overlay.system='pal'
  columns                30 @@ overlay.columns=30
  rows                   16 @@ overlay.rows=16
  refresh rate           25 Hz
  font                   2

osd elements @@ head
  battery                column 3 row 14 on @@ element 0 ('battery', 3, 14, True)
  timer                  column 23 row 14 on @@ element 1 ('timer', 23, 14, True)
  link quality           column 3 row 1 on @@ element 2 ('link-quality', 3, 1, True)
  speed                  column 4 row 7 off @@ element 3 ('speed', 4, 7, False)

video transmitter @@ head
  link                   analog @@ video.link='analog'
  band                   R @@ video.band='R'
  channel                4 @@ video.channel=4
  frequency              5769 MHz @@ video.frequency_mhz=5769
  power                  25 mW @@ video.power_mw=25.0
  power limit            600 mW
  pit mode               off

battery @@ head
  cells                  4 @@ battery.cells=4
  voltage                15.52 V @@ battery.volts=15.52
  low cell voltage       3.31 V @@ battery.cell_low=3.31
  warning cell voltage   3.48 V @@ battery.cell_warn=3.48
  full cell voltage      4.19 V @@ battery.cell_full=4.19
  voltage divider        11.3 @@ battery.scale=11.3
  capacity               1350 mAh
  current                0.41 A
  used                   2 mAh

motors @@ head
  protocol               DShot600 @@ motors.protocol='dshot600'
  bidirectional          on @@ motors.bidirectional=True
  poles                  14 @@ motors.poles=14
  idle                   5.7 % @@ motors.idle_percent=5.7
  reversed               on @@ motors.reversed=True
  kv                     1750 rpm/V
  output now             0 %

control @@ head
  loop rate              4000 Hz @@ motors.loop_hz=4000
  gyro rate              8000 Hz
  gyro lowpass           220 Hz
  roll gains             45 80 30
  pitch gains            47 84 33
  yaw gains              40 80 0

sensors @@ head
  gyro                   found @@ sensors.gyro='found'
  accelerometer          found @@ sensors.accelerometer='found'
  barometer              found @@ sensors.barometer='found'
  compass                missing
  tilt                   1.9 deg

arming @@ head
  blocked by             no receiver link, not level @@ arming.blocks=('no-receiver-link', 'not-level')
  maximum angle          25 deg

flight log @@ head
  device                 flash @@ logger.device='flash'
  free space             6144 KiB @@ logger.free_bytes=6291456
  rate                   1000 Hz
  flights                17

processor
  load                   34 %
  temperature            46 C
  uptime                 267 s
  led colour             teal
--- tasks
task         rate      mean    longest
gyro         8000 Hz   8 us    13 us
loop         4000 Hz   51 us   66 us
receiver     150 Hz    17 us   24 us
osd          25 Hz     90 us   210 us
"""

_PAGES, _STATED = read_marks(_SHOWN)

_HARMS = {
    "keep": Harm("Stored.", "list", "saved            37", "saved            38"),
    "restart": Harm("Restarting ...", "list", "started          412", "started          413"),
    "fresh": Harm("Factory defaults are set.", "list", "Dun Plover", "-"),
    "loader": Harm("Loader 1.6 is waiting."),
    "spin": Harm("Motors are at idle.", "list", "output now             0 %", "output now             5 %"),
    "trim": Harm("Calibrated.", "list", "tilt                   1.9 deg", "tilt                   0.0 deg"),
    "bind": Harm("Binding.", "list", "bind mode              off", "bind mode              on"),
    "clear": Harm("Log erased.", "list", "flights                17", "flights                0"),
}


class Wendlecote(StatingConsole):
    """What a line belongs to is said by the head of its section."""

    name = "wendlecote"
    kinds = ("one listing in sections", "indented pairs between blanks", "units in the value", "help with descriptions")
    banner = "Wendlecote 4.2.0, help lists the words\n"
    prompt = "wdl> "
    error = "{line}: no such word, try help"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
