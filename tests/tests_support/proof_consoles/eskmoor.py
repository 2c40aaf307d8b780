"""Eskmoor: `list` and a subject, aligned tables with a header, the limits and the unit behind the value. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.parting_consoles_a.marks import read_marks

# Bars part the cells; `_aligned` below turns them into blanks.
_SHOWN = """\
--- help
Command|Description
help|List all commands
list identity|Firmware, board and craft
list receiver|Receiver and channel settings
list switches|Switches
list ports|Serial ports
list osd|OSD settings and elements
list vtx|Video transmitter settings
list battery|Battery settings
list motors|Motor and control loop settings
list failsafe|Failsafe settings
list tuning|PID gains and filters
list logging|Flight log settings
list readings|Sensors, voltages and arming blocks
save|Write all settings to flash
reset|Restart the flight controller
defaults|Restore the default settings
flash|Enter the bootloader
run|Run one motor: run MOTOR PERCENT
calibrate|Calibrate the accelerometer
erase|Erase the flight log
--- list identity
Name|Value
Firmware name|ESKMOOR @@ firmware.name='ESKMOOR'
Firmware version|7.0.12 @@ firmware.version='7.0.12'
Firmware date|2026-03-30 @@ firmware.built='2026-03-30'
Bootloader version|1.5
Board name|TRESTLE F722 @@ board.name='TRESTLE F722'
Board revision|2
Serial number|TF7-330-0816 @@ board.serial='TF7-330-0816'
Craft name|Spare Bucket @@ craft.name='Spare Bucket'
Saves|71
Restarts|520
--- list receiver
Setting|Value|Min|Max|Unit
Receiver type|serial|-|-|- @@ receiver.kind='serial'
Receiver protocol|iBUS|-|-|- @@ receiver.protocol='ibus'
Receiver port|Serial 5|-|-|- @@ receiver.port='Serial 5'
Receiver inverted|no|-|-|- @@ receiver.inverted=False
Receiver half duplex|yes|-|-|- @@ receiver.half_duplex=True
Receiver telemetry|yes|-|-|- @@ receiver.telemetry=True
Telemetry rate|4|1|20|Hz
Channel order|AETR|-|-|- @@ channels.order='AETR'
Channel low|1002|800|1200|us @@ channels.low=1002
Channel center|1496|1400|1600|us @@ channels.centre=1496
Channel high|1999|1800|2200|us @@ channels.high=1999
Deadband|5|0|50|us
Servo center|1515|1300|1700|us
--- list switches
Function|Channel|Low us|High us
Arm|6|1710|2070 @@ switch 0 ('arm', 6, 1710, 2070)
Level|7|940|1280 @@ switch 1 ('level', 7, 940, 1280)
Turtle|10|1730|2060 @@ switch 2 ('turtle', 10, 1730, 2060)
--- list ports
Port|Function|Baud|Framing errors
Serial 1|Telemetry|57600|0 @@ port 0 ('Serial 1', ('telemetry',), 57600)
Serial 2|Console|230400|0 @@ port 1 ('Serial 2', ('console',), 230400)
Serial 3|VTX control|9600|2 @@ port 2 ('Serial 3', ('video-control',), 9600)
Serial 5|Receiver|115200|0 @@ port 3 ('Serial 5', ('receiver',), 115200)
Serial 6|Rangefinder|19200|5 @@ port 4 ('Serial 6', ('rangefinder',), 19200)
Serial 8|Unused|-|- @@ port 5 ('Serial 8', ('unused',))
--- list osd
Setting|Value|Min|Max|Unit
OSD enabled|yes|-|-|- @@ overlay.enabled=True
OSD video system|NTSC|-|-|- @@ overlay.system='ntsc'
OSD columns|30|-|-|- @@ overlay.columns=30
OSD rows|13|-|-|- @@ overlay.rows=13
OSD refresh rate|30|5|60|Hz
OSD contrast|6|0|15|-

