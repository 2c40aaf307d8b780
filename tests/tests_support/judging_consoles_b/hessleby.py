"""Hessleby: one kebab-case listing with the unit in the key, a pager, help by a word that it names. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

# Each page below the word that prints it.
_SHOWN = """\
--- words
about          firmware, board and craft
settings       every setting
state          present readings
words          this list
store          save the settings to flash
restart        restart the board
factory-reset  restore the factory settings
update         enter the bootloader
run-motors     turn the motors
set-level      calibrate the accelerometer
clear-log      erase the flight log
--- about
firmware-name hessleby
firmware-version 0.9.14
build-date 2026-01-06
bootloader-version 1.3
board-name WOODRUFF-H5
board-serial-number WH5-20077
board-revision 3
craft-name Amber Gale
craft-weight-g 433
store-count 47
start-count 266
--- settings
receiver-type ppm
receiver-inverted yes
receiver-telemetry no
telemetry-interval-ms 180
frame-length-us 22500
channel-order AETR
channel-minimum-us 1022
channel-centre-us 1511
channel-maximum-us 1978
channel-deadband-us 6
servo-centre-us 1530
servo-rate-hz 50
switch-arm-channel 5
switch-arm-from-us 1725
switch-arm-to-us 2075
switch-level-channel 8
switch-level-from-us 915
switch-level-to-us 1245
switch-beeper-channel 6
switch-beeper-from-us 1695
switch-beeper-to-us 2035
failsafe-action return
failsafe-delay-ms 650
failsafe-throttle-us 1275
return-altitude-m 25
landing-time-s 16
uart1-function console
uart1-baud 115200
uart2-function gps
uart2-baud 57600
uart3-function rangefinder
uart3-baud 19200
uart4-function esc-telemetry
uart4-baud 115200
uart6-function unused
i2c-clock-khz 400
osd-enabled yes
osd-system auto
osd-columns 30
osd-rows 16
osd-refresh-hz 18
element-battery-column 3
element-battery-row 12
element-battery-shown yes
element-timer-column 21
element-timer-row 12
element-timer-shown yes
element-altitude-column 22
element-altitude-row 6
element-altitude-shown no
element-link-quality-column 3
element-link-quality-row 2
element-link-quality-shown yes
video-link analog
video-band F
video-channel 7
video-frequency-mhz 5860
video-power-mw 25
video-power-limit-mw 200
video-pit-mode no
battery-cells 4
battery-voltage-divider 11.6
battery-cell-minimum-mv 3310
battery-cell-warning-mv 3490
battery-cell-full-mv 4230
battery-capacity-mah 2200
battery-current-scale 180
motor-protocol dshot600
motor-bidirectional no
motor-poles 14
motor-idle-percent 5.2
motors-reversed no
motor-kv 1600
control-loop-rate-hz 2000
gyro-sample-rate-hz 4000
gyro-lowpass-hz 165
d-lowpass-hz 82
gain-roll-p 41
gain-roll-i 71
gain-roll-d 27
gain-pitch-p 45
gain-pitch-i 76
gain-pitch-d 30
gain-yaw-p 35
gain-yaw-i 68
gain-yaw-d 0
log-device card
log-rate-hz 800
led-colour violet
led-count 10
--- state
battery-voltage-v 15.38
battery-current-a 0.47
battery-used-mah 9
regulator-voltage-v 4.99
gyro found
accelerometer found
barometer found
compass missing
gyro-temperature-c 38
level-offset-deg 1.1
arming-blocked-by usb-connected, throttle-not-low
arming-count 0
log-free-bytes 3959422976
log-flights 33
motor-output-percent 0
processor-load-percent 27
processor-temperature-c 45
uptime-s 702
"""

_STATED = {
    "firmware.name": said("hessleby", "about", "firmware-name hessleby"),
    "firmware.version": said("0.9.14", "about", "firmware-version 0.9.14"),
    "firmware.built": said("2026-01-06", "about", "build-date 2026-01-06"),
    "board.name": said("WOODRUFF-H5", "about", "board-name WOODRUFF-H5"),
    "board.serial": said("WH5-20077", "about", "board-serial-number WH5-20077"),
    "craft.name": said("Amber Gale", "about", "craft-name Amber Gale"),
    "receiver.kind": said("ppm", "settings", "receiver-type ppm"),
    "receiver.inverted": said(True, "settings", "receiver-inverted yes"),
    "receiver.telemetry": said(False, "settings", "receiver-telemetry no"),
    "channels.order": said("AETR", "settings", "channel-order AETR"),
    "channels.low": said(1022, "settings", "channel-minimum-us 1022"),
    "channels.centre": said(1511, "settings", "channel-centre-us 1511"),
    "channels.high": said(1978, "settings", "channel-maximum-us 1978"),
    "failsafe.action": said("return", "settings", "failsafe-action return"),
    "failsafe.delay_s": said(0.65, "settings", "failsafe-delay-ms 650"),
    "failsafe.throttle_us": said(1275, "settings", "failsafe-throttle-us 1275"),
    "overlay.enabled": said(True, "settings", "osd-enabled yes"),
    "overlay.system": said("auto", "settings", "osd-system auto"),
    "overlay.columns": said(30, "settings", "osd-columns 30"),
    "overlay.rows": said(16, "settings", "osd-rows 16"),
    "video.link": said("analog", "settings", "video-link analog"),
    "video.band": said("F", "settings", "video-band F"),
    "video.channel": said(7, "settings", "video-channel 7"),
    "video.frequency_mhz": said(5860, "settings", "video-frequency-mhz 5860"),
    "video.power_mw": said(25.0, "settings", "video-power-mw 25"),
    "battery.cells": said(4, "settings", "battery-cells 4"),
    "battery.scale": said(11.6, "settings", "battery-voltage-divider 11.6"),
    "battery.cell_low": said(3.31, "settings", "battery-cell-minimum-mv 3310"),
    "battery.cell_warn": said(3.49, "settings", "battery-cell-warning-mv 3490"),
    "battery.cell_full": said(4.23, "settings", "battery-cell-full-mv 4230"),
    "motors.protocol": said("dshot600", "settings", "motor-protocol dshot600"),
    "motors.bidirectional": said(False, "settings", "motor-bidirectional no"),
    "motors.poles": said(14, "settings", "motor-poles 14"),
    "motors.idle_percent": said(5.2, "settings", "motor-idle-percent 5.2"),
    "motors.reversed": said(False, "settings", "motors-reversed no"),
    "motors.loop_hz": said(2000, "settings", "control-loop-rate-hz 2000"),
    "logger.device": said("card", "settings", "log-device card"),
    **switches_said(
        "settings",
        [
            ("arm", 5, 1725, 2075, ("switch-arm-channel 5", "switch-arm-from-us 1725", "switch-arm-to-us 2075")),
            ("level", 8, 915, 1245, ("switch-level-channel 8", "switch-level-from-us 915", "switch-level-to-us 1245")),
            (
                "beeper",
                6,
                1695,
                2035,
                ("switch-beeper-channel 6", "switch-beeper-from-us 1695", "switch-beeper-to-us 2035"),
            ),
        ],
    ),
    **ports_said(
        "settings",
        [
            ("uart1", ("console",), 115200, ("uart1-function console", "uart1-baud 115200")),
            ("uart2", ("positioning",), 57600, ("uart2-function gps", "uart2-baud 57600")),
            ("uart3", ("rangefinder",), 19200, ("uart3-function rangefinder", "uart3-baud 19200")),
            ("uart4", ("esc-telemetry",), 115200, ("uart4-function esc-telemetry", "uart4-baud 115200")),
            ("uart6", ("unused",), None, ("uart6-function unused",)),
        ],
    ),
    **elements_said(
        "settings",
        [
            (
                "battery",
                3,
                12,
                True,
                ("element-battery-column 3", "element-battery-row 12", "element-battery-shown yes"),
            ),
            ("timer", 21, 12, True, ("element-timer-column 21", "element-timer-row 12", "element-timer-shown yes")),
            (
                "altitude",
                22,
                6,
                False,
                ("element-altitude-column 22", "element-altitude-row 6", "element-altitude-shown no"),
            ),
            (
                "link-quality",
                3,
                2,
                True,
                ("element-link-quality-column 3", "element-link-quality-row 2", "element-link-quality-shown yes"),
            ),
        ],
    ),
    "battery.volts": said(15.38, "state", "battery-voltage-v 15.38"),
    "sensors.gyro": said("found", "state", "gyro found"),
    "sensors.accelerometer": said("found", "state", "accelerometer found"),
    "sensors.barometer": said("found", "state", "barometer found"),
    "arming.blocks": said(
        ("usb-connected", "throttle-not-low"), "state", "arming-blocked-by usb-connected, throttle-not-low"
    ),
    "logger.free_bytes": said(3959422976, "state", "log-free-bytes 3959422976"),
}

_HARMS = {
    "store": Harm("stored", "about", "store-count 47", "store-count 48"),
    "restart": Harm("restarting", "about", "start-count 266", "start-count 267"),
    "factory-reset": Harm("factory settings restored", "about", "craft-name Amber Gale", "craft-name -"),
    "update": Harm("send the firmware"),
    "run-motors": Harm("motors turning", "state", "motor-output-percent 0", "motor-output-percent 5"),
    "set-level": Harm("level set", "state", "level-offset-deg 1.1", "level-offset-deg 0.0"),
    "clear-log": Harm("log erased", "state", "log-flights 33", "log-flights 0"),
}

_PAGES = {word: page for word, _, page in (text.partition("\n") for text in _SHOWN.split("--- ")[1:])}


_ROOM = 24
"""Lines that the pager shows at a time."""


class Hessleby(StatingConsole):
    """A key and its value with a blank between them; a page at a time, space goes on and q ends the listing."""

    name = "hessleby"
    kinds = ("kebab-case key and value", "units in keys", "pager with space", "help named by the refusal")
    banner = 'hessleby 0.9.14, "words" lists the words\n'
    prompt = "hessleby: "
    error = 'unknown word {line}, "words" lists them'
    help_word = "words"
    pager = ("-- more: space, stop: q --", b" ")
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)

    def __init__(self) -> None:
        super().__init__()
        self._left: list[str] = []

    def entered(self, line: str) -> str:
        self._left = super().entered(line).splitlines(keepends=True)
        return self._some()

    def _some(self) -> str:
        now, self._left = self._left[:_ROOM], self._left[_ROOM:]
        return "".join(now) + (self.pager[0] if self._left and self.pager else "")

    def _key(self, byte: int) -> bytes:
        if not self._left or not self.pager:
            return super()._key(byte)
        wiped = "\r" + " " * len(self.pager[0]) + "\r"
        if byte in b"qQ":
            self._left = []
            return (wiped + self.prompt).encode()
        return (wiped + self._some()).encode() if byte in self.pager[1] else b""
