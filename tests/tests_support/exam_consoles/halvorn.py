"""Halvorn: words with a capital, tables between bars with a column of units, a line that ends each reply. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_HELP = """\
 Word    | Meaning
---------+---------------------------------------
 Again   | come up fresh
 Burn    | put the values into flash
 Checks  | sensors, and why it stays on the ground
 Escs    | motor outputs
 Fs      | what happens when the link goes
 Help    | this table
 Info    | firmware, board and craft
 Load    | processor and memory
 Loops   | gains and filters
 Meet    | look for a new transmitter
 Nudge   | move each output a little in turn
 Osd     | overlay of the picture
 Pack    | flight battery
 Plain   | undo everything that anybody changed
 Radio   | receiver and channels
 Rates   | stick feel
 Receive | stand by for an image
 Settle  | let the gyro find its rest
 Uarts   | who talks on which port
 Vtx     | picture transmitter
-- ok
"""

_INFO = """\
 Item           | Value
----------------+-------------
 Firmware       | Halvorn
 Release        | 7.3.1
 Build date     | 2026-04-18
 Flight board   | SKERRY F722
 Board revision | 2.1
 Craft name     | Tin Whistle
 Loader release | 1.2
 Config layout  | 31
 Power-ups      | 318
 Chip clock     | 216 MHz
-- ok
"""

_RADIO = """\
 Setting        | Value  | Unit
----------------+--------+------
 Receiver type  | serial |
 Protocol       | CRSF   |
 Port           | UART3  |
 Inverted       | no     |
 Telemetry      | yes    |
 Channel order  | ETAR   |
 Channel low    | 988    | us
 Channel centre | 1500   | us
 Channel high   | 2012   | us
 Deadband       | 5      | us
 Frame gap      | 6.7    | ms
 Smoothing      | 12     | %
 Antennas       | 2      |
 Packet rate    | 250    | Hz
-- ok
"""

_UARTS = """\
 Port  | Used for      | Baud   | Bad frames
-------+---------------+--------+-----------
 USB   | console       | -      | 0
 UART1 | GPS           | 115200 | 3
 UART3 | receiver      | 420000 | 0
 UART4 | VTX control   | 9600   | 0
 UART5 | ESC telemetry | 115200 | 1
 UART6 | not used      | -      | 0
-- ok
"""

_OSD = """\
 Setting        | Value  | Unit
----------------+--------+------
 Overlay        | on     |
 Video standard | NTSC   |
 Columns        | 30     |
 Rows           | 13     |
 Font           | 2      |
 Blink every    | 0.5    | s
 Brightness     | 7      |

 Columns and rows of the elements count from 0.
 Element        | Column | Row | Shown
----------------+--------+-----+------
 Battery        | 1      | 12  | yes
 Timer          | 23     | 12  | yes
 Link quality   | 1      | 1   | yes
 Craft name     | 10     | 11  | no
-- ok
"""

_VTX = """\
 Setting        | Value  | Unit
----------------+--------+------
 Video link     | analog |
 Band           | E      |
 Channel        | 5      |
 Frequency      | 5885   | MHz
 Output power   | 400    | mW
 Pit mode       | off    |
 Temperature    | 51     | C
 Table version  | 9      |
-- ok
"""

_PACK = """\
 Setting        | Value  | Unit
----------------+--------+------
 Cells          | 4      |
 Pack voltage   | 15.72  | V
 Cell empty     | 3.25   | V
 Cell warning   | 3.45   | V
 Cell full      | 4.20   | V
 Divider ratio  | 10.1   |
 Current        | 0.6    | A
 Capacity       | 1550   | mAh
 Clock cell     | 3.01   | V
 Averaged over  | 200    | ms
-- ok
"""

_ESCS = """\
 Setting        | Value    | Unit
----------------+----------+------
 Motor protocol | DSHOT300 |
 Bidirectional  | yes      |
 Motor poles    | 12       |
 Motor idle     | 4.8      | %
 Loop rate      | 3200     | Hz
 Motor KV       | 2550     |
 Thrust limit   | 90       | %
 Output 1 now   | 0        | %
 Beacon tone    | 3        |
-- ok
"""

_FS = """\
 Setting         | Value  | Unit
-----------------+--------+------
 Failsafe action | drop   |
 Failsafe delay  | 400    | ms
 Throttle then   | 1000   | us
 Recovery time   | 2.0    | s
 Climb rate      | 2.5    | m/s
 Satellites      | 8      |
-- ok
"""

_CHECKS = """\
 Sensor         | State   | Bus
----------------+---------+------
 Gyro           | found   | SPI1
 Accelerometer  | found   | SPI1
 Barometer      | found   | I2C1
 Compass        | missing | I2C1

 Arming blocked by
-------------------
 throttle not low
 no receiver link

 Recorder       | Value   | Unit
----------------+---------+------
 Free           | 8388608 | bytes
 Rate           | 500     | Hz
-- ok
"""

_RATES = """\
 Axis  | Centre | Most | Expo