Element|Column|Row|Visible
Battery|1|11|yes @@ element 0 ('battery', 1, 11, True)
Timer|24|11|yes @@ element 1 ('timer', 24, 11, True)
Horizon|11|6|no @@ element 2 ('horizon', 11, 6, False)
Speed|1|5|yes @@ element 3 ('speed', 1, 5, True)
--- list vtx
Setting|Value|Min|Max|Unit
Video link|analog|-|-|- @@ video.link='analog'
VTX band|F|-|-|- @@ video.band='F'
VTX channel|6|1|8|- @@ video.channel=6
VTX frequency|5840|5645|5945|MHz @@ video.frequency_mhz=5840
VTX power|100|25|600|mW @@ video.power_mw=100.0
Pit mode|no|-|-|-
Audio gain|3|0|7|-
--- list battery
Setting|Value|Min|Max|Unit
Cell count|3|1|8|- @@ battery.cells=3
Cell low voltage|3.28|2.50|4.00|V @@ battery.cell_low=3.28
Cell warning voltage|3.48|2.50|4.10|V @@ battery.cell_warn=3.48
Cell full voltage|4.18|3.90|4.45|V @@ battery.cell_full=4.18
Voltage divider|10.8|1.0|50.0|- @@ battery.scale=10.8
Capacity|850|0|20000|mAh
Current scale|28|1|500|mV/A
--- list motors
Setting|Value|Min|Max|Unit
Motor protocol|DSHOT150|-|-|- @@ motors.protocol='dshot150'
Bidirectional DShot|no|-|-|- @@ motors.bidirectional=False
Motor poles|12|4|48|- @@ motors.poles=12
Motor idle|7.2|0.0|20.0|% @@ motors.idle_percent=7.2
Motors reversed|no|-|-|- @@ motors.reversed=False
Motor KV|3800|100|20000|rpm/V
Throttle limit|90|25|100|%
Control loop rate|3200|1000|8000|Hz @@ motors.loop_hz=3200
Gyro sample rate|6400|1000|8000|Hz
--- list failsafe
Setting|Value|Min|Max|Unit
Failsafe action|hold|-|-|- @@ failsafe.action='hold'
Failsafe delay|600|100|20000|ms @@ failsafe.delay_s=0.6
Failsafe throttle|1240|900|2100|us @@ failsafe.throttle_us=1240
Failsafe recovery time|1500|0|10000|ms
--- list tuning
Setting|Value|Min|Max|Unit
Roll P|38|0|250|-
Roll I|70|0|250|-
Roll D|25|0|250|-
Pitch P|40|0|250|-
Pitch I|73|0|250|-
Pitch D|27|0|250|-
Yaw P|36|0|250|-
Gyro lowpass|180|0|500|Hz
--- list logging
Setting|Value|Min|Max|Unit
Log device|flash|-|-|- @@ logger.device='flash'
Log rate|500|10|4000|Hz
--- list readings
Reading|Value|Unit
Gyro|found|- @@ sensors.gyro='found'
Accelerometer|found|- @@ sensors.accelerometer='found'
Barometer|missing|- @@ sensors.barometer='missing'
Compass|missing|-
Tilt|0.9|deg
Battery voltage|11.79|V @@ battery.volts=11.79
Battery current|0.21|A
Supply voltage|4.98|V
Motor output|0|%
Arming blocked by|USB connected|- @@ arming.blocks=('usb-connected',)
Log free space|7340032|bytes @@ logger.free_bytes=7340032
Log files|11|-
CPU load|34|%
CPU temperature|51|C
Uptime|308|s
"""

_GAP = 3


def _aligned(shown: str) -> str:
    """The tables with their cells below each other; an empty line or a new page begins another table."""
    out: list[str] = []
    table: list[tuple[list[str], str]] = []
    for line in [*shown.splitlines(), ""]:
        cells, _, mark = line.partition(" @@ ")
        if "|" in cells:
            table.append((cells.split("|"), mark))
            continue
        widths = [max(map(len, column)) + _GAP for column in zip(*(row for row, _ in table), strict=True)]
        for row, told in table:
            text = "".join(f"{cell:<{width}}" for cell, width in zip(row, widths, strict=True)).rstrip()
            out.append(f"{text} @@ {told}" if told else text)
        table.clear()
        out.append(line)
    return "\n".join(out)


_PAGES, _STATED = read_marks(_aligned(_SHOWN).rstrip() + "\n")


def _harm(prints: str, page: str, name: str, before: str, after: str, sample: str = "") -> Harm:
    """A harm that is seen in the line of a page that begins with a name."""
    [line] = [line for line in _PAGES[page].splitlines() if line.startswith(name + " ")]
    return Harm(prints, page, line, line.replace(before, f"{after:<{len(before)}}"), sample)


_HARMS = {
    "save": _harm("Saved.", "list identity", "Saves", "71", "72"),
    "reset": _harm("Restarting.", "list identity", "Restarts", "520", "521"),
    "defaults": _harm("Defaults restored.", "list identity", "Craft name", "Spare Bucket", "-"),
    "flash": Harm("Bootloader 1.5"),
    "run": _harm("Motor 2 at 5 %.", "list readings", "Motor output", " 0 ", " 5 ", sample="run 2 5"),
    "calibrate": _harm("Calibrated.", "list readings", "Tilt", "0.9", "0.0"),
    "erase": _harm("Erased.", "list readings", "Log files", "11", "0"),
}


class Eskmoor(StatingConsole):
    """A dash stands where a cell has nothing to say."""

    name = "eskmoor"
    kinds = (
        "commands of two words",
        "aligned tables with headers",
        "limits and unit behind the value",
        "help in a table",
    )
    banner = "ESKMOOR 7.0.12\n"
    prompt = "> "
    error = "No such command: {line} (see help)"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
