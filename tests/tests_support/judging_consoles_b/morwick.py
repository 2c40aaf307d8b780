"""Morwick: three menus by number below a main one, pages of labels with colons, 0 leads back. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

# Each page below the word that prints it.
_SHOWN = """\
--- ?
Main menu
1. Settings
2. Readings
3. Maintenance
?. Show this menu again
--- 1
Settings
11. Receiver and channels
12. Switches
13. Serial ports
14. Display and video
15. Battery
16. Motors and control loop
17. Failsafe
18. Gains and filters
0. Back
--- 2
Readings
21. Firmware, board and craft
22. Battery and supply
23. Sensors and arming
24. Flight log
0. Back
--- 3
Maintenance
31. Save the settings
32. Restart
33. Reset to defaults
34. Update the firmware
35. Test the motors
36. Calibrate the level
37. Erase the flight log
0. Back
--- 11
Receiver and channels
Receiver type: serial
Receiver protocol: SBUS
Receiver port: UART3
Inverted signal: yes
Receiver telemetry: off
Telemetry interval: 220 ms
Channel order: AETR
Channel minimum: 1013 us
Channel centre: 1508 us
Channel maximum: 1992 us
Stick deadband: 7 us
Frame loss limit: 15 %
Gimbal servo centre: 1540 us
0. Back
--- 12
Switches
Arm: channel 5, 1740 to 2095 us
Level: channel 7, 905 to 1265 us
Turtle: channel 9, 1715 to 2070 us
0. Back
--- 13
Serial ports
UART1: console, 115200 baud
UART2: telemetry, 19200 baud
UART3: receiver, 100000 baud
UART4: OSD, 230400 baud
UART6: unused
Framing errors: 5
I2C clock: 400 kHz
0. Back
--- 14
Display and video
OSD enabled: yes
OSD system: digital
OSD columns: 53
OSD rows: 20
OSD refresh: 12 Hz
Battery element: column 4, row 18, shown
Timer element: column 44, row 18, shown
Warnings element: column 20, row 15, shown
Speed element: column 4, row 9, hidden
Video link: digital
Video frequency: 5795 MHz
Video transmit power: 350 mW
Video power limit: 700 mW
Video bit rate: 25 Mbit/s
0. Back
--- 15
Battery
Battery cells: 6
Voltage divider: 15.2
Minimum cell voltage: 3.28 V
Warning cell voltage: 3.47 V
Full cell voltage: 4.21 V
Battery capacity: 1350 mAh
Current sensor scale: 40 mV/A
0. Back
--- 16
Motors and control loop
Motor protocol: DShot600
Bidirectional DShot: on
Motor poles: 14
Motor idle: 4.5 %
Motors reversed: yes
Motor KV: 1750
Throttle limit: 95 %
Control loop rate: 8 kHz
Gyro sample rate: 16 kHz
0. Back
--- 17
Failsafe
Failsafe action: drop
Failsafe delay: 450 ms
Failsafe throttle: 1005 us
Recovery time: 1200 ms
0. Back
--- 18
Gains and filters
Roll gains: P 44, I 79, D 30
Pitch gains: P 47, I 84, D 32
Yaw gains: P 39, I 77, D 0
Gyro lowpass: 240 Hz
D lowpass: 110 Hz
0. Back
--- 21
Firmware, board and craft
Firmware name: Morwick
Firmware version: 2026.3
Build date: 2026-03-21
Loader version: 1.9
Board model: SANICLE H743
Board revision: 2
Craft name: Second Wind
Craft weight: 712 g
Times saved: 29
Times started: 184
0. Back
--- 22
Battery and supply
Battery voltage: 23.16 V
Battery current: 0.62 A
Energy used: 3 mAh
Regulator voltage: 5.01 V
Motor output: 0 %
0. Back
--- 23
Sensors and arming
Gyro: found
Accelerometer: found
Barometer: found
Compass: missing
Gyro temperature: 39 C
Level offset: 0.8 deg
Arming blocked by: USB connected, no receiver link
Armings so far: 2
Uptime: 266 s
Processor load: 41 %
0. Back
--- 24
Flight log
Log device: card
Log free space: 7948206080 bytes
Log rate: 1000 Hz
Logged flights: 8
0. Back
"""

_STATED = {
    "receiver.kind": said("serial", "11", "Receiver type: serial"),
    "receiver.protocol": said("sbus", "11", "Receiver protocol: SBUS"),
    "receiver.port": said("UART3", "11", "Receiver port: UART3"),
    "receiver.inverted": said(True, "11", "Inverted signal: yes"),
    "receiver.telemetry": said(False, "11", "Receiver telemetry: off"),
    "channels.order": said("AETR", "11", "Channel order: AETR"),
    "channels.low": said(1013, "11", "Channel minimum: 1013 us"),
    "channels.centre": said(1508, "11", "Channel centre: 1508 us"),
    "channels.high": said(1992, "11", "Channel maximum: 1992 us"),
    **switches_said(
        "12",
        [
            ("arm", 5, 1740, 2095, ("Arm: channel 5, 1740 to 2095 us",)),
            ("level", 7, 905, 1265, ("Level: channel 7, 905 to 1265 us",)),
            ("turtle", 9, 1715, 2070, ("Turtle: channel 9, 1715 to 2070 us",)),
        ],
    ),
    **ports_said(
        "13",
        [
            ("UART1", ("console",), 115200, ("UART1: console, 115200 baud",)),
            ("UART2", ("telemetry",), 19200, ("UART2: telemetry, 19200 baud",)),
            ("UART3", ("receiver",), 100000, ("UART3: receiver, 100000 baud",)),
            ("UART4", ("overlay-link",), 230400, ("UART4: OSD, 230400 baud",)),
            ("UART6", ("unused",), None, ("UART6: unused",)),
        ],
    ),
    "overlay.enabled": said(True, "14", "OSD enabled: yes"),
    "overlay.system": said("digital", "14", "OSD system: digital"),
    "overlay.columns": said(53, "14", "OSD columns: 53"),
    "overlay.rows": said(20, "14", "OSD rows: 20"),
    "video.link": said("digital", "14", "Video link: digital"),
    "video.frequency_mhz": said(5795, "14", "Video frequency: 5795 MHz"),
    "video.power_mw": said(350.0, "14", "Video transmit power: 350 mW"),
    **elements_said(
        "14",
        [
            ("battery", 4, 18, True, ("Battery element: column 4, row 18, shown",)),
            ("timer", 44, 18, True, ("Timer element: column 44, row 18, shown",)),
            ("warnings", 20, 15, True, ("Warnings element: column 20, row 15, shown",)),
            ("speed", 4, 9, False, ("Speed element: column 4, row 9, hidden",)),
        ],
    ),
    "battery.cells": said(6, "15", "Battery cells: 6"),
    "battery.scale": said(15.2, "15", "Voltage divider: 15.2"),
    "battery.cell_low": said(3.28, "15", "Minimum cell voltage: 3.28 V"),
    "battery.cell_warn": said(3.47, "15", "Warning cell voltage: 3.47 V"),
    "battery.cell_full": said(4.21, "15", "Full cell voltage: 4.21 V"),
    "motors.protocol": said("dshot600", "16", "Motor protocol: DShot600"),
    "motors.bidirectional": said(True, "16", "Bidirectional DShot: on"),
    "motors.poles": said(14, "16", "Motor poles: 14"),
    "motors.idle_percent": said(4.5, "16", "Motor idle: 4.5 %"),
    "motors.reversed": said(True, "16", "Motors reversed: yes"),
    "motors.loop_hz": said(8000, "16", "Control loop rate: 8 kHz"),
    "failsafe.action": said("drop", "17", "Failsafe action: drop"),
    "failsafe.delay_s": said(0.45, "17", "Failsafe delay: 450 ms"),
    "failsafe.throttle_us": said(1005, "17", "Failsafe throttle: 1005 us"),
    "firmware.name": said("Morwick", "21", "Firmware name: Morwick"),
    "firmware.version": said("2026.3", "21", "Firmware version: 2026.3"),
    "firmware.built": said("2026-03-21", "21", "Build date: 2026-03-21"),
    "board.name": said("SANICLE H743", "21", "Board model: SANICLE H743"),
    "craft.name": said("Second Wind", "21", "Craft name: Second Wind"),
    "battery.volts": said(23.16, "22", "Battery voltage: 23.16 V"),
    "sensors.gyro": said("found", "23", "Gyro: found"),
    "sensors.accelerometer": said("found", "23", "Accelerometer: found"),
    "sensors.barometer": said("found", "23", "Barometer: found"),
    "arming.blocks": said(
        ("usb-connected", "no-receiver-link"), "23", "Arming blocked by: USB connected, no receiver link"
    ),
    "logger.device": said("card", "24", "Log device: card"),
    "logger.free_bytes": said(7948206080, "24", "Log free space: 7948206080 bytes"),
}

_HARMS = {
    "31": Harm("Saved", "21", "Times saved: 29", "Times saved: 30"),
    "32": Harm("Restarting", "21", "Times started: 184", "Times started: 185"),
    "33": Harm("Defaults set", "21", "Craft name: Second Wind", "Craft name: -"),
    "34": Harm("Send the firmware now"),
    "35": Harm("Motors turning", "22", "Motor output: 0 %", "Motor output: 6 %"),
    "36": Harm("Level taken", "23", "Level offset: 0.8 deg", "Level offset: 0.0 deg"),
    "37": Harm("Log erased", "24", "Logged flights: 8", "Logged flights: 0"),
}

_PAGES = {word: page for word, _, page in (text.partition("\n") for text in _SHOWN.split("--- ")[1:])}


class Morwick(StatingConsole):
    """An entry is taken in the menu that shows it; 0 leads out of a menu or a page, ? shows the present one again."""

    name = "morwick"
    kinds = ("menus by number, the acting ones apart", "labels with a colon, units in the value", "way back by 0")
    banner = _PAGES["?"]
    prompt = "Choice: "
    error = "There is no {line} here (? shows the menu)"
    help_word = "?"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)

    way_back = "0"

    def __init__(self) -> None:
        super().__init__()
        self._at = self.help_word

    @classmethod
    def menu_of(cls, word: str) -> str:
        """The menu in which an entry is offered; the main menu offers the others."""
        return word[0] if len(word) == 2 else cls.help_word

    def answer(self, line: str) -> str:
        typed = line.strip()
        if typed == self.help_word:
            return super().answer(self._at)
        if typed == self.way_back and self._at != self.help_word:
            self._at = self.menu_of(self._at)
            return super().answer(self._at)
        known = typed in self.pages or typed in self.harms
        if not known or self.menu_of(typed) != self._at:
            return self.lines(self.error.format(line=typed))
        if typed in self.pages:
            self._at = typed
        return super().answer(typed)
