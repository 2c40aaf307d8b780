"""Dunmallow: bordered tables with header rows, the unit in a column or in the header, two-word commands. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_a.rows import element_rows, port_rows, switch_rows

_HELP = """\
+----------------+------------------------------------------+
| command        | effect                                   |
+----------------+------------------------------------------+
| list commands  | this table                               |
| list identity  | board and firmware                       |
| list receiver  | receiver, channels and loss of link      |
| list switches  | what the transmitter's switches do       |
| list ports     | serial ports                             |
| list overlay   | overlay, its elements and the video link |
| list power     | battery, its limits and its sensors      |
| list motors    | motor outputs and control loop           |
| list tuning    | gains                                    |
| list state     | sensors, log and reasons for not arming  |
| commit         | keep the settings through power off      |
| reboot         | restart the processor                    |
| revert         | all settings to their defaults           |
| spin           | turn the motors slowly                   |
| trim           | take the present attitude as level       |
| download       | enter the serial loader                  |
+----------------+------------------------------------------+
"""

_IDENTITY = """\
+---------------------+----------------------+
| item                | value                |
+---------------------+----------------------+
| firmware            | Dunmallow            |
| firmware version    | 7.3.0                |
| board               | Mallow Wing G4       |
| board serial number | MW4-118820           |
| craft name          | Left Sock            |
| settings commits    | 58                   |
+---------------------+----------------------+
"""

_RECEIVER = """\
+------------------------+--------+------+---------+
| setting                | value  | unit | default |
+------------------------+--------+------+---------+
| receiver type          | serial |      | none    |
| receiver protocol      | crsf   |      | sbus    |
| receiver port          | ser2   |      | ser1    |
| receiver signal invert | off    |      | off     |
| receiver half duplex   | off    |      | off     |
| receiver telemetry     | on     |      | off     |
| telemetry baud rate    | 38400  | baud | 57600   |
| channel order          | ETAR   |      | AETR    |
| channel minimum        | 990    | us   | 1000    |
| channel centre         | 1501   | us   | 1500    |
| channel maximum        | 2011   | us   | 2000    |
| channel deadband       | 3      | us   | 5       |
| stick expo             | 15     | %    | 0       |
| failsafe action        | hold   |      | drop    |
| failsafe delay         | 900    | ms   | 400     |
| failsafe throttle      | 1275   | us   | 1000    |
| failsafe bank angle    | 8      | deg  | 0       |
+------------------------+--------+------+---------+
"""

_SWITCHES = """\
+----------+---------+---------+-------+-------+
| function | channel | from us | to us | moved |
+----------+---------+---------+-------+-------+
| arm      | 5       | 1600    | 2100  | 0     |
| level    | 6       | 1000    | 1200  | 3     |
| beeper   | 10      | 1450    | 2100  | 1     |
+----------+---------+---------+-------+-------+
"""

_PORTS = """\
+------+---------------+--------+--------+----------+
| port | function      | baud   | parity | overruns |
+------+---------------+--------+--------+----------+
| usb  | console       | 115200 | none   | 0        |
| ser1 | vtx control   | 9600   | none   | 0        |
| ser2 | receiver      | 420000 | none   | 1        |
| ser3 | esc telemetry | 115200 | none   | 0        |
| ser4 | lidar         | 115200 | even   | 12       |
| ser5 | not used      |        |        |          |
+------+---------------+--------+--------+----------+
"""

_OVERLAY = """\
+------------------+--------+------+
| setting          | value  | unit |
+------------------+--------+------+
| overlay          | on     |      |
| video system     | pal    |      |
| grid columns     | 30     |      |
| grid rows        | 16     |      |
| video link       | analog |      |
| video band       | E      |      |
| video channel    | 2      |      |
| video frequency  | 5685   | MHz  |
| video power      | 0.1    | W    |
| video power, max | 0.6    | W    |
+------------------+--------+------+

