"""Kelderby: rows of comma-separated values in sections, each with a header line of its own, no echo. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_HELP = """\
word,kind,meaning
DOUSE,does,erase the flight recorder
FLASHER,does,wait for a firmware file
HELP,shows,these words
LIVE,shows,readings as they are now
LOADS,shows,how long each job takes
NUDGE,does,turn one motor a little
PLUMB,does,measure which way is down
RELAUNCH,does,start the firmware afresh
SHEET,shows,every setting by section
STOREALL,does,write the settings to memory
PRISTINE,does,all settings as delivered
"""

_SHEET = """\
[identity]
item,value
firmware,Kelderby
firmware version,5.1.3
build date,2026-04-27
loader version,3.0
board,GORSE G4
serial number,KG4-1180
craft name,Grey Plover
sheet layout,16

[receiver]
item,value,unit,default
receiver type,SPI,,SPI
telemetry,yes,,yes
telemetry ratio,64,,32
packet rate,250,Hz,500
channel order,RTAE,,AETR
channel minimum,992,us,1000
channel centre,1498,us,1500
channel maximum,2008,us,2000
deadband,2,us,4
smoothing,35,Hz,40

[switches]
function,channel,low us,high us
arm,5,1750,2100
level,7,900,1200
beeper,8,1600,2100

[serial ports]
port,use,baud,parity
A,console,115200,N
B,OSD,230400,N
C,rangefinder,19200,N
D,logger,921600,N
E,unused,,

[overlay]
item,value,unit,default
enabled,yes,,yes
system,digital,,auto
columns,53,,30
rows,20,,16
blink rate,2,Hz,2

[overlay elements]
element,column,row,visible
battery,2,18,yes
timer,44,18,yes
link quality,2,1,yes
warnings,20,10,yes
horizon,20,9,no

[video]
item,value,unit,default
link,digital,,analog
frequency,5839,MHz,5806
power,500,mW,25
power disarmed,25,mW,25
fan,auto,,auto

[battery]
item,value,unit,default
cells,4,,0
capacity,1550,mAh,0
cell minimum,3.25,V,3.30
cell warning,3.45,V,3.50
cell maximum,4.35,V,4.20
voltage divider,11.2,,11.0
current scale,392,,400

[motors]
item,value,unit,default
protocol,DSHOT600,,DSHOT300
bidirectional,yes,,no
poles,12,,14
idle,5.8,%,5.5
reversed,no,,no
loop rate,3200,Hz,4000
spin up,40,ms,60

[failsafe]
item,value,unit,default
action,hold,,drop
delay,0.6,s,1.0
throttle,1180,us,1000
wait for satellites,6,,8

[gains]
axis,p,i,d,ff
roll,43,79,29,104
pitch,45,83,32,108
yaw,39,79,0,96

