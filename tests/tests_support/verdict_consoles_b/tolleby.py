"""Tolleby: terse lower-case keys with `=`, one word for what is set and one for what is read. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_HELP = """\
help   - list of commands
list   - print all settings
stat   - print status and readings
write  - save settings to flash
boot   - restart the board
wipe   - load default settings
dfu    - enter the bootloader
mtest  - run motors at low throttle
acal   - calibrate the accelerometer
lclr   - erase the log
"""

_LIST = """\
fw_name=tolleby
fw_ver=3.2.0
fw_date=2026-01-30
boot_ver=1.4
board=bistort f4
board_rev=c
craft=rusty gull
craft_wt_g=486
rx_type=serial
rx_proto=crsf
rx_uart=uart2
rx_inv=off
rx_half_dup=off
rx_tlm=on
tlm_ms=125
ch_order=aetr
ch_min_us=992
ch_mid_us=1502
ch_max_us=2008
ch_dband_us=4
servo_mid_us=1520
sw_arm=ch5 1705..2085
sw_level=ch6 915..1285
sw_beeper=ch8 1725..2095
uart1=console 115200
uart2=rx 420000
uart3=gps 57600
uart4=esc_tlm 115200
uart6=unused
i2c_khz=400
osd_en=on
osd_sys=ntsc
osd_cols=30
osd_rows=13
osd_hz=30
osd_batt=col:2 row:11 on
osd_timer=col:23 row:11 on
osd_lq=col:2 row:1 on
osd_alt=col:24 row:6 off
vtx_link=analog
vtx_band=f
vtx_ch=3
vtx_mhz=5780
vtx_mw=100
vtx_max_mw=400
vtx_pit=off
batt_cells=4
batt_div=10.6
batt_mah=1400
curr_mv_a=38
cell_min_mv=3340
cell_warn_mv=3520
cell_full_mv=4170
mot_proto=dshot600
mot_bidir=on
mot_poles=14
mot_idle_pct=5.2
mot_rev=on
mot_kv=1980
loop_hz=4000
gyro_hz=8000
gyro_lpf_hz=205
dterm_lpf_hz=105
roll_p=42
roll_i=76
roll_d=28
pitch_p=45
pitch_i=79
pitch_d=31
yaw_p=36
yaw_i=74
fs_act=land
fs_delay_ms=600
fs_thr_us=1190
fs_recov_ms=1400
log_dev=flash
log_hz=500
led_cnt=12
"""

_STAT = """\
vbat_v=15.48
amps=0.37
used_mah=6
rail_v=5.03
gyro=found
acc=found
baro=missing
mag=missing
no_arm=no_rx_link,throttle_not_low
mot_out_pct=0
tilt_deg=1.2
cpu_pct=27
cpu_c=45
up_s=312
saves=33
boots=158
log_free_b=6291456
log_files=9
"""

_SET, _NOW = "list", "stat"
_STATED = {
    "firmware.name": said("tolleby", _SET, "fw_name=tolleby"),
    "firmware.version": said("3.2.0", _SET, "fw_ver=3.2.0"),
    "firmware.built": said("2026-01-30", _SET, "fw_date=2026-01-30"),
    "board.name": said("bistort f4", _SET, "board=bistort f4"),
    "craft.name": said("rusty gull", _SET, "craft=rusty gull"),
    "receiver.kind": said("serial", _SET, "rx_type=serial"),
    "receiver.protocol": said("crsf", _SET, "rx_proto=crsf"),
    "receiver.port": said("uart2", _SET, "rx_uart=uart2"),
    "receiver.inverted": said(False, _SET, "rx_inv=off"),
    "receiver.half_duplex": said(False, _SET, "rx_half_dup=off"),
    "receiver.telemetry": said(True, _SET, "rx_tlm=on"),
    "channels.order": said("AETR", _SET, "ch_order=aetr"),
    "channels.low": said(992, _SET, "ch_min_us=992"),
    "channels.centre": said(1502, _SET, "ch_mid_us=1502"),
    "channels.high": said(2008, _SET, "ch_max_us=2008"),
    **switches_said(
        _SET,
        [
            ("arm", 5, 1705, 2085, ("sw_arm=ch5 1705..2085",)),
            ("level", 6, 915, 1285, ("sw_level=ch6 915..1285",)),
            ("beeper", 8, 1725, 2095, ("sw_beeper=ch8 1725..2095",)),
        ],
    ),
    **ports_said(
        _SET,
        [
            ("uart1", ("console",), 115200, ("uart1=console 115200",)),
            ("uart2", ("receiver",), 420000, ("uart2=rx 420000",)),
            ("uart3", ("positioning",), 57600, ("uart3=gps 57600",)),
            ("uart4", ("esc-telemetry",), 115200, ("uart4=esc_tlm 115200",)),
            ("uart6", ("unused",), None, ("uart6=unused",)),
        ],
    ),
    "overlay.enabled": said(True, _SET, "osd_en=on"),
    "overlay.system": said("ntsc", _SET, "osd_sys=ntsc"),
    "overlay.columns": said(30, _SET, "osd_cols=30"),
    "overlay.rows": said(13, _SET, "osd_rows=13"),
    **elements_said(
        _SET,
        [
            ("battery", 2, 11, True, ("osd_batt=col:2 row:11 on",)),
            ("timer", 23, 11, True, ("osd_timer=col:23 row:11 on",)),
            ("link-quality", 2, 1, True, ("osd_lq=col:2 row:1 on",)),
            ("altitude", 24, 6, False, ("osd_alt=col:24 row:6 off",)),
        ],
    ),
    "video.link": said("analog", _SET, "vtx_link=analog"),
    "video.band": said("F", _SET, "vtx_band=f"),
    "video.channel": said(3, _SET, "vtx_ch=3"),
    "video.frequency_mhz": said(5780, _SET, "vtx_mhz=5780"),
    "video.power_mw": said(100.0, _SET, "vtx_mw=100"),
    "battery.cells": said(4, _SET, "batt_cells=4"),
    "battery.scale": said(10.6, _SET, "batt_div=10.6"),
    "battery.cell_low": said(3.34, _SET, "cell_min_mv=3340"),
    "battery.cell_warn": said(3.52, _SET, "cell_warn_mv=3520"),
    "battery.cell_full": said(4.17, _SET, "cell_full_mv=4170"),
    "motors.protocol": said("dshot600", _SET, "mot_proto=dshot600"),
    "motors.bidirectional": said(True, _SET, "mot_bidir=on"),
    "motors.poles": said(14, _SET, "mot_poles=14"),
    "motors.idle_percent": said(5.2, _SET, "mot_idle_pct=5.2"),
    "motors.reversed": said(True, _SET, "mot_rev=on"),
    "motors.loop_hz": said(4000, _SET, "loop_hz=4000"),
    "failsafe.action": said("land", _SET, "fs_act=land"),
    "failsafe.delay_s": said(0.6, _SET, "fs_delay_ms=600"),
    "failsafe.throttle_us": said(1190, _SET, "fs_thr_us=1190"),
    "logger.device": said("flash", _SET, "log_dev=flash"),
    "logger.free_bytes": said(6291456, _NOW, "log_free_b=6291456"),
    "battery.volts": said(15.48, _NOW, "vbat_v=15.48"),
    "sensors.gyro": said("found", _NOW, "gyro=found"),
    "sensors.accelerometer": said("found", _NOW, "acc=found"),
    "sensors.barometer": said("missing", _NOW, "baro=missing"),
    "arming.blocks": said(("no-receiver-link", "throttle-not-low"), _NOW, "no_arm=no_rx_link,throttle_not_low"),
}

_HARMS = {
    "write": Harm("written", _NOW, "saves=33", "saves=34"),
    "boot": Harm("restarting", _NOW, "boots=158", "boots=159"),
    "wipe": Harm("defaults loaded", _SET, "craft=rusty gull", "craft="),
    "dfu": Harm("waiting for firmware"),
    "mtest": Harm("motors on", _NOW, "mot_out_pct=0", "mot_out_pct=6"),
    "acal": Harm("acc calibrated", _NOW, "tilt_deg=1.2", "tilt_deg=0.0"),
    "lclr": Harm("log erased", _NOW, "log_files=9", "log_files=0"),
}

_PAGES = {"help": _HELP, _SET: _LIST, _NOW: _STAT}


class Tolleby(StatingConsole):
    """Keys of abbreviations with the unit at their end, rows as values of two or three parts."""

    name = "tolleby"
    kinds = ("terse snake keys with =", "one listing, one status", "unit at the end of the key", "rows packed in words")
    banner = "tolleby 3.2.0\n"
    prompt = "tol> "
    error = "err: {line}"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
