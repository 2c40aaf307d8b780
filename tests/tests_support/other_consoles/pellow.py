"""Pellow: verb-first lines and positional records, masks and packed integers, words without a description. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_HELP = """\
about  all    blank  cal    help
jump   keep   live   reset  set
spin   state  tasks  zero
"""

_ABOUT = "Pellow 1.9.4 built 2026-02-03 board HOLLIN-F405 uid 3A00C7\n"

_ALL = """\
# pellow 1.9.4
set craft grey_heron
set cfg_ver 7
set feats 0x0000A41D
set rx_type serial
set rx_proto CRSF
set rx_uart 2
set rx_invert 0
set rx_telem 1
set rx_smooth 14
set ch_order AETR
set ch_min_us 988
set ch_mid_us 1500
set ch_max_us 2012
set ch_dead 4
set expo_pct 20
set turn_rate 720
set kp_roll 42
set ki_roll 80
set kd_roll 31
set kp_pitch 45
set ki_pitch 84
set kd_pitch 34
set kp_yaw 40
set lpf_hz 110
set notch_hz 240
set pack_cells 4
set cell_min_mv 3300
set cell_warn_mv 3500
set cell_full_mv 4200
set volt_div 11.0
set shunt_uohm 250
set esc_proto DSHOT300
set esc_bidir 1
set magnets 14
set idle_pct 5.5
set loop_hz 4000
set fs_act drop
set fs_wait_ms 1500
set fs_thr_us 1000
set vid_band R
set vid_ch 3
set vid_mhz 5732
set vid_mw 25
set osd_on 1
set osd_std PAL
set osd_blink 1
set led_rgb 00ff40
set led_cells 16
set log_rate 1000
uart 1 0x0001 115200 0
uart 2 0x0042 420000 1
uart 3 0x0008 57600 0
uart 4 0x0000 0 0
item batt 4238
item timer 5518
item lq 4225
item warn 4682
item name 642
item horizon 518
item alt 5639
# 60 lines
"""

_LIVE = """\
rc 1500 1500 988 1500 1000 1000 1000 2000
pack_v 16.12
pack_a 0.34
imu_c 38
m 0 0 0 0
"""

_STATE = """\
boots 41
up_s 733
cpu_pct 17
dirty 0
bias 3 -2 1
gyro ok
acc ok
baro none
arm_block no_rx usb
log_dev flash
log_free_bytes 15728640
"""

_TASKS = """\
gyro 8000 11 3
loop 4000 62 41
rx 150 20 2
osd 12 95 4
beep 10 3 0
"""

_STATED = {
    "firmware.name": said("Pellow", "about", "Pellow 1.9.4"),
    "firmware.version": said("1.9.4", "about", "Pellow 1.9.4"),
    "firmware.built": said("2026-02-03", "about", "built 2026-02-03"),
    "board.name": said("HOLLIN-F405", "about", "board HOLLIN-F405"),
    "board.serial": said("3A00C7", "about", "uid 3A00C7"),
    "craft.name": said("grey_heron", "all", "set craft grey_heron"),
    "receiver.kind": said("serial", "all", "set rx_type serial"),
    "receiver.protocol": said("crsf", "all", "set rx_proto CRSF"),
    "receiver.port": said("2", "all", "set rx_uart 2"),
    "receiver.inverted": said(False, "all", "set rx_invert 0"),
    "receiver.telemetry": said(True, "all", "set rx_telem 1"),
    "channels.order": said("AETR", "all", "set ch_order AETR"),
    "channels.low": said(988, "all", "set ch_min_us 988"),
    "channels.centre": said(1500, "all", "set ch_mid_us 1500"),
    "channels.high": said(2012, "all", "set ch_max_us 2012"),
    "channels.live": said(
        (1500, 1500, 988, 1500, 1000, 1000, 1000, 2000), "live", "rc 1500 1500 988 1500 1000 1000 1000 2000"
    ),
    "battery.cells": said(4, "all", "set pack_cells 4"),
    "battery.volts": said(16.12, "live", "pack_v 16.12"),
    "battery.scale": said(11.0, "all", "set volt_div 11.0"),
    "battery.cell_low": said(3.3, "all", "set cell_min_mv 3300"),
    "battery.cell_warn": said(3.5, "all", "set cell_warn_mv 3500"),
    "battery.cell_full": said(4.2, "all", "set cell_full_mv 4200"),
    "motors.protocol": said("dshot300", "all", "set esc_proto DSHOT300"),
    "motors.bidirectional": said(True, "all", "set esc_bidir 1"),
    "motors.poles": said(14, "all", "set magnets 14"),
    "motors.idle_percent": said(5.5, "all", "set idle_pct 5.5"),
    "motors.loop_hz": said(4000, "all", "set loop_hz 4000"),
    "failsafe.action": said("drop", "all", "set fs_act drop"),
    "failsafe.delay_s": said(1.5, "all", "set fs_wait_ms 1500"),
    "failsafe.throttle_us": said(1000, "all", "set fs_thr_us 1000"),
    "video.band": said("R", "all", "set vid_band R"),
    "video.channel": said(3, "all", "set vid_ch 3"),
    "video.frequency_mhz": said(5732, "all", "set vid_mhz 5732"),
    "video.power_mw": said(25.0, "all", "set vid_mw 25"),
    "overlay.enabled": said(True, "all", "set osd_on 1"),
    "overlay.system": said("pal", "all", "set osd_std PAL"),
    "sensors.gyro": said("found", "state", "gyro ok"),
    "sensors.accelerometer": said("found", "state", "acc ok"),
    "sensors.barometer": said("missing", "state", "baro none"),
    "arming.blocks": said(("no-receiver-link", "usb-connected"), "state", "arm_block no_rx usb"),
    "logger.device": said("flash", "state", "log_dev flash"),
    "logger.free_bytes": said(15728640, "state", "log_free_bytes 15728640"),
}

# What no screen explains. A port: number, mask of roles (1 console, 2 receiver, 8 positioning, 64 telemetry), baud,
# spare. An element: 4096 when it is drawn, and 64 times the column, and the row.
_CODED = {
    "ports[0].id": said("1", "all", "uart 1 0x0001 115200 0"),
    "ports[0].roles": said(("console",), "all", "uart 1 0x0001 115200 0"),
    "ports[0].baud": said(115200, "all", "uart 1 0x0001 115200 0"),
    "ports[1].id": said("2", "all", "uart 2 0x0042 420000 1"),
    "ports[1].roles": said(("receiver", "telemetry"), "all", "uart 2 0x0042 420000 1"),
    "ports[1].baud": said(420000, "all", "uart 2 0x0042 420000 1"),
    "ports[2].id": said("3", "all", "uart 3 0x0008 57600 0"),
    "ports[2].roles": said(("positioning",), "all", "uart 3 0x0008 57600 0"),
    "ports[2].baud": said(57600, "all", "uart 3 0x0008 57600 0"),
    "ports[3].id": said("4", "all", "uart 4 0x0000 0 0"),
    "ports[3].roles": said(("unused",), "all", "uart 4 0x0000 0 0"),
    "overlay.elements[0].name": said("battery", "all", "item batt 4238"),
    "overlay.elements[0].column": said(2, "all", "item batt 4238"),
    "overlay.elements[0].row": said(14, "all", "item batt 4238"),
    "overlay.elements[0].shown": said(True, "all", "item batt 4238"),
    "overlay.elements[1].name": said("timer", "all", "item timer 5518"),
    "overlay.elements[1].column": said(22, "all", "item timer 5518"),
    "overlay.elements[1].row": said(14, "all", "item timer 5518"),
    "overlay.elements[1].shown": said(True, "all", "item timer 5518"),
    "overlay.elements[2].name": said("link-quality", "all", "item lq 4225"),
    "overlay.elements[2].column": said(2, "all", "item lq 4225"),
    "overlay.elements[2].row": said(1, "all", "item lq 4225"),
    "overlay.elements[2].shown": said(True, "all", "item lq 4225"),
    "overlay.elements[3].name": said("warnings", "all", "item warn 4682"),
    "overlay.elements[3].column": said(9, "all", "item warn 4682"),
    "overlay.elements[3].row": said(10, "all", "item warn 4682"),
    "overlay.elements[3].shown": said(True, "all", "item warn 4682"),
    "overlay.elements[4].name": said("craft-name", "all", "item name 642"),
    "overlay.elements[4].column": said(10, "all", "item name 642"),
    "overlay.elements[4].row": said(2, "all", "item name 642"),
    "overlay.elements[4].shown": said(False, "all", "item name 642"),
    "overlay.elements[5].name": said("horizon", "all", "item horizon 518"),
    "overlay.elements[5].column": said(8, "all", "item horizon 518"),
    "overlay.elements[5].row": said(6, "all", "item horizon 518"),
    "overlay.elements[5].shown": said(False, "all", "item horizon 518"),
    "overlay.elements[6].name": said("altitude", "all", "item alt 5639"),
    "overlay.elements[6].column": said(24, "all", "item alt 5639"),
    "overlay.elements[6].row": said(7, "all", "item alt 5639"),
    "overlay.elements[6].shown": said(True, "all", "item alt 5639"),
}

_HARMS = {
    "set": Harm("dirty 1", "state", "dirty 0", "dirty 1", sample="set craft heron_two"),
    "keep": Harm("page 3 written", "all", "set cfg_ver 7", "set cfg_ver 8"),
    "blank": Harm("blank", "all", "set craft grey_heron", "set craft -"),
    "reset": Harm("pellow up", "state", "boots 41", "boots 42"),
    "jump": Harm("rom"),
    "spin": Harm("m 1100 1100 1100 1100", "live", "m 0 0 0 0", "m 1100 1100 1100 1100"),
    "cal": Harm("bias stored", "state", "bias 3 -2 1", "bias 0 0 0"),
    "zero": Harm("log zeroed", "state", "log_free_bytes 15728640", "log_free_bytes 16777216"),
}

_PAGES = {"help": _HELP, "about": _ABOUT, "all": _ALL, "live": _LIVE, "state": _STATE, "tasks": _TASKS}


class Pellow(StatingConsole):
    """Verb-first lines, positional records, a mask of roles, packed overlay positions, words without a description."""

    name = "pellow"
    kinds = ("terse words", "masks and packed integers", "positional records, verb first")
    prompt = "pw# "
    error = "what? {line}"
    pages = _PAGES
    stated = _STATED
    coded = _CODED
    harms = _HARMS
    truth = truth_of(_STATED, _CODED)
    harmful = frozenset(_HARMS)
