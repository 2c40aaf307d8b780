"""Wexcombe: a tree of paths with tabs, units in the path, sentences, packed ports. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_HELP = """\
bounce\ta short pause, then back again
flat\tlearn which way is up
help\tthis list
hello\twho is speaking
jobs\twhat the processor is busy with
lobby\twait for a visitor on the usb line
now\tpresent readings
ready\twhether it would arm, and why not
roomy\tmake space for the next flight
stow\tkeep the tree as it stands
sweep\tbring the tree back to how it was delivered
tree\tevery value there is
whirr\thear all four of them
"""

_HELLO = """\
This is Wexcombe, release 2.8.1, built on 2025-11-30.
It runs on a FURZE G473, serial number 4A7-1102, with loader release 1.0.
This craft is called Ember Moth.
It has been stowed 16 times and bounced 61 times.
"""

_TREE = """\
/craft/name\tEmber Moth
/craft/weight_g\t412
/air/rx/type\tspi
/air/rx/telemetry\tyes
/air/rx/rate_hz\t500
/air/rx/diversity\tno
/air/chan/order\tAETR
/air/chan/low_us\t988
/air/chan/center_us\t1500
/air/chan/high_us\t2012
/air/chan/deadband_us\t2
/air/chan/expo\t0.3
/air/lost/action\tland
/air/lost/delay_s\t1.25
/air/lost/throttle_us\t1310
/air/lost/tilt_deg\t12
/io/mask\t0x2B
/io/uart1\t18433
/io/uart2\t9222
/io/uart3\t0
/io/uart4\t36872
/eye/osd/enabled\tyes
/eye/osd/format\tdigital
/eye/osd/cols\t53
/eye/osd/rows\t20
/eye/osd/item/battery\t1189
/eye/osd/item/timer\t1233
/eye/osd/item/altitude\t604
/eye/osd/rate_hz\t10
/eye/vtx/link\tdigital
/eye/vtx/band_chan\tR5
/eye/vtx/freq_mhz\t5806
/eye/vtx/power_mw\t500
/eye/vtx/low_power_disarmed\tyes
/eye/cam/tilt_deg\t30
/bat/cells\t4
/bat/cell_empty_v\t3.35
/bat/cell_warn_v\t3.55
/bat/cell_full_v\t4.20
/bat/mah\t850
/bat/cells_charger\t2
/bat/divider\t10.9
/esc/protocol\tDSHOT600
/esc/bidirectional\tyes
/esc/poles\t14
/esc/idle_pct\t4.8
/esc/reversed\tyes
/esc/limit_pct\t100
/esc/kv\t3800
/ctl/loop_khz\t8
/ctl/gyro_khz\t8
/ctl/roll/p\t38
/ctl/roll/i\t70
/ctl/roll/d\t27
/ctl/pitch/p\t40
/ctl/pitch/i\t73
/ctl/pitch/d\t29
/ctl/yaw/p\t33
/ctl/yaw/i\t70
/ctl/lpf/gyro_hz\t240
/ctl/lpf/d_hz\t120
/lamp/cells\t6
/lamp/colour\tteal
.
"""

_NOW = """\
battery\t16.24 V
current\t0.29 A
cpu\t22 %
core\t40 C
horizon\t1.3 deg off
outputs\t0 0 0 0
memory\t71 % full
"""

_READY = """\
It would not arm: no receiver signal, USB connected, arm switch on.
Gyroscope found, accelerometer found, barometer missing, compass missing.
"""

_JOBS = """\
gyro\t8000 Hz\t8 us
control\t8000 Hz\t31 us
radio\t500 Hz\t14 us
overlay\t10 Hz\t210 us
"""

_RAN = "Gyroscope found, accelerometer found, barometer missing, compass missing."

_STATED = {
    "firmware.name": said("Wexcombe", "hello", "This is Wexcombe, release 2.8.1"),
    "firmware.version": said("2.8.1", "hello", "This is Wexcombe, release 2.8.1"),
    "firmware.built": said("2025-11-30", "hello", "built on 2025-11-30."),
    "board.name": said("FURZE G473", "hello", "It runs on a FURZE G473"),
    "board.serial": said("4A7-1102", "hello", "serial number 4A7-1102"),
    "craft.name": said("Ember Moth", "tree", "/craft/name\tEmber Moth"),
    "receiver.kind": said("spi", "tree", "/air/rx/type\tspi"),
    "receiver.telemetry": said(True, "tree", "/air/rx/telemetry\tyes"),
    "channels.order": said("AETR", "tree", "/air/chan/order\tAETR"),
    "channels.low": said(988, "tree", "/air/chan/low_us\t988"),
    "channels.centre": said(1500, "tree", "/air/chan/center_us\t1500"),
    "channels.high": said(2012, "tree", "/air/chan/high_us\t2012"),
    "failsafe.action": said("land", "tree", "/air/lost/action\tland"),
    "failsafe.delay_s": said(1.25, "tree", "/air/lost/delay_s\t1.25"),
    "failsafe.throttle_us": said(1310, "tree", "/air/lost/throttle_us\t1310"),
    "overlay.enabled": said(True, "tree", "/eye/osd/enabled\tyes"),
    "overlay.system": said("digital", "tree", "/eye/osd/format\tdigital"),
    "overlay.columns": said(53, "tree", "/eye/osd/cols\t53"),
    "overlay.rows": said(20, "tree", "/eye/osd/rows\t20"),
    "video.link": said("digital", "tree", "/eye/vtx/link\tdigital"),
    "video.band": said("R", "tree", "/eye/vtx/band_chan\tR5"),
    "video.channel": said(5, "tree", "/eye/vtx/band_chan\tR5"),
    "video.frequency_mhz": said(5806, "tree", "/eye/vtx/freq_mhz\t5806"),
    "video.power_mw": said(500.0, "tree", "/eye/vtx/power_mw\t500"),
    "battery.cells": said(4, "tree", "/bat/cells\t4"),
    "battery.volts": said(16.24, "now", "battery\t16.24 V"),
    "battery.cell_low": said(3.35, "tree", "/bat/cell_empty_v\t3.35"),
    "battery.cell_warn": said(3.55, "tree", "/bat/cell_warn_v\t3.55"),
    "battery.cell_full": said(4.2, "tree", "/bat/cell_full_v\t4.20"),
    "battery.scale": said(10.9, "tree", "/bat/divider\t10.9"),
    "motors.protocol": said("dshot600", "tree", "/esc/protocol\tDSHOT600"),
    "motors.bidirectional": said(True, "tree", "/esc/bidirectional\tyes"),
    "motors.poles": said(14, "tree", "/esc/poles\t14"),
    "motors.idle_percent": said(4.8, "tree", "/esc/idle_pct\t4.8"),
    "motors.reversed": said(True, "tree", "/esc/reversed\tyes"),
    "motors.loop_hz": said(8000, "tree", "/ctl/loop_khz\t8\r"),
    "sensors.gyro": said("found", "ready", _RAN),
    "sensors.accelerometer": said("found", "ready", _RAN),
    "sensors.barometer": said("missing", "ready", _RAN),
    "arming.blocks": said(
        ("no-receiver-link", "usb-connected", "arm-switch-on"),
        "ready",
        "It would not arm: no receiver signal, USB connected, arm switch on.",
    ),
}

# Only the source tells. A port is its baud / 100 in the bits from 4 up, and its role below (1 console, 6 telemetry,
# 8 video control, 0 with no baud: unused). An element that is drawn is its row * 64 + its column; all three are drawn.
_CODED = {
    "ports[0].id": said("uart1", "tree", "/io/uart1\t18433"),
    "ports[0].roles": said(("console",), "tree", "/io/uart1\t18433"),
    "ports[0].baud": said(115200, "tree", "/io/uart1\t18433"),
    "ports[1].id": said("uart2", "tree", "/io/uart2\t9222"),
    "ports[1].roles": said(("telemetry",), "tree", "/io/uart2\t9222"),
    "ports[1].baud": said(57600, "tree", "/io/uart2\t9222"),
    "ports[2].id": said("uart3", "tree", "/io/uart3\t0"),
    "ports[2].roles": said(("unused",), "tree", "/io/uart3\t0"),
    "ports[3].id": said("uart4", "tree", "/io/uart4\t36872"),
    "ports[3].roles": said(("video-control",), "tree", "/io/uart4\t36872"),
    "ports[3].baud": said(230400, "tree", "/io/uart4\t36872"),
    "overlay.elements[0].name": said("battery", "tree", "/eye/osd/item/battery\t1189"),
    "overlay.elements[0].column": said(37, "tree", "/eye/osd/item/battery\t1189"),
    "overlay.elements[0].row": said(18, "tree", "/eye/osd/item/battery\t1189"),
    "overlay.elements[0].shown": said(True, "tree", "/eye/osd/item/battery\t1189"),
    "overlay.elements[1].name": said("timer", "tree", "/eye/osd/item/timer\t1233"),
    "overlay.elements[1].column": said(17, "tree", "/eye/osd/item/timer\t1233"),
    "overlay.elements[1].row": said(19, "tree", "/eye/osd/item/timer\t1233"),
    "overlay.elements[1].shown": said(True, "tree", "/eye/osd/item/timer\t1233"),
    "overlay.elements[2].name": said("altitude", "tree", "/eye/osd/item/altitude\t604"),
    "overlay.elements[2].column": said(28, "tree", "/eye/osd/item/altitude\t604"),
    "overlay.elements[2].row": said(9, "tree", "/eye/osd/item/altitude\t604"),
    "overlay.elements[2].shown": said(True, "tree", "/eye/osd/item/altitude\t604"),
}

_HARMS = {
    "bounce": Harm("Back in a moment.", "hello", "bounced 61 times", "bounced 62 times"),
    "flat": Harm("Learnt.", "now", "1.3 deg off", "0.0 deg off"),
    "lobby": Harm("Waiting."),
    "roomy": Harm("There is space.", "now", "71 % full", "0 % full"),
    "stow": Harm("Stowed.", "hello", "stowed 16 times", "stowed 17 times"),
    "sweep": Harm("Swept.", "tree", "Ember Moth", "Unnamed"),
    "whirr": Harm("Whirring.", "now", "outputs\t0 0 0 0", "outputs\t70 70 70 70"),
}

_PAGES = {
    "help": _HELP,
    "hello": _HELLO,
    "tree": _TREE,
    "now": _NOW,
    "ready": _READY,
    "jobs": _JOBS,
}


class Wexcombe(StatingConsole):
    """Words of which few say what they do, and descriptions that say it kindly; a listing ends with a full stop."""

    name = "wexcombe"
    kinds = ("paths and tabs", "sentences", "packed integers", "help with descriptions")
    banner = "Wexcombe 2.8.1\n"
    ends = b"\r"
    prompt = "wx| "
    error = "?{line}"
    pages = _PAGES
    stated = _STATED
    coded = _CODED
    harms = _HARMS
    truth = truth_of(_STATED, _CODED)
    harmful = frozenset(_HARMS)