+--------------+--------+-----+---------+-------+
| element      | column | row | visible | blink |
+--------------+--------+-----+---------+-------+
| battery      | 2      | 14  | yes     | yes   |
| timer        | 24     | 14  | yes     | no    |
| link quality | 24     | 2   | yes     | yes   |
| warnings     | 8      | 10  | yes     | yes   |
| horizon      | 10     | 7   | no      | no    |
+--------------+--------+-----+---------+-------+
"""

_POWER = """\
+-----------------------+-------+-------+
| quantity              | value | unit  |
+-----------------------+-------+-------+
| battery cells         | 3     |       |
| battery voltage       | 11.94 | V     |
| battery current       | 0.37  | A     |
| battery capacity      | 850   | mAh   |
| cell voltage, lowest  | 3.30  | V     |
| cell voltage, warning | 3.55  | V     |
| cell voltage, full    | 4.20  | V     |
| voltage divider       | 10.2  |       |
| logic supply voltage  | 3.31  | V     |
+-----------------------+-------+-------+
"""

_MOTORS = """\
+--------------------------+----------+-------+
| setting                  | value    | unit  |
+--------------------------+----------+-------+
| motor protocol           | dshot150 |       |
| bidirectional            | off      |       |
| magnets on the bell      | 12       |       |
| motor idle               | 4.8      | %     |
| motor direction reversed | off      |       |
| motor kv                 | 3800     | rpm/V |
| output now               | 0        | %     |
| loop rate                | 2        | kHz   |
| gyro sample rate         | 4        | kHz   |
+--------------------------+----------+-------+
"""

_TUNING = """\
+-------+----+----+----+
| axis  | p  | i  | d  |
+-------+----+----+----+
| roll  | 36 | 65 | 22 |
| pitch | 39 | 69 | 25 |
| yaw   | 33 | 65 | 0  |
+-------+----+----+----+
"""

_STATE = """\
+---------------+---------+
| sensor        | state   |
+---------------+---------+
| gyro          | present |
| accelerometer | present |
| barometer     | present |
| compass       | absent  |
+---------------+---------+

+--------------------+---------+-------+
| reading            | value   | unit  |
+--------------------+---------+-------+
| processor load     | 28      | %     |
| starts             | 390     |       |
| level trim         | 2.1     | deg   |
| log device         | flash   |       |
| log free           | 3670016 | bytes |
| log rate           | 250     | Hz    |
+--------------------+---------+-------+

