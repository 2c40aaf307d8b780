"""Tarnhow: says nothing before a key, then a menu by number. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_MENU = """\
------ Tarnhow 5.2.0 ------
  0  this menu
  1  about this unit
  2  radio
  3  serial ports
  4  picture
  5  battery
  6  motors
  7  loss of signal
  8  sensors and arming
  9  gains and filters
 10  keep what is set
 11  fresh start
 12  leave and come back
 13  firmware loader
 14  give it a twirl
 15  find the horizon
---------------------------
"""

_ABOUT = """\
Firmware ................ Tarnhow
Version ................. 5.2.0
Build date .............. 2026-06-30
Board ................... GREBE MINI
Craft name .............. Lamplighter
Version of the font ..... 14
Times started ........... 63
Times kept .............. 8
"""

_RADIO = """\
Receiver type ........... SPI
Telemetry ............... on
Channel order ........... RTAE
Channel minimum ......... 1000 us
Channel middle .......... 1520 us
Channel maximum ......... 2000 us
Stick smoothing ......... 12 ms
Update rate ............. 250
"""

_PORTS = """\
UART 1 .................. console, 115200 baud
UART 2 .................. telemetry, 57600 baud
UART 4 .................. logger, 500000 baud
UART 6 .................. unused
"""

_PICTURE = """\
Video link .............. analog
Video band .............. A
Video channel ........... 8
Video frequency ......... 5725 MHz
Transmit power .......... 0.2 W
Overlay ................. off
Video standard .......... PAL
Sharpness ............... 4
"""

_BATTERY = """\
Cells ................... 3
Voltage now ............. 12.31 V
Cell low ................ 3.1 V
Cell warning ............ 3.4 V
Cell full ............... 4.2 V
Low-voltage blink rate .. 2
Current ................. 280 mA
"""

_MOTORS = """\
Motor protocol .......... DShot150
Bidirectional ........... off
Motor poles ............. 14
Motor idle .............. 4 %
Motors reversed ......... no
Loop rate ............... 2 kHz
Outputs at this moment .. 0 0 0 0
Beep volume ............. 80 %
"""

_LOSS = """\
Failsafe action ......... return home
Failsafe delay .......... 3 s
Failsafe throttle ....... 1350 us
Climb before return ..... 20 m
"""

_SENSORS = """\
Gyro .................... found
Accelerometer ........... found
Barometer ............... found
Horizon offset .......... 2.1 deg
Processor load .......... 27 %
Core temperature ........ 49 C
Arming blocked by ....... arm switch on
                          throttle not low