[lamps]
lamp,colour,brightness
front,white,40
rear,red,60
"""

_LIVE = """\
reading,value,unit
battery voltage,15.88,V
rail voltage,3.31,V
current,0.37,A
used,0,mAh
gyro,found,
accelerometer,found,
barometer,found,
compass,missing,
gyro temperature,39,C
tilt error,1.2,deg
arming blocked,no receiver link; arm switch on,
motor output,0,%
logger device,card,
logger free,7516192768,bytes
logger rate,800,Hz
flights recorded,31,
starts,405,
settings written,52,
uptime,208,s
"""

_LOADS = """\
job,rate hz,average us,longest us
gyro,3200,11,17
loop,3200,64,80
receiver,250,15,41
overlay,20,210,390
"""


def _in(section: str, row: str) -> tuple[str, str]:
    return (f"[{section}]", row)


_STATED = {
    "firmware.name": said("Kelderby", "SHEET", "firmware,Kelderby"),
    "firmware.version": said("5.1.3", "SHEET", "firmware version,5.1.3"),
    "firmware.built": said("2026-04-27", "SHEET", "build date,2026-04-27"),
    "board.name": said("GORSE G4", "SHEET", "board,GORSE G4"),
    "board.serial": said("KG4-1180", "SHEET", "serial number,KG4-1180"),
    "craft.name": said("Grey Plover", "SHEET", "craft name,Grey Plover"),
    "receiver.kind": said("spi", "SHEET", "receiver type,SPI,"),
    "receiver.telemetry": said(True, "SHEET", "telemetry,yes,"),
    "channels.order": said("RTAE", "SHEET", "channel order,RTAE,"),
    "channels.low": said(992, "SHEET", "channel minimum,992,us,"),
    "channels.centre": said(1498, "SHEET", "channel centre,1498,us,"),
    "channels.high": said(2008, "SHEET", "channel maximum,2008,us,"),
    **switches_said(
        "SHEET",
        [
            ("arm", 5, 1750, 2100, _in("switches", "arm,5,1750,2100")),
            ("level", 7, 900, 1200, _in("switches", "level,7,900,1200")),
            ("beeper", 8, 1600, 2100, _in("switches", "beeper,8,1600,2100")),
        ],
    ),
    **ports_said(
        "SHEET",
        [
            ("A", ("console",), 115200, _in("serial ports", "A,console,115200,N")),
            ("B", ("overlay-link",), 230400, _in("serial ports", "B,OSD,230400,N")),
            ("C", ("rangefinder",), 19200, _in("serial ports", "C,rangefinder,19200,N")),
            ("D", ("logger",), 921600, _in("serial ports", "D,logger,921600,N")),
            ("E", ("unused",), None, _in("serial ports", "E,unused,,")),
        ],
    ),
    "overlay.enabled": said(True, "SHEET", "[overlay]", "enabled,yes,"),
    "overlay.system": said("digital", "SHEET", "[overlay]", "system,digital,"),
    "overlay.columns": said(53, "SHEET", "[overlay]", "columns,53,"),
    "overlay.rows": said(20, "SHEET", "[overlay]", "rows,20,"),
    **elements_said(
        "SHEET",
        [
            ("battery", 2, 18, True, _in("overlay elements", "battery,2,18,yes")),
            ("timer", 44, 18, True, _in("overlay elements", "timer,44,18,yes")),
            ("link-quality", 2, 1, True, _in("overlay elements", "link quality,2,1,yes")),
            ("warnings", 20, 10, True, _in("overlay elements", "warnings,20,10,yes")),
            ("horizon", 20, 9, False, _in("overlay elements", "horizon,20,9,no")),
        ],
    ),
    "video.link": said("digital", "SHEET", "[video]", "link,digital,"),
    "video.frequency_mhz": said(5839, "SHEET", "[video]", "frequency,5839,MHz,"),
    "video.power_mw": said(500.0, "SHEET", "[video]", "power,500,mW,"),
    "battery.cells": said(4, "SHEET", "[battery]", "cells,4,"),
    "battery.volts": said(15.88, "LIVE", "battery voltage,15.88,V"),
    "battery.scale": said(11.2, "SHEET", "[battery]", "voltage divider,11.2,"),
    "battery.cell_low": said(3.25, "SHEET", "[battery]", "cell minimum,3.25,V,"),
    "battery.cell_warn": said(3.45, "SHEET", "[battery]", "cell warning,3.45,V,"),
    "battery.cell_full": said(4.35, "SHEET", "[battery]", "cell maximum,4.35,V,"),
    "motors.protocol": said("dshot600", "SHEET", "[motors]", "protocol,DSHOT600,"),
    "motors.bidirectional": said(True, "SHEET", "[motors]", "bidirectional,yes,"),
    "motors.poles": said(12, "SHEET", "[motors]", "poles,12,"),
    "motors.idle_percent": said(5.8, "SHEET", "[motors]", "idle,5.8,%,"),
    "motors.reversed": said(False, "SHEET", "[motors]", "reversed,no,"),
    "motors.loop_hz": said(3200, "SHEET", "[motors]", "loop rate,3200,Hz,"),
    "failsafe.action": said("hold", "SHEET", "[failsafe]", "action,hold,"),
    "failsafe.delay_s": said(0.6, "SHEET", "[failsafe]", "delay,0.6,s,"),
    "failsafe.throttle_us": said(1180, "SHEET", "[failsafe]", "throttle,1180,us,"),
    "sensors.gyro": said("found", "LIVE", "gyro,found,"),
    "sensors.accelerometer": said("found", "LIVE", "accelerometer,found,"),
    "sensors.barometer": said("found", "LIVE", "barometer,found,"),
    "arming.blocks": said(
        ("no-receiver-link", "arm-switch-on"), "LIVE", "arming blocked,no receiver link; arm switch on,"
    ),
    "logger.device": said("card", "LIVE", "logger device,card,"),
    "logger.free_bytes": said(7516192768, "LIVE", "logger free,7516192768,bytes"),
}

_HARMS = {
    "DOUSE": Harm("OK,doused", "LIVE", "flights recorded,31,", "flights recorded,0,"),
    "FLASHER": Harm("OK,send the file"),
    "NUDGE": Harm("OK,nudging", "LIVE", "motor output,0,", "motor output,5,", "NUDGE 2"),
    "PLUMB": Harm("OK,plumb", "LIVE", "tilt error,1.2,", "tilt error,0.0,"),
    "RELAUNCH": Harm("OK,relaunching", "LIVE", "starts,405,", "starts,406,"),
    "STOREALL": Harm("OK,stored", "LIVE", "settings written,52,", "settings written,53,"),
    "PRISTINE": Harm("OK,as delivered", "SHEET", "craft name,Grey Plover", "craft name,-"),
}

_PAGES = {"HELP": _HELP, "SHEET": _SHEET, "LIVE": _LIVE, "LOADS": _LOADS}


class Kelderby(StatingConsole):
    """Made to be read by a spreadsheet: commas everywhere, the present value before the default."""

    name = "kelderby"
    kinds = ("comma-separated values", "sections with header lines", "defaults in a column", "no echo")
    banner = "Kelderby,5.1.3,ready\n"
    echo = False
    prompt = "?,"
    error = "ERR,no such word,{line}"
    help_word = "HELP"
    any_case = True
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
