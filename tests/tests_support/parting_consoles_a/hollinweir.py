"""Hollinweir: one word a subject, sub-headings, `name: value unit` below them, ports as records of lines. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.parting_consoles_a.marks import read_marks

_SHOWN = """\
--- help
Reading
  help: this list
  about: firmware, board and craft
  receiver: receiver and channels
  switches: mode switches
  serial: serial ports
  osd: on-screen display
  vtx: video transmitter
  battery: battery settings and voltage
  motors: motors and control loop
  failsafe: what happens on signal loss
  status: sensors, arming and load
  log: flight log
  tuning: gains and filters
Acting
  store: save the settings to flash
  restart: reboot the board
  restore: reset all settings to defaults
  loader: enter the bootloader
  spin: test the motors
  trim: calibrate the accelerometer
  wipe: erase the flight log
--- about
Firmware @@ head
  name: Hollinweir @@ firmware.name='Hollinweir'
  version: 2.4.1 @@ firmware.version='2.4.1'
  build date: 2026-04-14 @@ firmware.built='2026-04-14'
  bootloader version: 1.2
Board @@ head
  name: SAMPHIRE F722 @@ board.name='SAMPHIRE F722'
  serial number: SF-118-0734 @@ board.serial='SF-118-0734'
  revision: 4
Craft @@ head
  name: Brisk Newt @@ craft.name='Brisk Newt'
  weight: 412 g
Counters
  saves: 19
  starts: 207
--- receiver
Receiver @@ head
  type: serial @@ receiver.kind='serial'
  protocol: CRSF @@ receiver.protocol='crsf'
  port: UART2 @@ receiver.port='UART2'
  inverted: no @@ receiver.inverted=False
  half duplex: no @@ receiver.half_duplex=False
  telemetry: yes @@ receiver.telemetry=True
  telemetry ratio: 1:16
  packet rate: 250 Hz
Channels @@ head
  order: AETR @@ channels.order='AETR'
  minimum: 988 us @@ channels.low=988
  center: 1501 us @@ channels.centre=1501
  maximum: 2012 us @@ channels.high=2012
  deadband: 4 us
  live: 1502 1498 990 1503 995 1500 996 995 us @@ channels.live=(1502, 1498, 990, 1503, 995, 1500, 996, 995)
Servos
  center: 1520 us
  rate: 50 Hz
--- switches
Mode switches
  arm: channel 5, 1720 to 2080 us @@ switch 0 ('arm', 5, 1720, 2080)
  level: channel 6, 1310 to 1690 us @@ switch 1 ('level', 6, 1310, 1690)
  beeper: channel 8, 1680 to 2050 us @@ switch 2 ('beeper', 8, 1680, 2050)
  turtle: channel 7, 1740 to 2060 us @@ switch 3 ('turtle', 7, 1740, 2060)
--- serial
Port UART1 @@ head; ports[0].id='UART1'
  function: console @@ ports[0].roles=('console',)
  baud rate: 230400 @@ ports[0].baud=230400
  errors: 0
Port UART2 @@ head; ports[1].id='UART2'
  function: receiver @@ ports[1].roles=('receiver',)
  baud rate: 420000 @@ ports[1].baud=420000
  errors: 3
Port UART3 @@ head; ports[2].id='UART3'
  function: GPS @@ ports[2].roles=('positioning',)
  baud rate: 57600 @@ ports[2].baud=57600
  errors: 0
Port UART4 @@ head; ports[3].id='UART4'
  function: video control @@ ports[3].roles=('video-control',)
  baud rate: 9600 @@ ports[3].baud=9600
  errors: 0
Port UART6 @@ head; ports[4].id='UART6'
  function: unused @@ ports[4].roles=('unused',)
--- osd
Display @@ head
  enabled: yes @@ overlay.enabled=True
  video system: NTSC @@ overlay.system='ntsc'
  columns: 30 @@ overlay.columns=30
  rows: 13 @@ overlay.rows=13
  brightness: 3
  refresh rate: 15 Hz
