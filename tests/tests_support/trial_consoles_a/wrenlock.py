"""Wrenlock: verb-first kebab keys, records for ports, switches and elements, legends as remarks. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_a.rows import element_rows, port_rows, switch_rows

_TEACH = """\
recite   says every setting in the form in which it is entered   (reads)
whoami   says which board this is                                (reads)
feel     says what the sensors and the pack say just now         (reads)
teach    says this                                               (reads)
have     gives a setting a value                                 (writes)
engrave  puts the settings into permanent memory                 (writes)
amnesia  drops every setting for the delivered one               (writes)
snooze   goes away and comes back                                (restarts)
swallow  takes a new firmware                                    (restarts)
stir     gives the motors a little throttle                      (moves)
spirit   finds the horizontal                                    (calibrates)
"""

_WHOAMI = """\
i-am wrenlock
release 1.0.13
made-on 2026-07-08
board brindled-f722
board-revision 2
serial-number bf7-000562
craft-name paper-lantern
recipe 4
engravings 7
naps 33
"""

_RECITE = """\
# receiver-kind: 0 none, 1 ppm, 2 pwm, 3 serial, 4 spi
have receiver-kind 3
have receiver-protocol sbus
have receiver-port uart-b
have receiver-inverted on
have receiver-half-duplex off
have receiver-telemetry on
have receiver-smoothing-hz 40
have telemetry-baud 9600
have channel-order rtae
have channel-low-us 1008
have channel-centre-us 1496
have channel-high-us 1992
have channel-deadband-us 6
have tilt-servo-centre-us 1530
have stick-expo-percent 12
# failsafe-action: 0 drop, 1 hold, 2 land, 3 return
have failsafe-action 0
have failsafe-delay-ms 650
have failsafe-throttle-us 1020
have failsafe-recovery-ms 200
# port name function baud
have port uart-a console 115200
have port uart-b receiver 100000
have port uart-c osd 115200
have port uart-d gps 9600
have port uart-e free -
# switch function channel from-us to-us
have switch arm 8 1700 2000
have switch beeper 6 1500 2000
# element name column row shown
have element battery 1 11 on
have element timer 22 11 on
have element link-quality 1 2 on
have element speed 22 6 off
have element craft-name 9 12 on
have overlay on
have overlay-system auto
have overlay-columns 30
have overlay-rows 13
have overlay-brightness 2
have video-link analog
have video-band b
have video-channel 7
have video-frequency-mhz 5847
have video-power-mw 25
have video-idle-power-mw 5
have camera-voltage-mv 5000
have battery-cells 2
have battery-capacity-mah 450
have battery-divider 8.1
have cell-empty-mv 3200
have cell-warning-mv 3450
have cell-full-mv 4350
have cell-storage-mv 3800
have current-gain 118
have motor-protocol dshot600
have motor-bidirectional off
have motor-magnets 12
have motor-idle-percent 5.2
have motor-reversed on
have motor-kv 4500
have motor-ceiling-percent 95
have loop-rate-hz 8000
have gyro-rate-hz 8000
have gyro-cutoff-hz 260
have gyro-notch-hz 310
have d-cutoff-hz 120
have gain-roll 33 58 19
have gain-pitch 35 61 21
have gain-yaw 30 58 0
have rate-roll 800
have rate-yaw 610
have lamp-colour teal
have log-device none
have log-rate-hz 100
"""

_FEEL = """\
pack-volts 7.91
rail-volts 5.02
pack-amps 0.12
used-mah 0
core-celsius 41
load-percent 35
awake-seconds 743
gyro found
accelerometer found
barometer not found
compass not found
lean-degrees 0.8
motor-percent 0
channels-us 1496 1497 1008 1495 1008 1992 1008 1008
arming-refused usb-connected
arming-refused throttle-not-low
i2c-errors 3
"""

_LIVE = (1496, 1497, 1008, 1495, 1008, 1992, 1008, 1008)
_KIND = "# receiver-kind: 0 none, 1 ppm, 2 pwm, 3 serial"
_ACTION = "# failsafe-action: 0 drop"
_STATED = {
    "firmware.name": said("wrenlock", "whoami", "i-am wrenlock"),
    "firmware.version": said("1.0.13", "whoami", "release 1.0.13"),
    "firmware.built": said("2026-07-08", "whoami", "made-on 2026-07-08"),
    "board.name": said("brindled-f722", "whoami", "board brindled-f722"),
    "board.serial": said("bf7-000562", "whoami", "serial-number bf7-000562"),
    "craft.name": said("paper-lantern", "whoami", "craft-name paper-lantern"),
    "receiver.kind": said("serial", "recite", _KIND, "have receiver-kind 3"),
    "receiver.protocol": said("sbus", "recite", "have receiver-protocol sbus"),
    "receiver.port": said("uart-b", "recite", "have receiver-port uart-b"),
    "receiver.inverted": said(True, "recite", "have receiver-inverted on"),
    "receiver.half_duplex": said(False, "recite", "have receiver-half-duplex off"),
    "receiver.telemetry": said(True, "recite", "have receiver-telemetry on"),
    "channels.order": said("RTAE", "recite", "have channel-order rtae"),
    "channels.low": said(1008, "recite", "have channel-low-us 1008"),
    "channels.centre": said(1496, "recite", "have channel-centre-us 1496"),
    "channels.high": said(1992, "recite", "have channel-high-us 1992"),
    "channels.live": said(_LIVE, "feel", "channels-us " + " ".join(str(pulse) for pulse in _LIVE)),
    "failsafe.action": said("drop", "recite", _ACTION, "have failsafe-action 0"),
    "failsafe.delay_s": said(0.65, "recite", "have failsafe-delay-ms 650"),
    "failsafe.throttle_us": said(1020, "recite", "have failsafe-throttle-us 1020"),
    **port_rows(
        "recite",
        (("have port uart-a console 115200",), "uart-a", ("console",), 115200),
        (("have port uart-b receiver 100000",), "uart-b", ("receiver",), 100000),
        (("have port uart-c osd 115200",), "uart-c", ("overlay-link",), 115200),
        (("have port uart-d gps 9600",), "uart-d", ("positioning",), 9600),
        (("have port uart-e free -",), "uart-e", ("unused",), None),
    ),
    **switch_rows(
        "recite",
        (("have switch arm 8 1700 2000",), "arm", 8, 1700, 2000),
        (("have switch beeper 6 1500 2000",), "beeper", 6, 1500, 2000),
    ),
    **element_rows(
        "recite",
        (("have element battery 1 11 on",), "battery", 1, 11, True),
        (("have element timer 22 11 on",), "timer", 22, 11, True),
        (("have element link-quality 1 2 on",), "link-quality", 1, 2, True),
        (("have element speed 22 6 off",), "speed", 22, 6, False),
        (("have element craft-name 9 12 on",), "craft-name", 9, 12, True),
    ),
    "overlay.enabled": said(True, "recite", "have overlay on"),
    "overlay.system": said("auto", "recite", "have overlay-system auto"),
    "overlay.columns": said(30, "recite", "have overlay-columns 30"),
    "overlay.rows": said(13, "recite", "have overlay-rows 13"),
    "video.link": said("analog", "recite", "have video-link analog"),
    "video.band": said("B", "recite", "have video-band b"),
    "video.channel": said(7, "recite", "have video-channel 7"),
    "video.frequency_mhz": said(5847, "recite", "have video-frequency-mhz 5847"),
    "video.power_mw": said(25.0, "recite", "have video-power-mw 25"),
    "battery.cells": said(2, "recite", "have battery-cells 2"),
    "battery.volts": said(7.91, "feel", "pack-volts 7.91"),
    "battery.scale": said(8.1, "recite", "have battery-divider 8.1"),
    "battery.cell_low": said(3.2, "recite", "have cell-empty-mv 3200"),
    "battery.cell_warn": said(3.45, "recite", "have cell-warning-mv 3450"),
    "battery.cell_full": said(4.35, "recite", "have cell-full-mv 4350"),
    "motors.protocol": said("dshot600", "recite", "have motor-protocol dshot600"),
    "motors.bidirectional": said(False, "recite", "have motor-bidirectional off"),
    "motors.poles": said(12, "recite", "have motor-magnets 12"),
    "motors.idle_percent": said(5.2, "recite", "have motor-idle-percent 5.2"),
    "motors.reversed": said(True, "recite", "have motor-reversed on"),
    "motors.loop_hz": said(8000, "recite", "have loop-rate-hz 8000"),
    "arming.blocks": said(
        ("usb-connected", "throttle-not-low"),
        "feel",
        "arming-refused usb-connected",
        "arming-refused throttle-not-low",
    ),
    "sensors.gyro": said("found", "feel", "gyro found"),
    "sensors.accelerometer": said("found", "feel", "accelerometer found"),
    "sensors.barometer": said("missing", "feel", "barometer not found"),
    "logger.device": said("none", "recite", "have log-device none"),
}

_HARMS = {
    "have": Harm("noted", "recite", "have lamp-colour teal", "have lamp-colour plum", sample="have lamp-colour plum"),
    "engrave": Harm("engraved", "whoami", "engravings 7", "engravings 8"),
    "amnesia": Harm("who are you", "whoami", "craft-name paper-lantern", "craft-name unnamed"),
    "snooze": Harm("good night", "whoami", "naps 33", "naps 34"),
    "swallow": Harm("open wide"),
    "stir": Harm("stirring", "feel", "motor-percent 0", "motor-percent 5"),
    "spirit": Harm("horizontal found", "feel", "lean-degrees 0.8", "lean-degrees 0.0"),
}

_PAGES = {"teach": _TEACH, "recite": _RECITE, "whoami": _WHOAMI, "feel": _FEEL}


class Wrenlock(StatingConsole):
    """The listing is in the very words that would write it again: whoever types it back changes the board."""

    name = "wrenlock"
    kinds = (
        "kebab keys, verb first",
        "records with a head in a remark",
        "legends as remarks",
        "help with descriptions",
    )
    banner = "wrenlock 1.0.13, teach for words\n"
    prompt = "wren: "
    error = "nobody taught me {line}, try teach"
    help_word = "teach"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
