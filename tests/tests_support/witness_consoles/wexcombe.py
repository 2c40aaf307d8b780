"""Wexcombe: `show` and a subject, answered with tables that have a header, a unit column and the defaults. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_HELP = """\
help            list the commands
show board      firmware and hardware
show ports      serial ports
show receiver   receiver, channels and failsafe settings
show switches   switch ranges
show overlay    overlay settings and elements
show video      video transmitter settings
show power      battery settings and measurements
show motors     motor and loop settings
show pid        gains and filters
show health     sensors, arming and log
assign          give a setting a value: assign NAME VALUE
commit          write settings to flash
wipe            return to default settings
reset           restart the board
upgrade         start the boot loader
run-motor       turn a motor: run-motor NUMBER PERCENT
cal-gyro        calibrate the gyroscope
"""

_BOARD = """\
Item               Value
-----------------  ------------------
Firmware           Wexcombe
Version            2.0.8
Build date         2032-11-03
Board              Larch H7 Nano
Board id           5D-1180-66
Craft name         Early Riser
Saved              9 times
Started            204 times
Processor clock    480 MHz
"""

_PORTS = """\
Port     Function         Baud     Errors
-------  ---------------  -------  ------
USB      Console          115200   0
UART1    Receiver         420000   3
UART2    Digital OSD      115200   0
UART3    Telemetry        57600    0
UART5    ESC telemetry    115200   1
UART6    Rangefinder      19200    0
UART7    None             9600     0
"""

_RECEIVER = """\
Setting                Value     Unit   Default
---------------------  --------  -----  --------
Receiver type          serial    -      serial
Receiver protocol      CRSF      -      SBUS
Receiver port          UART1     -      UART1
Signal inverted        no        -      yes
Half duplex            yes       -      no
Telemetry              enabled   -      disabled
Channel order          AETR      -      AETR
Pulse minimum          1012      us     1000
Pulse centre           1500      us     1500
Pulse maximum          1988      us     2000
Dead band              5         us     0
Failsafe action        return    -      drop
Failsafe delay         800       ms     500
Failsafe throttle      1290      us     1000
Failsafe climb         15        m      10
"""

_SWITCHES = """\
Function   Channel  From us  To us
---------  -------  -------  -----
Arm        5        1800     2100
Level      7        1350     1650
Turtle     7        1700     2080
Beeper     11       1550     2060
"""

_OVERLAY = """\
Setting                Value     Unit   Default
---------------------  --------  -----  --------
Overlay                on        -      on
Overlay system         digital   -      auto
Overlay columns        53        -      30
Overlay rows           20        -      16
Units                  metric    -      metric

Element        Column  Row  Width  Shown
-------------  ------  ---  -----  -----
Battery        3       18   7      yes
Timer          44      18   6      yes
Link quality   46      1    5      no
Horizon        20      9    14     yes
Speed          4       9    6      no
"""

_VIDEO = """\
Setting                Value     Unit   Default
---------------------  --------  -----  --------
Video link             digital   -      digital
Frequency              5770      MHz    5800
Output power           500       mW     25
Bit rate               25        Mb/s   25
Low power disarmed     yes       -      no
"""

_POWER = """\
Setting                Value     Unit   Default
---------------------  --------  -----  --------
Cell count             6         -      4
Cell voltage minimum   3.10      V      3.30
Cell voltage warning   3.45      V      3.50
Cell voltage full      4.20      V      4.20
Voltage divider        15.5      -      11.0
Capacity               1400      mAh    0

Measured               Value     Unit
---------------------  --------  -----
Battery voltage        22.74     V
Regulator voltage      9.92      V
Current                0.72      A
Used                   31        mAh
"""

_MOTORS = """\
Setting                Value     Unit   Default
---------------------  --------  -----  --------
Motor protocol         DShot600  -      DShot300
Bidirectional DShot    on        -      off
Motor poles            14        -      12
Motor idle             4.5       %      5.5
Motors reversed        yes       -      no
Loop rate              4000      Hz     8000
Servo centre           1520      us     1500
Beacon tone            2         -      1
"""

_PID = """\
Axis    P    I    D
------  ---  ---  ---
Roll    46   81   32
Pitch   49   85   36
Yaw     42   81   0

