"""Pinchwell: a word per subject, Title Case keys with dots, indented blocks for ports and switches. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_a.rows import element_rows, port_rows, switch_rows

_HELP = """\
Words that show something
    about (this board), radio (receiver and sticks), levers (switches),
    sockets (serial ports), goggles (overlay and video), pack (flight battery),
    props (motors and their controllers), brain (control loop), health (sensors
    and readiness), memory (flight log), help (this text)
Words that do something
    keep (settings survive power off), restart (the processor starts again),
    factory (settings as new), twitch (moves each motor), level (sets the
    horizon), wipe (empties the flight log), bootrom (waits for an upload)
"""

_ABOUT = """\
Firmware .................... Pinchwell
Firmware Version ............ 0.22.7-rc2
Build Date .................. 12 May 2026
Board ....................... LARKSPUR H743 MINI
Board Serial Number ......... LS-20-00417
Craft Name .................. Thursday Spare
Craft Mass .................. 612 g
Settings Version ............ 31
Settings Kept ............... 12 times
Power Cycles ................ 205
"""

_RADIO = """\
Receiver Type ............... Serial
Receiver Protocol ........... IBUS
Receiver Port ............... P4
Signal Inverted ............. No
Half Duplex ................. Yes
Telemetry ................... No
Telemetry Interval .......... 100 ms
Signal Strength Channel ..... 12
Channel Order ............... TAER
Channel Minimum ............. 1000 us
Channel Centre .............. 1500 us
Channel Maximum ............. 2000 us
Channel Dead Band ........... 6 us
Camera Servo Centre ......... 1480 us
Stick Expo .................. 22 %
Roll Rate ................... 590 deg/s
Loss Of Signal
    Action .................. Motors Off
    Delay ................... 0.4 s
    Throttle ................ 1010 us
    Recovery Time ........... 1.5 s
"""

_LEVERS = """\
Lever Arm
    Channel ................. 5
    Active From ............. 1650 us
    Active To ............... 2100 us
Lever Turtle
    Channel ................. 7
    Active From ............. 1400 us
    Active To ............... 1600 us
"""

_SOCKETS = """\
Socket P1
    Carries ................. Console
    Line Rate ............... 115200 baud
    Framing Errors .......... 0
Socket P2
    Carries ................. OSD
    Line Rate ............... 230400 baud
    Framing Errors .......... 0
Socket P3
    Carries ................. GPS
    Line Rate ............... 38400 baud
    Framing Errors .......... 7
Socket P4
    Carries ................. Receiver
    Line Rate ............... 115200 baud
    Framing Errors .......... 2
Socket P5
    Carries ................. Nothing
    Framing Errors .......... 0
Socket Current Limit ........ 500 mA
"""

_GOGGLES = """\
Overlay ..................... Enabled
Overlay Standard ............ Digital
Overlay Columns ............. 53
Overlay Rows ................ 20
Overlay Refresh ............. 15 Hz
Overlay Items
    Pack Voltage ............ column 3, row 18, shown yes
    Timer ................... column 44, row 18, shown yes
    Altitude ................ column 44, row 9, shown no
    Craft Name .............. column 20, row 1, shown yes
Video Link .................. Digital
Video Frequency ............. 5769 MHz
Video Transmit Power ........ 500 mW
Video Power When Disarmed ... 25 mW
Video Temperature ........... 48 C
"""

_PACK = """\
Cells In Series ............. 6
Pack Voltage ................ 24.72 V
Pack Current ................ 0.58 A
Pack Capacity ............... 1100 mAh
Voltage Divider Ratio ....... 16.0
Cell Minimum ................ 3.40 V
Cell Warning ................ 3.60 V
Cell Maximum ................ 4.35 V
Cell Storage ................ 3.80 V
Five Volt Rail .............. 5.04 V
Warning Sounds .............. Enabled
"""

_PROPS = """\
Motor Protocol .............. DShot600
Motor Speed Reports ......... Enabled
Motor Magnets ............... 12
Motor Idle .................. 6.5 %
Motor Direction Reversed .... Yes
Motor Output Limit .......... 100 %
Motor Output Now ............ 0 %
Controller Temperature ...... 39 C
"""

_BRAIN = """\
Control Loop Rate ........... 8000 Hz
Gyro Sample Rate ............ 8000 Hz
Gyro Low Pass ............... 280 Hz
Processor Load .............. 44 %
Axis Roll
    P ....................... 38
    I ....................... 70
    D ....................... 26