"""

_GAINS = """\
Roll gains .............. 44 82 30
Pitch gains ............. 46 85 33
Yaw gains ............... 38 80 0
Gyro filter ............. 190 Hz
Lamp colour ............. amber
"""

_STATED = {
    "firmware.name": said("Tarnhow", "1", "Firmware ................ Tarnhow"),
    "firmware.version": said("5.2.0", "1", "Version ................. 5.2.0"),
    "firmware.built": said("2026-06-30", "1", "Build date .............. 2026-06-30"),
    "board.name": said("GREBE MINI", "1", "Board ................... GREBE MINI"),
    "craft.name": said("Lamplighter", "1", "Craft name .............. Lamplighter"),
    "receiver.kind": said("spi", "2", "Receiver type ........... SPI"),
    "receiver.telemetry": said(True, "2", "Telemetry ............... on"),
    "channels.order": said("RTAE", "2", "Channel order ........... RTAE"),
    "channels.low": said(1000, "2", "Channel minimum ......... 1000 us"),
    "channels.centre": said(1520, "2", "Channel middle .......... 1520 us"),
    "channels.high": said(2000, "2", "Channel maximum ......... 2000 us"),
    "ports[0].id": said("UART 1", "3", "UART 1 .................. console, 115200 baud"),
    "ports[0].roles": said(("console",), "3", "UART 1 .................. console, 115200 baud"),
    "ports[0].baud": said(115200, "3", "UART 1 .................. console, 115200 baud"),
    "ports[1].id": said("UART 2", "3", "UART 2 .................. telemetry, 57600 baud"),
    "ports[1].roles": said(("telemetry",), "3", "UART 2 .................. telemetry, 57600 baud"),
    "ports[1].baud": said(57600, "3", "UART 2 .................. telemetry, 57600 baud"),
    "ports[2].id": said("UART 4", "3", "UART 4 .................. logger, 500000 baud"),
    "ports[2].roles": said(("logger",), "3", "UART 4 .................. logger, 500000 baud"),
    "ports[2].baud": said(500000, "3", "UART 4 .................. logger, 500000 baud"),
    "ports[3].id": said("UART 6", "3", "UART 6 .................. unused"),
    "ports[3].roles": said(("unused",), "3", "UART 6 .................. unused"),
    "video.link": said("analog", "4", "Video link .............. analog"),
    "video.band": said("A", "4", "Video band .............. A"),
    "video.channel": said(8, "4", "Video channel ........... 8"),
    "video.frequency_mhz": said(5725, "4", "Video frequency ......... 5725 MHz"),
    "video.power_mw": said(200.0, "4", "Transmit power .......... 0.2 W"),
    "overlay.enabled": said(False, "4", "Overlay ................. off"),
    "overlay.system": said("pal", "4", "Video standard .......... PAL"),
    "battery.cells": said(3, "5", "Cells ................... 3"),
    "battery.volts": said(12.31, "5", "Voltage now ............. 12.31 V"),
    "battery.cell_low": said(3.1, "5", "Cell low ................ 3.1 V"),
    "battery.cell_warn": said(3.4, "5", "Cell warning ............ 3.4 V"),
    "battery.cell_full": said(4.2, "5", "Cell full ............... 4.2 V"),
    "motors.protocol": said("dshot150", "6", "Motor protocol .......... DShot150"),
    "motors.bidirectional": said(False, "6", "Bidirectional ........... off"),
    "motors.poles": said(14, "6", "Motor poles ............. 14"),
    "motors.idle_percent": said(4.0, "6", "Motor idle .............. 4 %"),
    "motors.reversed": said(False, "6", "Motors reversed ......... no"),
    "motors.loop_hz": said(2000, "6", "Loop rate ............... 2 kHz"),
    "failsafe.action": said("return", "7", "Failsafe action ......... return home"),
    "failsafe.delay_s": said(3.0, "7", "Failsafe delay .......... 3 s"),
    "failsafe.throttle_us": said(1350, "7", "Failsafe throttle ....... 1350 us"),
    "sensors.gyro": said("found", "8", "Gyro .................... found"),
    "sensors.accelerometer": said("found", "8", "Accelerometer ........... found"),
    "sensors.barometer": said("found", "8", "Barometer ............... found"),
    "arming.blocks": said(
        ("arm-switch-on", "throttle-not-low"),
        "8",
        "Arming blocked by ....... arm switch on",
        "                          throttle not low",
    ),
}

_HARMS = {
    "10": Harm("Kept.", "1", "Times kept .............. 8", "Times kept .............. 9"),
    "11": Harm("Fresh.", "1", "Craft name .............. Lamplighter", "Craft name .............. (none)"),
    "12": Harm("Back soon.", "1", "Times started ........... 63", "Times started ........... 64"),
    "13": Harm("Loader."),
    "14": Harm("Twirling.", "6", "Outputs at this moment .. 0 0 0 0", "Outputs at this moment .. 5 5 5 5"),
    "15": Harm("Found.", "8", "Horizon offset .......... 2.1 deg", "Horizon offset .......... 0.0 deg"),
}

_PAGES = {
    "0": _MENU,
    "1": _ABOUT,
    "2": _RADIO,
    "3": _PORTS,
    "4": _PICTURE,
    "5": _BATTERY,
    "6": _MOTORS,
    "7": _LOSS,
    "8": _SENSORS,
    "9": _GAINS,
}


class Tarnhow(StatingConsole):
    """Silent until `~`, which shows the menu; a number does what the menu says."""

    name = "tarnhow"
    kinds = ("menu by number", "needs a key before it speaks")
    wakes_by = b"~"
    prompt = "number: "
    error = "{line} is not on the menu (0 shows it)"
    help_word = "0"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)

    def _key(self, byte: int) -> bytes:
        asleep = not self._awake
        said_now = super()._key(byte)
        return self._wire(_MENU).encode() + said_now if asleep and self._awake else said_now
