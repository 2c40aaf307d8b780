"""Lunderwick: dotted keys with kebab words and a colon, units in the value, a help of words and hints. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.parting_consoles_a.marks import read_marks

_SHOWN = """\
--- help
about       - show firmware, board and craft
config      - show the configuration
help        - show this help
status      - show what the controller measures at present
acc-level   - calibrate the accelerometer
commit      - save the configuration to flash
dfu         - enter the bootloader
log-clear   - erase the flight log
motor-run   - spin the motors, propellers off
restart     - restart the controller
restore     - load the default configuration
--- about
firmware.name: Lunderwick @@ firmware.name='Lunderwick'
firmware.version: 2.14.1 @@ firmware.version='2.14.1'
firmware.build-date: 2026-06-15 @@ firmware.built='2026-06-15'
bootloader.version: 0.8
board.name: LINTEL F411 @@ board.name='LINTEL F411'
board.revision: 1
board.serial-number: LF4-5502 @@ board.serial='LF4-5502'
craft.name: Early Toast @@ craft.name='Early Toast'
craft.weight: 248 g
count.saves: 34
count.restarts: 126
--- config
receiver.type: serial @@ receiver.kind='serial'
receiver.protocol: crsf @@ receiver.protocol='crsf'
receiver.port: uart3 @@ receiver.port='uart3'
receiver.inverted: no @@ receiver.inverted=False
receiver.half-duplex: no @@ receiver.half_duplex=False
receiver.telemetry: yes @@ receiver.telemetry=True
receiver.smoothing: 40 Hz
channel.order: TAER @@ channels.order='TAER'
channel.min: 995 us @@ channels.low=995
channel.center: 1505 us @@ channels.centre=1505
channel.max: 2005 us @@ channels.high=2005
channel.deadband: 4 us
servo.center: 1530 us
failsafe.action: return @@ failsafe.action='return'
failsafe.delay: 1500 ms @@ failsafe.delay_s=1.5
failsafe.throttle: 1310 us @@ failsafe.throttle_us=1310
failsafe.return-altitude: 30 m
switch.arm.channel: 5 @@ switches[0].function='arm'; switches[0].channel=5
switch.arm.min: 1690 us @@ switches[0].from_us=1690
switch.arm.max: 2110 us @@ switches[0].to_us=2110
switch.level.channel: 6 @@ switches[1].function='level'; switches[1].channel=6
switch.level.min: 905 us @@ switches[1].from_us=905
switch.level.max: 1295 us @@ switches[1].to_us=1295
switch.turtle.channel: 8 @@ switches[2].function='turtle'; switches[2].channel=8
switch.turtle.min: 1745 us @@ switches[2].from_us=1745
switch.turtle.max: 2055 us @@ switches[2].to_us=2055
uart1.function: console @@ ports[0].id='uart1'; ports[0].roles=('console',)
uart1.baud: 115200 @@ ports[0].baud=115200
uart2.function: gps @@ ports[1].id='uart2'; ports[1].roles=('positioning',)
uart2.baud: 38400 @@ ports[1].baud=38400
uart3.function: receiver @@ ports[2].id='uart3'; ports[2].roles=('receiver',)
uart3.baud: 420000 @@ ports[2].baud=420000
uart4.function: esc-telemetry @@ ports[3].id='uart4'; ports[3].roles=('esc-telemetry',)
uart4.baud: 57600 @@ ports[3].baud=57600
uart5.function: unused @@ ports[4].id='uart5'; ports[4].roles=('unused',)
gps.update-rate: 10 Hz
motor.protocol: dshot300 @@ motors.protocol='dshot300'
motor.bidirectional: yes @@ motors.bidirectional=True
motor.poles: 14 @@ motors.poles=14
motor.idle: 4.5 % @@ motors.idle_percent=4.5
motor.reversed: yes @@ motors.reversed=True
motor.kv: 2750 rpm/V
loop.rate: 4 kHz @@ motors.loop_hz=4000
gyro.rate: 8 kHz
gyro.lowpass: 230 Hz
pid.roll.p: 41
pid.roll.i: 75
pid.roll.d: 28
pid.pitch.p: 43
pid.pitch.i: 78
pid.pitch.d: 30
pid.yaw.p: 39
pid.yaw.i: 75
battery.cells: 4 @@ battery.cells=4
battery.capacity: 650 mAh
battery.cell-min: 3320 mV @@ battery.cell_low=3.32
battery.cell-warning: 3540 mV @@ battery.cell_warn=3.54
battery.cell-full: 4190 mV @@ battery.cell_full=4.19
battery.voltage-divider: 11.2 @@ battery.scale=11.2
battery.current-scale: 45 mV/A
osd.enabled: yes @@ overlay.enabled=True
osd.video-system: pal @@ overlay.system='pal'
osd.columns: 30 @@ overlay.columns=30
osd.rows: 16 @@ overlay.rows=16
osd.refresh-rate: 25 Hz
osd.battery.column: 3 @@ overlay.elements[0].name='battery'; overlay.elements[0].column=3
osd.battery.row: 13 @@ overlay.elements[0].row=13
osd.battery.visible: yes @@ overlay.elements[0].shown=True
osd.timer.column: 22 @@ overlay.elements[1].name='timer'; overlay.elements[1].column=22
osd.timer.row: 13 @@ overlay.elements[1].row=13
osd.timer.visible: yes @@ overlay.elements[1].shown=True
osd.link-quality.column: 3 @@ overlay.elements[2].name='link-quality'; overlay.elements[2].column=3
osd.link-quality.row: 2 @@ overlay.elements[2].row=2
osd.link-quality.visible: no @@ overlay.elements[2].shown=False
vtx.link: analog @@ video.link='analog'
vtx.band: A @@ video.band='A'
vtx.channel: 3 @@ video.channel=3
vtx.frequency: 5825 MHz @@ video.frequency_mhz=5825
vtx.power: 250 mW @@ video.power_mw=250.0
vtx.max-power: 800 mW
vtx.pit-mode: no
log.device: flash @@ logger.device='flash'
log.rate: 800 Hz
led.colour: orange
led.count: 4
--- status
gyro: found @@ sensors.gyro='found'
accelerometer: found @@ sensors.accelerometer='found'
barometer: found @@ sensors.barometer='found'
compass: found
battery.voltage: 16.34 V @@ battery.volts=16.34
battery.current: 0.41 A
supply.voltage: 5.08 V
channels: 1504 1507 996 1503 1000 1500 us @@ channels.live=(1504, 1507, 996, 1503, 1000, 1500)
arming.blocked-by: no-receiver-link, not-level @@ arming.blocks=('no-receiver-link', 'not-level')
tilt: 2.3 deg
altitude: 0.2 m
gps.satellites: 9
motor.output: 0 %
log.free: 4063232 bytes @@ logger.free_bytes=4063232
log.files: 15
cpu.load: 37 %
cpu.temperature: 44 C
uptime: 254 s
"""

_PAGES, _STATED = read_marks(_SHOWN)

_HARMS = {
    "commit": Harm("saved", "about", "count.saves: 34", "count.saves: 35"),
    "restart": Harm("restarting", "about", "count.restarts: 126", "count.restarts: 127"),
    "restore": Harm("defaults loaded", "about", "craft.name: Early Toast", "craft.name: -"),
    "dfu": Harm("bootloader 0.8"),
    "motor-run": Harm("motors spinning", "status", "motor.output: 0 %", "motor.output: 6 %"),
    "acc-level": Harm("calibrated", "status", "tilt: 2.3 deg", "tilt: 0.0 deg"),
    "log-clear": Harm("log erased", "status", "log.files: 15", "log.files: 0"),
}


class Lunderwick(StatingConsole):
    """Keys of ports, switches and elements hold the name of the row."""

    name = "lunderwick"
    kinds = ("dotted keys with kebab words", "key: value unit", "keys per port, switch and element", "no echo")
    newline = "\n"
    echo = False
    prompt = "lw# "
    error = "unknown command {line}, try help"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