Filter           Cutoff Hz
---------------  ---------
Gyro low pass    200
D low pass       110
Servo            50
"""

_HEALTH = """\
Item                   State
---------------------  ---------------------
Gyro                   found
Accelerometer          found
Barometer              missing
Gyro offset            23
Processor temperature  49 C
Uptime                 1210 s
Motor output           0 %
Arming blocked         usb connected
Log device             none
Log rate               500 Hz
"""

_SET = "Setting                Value     Unit   Default"
_PORT_HEAD = "Port     Function         Baud     Errors"
_SWITCH_HEAD = "Function   Channel  From us  To us"
_ELEMENT_HEAD = "Element        Column  Row  Width  Shown"
_MEASURED = "Measured               Value     Unit"

_PORT_ROWS = (
    ("USB", "console", 115200, "USB      Console          115200   0"),
    ("UART1", "receiver", 420000, "UART1    Receiver         420000   3"),
    ("UART2", "overlay-link", 115200, "UART2    Digital OSD      115200   0"),
    ("UART3", "telemetry", 57600, "UART3    Telemetry        57600    0"),
    ("UART5", "esc-telemetry", 115200, "UART5    ESC telemetry    115200   1"),
    ("UART6", "rangefinder", 19200, "UART6    Rangefinder      19200    0"),
    ("UART7", "unused", 9600, "UART7    None             9600     0"),
)
_SWITCH_ROWS = (
    ("arm", 5, 1800, 2100, "Arm        5        1800     2100"),
    ("level", 7, 1350, 1650, "Level      7        1350     1650"),
    ("turtle", 7, 1700, 2080, "Turtle     7        1700     2080"),
    ("beeper", 11, 1550, 2060, "Beeper     11       1550     2060"),
)
_ELEMENT_ROWS = (
    ("battery", 3, 18, 7, True, "Battery        3       18   7      yes"),
    ("timer", 44, 18, 6, True, "Timer          44      18   6      yes"),
    ("link-quality", 46, 1, 5, False, "Link quality   46      1    5      no"),
    ("horizon", 20, 9, 14, True, "Horizon        20      9    14     yes"),
    ("speed", 4, 9, 6, False, "Speed          4       9    6      no"),
)

_STATED = {
    "firmware.name": said("Wexcombe", "show board", "Firmware           Wexcombe"),
    "firmware.version": said("2.0.8", "show board", "Version            2.0.8"),
    "firmware.built": said("2032-11-03", "show board", "Build date         2032-11-03"),
    "board.name": said("Larch H7 Nano", "show board", "Board              Larch H7 Nano"),
    "board.serial": said("5D-1180-66", "show board", "Board id           5D-1180-66"),
    "craft.name": said("Early Riser", "show board", "Craft name         Early Riser"),
    "receiver.kind": said("serial", "show receiver", _SET, "Receiver type          serial    -      serial"),
    "receiver.protocol": said("crsf", "show receiver", _SET, "Receiver protocol      CRSF      -      SBUS"),
    "receiver.port": said("UART1", "show receiver", _SET, "Receiver port          UART1     -      UART1"),
    "receiver.inverted": said(False, "show receiver", _SET, "Signal inverted        no        -      yes"),
    "receiver.half_duplex": said(True, "show receiver", _SET, "Half duplex            yes       -      no"),
    "receiver.telemetry": said(True, "show receiver", _SET, "Telemetry              enabled   -      disabled"),
    "channels.order": said("AETR", "show receiver", _SET, "Channel order          AETR      -      AETR"),
    "channels.low": said(1012, "show receiver", _SET, "Pulse minimum          1012      us     1000"),
    "channels.centre": said(1500, "show receiver", _SET, "Pulse centre           1500      us     1500"),
    "channels.high": said(1988, "show receiver", _SET, "Pulse maximum          1988      us     2000"),
    "failsafe.action": said("return", "show receiver", _SET, "Failsafe action        return    -      drop"),
    "failsafe.delay_s": said(0.8, "show receiver", _SET, "Failsafe delay         800       ms     500"),
    "failsafe.throttle_us": said(1290, "show receiver", _SET, "Failsafe throttle      1290      us     1000"),
    "overlay.enabled": said(True, "show overlay", _SET, "Overlay                on        -      on"),
    "overlay.system": said("digital", "show overlay", _SET, "Overlay system         digital   -      auto"),
    "overlay.columns": said(53, "show overlay", _SET, "Overlay columns        53        -      30"),
    "overlay.rows": said(20, "show overlay", _SET, "Overlay rows           20        -      16"),
    "video.link": said("digital", "show video", _SET, "Video link             digital   -      digital"),
    "video.frequency_mhz": said(5770, "show video", _SET, "Frequency              5770      MHz    5800"),
    "video.power_mw": said(500.0, "show video", _SET, "Output power           500       mW     25"),
    "battery.cells": said(6, "show power", _SET, "Cell count             6         -      4"),
    "battery.cell_low": said(3.1, "show power", _SET, "Cell voltage minimum   3.10      V      3.30"),
    "battery.cell_warn": said(3.45, "show power", _SET, "Cell voltage warning   3.45      V      3.50"),
    "battery.cell_full": said(4.2, "show power", _SET, "Cell voltage full      4.20      V      4.20"),
    "battery.scale": said(15.5, "show power", _SET, "Voltage divider        15.5      -      11.0"),
    "battery.volts": said(22.74, "show power", _MEASURED, "Battery voltage        22.74     V"),
    "motors.protocol": said("dshot600", "show motors", _SET, "Motor protocol         DShot600  -      DShot300"),
    "motors.bidirectional": said(True, "show motors", _SET, "Bidirectional DShot    on        -      off"),
    "motors.poles": said(14, "show motors", _SET, "Motor poles            14        -      12"),
    "motors.idle_percent": said(4.5, "show motors", _SET, "Motor idle             4.5       %      5.5"),
    "motors.reversed": said(True, "show motors", _SET, "Motors reversed        yes       -      no"),
    "motors.loop_hz": said(4000, "show motors", _SET, "Loop rate              4000      Hz     8000"),
    "sensors.gyro": said("found", "show health", "Gyro                   found"),
    "sensors.accelerometer": said("found", "show health", "Accelerometer          found"),
    "sensors.barometer": said("missing", "show health", "Barometer              missing"),
    "arming.blocks": said(("usb-connected",), "show health", "Arming blocked         usb connected"),
    "logger.device": said("none", "show health", "Log device             none"),
}
for _at, (_id, _role, _baud, _line) in enumerate(_PORT_ROWS):
    _STATED[f"ports[{_at}].id"] = said(_id, "show ports", _PORT_HEAD, _line)
    _STATED[f"ports[{_at}].roles"] = said((_role,), "show ports", _PORT_HEAD, _line)
    _STATED[f"ports[{_at}].baud"] = said(_baud, "show ports", _PORT_HEAD, _line)
for _at, (_function, _channel, _from, _to, _line) in enumerate(_SWITCH_ROWS):
    _STATED[f"switches[{_at}].function"] = said(_function, "show switches", _SWITCH_HEAD, _line)
    _STATED[f"switches[{_at}].channel"] = said(_channel, "show switches", _SWITCH_HEAD, _line)
    _STATED[f"switches[{_at}].from_us"] = said(_from, "show switches", _SWITCH_HEAD, _line)
    _STATED[f"switches[{_at}].to_us"] = said(_to, "show switches", _SWITCH_HEAD, _line)
for _at, (_name, _column, _row, _width, _shown, _line) in enumerate(_ELEMENT_ROWS):
    _STATED[f"overlay.elements[{_at}].name"] = said(_name, "show overlay", _ELEMENT_HEAD, _line)
    _STATED[f"overlay.elements[{_at}].column"] = said(_column, "show overlay", _ELEMENT_HEAD, _line)
    _STATED[f"overlay.elements[{_at}].row"] = said(_row, "show overlay", _ELEMENT_HEAD, _line)
    _STATED[f"overlay.elements[{_at}].width"] = said(_width, "show overlay", _ELEMENT_HEAD, _line)
    _STATED[f"overlay.elements[{_at}].shown"] = said(_shown, "show overlay", _ELEMENT_HEAD, _line)

_HARMS = {
    "assign": Harm(
        "Assigned.", "show motors", "Beacon tone            2 ", "Beacon tone            4 ", "assign TONE 4"
    ),
    "commit": Harm("Committed.", "show board", "Saved              9 times", "Saved              10 times"),
    "wipe": Harm("Wiped.", "show board", "Craft name         Early Riser", "Craft name         -"),
    "reset": Harm("Restarting.", "show board", "Started            204", "Started            205"),
    "upgrade": Harm("Boot loader ready."),
    "run-motor": Harm(
        "Turning.", "show health", "Motor output           0", "Motor output           6", "run-motor 3 6"
    ),
    "cal-gyro": Harm("Calibrated.", "show health", "Gyro offset            23", "Gyro offset            1"),
}

_PAGES = {
    **{"help": _HELP, "show board": _BOARD, "show ports": _PORTS, "show receiver": _RECEIVER},
    **{"show switches": _SWITCHES, "show overlay": _OVERLAY, "show video": _VIDEO, "show power": _POWER},
    **{"show motors": _MOTORS, "show pid": _PID, "show health": _HEALTH},
}


class Wexcombe(StatingConsole):
    """Each page is one table or two, a row for each thing."""

    name = "wexcombe"
    kinds = ("tables with headers, units and defaults in columns", "help with descriptions")
    banner = "\nWexcombe 2.0.8 ready\n"
    prompt = "larch$ "
    error = "Error: no command '{line}'"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