-------+--------+------+-----
 Roll  | 70     | 670  | 0.10
 Pitch | 70     | 670  | 0.10
 Yaw   | 60     | 560  | 0.05
-- ok
"""

_LOOPS = """\
 Axis  | P  | I  | D
-------+----+----+---
 Roll  | 45 | 82 | 30
 Pitch | 48 | 86 | 33
 Yaw   | 41 | 82 | 0

 Filter         | Value  | Unit
----------------+--------+------
 Gyro lowpass   | 210    | Hz
 D lowpass      | 100    | Hz
 Gyro rest      | 7      |
-- ok
"""

_LOAD = """\
 Job     | Rate | Mean us | Worst us
---------+------+---------+---------
 Gyro    | 6400 | 11      | 17
 Control | 3200 | 58      | 81
 Radio   | 250  | 19      | 33
 Overlay | 15   | 130     | 870

 Figure         | Value  | Unit
----------------+--------+------
 Processor load | 28     | %
 Memory free    | 41     | KiB
 Unsaved values | 2      |
-- ok
"""

_STATED = {
    "firmware.name": said("Halvorn", "Info", "Firmware       | Halvorn"),
    "firmware.version": said("7.3.1", "Info", "Release        | 7.3.1"),
    "firmware.built": said("2026-04-18", "Info", "Build date     | 2026-04-18"),
    "board.name": said("SKERRY F722", "Info", "Flight board   | SKERRY F722"),
    "craft.name": said("Tin Whistle", "Info", "Craft name     | Tin Whistle"),
    "receiver.kind": said("serial", "Radio", "Receiver type  | serial"),
    "receiver.protocol": said("crsf", "Radio", "Protocol       | CRSF"),
    "receiver.port": said("UART3", "Radio", "Port           | UART3"),
    "receiver.inverted": said(False, "Radio", "Inverted       | no"),
    "receiver.telemetry": said(True, "Radio", "Telemetry      | yes"),
    "channels.order": said("ETAR", "Radio", "Channel order  | ETAR"),
    "channels.low": said(988, "Radio", "Channel low    | 988    | us"),
    "channels.centre": said(1500, "Radio", "Channel centre | 1500   | us"),
    "channels.high": said(2012, "Radio", "Channel high   | 2012   | us"),
    "ports[0].id": said("USB", "Uarts", "USB   | console       | -      | 0"),
    "ports[0].roles": said(("console",), "Uarts", "USB   | console       | -      | 0"),
    "ports[1].id": said("UART1", "Uarts", "UART1 | GPS           | 115200 | 3"),
    "ports[1].roles": said(("positioning",), "Uarts", "UART1 | GPS           | 115200 | 3"),
    "ports[1].baud": said(115200, "Uarts", "UART1 | GPS           | 115200 | 3"),
    "ports[2].id": said("UART3", "Uarts", "UART3 | receiver      | 420000 | 0"),
    "ports[2].roles": said(("receiver",), "Uarts", "UART3 | receiver      | 420000 | 0"),
    "ports[2].baud": said(420000, "Uarts", "UART3 | receiver      | 420000 | 0"),
    "ports[3].id": said("UART4", "Uarts", "UART4 | VTX control   | 9600   | 0"),
    "ports[3].roles": said(("video-control",), "Uarts", "UART4 | VTX control   | 9600   | 0"),
    "ports[3].baud": said(9600, "Uarts", "UART4 | VTX control   | 9600   | 0"),
    "ports[4].id": said("UART5", "Uarts", "UART5 | ESC telemetry | 115200 | 1"),
    "ports[4].roles": said(("esc-telemetry",), "Uarts", "UART5 | ESC telemetry | 115200 | 1"),
    "ports[4].baud": said(115200, "Uarts", "UART5 | ESC telemetry | 115200 | 1"),
    "ports[5].id": said("UART6", "Uarts", "UART6 | not used      | -      | 0"),
    "ports[5].roles": said(("unused",), "Uarts", "UART6 | not used      | -      | 0"),
    "overlay.enabled": said(True, "Osd", "Overlay        | on"),
    "overlay.system": said("ntsc", "Osd", "Video standard | NTSC"),
    "overlay.columns": said(30, "Osd", "Columns        | 30"),
    "overlay.rows": said(13, "Osd", "Rows           | 13"),
    "overlay.elements[0].name": said("battery", "Osd", "Battery        | 1      | 12  | yes"),
    "overlay.elements[0].column": said(1, "Osd", "Battery        | 1      | 12  | yes"),
    "overlay.elements[0].row": said(12, "Osd", "Battery        | 1      | 12  | yes"),
    "overlay.elements[0].shown": said(True, "Osd", "Battery        | 1      | 12  | yes"),
    "overlay.elements[1].name": said("timer", "Osd", "Timer          | 23     | 12  | yes"),
    "overlay.elements[1].column": said(23, "Osd", "Timer          | 23     | 12  | yes"),
    "overlay.elements[1].row": said(12, "Osd", "Timer          | 23     | 12  | yes"),
    "overlay.elements[1].shown": said(True, "Osd", "Timer          | 23     | 12  | yes"),
    "overlay.elements[2].name": said("link-quality", "Osd", "Link quality   | 1      | 1   | yes"),
    "overlay.elements[2].column": said(1, "Osd", "Link quality   | 1      | 1   | yes"),
    "overlay.elements[2].row": said(1, "Osd", "Link quality   | 1      | 1   | yes"),
    "overlay.elements[2].shown": said(True, "Osd", "Link quality   | 1      | 1   | yes"),
    "overlay.elements[3].name": said("craft-name", "Osd", "Craft name     | 10     | 11  | no"),
    "overlay.elements[3].column": said(10, "Osd", "Craft name     | 10     | 11  | no"),
    "overlay.elements[3].row": said(11, "Osd", "Craft name     | 10     | 11  | no"),
    "overlay.elements[3].shown": said(False, "Osd", "Craft name     | 10     | 11  | no"),
    "video.link": said("analog", "Vtx", "Video link     | analog"),
    "video.band": said("E", "Vtx", "Band           | E "),
    "video.channel": said(5, "Vtx", "Channel        | 5 "),
    "video.frequency_mhz": said(5885, "Vtx", "Frequency      | 5885   | MHz"),
    "video.power_mw": said(400.0, "Vtx", "Output power   | 400    | mW"),
    "battery.cells": said(4, "Pack", "Cells          | 4 "),
    "battery.volts": said(15.72, "Pack", "Pack voltage   | 15.72  | V"),
    "battery.cell_low": said(3.25, "Pack", "Cell empty     | 3.25   | V"),
    "battery.cell_warn": said(3.45, "Pack", "Cell warning   | 3.45   | V"),
    "battery.cell_full": said(4.2, "Pack", "Cell full      | 4.20   | V"),
    "battery.scale": said(10.1, "Pack", "Divider ratio  | 10.1"),
    "motors.protocol": said("dshot300", "Escs", "Motor protocol | DSHOT300"),
    "motors.bidirectional": said(True, "Escs", "Bidirectional  | yes"),
    "motors.poles": said(12, "Escs", "Motor poles    | 12"),
    "motors.idle_percent": said(4.8, "Escs", "Motor idle     | 4.8      | %"),
    "motors.loop_hz": said(3200, "Escs", "Loop rate      | 3200     | Hz"),
    "failsafe.action": said("drop", "Fs", "Failsafe action | drop"),
    "failsafe.delay_s": said(0.4, "Fs", "Failsafe delay  | 400    | ms"),
    "failsafe.throttle_us": said(1000, "Fs", "Throttle then   | 1000   | us"),
    "sensors.gyro": said("found", "Checks", "Gyro           | found   | SPI1"),
    "sensors.accelerometer": said("found", "Checks", "Accelerometer  | found   | SPI1"),
    "sensors.barometer": said("found", "Checks", "Barometer      | found   | I2C1"),
    "arming.blocks": said(
        ("throttle-not-low", "no-receiver-link"),
        "Checks",
        "Arming blocked by",
        "throttle not low",
        "no receiver link",
    ),
    "logger.free_bytes": said(8388608, "Checks", "Free           | 8388608 | bytes"),
}

_HARMS = {
    "Again": Harm("-- Halvorn 7.3.1 coming up", "Info", "Power-ups      | 318", "Power-ups      | 319"),
    "Burn": Harm("-- burnt", "Load", "Unsaved values | 2", "Unsaved values | 0"),
    "Meet": Harm("-- receiver listens", "Radio", "Protocol       | CRSF", "Protocol       | -   "),
    "Nudge": Harm("-- outputs 1 to 4", "Escs", "Output 1 now   | 0 ", "Output 1 now   | 6 "),
    "Plain": Harm("-- plain values", "Info", "Craft name     | Tin Whistle", "Craft name     | "),
    "Receive": Harm("-- waiting"),
    "Settle": Harm("-- settled", "Loops", "Gyro rest      | 7", "Gyro rest      | 0"),
}

_PAGES = {
    "Help": _HELP,
    "help": _HELP,
    "Info": _INFO,
    "Radio": _RADIO,
    "Uarts": _UARTS,
    "Osd": _OSD,
    "Vtx": _VTX,
    "Pack": _PACK,
    "Escs": _ESCS,
    "Fs": _FS,
    "Checks": _CHECKS,
    "Rates": _RATES,
    "Loops": _LOOPS,
    "Load": _LOAD,
}


class Halvorn(StatingConsole):
    """Capital and small letters matter, except in `Help`; tables between bars; units in a column."""

    name = "halvorn"
    kinds = ("words with a capital", "aligned tables between bars", "units in their own column")
    banner = "Halvorn 7.3.1 - type Help\n"
    prompt = "hvn| "
    error = "-- no word {line}, see Help"
    help_word = "Help"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