Axis Pitch
    P ....................... 41
    I ....................... 74
    D ....................... 29
"""

_HEALTH = """\
Gyro ........................ OK
Accelerometer ............... OK
Barometer ................... OK
Compass ..................... Missing
Horizon Offset .............. 0.9 deg
Running For ................. 96 s
Processor Temperature ....... 52 C
Status Light ................ Violet
Arming Prevented By
    Throttle Not Low
    Arm Switch On
"""

_MEMORY = """\
Log Device .................. SD Card
Log Rate .................... 2000 Hz
Log Free Space .............. 7516192768 bytes
Log Files ................... 19
"""


def _socket(name: str, carries: str, baud: int | None) -> tuple[str, ...]:
    head, role = f"Socket {name}", f"    Carries ................. {carries}"
    return (head, role) if baud is None else (head, role, f"    Line Rate ............... {baud} baud")


def _lever(name: str, channel: int, low: int, high: int) -> tuple[str, ...]:
    return (
        f"Lever {name}",
        f"    Channel ................. {channel}",
        f"    Active From ............. {low} us",
        f"    Active To ............... {high} us",
    )


_STATED = {
    "firmware.name": said("Pinchwell", "about", "Firmware .................... Pinchwell"),
    "firmware.version": said("0.22.7-rc2", "about", "Firmware Version ............ 0.22.7-rc2"),
    "firmware.built": said("12 May 2026", "about", "Build Date .................. 12 May 2026"),
    "board.name": said("LARKSPUR H743 MINI", "about", "Board ....................... LARKSPUR H743 MINI"),
    "board.serial": said("LS-20-00417", "about", "Board Serial Number ......... LS-20-00417"),
    "craft.name": said("Thursday Spare", "about", "Craft Name .................. Thursday Spare"),
    "receiver.kind": said("serial", "radio", "Receiver Type ............... Serial"),
    "receiver.protocol": said("ibus", "radio", "Receiver Protocol ........... IBUS"),
    "receiver.port": said("P4", "radio", "Receiver Port ............... P4"),
    "receiver.inverted": said(False, "radio", "Signal Inverted ............. No"),
    "receiver.half_duplex": said(True, "radio", "Half Duplex ................. Yes"),
    "receiver.telemetry": said(False, "radio", "Telemetry ................... No"),
    "channels.order": said("TAER", "radio", "Channel Order ............... TAER"),
    "channels.low": said(1000, "radio", "Channel Minimum ............. 1000 us"),
    "channels.centre": said(1500, "radio", "Channel Centre .............. 1500 us"),
    "channels.high": said(2000, "radio", "Channel Maximum ............. 2000 us"),
    "failsafe.action": said("drop", "radio", "Loss Of Signal", "Action .................. Motors Off"),
    "failsafe.delay_s": said(0.4, "radio", "Loss Of Signal", "Delay ................... 0.4 s"),
    "failsafe.throttle_us": said(1010, "radio", "Loss Of Signal", "Throttle ................ 1010 us"),
    **switch_rows(
        "levers",
        (_lever("Arm", 5, 1650, 2100), "arm", 5, 1650, 2100),
        (_lever("Turtle", 7, 1400, 1600), "turtle", 7, 1400, 1600),
    ),
    **port_rows(
        "sockets",
        (_socket("P1", "Console", 115200), "P1", ("console",), 115200),
        (_socket("P2", "OSD", 230400), "P2", ("overlay-link",), 230400),
        (_socket("P3", "GPS", 38400), "P3", ("positioning",), 38400),
        (_socket("P4", "Receiver", 115200), "P4", ("receiver",), 115200),
        (_socket("P5", "Nothing", None), "P5", ("unused",), None),
    ),
    "overlay.enabled": said(True, "goggles", "Overlay ..................... Enabled"),
    "overlay.system": said("digital", "goggles", "Overlay Standard ............ Digital"),
    "overlay.columns": said(53, "goggles", "Overlay Columns ............. 53"),
    "overlay.rows": said(20, "goggles", "Overlay Rows ................ 20"),
    **element_rows(
        "goggles",
        (("Pack Voltage ............ column 3, row 18, shown yes",), "battery", 3, 18, True),
        (("Timer ................... column 44, row 18, shown yes",), "timer", 44, 18, True),
        (("Altitude ................ column 44, row 9, shown no",), "altitude", 44, 9, False),
        (("Craft Name .............. column 20, row 1, shown yes",), "craft-name", 20, 1, True),
    ),
    "video.link": said("digital", "goggles", "Video Link .................. Digital"),
    "video.frequency_mhz": said(5769, "goggles", "Video Frequency ............. 5769 MHz"),
    "video.power_mw": said(500.0, "goggles", "Video Transmit Power ........ 500 mW"),
    "battery.cells": said(6, "pack", "Cells In Series ............. 6"),
    "battery.volts": said(24.72, "pack", "Pack Voltage ................ 24.72 V"),
    "battery.scale": said(16.0, "pack", "Voltage Divider Ratio ....... 16.0"),
    "battery.cell_low": said(3.4, "pack", "Cell Minimum ................ 3.40 V"),
    "battery.cell_warn": said(3.6, "pack", "Cell Warning ................ 3.60 V"),
    "battery.cell_full": said(4.35, "pack", "Cell Maximum ................ 4.35 V"),
    "motors.protocol": said("dshot600", "props", "Motor Protocol .............. DShot600"),
    "motors.bidirectional": said(True, "props", "Motor Speed Reports ......... Enabled"),
    "motors.poles": said(12, "props", "Motor Magnets ............... 12"),
    "motors.idle_percent": said(6.5, "props", "Motor Idle .................. 6.5 %"),
    "motors.reversed": said(True, "props", "Motor Direction Reversed .... Yes"),
    "motors.loop_hz": said(8000, "brain", "Control Loop Rate ........... 8000 Hz"),
    "arming.blocks": said(
        ("throttle-not-low", "arm-switch-on"),
        "health",
        "Arming Prevented By",
        "    Throttle Not Low",
        "    Arm Switch On",
    ),
    "sensors.gyro": said("found", "health", "Gyro ........................ OK"),
    "sensors.accelerometer": said("found", "health", "Accelerometer ............... OK"),
    "sensors.barometer": said("found", "health", "Barometer ................... OK"),
    "logger.device": said("card", "memory", "Log Device .................. SD Card"),
    "logger.free_bytes": said(7516192768, "memory", "Log Free Space .............. 7516192768 bytes"),
}

_HARMS = {
    "keep": Harm("Kept.", "about", "Settings Kept ............... 12", "Settings Kept ............... 13"),
    "restart": Harm("Restarting.", "about", "Power Cycles ................ 205", "Power Cycles ................ 206"),
    "factory": Harm(
        "As new.", "about", "Craft Name .................. Thursday Spare", "Craft Name .................. Unnamed"
    ),
    "twitch": Harm("Stand clear.", "props", "Motor Output Now ............ 0 %", "Motor Output Now ............ 8 %"),
    "level": Harm("Horizon set.", "health", "Horizon Offset .............. 0.9", "Horizon Offset .............. 0.0"),
    "wipe": Harm("Log emptied.", "memory", "Log Files ................... 19", "Log Files ................... 0"),
    "bootrom": Harm("Upload now."),
}

_PAGES = {
    "help": _HELP,
    "about": _ABOUT,
    "radio": _RADIO,
    "levers": _LEVERS,
    "sockets": _SOCKETS,
    "goggles": _GOGGLES,
    "pack": _PACK,
    "props": _PROPS,
    "brain": _BRAIN,
    "health": _HEALTH,
    "memory": _MEMORY,
}


class Pinchwell(StatingConsole):
    """The help is running text with each word before its meaning in brackets."""

    name = "pinchwell"
    kinds = ("Title Case keys with dots", "indented blocks", "a word per subject", "help in running text")
    banner = "Pinchwell 0.22.7-rc2. Take the props off before you work on this craft.\n"
    prompt = "[bench] "
    error = 'Sorry, "{line}" means nothing here.'
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
