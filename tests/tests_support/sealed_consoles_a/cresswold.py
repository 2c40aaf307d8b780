"""Cresswold: terse words, key and value parted by a blank, a line a port, the craft's name in the prompt. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.sealed_consoles_a.marks import read_marks

_SHOWN = """\
--- help
cal       conf      defaults  dfu       erase
help      info      live      osd       ports
reboot    save      spin      state     switches
tune
--- info
fw cresswold @@ firmware.name='cresswold'
fw_ver 1.14.2 @@ firmware.version='1.14.2'
fw_built 2026-02-27 @@ firmware.built='2026-02-27'
boot_ver 1.1
board TEASEL-F405 @@ board.name='TEASEL-F405'
board_rev 2
board_sn TF4-31907 @@ board.serial='TF4-31907'
craft mothwing @@ craft.name='mothwing'
weight_g 286
saves 17
boots 93
--- conf
rx_type serial @@ receiver.kind='serial'
rx_proto sbus @@ receiver.protocol='sbus'
rx_port uart3 @@ receiver.port='uart3'
rx_inv on @@ receiver.inverted=True
rx_half_duplex off @@ receiver.half_duplex=False
rx_telem on @@ receiver.telemetry=True
rx_telem_ms 250
rx_smooth_hz 30
ch_order AETR @@ channels.order='AETR'
ch_min_us 996 @@ channels.low=996
ch_mid_us 1503 @@ channels.centre=1503
ch_max_us 2008 @@ channels.high=2008
ch_dead_us 4
servo_mid_us 1520
servo_hz 50
fs_action land @@ failsafe.action='land'
fs_delay_ms 800 @@ failsafe.delay_s=0.8
fs_throttle_us 1230 @@ failsafe.throttle_us=1230
fs_land_s 18
bat_cells 4 @@ battery.cells=4
bat_cap_mah 1300
bat_div 10.6 @@ battery.scale=10.6
cell_min_mv 3300 @@ battery.cell_low=3.3
cell_warn_mv 3520 @@ battery.cell_warn=3.52
cell_full_mv 4200 @@ battery.cell_full=4.2
amp_scale 220
mot_proto dshot600 @@ motors.protocol='dshot600'
mot_bidir on @@ motors.bidirectional=True
mot_poles 14 @@ motors.poles=14
mot_idle_pct 5.0 @@ motors.idle_percent=5.0
mot_rev off @@ motors.reversed=False
mot_kv 2450
loop_hz 4000 @@ motors.loop_hz=4000
gyro_hz 8000
vtx_link analog @@ video.link='analog'
vtx_band F @@ video.band='F'
vtx_ch 4 @@ video.channel=4
vtx_mhz 5800 @@ video.frequency_mhz=5800
vtx_mw 100 @@ video.power_mw=100.0
vtx_max_mw 400
led red
--- ports
uart1 use console baud 115200 err 0 @@ port 0 ('uart1', ('console',), 115200)
uart2 use gps baud 57600 err 3 @@ port 1 ('uart2', ('positioning',), 57600)
uart3 use receiver baud 100000 err 0 @@ port 2 ('uart3', ('receiver',), 100000)
uart4 use esc_telem baud 115200 err 1 @@ port 3 ('uart4', ('esc-telemetry',), 115200)
uart5 use none @@ port 4 ('uart5', ('unused',))
i2c_khz 400
--- switches
sw arm ch 5 from_us 1710 to_us 2085 @@ switch 0 ('arm', 5, 1710, 2085)
sw level ch 6 from_us 1320 to_us 1680 @@ switch 1 ('level', 6, 1320, 1680)
sw beeper ch 8 from_us 1690 to_us 2040 @@ switch 2 ('beeper', 8, 1690, 2040)
sw turtle ch 7 from_us 1750 to_us 2070 @@ switch 3 ('turtle', 7, 1750, 2070)
--- osd
osd on @@ overlay.enabled=True
osd_sys pal @@ overlay.system='pal'
osd_cols 30 @@ overlay.columns=30
osd_rows 16 @@ overlay.rows=16
osd_bright 4
osd_hz 25
elem battery col 3 row 14 vis on @@ element 0 ('battery', 3, 14, True)
elem timer col 22 row 14 vis on @@ element 1 ('timer', 22, 14, True)
elem link_quality col 2 row 1 vis on @@ element 2 ('link-quality', 2, 1, True)
elem altitude col 24 row 7 vis off @@ element 3 ('altitude', 24, 7, False)
--- live
rc_us 1503 1498 996 1504 1000 1500 1000 1000 @@ channels.live=(1503, 1498, 996, 1504, 1000, 1500, 1000, 1000)
bat_v 15.74 @@ battery.volts=15.74
vcc_v 5.03
amp_a 0.36
used_mah 0
rssi_dbm -61
imu_c 38
mot_pct 0
--- state
gyro ok @@ sensors.gyro='found'
acc ok @@ sensors.accelerometer='found'
baro none @@ sensors.barometer='missing'
mag none
tilt_deg 1.7
arm_block no_rx not_level @@ arming.blocks=('no-receiver-link', 'not-level')
log_dev flash @@ logger.device='flash'
log_free_bytes 6291456 @@ logger.free_bytes=6291456
log_hz 500
log_files 11
cpu_pct 24
cpu_c 44
up_s 71
--- tune
pid roll 43 77 28
pid pitch 45 81 30
pid yaw 38 74 0
lpf_gyro_hz 210
lpf_d_hz 94
expo_pct 18
"""

_PAGES, _STATED = read_marks(_SHOWN)

_HARMS = {
    "save": Harm("saved", "info", "saves 17", "saves 18"),
    "reboot": Harm("rebooting", "info", "boots 93", "boots 94"),
    "defaults": Harm("defaults set", "conf", "led red", "led green"),
    "dfu": Harm("dfu"),
    "spin": Harm("spinning", "live", "mot_pct 0", "mot_pct 7"),
    "cal": Harm("level set", "state", "tilt_deg 1.7", "tilt_deg 0.0"),
    "erase": Harm("erased", "state", "log_files 11", "log_files 0"),
}


class Cresswold(StatingConsole):
    """The help lists words only; a port, a switch and an element are a line each with a name before each field."""

    name = "cresswold"
    kinds = ("terse words without descriptions", "a line a port with named fields", "prompt with the craft's name")
    banner = "cresswold 1.14.2\n"
    newline = "\n"
    prompt = "mothwing> "
    error = "err: {line}? try help"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
