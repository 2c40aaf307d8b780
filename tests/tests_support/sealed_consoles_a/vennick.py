"""Vennick: dotted keys, codes, masks and packed integers, each explained by a legend line below it. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.sealed_consoles_a.marks import read_marks

_SHOWN = """\
--- help
help         list the commands
about        print firmware, board and craft
params       print all parameters
values       print live readings
store        save the parameters to flash
restart      reboot the board
defaults     reset the parameters to defaults
bootloader   start the bootloader
motortest    run the motors
calibrate    calibrate the accelerometer
erase        erase the flight log
--- about
firmware.name = vennick @@ firmware.name='vennick'
firmware.version = 6.2.0 @@ firmware.version='6.2.0'
firmware.built = 2026-04-30 @@ firmware.built='2026-04-30'
bootloader.version = 1.8
board.name = YARROW G474 @@ board.name='YARROW G474'
board.revision = 1
board.serial = YG-7713-026 @@ board.serial='YG-7713-026'
craft.name = Plain Heron @@ craft.name='Plain Heron'
craft.weight.g = 341
count.saves = 44
count.boots = 209
--- params
# switches of a parameter: 0 = off, 1 = on
rx.type = 1 @@ receiver.kind='serial' +
# rx.type: 0 = none, 1 = serial, 2 = spi, 3 = ppm, 4 = pwm @@ legend
rx.protocol = 3 @@ receiver.protocol='crsf' +
# rx.protocol: 1 = sbus, 2 = ibus, 3 = crsf @@ legend
rx.port = uart3 @@ receiver.port='uart3'
rx.inverted = 0 @@ receiver.inverted=False
rx.half_duplex = 0 @@ receiver.half_duplex=False
rx.telemetry = 1 @@ receiver.telemetry=True
rx.telemetry.interval.ms = 100
rx.smoothing.hz = 32
channel.order = AETR @@ channels.order='AETR'
channel.min.us = 989 @@ channels.low=989
channel.mid.us = 1502 @@ channels.centre=1502
channel.max.us = 2011 @@ channels.high=2011
channel.deadband.us = 5
servo.mid.us = 1520
failsafe.action = 2 @@ failsafe.action='land' +
# failsafe.action: 0 = drop, 1 = hold, 2 = land, 3 = return @@ legend
failsafe.delay.ms = 700 @@ failsafe.delay_s=0.7
failsafe.throttle.us = 1250 @@ failsafe.throttle_us=1250
failsafe.landing.s = 20
switch.arm.channel = 5 @@ switches[0].function='arm'; switches[0].channel=5
switch.arm.from.us = 1730 @@ switches[0].from_us=1730
switch.arm.to.us = 2095 @@ switches[0].to_us=2095
switch.level.channel = 6 @@ switches[1].function='level'; switches[1].channel=6
switch.level.from.us = 1315 @@ switches[1].from_us=1315
switch.level.to.us = 1685 @@ switches[1].to_us=1685
switch.beeper.channel = 8 @@ switches[2].function='beeper'; switches[2].channel=8
switch.beeper.from.us = 1675 @@ switches[2].from_us=1675
switch.beeper.to.us = 2035 @@ switches[2].to_us=2035
port.uart1.use = 1 @@ ports[0].id='uart1'; ports[0].roles=('console',) +
port.uart1.baud = 115200 @@ ports[0].baud=115200
port.uart2.use = 4 @@ ports[1].id='uart2'; ports[1].roles=('positioning',) +
port.uart2.baud = 57600 @@ ports[1].baud=57600
port.uart3.use = 10 @@ ports[2].id='uart3'; ports[2].roles=('receiver', 'telemetry') +
port.uart3.baud = 420000 @@ ports[2].baud=420000
port.uart4.use = 16 @@ ports[3].id='uart4'; ports[3].roles=('esc-telemetry',) +
port.uart4.baud = 115200 @@ ports[3].baud=115200
port.uart6.use = 0 @@ ports[4].id='uart6'; ports[4].roles=('unused',) +
# port.use sum of: 0 = unused, 1 = console, 2 = receiver, 4 = gps, 8 = telemetry, 16 = esc telemetry, 32 = osd @@ legend
i2c.clock.khz = 400
osd.enabled = 1 @@ overlay.enabled=True
osd.system = 2 @@ overlay.system='ntsc' +
# osd.system: 0 = auto, 1 = pal, 2 = ntsc, 3 = digital @@ legend
osd.columns = 30 @@ overlay.columns=30
osd.rows = 13 @@ overlay.rows=13
osd.refresh.hz = 15
osd.battery.place = 2754 @@ element 0 ('battery', 2, 11, True) +
osd.timer.place = 2775 @@ element 1 ('timer', 23, 11, True) +
osd.link_quality.place = 2115 @@ element 2 ('link-quality', 3, 1, True) +
osd.altitude.place = 408 @@ element 3 ('altitude', 24, 6, False) +
# osd.place packed: bits 0-5 = column, bits 6-10 = row, bit 11 = visible @@ legend
vtx.link = 0 @@ video.link='analog' +
# vtx.link: 0 = analog, 1 = digital @@ legend
vtx.band = 5 @@ video.band='R' +
# vtx.band: 1 = A, 2 = B, 3 = E, 4 = F, 5 = R @@ legend
vtx.channel = 7 @@ video.channel=7
vtx.frequency.mhz = 5880 @@ video.frequency_mhz=5880
vtx.power.mw = 25 @@ video.power_mw=25.0
vtx.power.max.mw = 500
battery.cells = 4 @@ battery.cells=4
battery.capacity.mah = 1400
battery.divider = 11.1 @@ battery.scale=11.1
battery.cell.min.mv = 3350 @@ battery.cell_low=3.35
battery.cell.warn.mv = 3550 @@ battery.cell_warn=3.55
battery.cell.full.mv = 4200 @@ battery.cell_full=4.2
current.scale.mv_per_a = 210
motor.protocol = 3 @@ motors.protocol='dshot600' +
# motor.protocol: 1 = dshot150, 2 = dshot300, 3 = dshot600 @@ legend
motor.bidirectional = 1 @@ motors.bidirectional=True
motor.poles = 14 @@ motors.poles=14
motor.idle.percent = 5.8 @@ motors.idle_percent=5.8
motor.reversed = 0 @@ motors.reversed=False
motor.kv = 1980
loop.rate.hz = 3200 @@ motors.loop_hz=3200
gyro.rate.hz = 6400
gyro.lowpass.hz = 215
pid.roll = 40 71 26
pid.pitch = 43 76 28
pid.yaw = 37 69 0
log.device = 1 @@ logger.device='flash' +
# log.device: 0 = none, 1 = flash, 2 = card @@ legend
log.rate.hz = 600
led.colour = green
--- values
channel.now.us = 1501 1503 990 1499 1000 1500 1000 1000 @@ channels.live=(1501, 1503, 990, 1499, 1000, 1500, 1000, 1000)
battery.voltage.mv = 15880 @@ battery.volts=15.88
supply.voltage.mv = 5040
current.a = 0.33
used.mah = 0
sensor.found = 11 @@ sensors.gyro='found'; sensors.accelerometer='found'; sensors.barometer='missing' +
# sensor.found mask: bit 0 = gyro, bit 1 = accelerometer, bit 2 = barometer, bit 3 = compass @@ legend
arm.block = 9 @@ arming.blocks=('no-receiver-link', 'not-level') +
# arm.block mask: bit 0 = no receiver link, bit 1 = usb connected, bit 2 = throttle not low, bit 3 = not level @@ legend
level.offset.deg = 2.4
motor.output.percent = 0
log.free.bytes = 8388608 @@ logger.free_bytes=8388608
log.flights = 6
cpu.load.percent = 28
cpu.temperature.c = 43
uptime.s = 96
"""

_PAGES, _STATED = read_marks(_SHOWN)

_HARMS = {
    "store": Harm("stored", "about", "count.saves = 44", "count.saves = 45"),
    "restart": Harm("restarting", "about", "count.boots = 209", "count.boots = 210"),
    "defaults": Harm("defaults loaded", "about", "craft.name = Plain Heron", "craft.name = "),
    "bootloader": Harm("bootloader 1.8"),
    "motortest": Harm("motors running", "values", "motor.output.percent = 0", "motor.output.percent = 5"),
    "calibrate": Harm("calibrated", "values", "level.offset.deg = 2.4", "level.offset.deg = 0.0"),
    "erase": Harm("log erased", "values", "log.flights = 6", "log.flights = 0"),
}


class Vennick(StatingConsole):
    """Two listings of dotted keys; a remark below a number says what its codes, its sum or its bits mean."""

    name = "vennick"
    kinds = ("dotted keys with =", "codes, masks and packed integers with legend lines", "units at the end of the key")
    banner = "vennick 6.2.0 on YARROW G474\n"
    ends = b"\r"
    prompt = "vk: "
    error = "unknown command '{line}', try help"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