+------------------------+
| not arming because     |
+------------------------+
| no receiver signal     |
| craft is not level     |
| the arm switch is on   |
+------------------------+
"""

_ID, _RX, _OVL, _PWR = "list identity", "list receiver", "list overlay", "list power"
_MOT, _NOW = "list motors", "list state"
_WHY = ("no-receiver-link", "not-level", "arm-switch-on")
_STATED = {
    "firmware.name": said("Dunmallow", _ID, "| firmware            | Dunmallow "),
    "firmware.version": said("7.3.0", _ID, "| firmware version    | 7.3.0 "),
    "board.name": said("Mallow Wing G4", _ID, "| board               | Mallow Wing G4 "),
    "board.serial": said("MW4-118820", _ID, "| board serial number | MW4-118820 "),
    "craft.name": said("Left Sock", _ID, "| craft name          | Left Sock "),
    "receiver.kind": said("serial", _RX, "| receiver type          | serial "),
    "receiver.protocol": said("crsf", _RX, "| receiver protocol      | crsf "),
    "receiver.port": said("ser2", _RX, "| receiver port          | ser2 "),
    "receiver.inverted": said(False, _RX, "| receiver signal invert | off "),
    "receiver.half_duplex": said(False, _RX, "| receiver half duplex   | off "),
    "receiver.telemetry": said(True, _RX, "| receiver telemetry     | on "),
    "channels.order": said("ETAR", _RX, "| channel order          | ETAR "),
    "channels.low": said(990, _RX, "| channel minimum        | 990    | us "),
    "channels.centre": said(1501, _RX, "| channel centre         | 1501   | us "),
    "channels.high": said(2011, _RX, "| channel maximum        | 2011   | us "),
    "failsafe.action": said("hold", _RX, "| failsafe action        | hold "),
    "failsafe.delay_s": said(0.9, _RX, "| failsafe delay         | 900    | ms "),
    "failsafe.throttle_us": said(1275, _RX, "| failsafe throttle      | 1275   | us "),
    **switch_rows(
        "list switches",
        (("| arm      | 5       | 1600    | 2100 ",), "arm", 5, 1600, 2100),
        (("| level    | 6       | 1000    | 1200 ",), "level", 6, 1000, 1200),
        (("| beeper   | 10      | 1450    | 2100 ",), "beeper", 10, 1450, 2100),
    ),
    **port_rows(
        "list ports",
        (("| usb  | console       | 115200 ",), "usb", ("console",), 115200),
        (("| ser1 | vtx control   | 9600 ",), "ser1", ("video-control",), 9600),
        (("| ser2 | receiver      | 420000 ",), "ser2", ("receiver",), 420000),
        (("| ser3 | esc telemetry | 115200 ",), "ser3", ("esc-telemetry",), 115200),
        (("| ser4 | lidar         | 115200 ",), "ser4", ("rangefinder",), 115200),
        (("| ser5 | not used      | ",), "ser5", ("unused",), None),
    ),
    "overlay.enabled": said(True, _OVL, "| overlay          | on "),
    "overlay.system": said("pal", _OVL, "| video system     | pal "),
    "overlay.columns": said(30, _OVL, "| grid columns     | 30 "),
    "overlay.rows": said(16, _OVL, "| grid rows        | 16 "),
    **element_rows(
        _OVL,
        (("| battery      | 2      | 14  | yes ",), "battery", 2, 14, True),
        (("| timer        | 24     | 14  | yes ",), "timer", 24, 14, True),
        (("| link quality | 24     | 2   | yes ",), "link-quality", 24, 2, True),
        (("| warnings     | 8      | 10  | yes ",), "warnings", 8, 10, True),
        (("| horizon      | 10     | 7   | no ",), "horizon", 10, 7, False),
    ),
    "video.link": said("analog", _OVL, "| video link       | analog "),
    "video.band": said("E", _OVL, "| video band       | E "),
    "video.channel": said(2, _OVL, "| video channel    | 2 "),
    "video.frequency_mhz": said(5685, _OVL, "| video frequency  | 5685   | MHz "),
    "video.power_mw": said(100.0, _OVL, "| video power      | 0.1    | W "),
    "battery.cells": said(3, _PWR, "| battery cells         | 3 "),
    "battery.volts": said(11.94, _PWR, "| battery voltage       | 11.94 | V "),
    "battery.scale": said(10.2, _PWR, "| voltage divider       | 10.2 "),
    "battery.cell_low": said(3.3, _PWR, "| cell voltage, lowest  | 3.30  | V "),
    "battery.cell_warn": said(3.55, _PWR, "| cell voltage, warning | 3.55  | V "),
    "battery.cell_full": said(4.2, _PWR, "| cell voltage, full    | 4.20  | V "),
    "motors.protocol": said("dshot150", _MOT, "| motor protocol           | dshot150 "),
    "motors.bidirectional": said(False, _MOT, "| bidirectional            | off "),
    "motors.poles": said(12, _MOT, "| magnets on the bell      | 12 "),
    "motors.idle_percent": said(4.8, _MOT, "| motor idle               | 4.8      | % "),
    "motors.reversed": said(False, _MOT, "| motor direction reversed | off "),
    "motors.loop_hz": said(2000, _MOT, "| loop rate                | 2        | kHz "),
    "arming.blocks": said(_WHY, _NOW, "| no receiver signal ", "| craft is not level ", "| the arm switch is on "),
    "sensors.gyro": said("found", _NOW, "| gyro          | present "),
    "sensors.accelerometer": said("found", _NOW, "| accelerometer | present "),
    "sensors.barometer": said("found", _NOW, "| barometer     | present "),
    "logger.device": said("flash", _NOW, "| log device         | flash "),
    "logger.free_bytes": said(3670016, _NOW, "| log free           | 3670016 | bytes "),
}

_HARMS = {
    "commit": Harm("settings kept", _ID, "| settings commits    | 58 ", "| settings commits    | 59 "),
    "reboot": Harm("rebooting", _NOW, "| starts             | 390 ", "| starts             | 391 "),
    "revert": Harm("defaults", _ID, "| craft name          | Left Sock ", "| craft name          |           "),
    "spin": Harm("motors turn", _MOT, "| output now               | 0 ", "| output now               | 5 "),
    "trim": Harm("level taken", _NOW, "| level trim         | 2.1 ", "| level trim         | 0.0 "),
    "download": Harm("loader 2.5"),
}

_PAGES = {
    "list commands": _HELP,
    _ID: _IDENTITY,
    _RX: _RECEIVER,
    "list switches": _SWITCHES,
    "list ports": _PORTS,
    _OVL: _OVERLAY,
    _PWR: _POWER,
    _MOT: _MOTORS,
    "list tuning": _TUNING,
    _NOW: _STATE,
}


class Dunmallow(StatingConsole):
    """Everything stands in a table with borders; reading words are two, harmful ones are one."""

    name = "dunmallow"
    kinds = ("bordered tables with headers", "commands of two words", "help in a table")
    prompt = "DM7 % "
    error = "| no such command: {line} (try list commands) |"
    help_word = "list commands"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