Elements @@ head
  battery: column 2, row 11, shown @@ element 0 ('battery', 2, 11, True)
  timer: column 23, row 11, shown @@ element 1 ('timer', 23, 11, True)
  link quality: column 3, row 1, shown @@ element 2 ('link-quality', 3, 1, True)
  altitude: column 24, row 6, hidden @@ element 3 ('altitude', 24, 6, False)
--- vtx
Video transmitter @@ head
  link: analog @@ video.link='analog'
  band: F @@ video.band='F'
  channel: 3 @@ video.channel=3
  frequency: 5780 MHz @@ video.frequency_mhz=5780
  power: 200 mW @@ video.power_mw=200.0
  maximum power: 800 mW
  temperature: 44 C
--- battery
Settings @@ head
  cells: 4 @@ battery.cells=4
  minimum cell voltage: 3.3 V @@ battery.cell_low=3.3
  warning cell voltage: 3.5 V @@ battery.cell_warn=3.5
  full cell voltage: 4.2 V @@ battery.cell_full=4.2
  voltage divider: 10.9 @@ battery.scale=10.9
  capacity: 1500 mAh
  current scale: 250 mV/A
Now @@ head
  battery voltage: 15.62 V @@ battery.volts=15.62
  supply voltage: 5.02 V
  current: 0.31 A
  used: 0 mAh
--- motors
Motors @@ head
  protocol: DSHOT600 @@ motors.protocol='dshot600'
  bidirectional: yes @@ motors.bidirectional=True
  poles: 14 @@ motors.poles=14
  idle: 5.2 % @@ motors.idle_percent=5.2
  reversed: yes @@ motors.reversed=True
  KV: 1950 rpm/V
  output: 0 %
Rates @@ head
  control loop: 4000 Hz @@ motors.loop_hz=4000
  gyro: 8000 Hz
--- failsafe
Failsafe @@ head
  action: drop @@ failsafe.action='drop'
  delay: 0.6 s @@ failsafe.delay_s=0.6
  throttle: 1010 us @@ failsafe.throttle_us=1010
  recovery time: 1.5 s
--- status
Sensors @@ head
  gyro: found @@ sensors.gyro='found'
  accelerometer: found @@ sensors.accelerometer='found'
  barometer: missing @@ sensors.barometer='missing'
  compass: missing
Arming @@ head
  blocked by: USB connected, not level @@ arming.blocks=('usb-connected', 'not-level')
  level offset: 1.8 deg
System
  CPU load: 31 %
  CPU temperature: 43 C
  uptime: 64 s
--- log
Flight log @@ head
  device: flash @@ logger.device='flash'
  free space: 12582912 bytes @@ logger.free_bytes=12582912
  rate: 1000 Hz
  flights: 12
--- tuning
Gains
  roll: P 44, I 78, D 31
  pitch: P 46, I 82, D 33
  yaw: P 40, I 75, D 0
Filters
  gyro lowpass: 230 Hz
  D lowpass: 105 Hz
"""

_PAGES, _STATED = read_marks(_SHOWN)

_HARMS = {
    "store": Harm("Stored.", "about", "saves: 19", "saves: 20"),
    "restart": Harm("Restarting.", "about", "starts: 207", "starts: 208"),
    "restore": Harm("Defaults restored.", "about", "name: Brisk Newt", "name: -"),
    "loader": Harm("Bootloader, send the image."),
    "spin": Harm("Motors turning.", "motors", "output: 0 %", "output: 6 %"),
    "trim": Harm("Calibrated.", "status", "level offset: 1.8", "level offset: 0.0"),
    "wipe": Harm("Log erased.", "log", "flights: 12", "flights: 0"),
}


class Hollinweir(StatingConsole):
    """A heading says whose name, rate or center it is; each port is a record under a heading of its own."""

    name = "hollinweir"
    kinds = ("one word a subject", "sub-headings over name: value unit", "ports as records of lines")
    banner = "Hollinweir 2.4.1\nType help for the commands.\n"
    prompt = "hw$ "
    error = "No such command: {line}"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
