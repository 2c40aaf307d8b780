"""Hallaton: answers in plain English sentences, a fact or two in each. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_HELP = """\
You can ask about:
  craft, receiver, sticks, levers, ports, overlay, camera, battery, motors,
  failsafe, sensors, gains
You can tell me to:
  remember (what was changed), forget (everything that was changed),
  begin (from the start), listen (for new firmware), twitch (each motor),
  settle (and learn what level is), scrub (the flight log)
Say help to see this again.
"""

_CRAFT = """\
I am Hallaton, firmware version 0.9.12, built on 2026-05-14.
The board is a MADDER H7, and its serial number is MH7-0440-C.
The hardware revision is 4 and the loader is version 2.1.
The craft is called Brown Linnet.
I have begun 87 times and remembered 19 times.
I have been awake for 143 seconds, and the processor is at 46 C.
"""

_RECEIVER = """\
The receiver is serial, on port S3, and speaks SBUS.
The receiver signal is inverted.
Half duplex is off.
Telemetry is on, and a report goes out every 200 ms.
Frames come 111 times a second, and 3 were lost.
The signal strength is 0 percent.
"""

_STICKS = """\
The channel order is AETR.
The lowest pulse is 1000 us and the highest pulse is 2000 us.
The centre is 1502 us.
The deadband is 5 us and the expo is 25 percent.
At full stick the craft turns 640 degrees a second.
"""

_LEVERS = """\
Arm is on channel 5, from 1800 us to 2100 us.
Level is on channel 6, from 900 us to 1250 us.
Turtle is on channel 9, from 1650 us to 2100 us.
There is room for 13 more.
"""

_PORTS = """\
Port S1 is the console, at 115200 baud.
Port S2 is the GPS, at 57600 baud.
Port S3 is the receiver, at 100000 baud.
Port S4 is ESC telemetry, at 115200 baud.
Port S5 is not used.
"""

_OVERLAY = """\
The overlay is on, and the video system is NTSC.
The grid is 30 columns wide and 13 rows high.
The battery is shown at column 1, row 11.
The timer is shown at column 22, row 11.
The craft name is hidden at column 10, row 1.
The overlay is drawn 12 times a second with font 2.
"""

_CAMERA = """\
The video link is analog.
The video transmitter is on band F, channel 4, at 5800 MHz.
The output power is 25 mW, and the most it can do is 600 mW.
The video transmitter is at 38 C.
The camera is tilted by 30 degrees.
"""

_BATTERY = """\
The battery has 4 cells, and the battery voltage is 16.12 V.
A cell is empty at 3.30 V and full at 4.20 V.
The warning comes at 3.50 V per cell.
The voltage divider is 10.8 to 1.
The current is 0.4 A, and 0 mAh of 1500 mAh were used.
The 5 V rail is at 5.04 V.
"""

_MOTORS = """\
The motor protocol is DShot300, and bidirectional DShot is on.
Each motor has 14 poles and idles at 6.5 percent.
The motors are not reversed.
The control loop runs at 4000 Hz, and the gyro is read at 8000 Hz.
The motors are driven at 0 percent now.
"""

_FAILSAFE = """\
When the link is lost the failsafe action is land.
The failsafe delay is 1.2 s.
The failsafe throttle is 1240 us.
The craft then sinks at 0.8 metres a second.
"""

_SENSORS = """\
The gyro is present and the accelerometer is present.
The barometer is missing.
The gyro is at 41 C, and the level error is 1.9 degrees.
It cannot arm: no receiver link, throttle not low.
The flight log goes to flash, and 12582912 bytes are free.
The flight log is written 500 times a second and holds 7 flights.
"""

_GAINS = """\
The roll gains are 44, 78 and 31.
The pitch gains are 46, 82 and 33.
The yaw gains are 40, 78 and 0.
The gyro filter is at 210 Hz and the notch is at 290 Hz.
The lamp is amber.
"""

_STATED = {
    "firmware.name": said("Hallaton", "craft", "I am Hallaton, firmware version 0.9.12, built"),
    "firmware.version": said("0.9.12", "craft", "I am Hallaton, firmware version 0.9.12, built"),
    "firmware.built": said("2026-05-14", "craft", "firmware version 0.9.12, built on 2026-05-14."),
    "board.name": said("MADDER H7", "craft", "The board is a MADDER H7,"),
    "board.serial": said("MH7-0440-C", "craft", "its serial number is MH7-0440-C."),
    "craft.name": said("Brown Linnet", "craft", "The craft is called Brown Linnet."),
    "receiver.kind": said("serial", "receiver", "The receiver is serial,"),
    "receiver.protocol": said("sbus", "receiver", "The receiver is serial, on port S3, and speaks SBUS."),
    "receiver.port": said("S3", "receiver", "The receiver is serial, on port S3,"),
    "receiver.inverted": said(True, "receiver", "The receiver signal is inverted."),
    "receiver.half_duplex": said(False, "receiver", "Half duplex is off."),
    "receiver.telemetry": said(True, "receiver", "Telemetry is on,"),
    "channels.order": said("AETR", "sticks", "The channel order is AETR."),
    "channels.low": said(1000, "sticks", "The lowest pulse is 1000 us"),
    "channels.centre": said(1502, "sticks", "The centre is 1502 us."),
    "channels.high": said(2000, "sticks", "the highest pulse is 2000 us."),
    **switches_said(
        "levers",
        [
            ("arm", 5, 1800, 2100, ("Arm is on channel 5, from 1800 us to 2100 us.",)),
            ("level", 6, 900, 1250, ("Level is on channel 6, from 900 us to 1250 us.",)),
            ("turtle", 9, 1650, 2100, ("Turtle is on channel 9, from 1650 us to 2100 us.",)),
        ],
    ),
    **ports_said(
        "ports",
        [
            ("S1", ("console",), 115200, ("Port S1 is the console, at 115200 baud.",)),
            ("S2", ("positioning",), 57600, ("Port S2 is the GPS, at 57600 baud.",)),
            ("S3", ("receiver",), 100000, ("Port S3 is the receiver, at 100000 baud.",)),
            ("S4", ("esc-telemetry",), 115200, ("Port S4 is ESC telemetry, at 115200 baud.",)),
            ("S5", ("unused",), None, ("Port S5 is not used.",)),
        ],
    ),
    "overlay.enabled": said(True, "overlay", "The overlay is on,"),
    "overlay.system": said("ntsc", "overlay", "the video system is NTSC."),
    "overlay.columns": said(30, "overlay", "The grid is 30 columns wide"),
    "overlay.rows": said(13, "overlay", "The grid is 30 columns wide and 13 rows high."),
    **elements_said(
        "overlay",
        [
            ("battery", 1, 11, True, ("The battery is shown at column 1, row 11.",)),
            ("timer", 22, 11, True, ("The timer is shown at column 22, row 11.",)),
            ("craft-name", 10, 1, False, ("The craft name is hidden at column 10, row 1.",)),
        ],
    ),
    "video.link": said("analog", "camera", "The video link is analog."),
    "video.band": said("F", "camera", "The video transmitter is on band F,"),
    "video.channel": said(4, "camera", "The video transmitter is on band F, channel 4,"),
    "video.frequency_mhz": said(5800, "camera", "The video transmitter is on band F, channel 4, at 5800 MHz."),
    "video.power_mw": said(25.0, "camera", "The output power is 25 mW,"),
    "battery.cells": said(4, "battery", "The battery has 4 cells,"),
    "battery.volts": said(16.12, "battery", "the battery voltage is 16.12 V."),
    "battery.scale": said(10.8, "battery", "The voltage divider is 10.8 to 1."),
    "battery.cell_low": said(3.3, "battery", "A cell is empty at 3.30 V"),
    "battery.cell_warn": said(3.5, "battery", "The warning comes at 3.50 V per cell."),
    "battery.cell_full": said(4.2, "battery", "A cell is empty at 3.30 V and full at 4.20 V."),
    "motors.protocol": said("dshot300", "motors", "The motor protocol is DShot300,"),
    "motors.bidirectional": said(True, "motors", "bidirectional DShot is on."),
    "motors.poles": said(14, "motors", "Each motor has 14 poles"),
    "motors.idle_percent": said(6.5, "motors", "Each motor has 14 poles and idles at 6.5 percent."),
    "motors.reversed": said(False, "motors", "The motors are not reversed."),
    "motors.loop_hz": said(4000, "motors", "The control loop runs at 4000 Hz,"),
    "failsafe.action": said("land", "failsafe", "the failsafe action is land."),
    "failsafe.delay_s": said(1.2, "failsafe", "The failsafe delay is 1.2 s."),
    "failsafe.throttle_us": said(1240, "failsafe", "The failsafe throttle is 1240 us."),
    "sensors.gyro": said("found", "sensors", "The gyro is present"),
    "sensors.accelerometer": said("found", "sensors", "the accelerometer is present."),
    "sensors.barometer": said("missing", "sensors", "The barometer is missing."),
    "arming.blocks": said(
        ("no-receiver-link", "throttle-not-low"), "sensors", "It cannot arm: no receiver link, throttle not low."
    ),
    "logger.device": said("flash", "sensors", "The flight log goes to flash,"),
    "logger.free_bytes": said(12582912, "sensors", "The flight log goes to flash, and 12582912 bytes are free."),
}

_HARMS = {
    "begin": Harm("Until soon.", "craft", "I have begun 87 times", "I have begun 88 times"),
    "forget": Harm("Forgotten.", "craft", "The craft is called Brown Linnet.", "The craft has no name."),
    "listen": Harm("I am listening for new firmware."),
    "remember": Harm("I shall remember.", "craft", "remembered 19 times", "remembered 20 times"),
    "scrub": Harm("The flight log is clean.", "sensors", "holds 7 flights", "holds 0 flights"),
    "settle": Harm("This is level now.", "sensors", "the level error is 1.9", "the level error is 0.0"),
    "twitch": Harm("Mind your fingers.", "motors", "driven at 0 percent", "driven at 7 percent"),
}

_PAGES = {
    "help": _HELP,
    "craft": _CRAFT,
    "receiver": _RECEIVER,
    "sticks": _STICKS,
    "levers": _LEVERS,
    "ports": _PORTS,
    "overlay": _OVERLAY,
    "camera": _CAMERA,
    "battery": _BATTERY,
    "motors": _MOTORS,
    "failsafe": _FAILSAFE,
    "sensors": _SENSORS,
    "gains": _GAINS,
}


class Hallaton(StatingConsole):
    """A word is the subject; the answer is prose, and the help is a list in a sentence."""

    name = "hallaton"
    kinds = ("sentences", "one word per subject", "help in running text")
    banner = "Hallaton is awake. Say help if you need it.\n"
    prompt = "Yes? "
    error = "I do not know what '{line}' is."
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
