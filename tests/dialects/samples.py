"""Console texts and the facts in them, written by hand from CONSOLES.md (invented data, not the simulator's)."""

from __future__ import annotations

from typing import Any

ORDER = "TAER"
OSSEL_WHO = """\
firmware := Ossel
release := 4.2.0
built := 2026-03-14
board := FENWICK F7
serial := 4F2A00191C
"""
OSSEL_RECITE = """\
; craft
craft.label := Teal Wren
; radio
radio.input := uart
radio.speech := crsf
radio.socket := U2
radio.flip := no
radio.onewire := yes
radio.backtalk := yes
; sticks
stick.letters := T A E R 1 2 3 4
stick.low := 1001us
stick.mid := 1500us
stick.high := 2001us
stick.now := 1500 1501 1000 1502 1000 1000 2000 1000
lever.1 := arm on ch5 from 1700us to 2100us
lever.2 := compass on ch6 from 900us to 1300us
; sockets
socket.U1 := talk at 115200
socket.U2 := radio at 420000
socket.U3 := glass+camera at 115200
socket.U4 := idle
; glass
glass.on := yes
glass.norm := digital
glass.cols := 53
glass.rows := 20
glass.item.battery := col 2 row 18 wide 5 shown
glass.item.link := col 40 row 0 wide 4 hidden
; camera
camera.link := analog
camera.slot := R5
camera.freq := 5806MHz
camera.power := 25mW
; pack
pack.cells := 6
pack.now := 24.6V
pack.ratio := 11.0
pack.floor := 3.30V
pack.alert := 3.55V
pack.top := 4.20V
; props
prop.signal := dshot600
prop.twoway := yes
prop.magnets := 14
prop.idle := 5.5%
prop.turned := no
prop.loop := 8000Hz
; lost
lost.does := home
lost.after := 1.5s
lost.throttle := 1000us
; senses
sense.gyro := found
sense.tilt := found
sense.air := missing
grounded.1 := no-radio
grounded.2 := usb-attached
; notes
notes.device := chip
notes.free := 15728640B
; end of recital, 50 entries
"""

FACTS: dict[str, Any] = {
    "craft.name": "Teal Wren",
    "receiver.kind": "serial",
    "receiver.protocol": "crsf",
    "receiver.inverted": False,
    "receiver.half_duplex": True,
    "receiver.telemetry": True,
    "channels.order": ORDER,
    "channels.low": 1001,
    "channels.centre": 1500,
    "channels.high": 2001,
    "channels.live": (1500, 1501, 1000, 1502, 1000, 1000, 2000, 1000),
    "overlay.enabled": True,
    "overlay.system": "digital",
    "overlay.columns": 53,
    "overlay.rows": 20,
    "video.link": "analog",
    "video.band": "R",
    "video.channel": 5,
    "video.frequency_mhz": 5806,
    "video.power_mw": 25.0,
    "battery.cells": 6,
    "battery.volts": 24.6,
    "battery.scale": 11.0,
    "battery.cell_low": 3.3,
    "battery.cell_warn": 3.55,
    "battery.cell_full": 4.2,
    "motors.protocol": "dshot600",
    "motors.bidirectional": True,
    "motors.poles": 14,
    "motors.idle_percent": 5.5,
    "motors.reversed": False,
    "motors.loop_hz": 8000,
    "failsafe.action": "return",
    "failsafe.delay_s": 1.5,
    "failsafe.throttle_us": 1000,
    "sensors.gyro": "found",
    "sensors.accelerometer": "found",
    "sensors.barometer": "missing",
    "arming.blocks": ("no-receiver-link", "usb-connected"),
    "logger.device": "flash",
    "logger.free_bytes": 15728640,
}
SWITCHES = [("arm", 5, 1700, 2100), ("compass", 6, 900, 1300)]
ELEMENTS = [("battery", 2, 18, 5, True), ("link-quality", 40, 0, 4, False)]


def ports(names: str, baud: tuple[int | None, ...]) -> list[tuple[str, tuple[str, ...], int | None]]:
    """The ports of the three samples: console, receiver, overlay link with video control, unused."""
    roles = (("console",), ("receiver",), ("overlay-link", "video-control"), ("unused",))
    return list(zip(names.split(), roles, baud, strict=True))


OSSEL: dict[str, Any] = {
    **FACTS,
    "firmware.name": "Ossel",
    "firmware.version": "4.2.0",
    "firmware.built": "2026-03-14",
    "board.name": "FENWICK F7",
    "board.serial": "4F2A00191C",
    "receiver.port": "U2",
    "switches": SWITCHES,
    "overlay.elements": ELEMENTS,
    "ports": ports("U1 U2 U3 U4", (115200, 420000, 115200, None)),
}

BRINDLE_BADGE = "Brindle 2.6.1 (2026-01-30) for MARL-405 #B7-00421\n"
BRINDLE_VIEW = """\
= frame =
item   value
-----  ---------
title  Teal Wren
(1 rows)

= ear =
item         value
-----------  -----
path         wire
language     crsf
wire         W1
mirrored     n
single-wire  y
reports      y
(6 rows)

= sticks =
item    value
------  ---------------
order   T>A>E>R>1>2>3>4
bottom  1001
middle  1500
top     2001
(4 rows)

= input =
ch  now
--  ----
1   1500
2   1501
3   1000
4   1502
5   1000
6   1000
7   2000
8   1000
(8 rows)

= levers =
no  does     ch  from  to
--  -------  --  ----  ----
1   ARM      5   1700  2100
2   compass  6   900   1300
(2 rows)

= wires =
wire  duty        rate
----  ----------  ------
W0    host        -
W1    ear         420000
W2    canvas,eye  115200
W3    free        -
(4 rows)

= canvas =
item    value
------  -------
drawn   y
signal  digital
wide    53
tall    20
(4 rows)

= widgets =
widget   x   y   len  on
-------  --  --  ---  --
battery  2   18  5    y
link     40  0   4    n
(2 rows)

= eye =
item    value
------  --------
kind    analogue
band    R
number  5
mhz     5806
mw      25
(5 rows)

= cells =
item     value
-------  -----
count    6
volts    24.6
divider  11.0
empty    3.30
worry    3.55
brim     4.20
(6 rows)

= spin =
item       value
---------  --------
signal     dshot600
both-ways  y
poles      14
idle       5.5
flipped    n
rate       8
(6 rows)

= silence =
item      value
--------  ------
then      return
after     1500
throttle  1000
(3 rows)

= parts =
part   state
-----  -----
gyro   ok
accel  ok
baro   none
(3 rows)

= held =
no  reason
--  -------------
1   ear quiet
2   host attached
(2 rows)

= store =
item    value
------  -----
medium  flash
left    15360
(2 rows)

(15 tables)
"""
BRINDLE: dict[str, Any] = {
    **FACTS,
    "firmware.name": "Brindle",
    "firmware.version": "2.6.1",
    "firmware.built": "2026-01-30",
    "board.name": "MARL-405",
    "board.serial": "B7-00421",
    "receiver.port": "W1",
    "switches": SWITCHES,
    "overlay.elements": ELEMENTS,
    "ports": ports("W0 W1 W2 W3", (None, 420000, 115200, None)),
}

CORVANE_UNIT = {
    "code": {"name": "Corvane", "level": "0.19.2", "day": "2025-11-08"},
    "unit": {"model": "PLOVER 8", "id": "c0-77-1a-09"},
}
CORVANE_SETUP: dict[str, Any] = {
    "label": "Teal Wren",
    "hearing": {"by": "line", "tongue": "crsf", "at": "S2", "mirrored": False, "one_wire": True, "answers": True},
    "axes": {
        "sequence": ["throttle", "roll", "pitch", "yaw", "1", "2", "3", "4"],
        "least": 1001,
        "rest": 1500,
        "most": 2001,
        "present": [1500, 1501, 1000, 1502, 1000, 1000, 2000, 1000],
    },
    "toggles": [
        {"what": "arm", "axis": 5, "span": [1700, 2100]},
        {"what": "compass", "axis": 6, "span": [900, 1300]},
    ],
    "lines": [
        {"at": "S1", "for": ["host"], "bps": 115200},
        {"at": "S2", "for": ["hearing"], "bps": 420000},
        {"at": "S3", "for": ["glass", "eye"], "bps": 115200},
        {"at": "S4", "for": [], "bps": None},
    ],
    "picture": {
        "draw": True,
        "standard": "digital",
        "grid": [53, 20],
        "marks": [
            {"id": "battery", "at": [2, 18], "span": 5, "seen": True},
            {"id": "link", "at": [40, 0], "span": 4, "seen": False},
        ],
    },
    "eye": {"link": "analog", "spot": ["R", 5], "mhz": 5806, "mw": 25},
    "pack": {"cells": 6, "mv": 24600, "scale": 11.0, "low_mv": 3300, "warn_mv": 3550, "full_mv": 4200},
    "motors": {
        "talk": "dshot600",
        "replies": True,
        "poles": 14,
        "idle_permille": 55,
        "backwards": False,
        "loop_us": 125,
    },
    "silence": {"act": "home", "wait_ms": 1500, "throttle": 1000},
    "parts": {"gyro": True, "accel": True, "baro": False},
    "stops": ["no_link", "usb"],
    "book": {"kind": "flash", "free": 15728640},
}
CORVANE: dict[str, Any] = {
    **FACTS,
    "firmware.name": "Corvane",
    "firmware.version": "0.19.2",
    "firmware.built": "2025-11-08",
    "board.name": "PLOVER 8",
    "board.serial": "c0-77-1a-09",
    "receiver.port": "S2",
    "switches": SWITCHES,
    "overlay.elements": ELEMENTS,
    "ports": ports("S1 S2 S3 S4", (115200, 420000, 115200, None)),
}

EXPECTED = {"ossel": OSSEL, "brindle": BRINDLE, "corvane": CORVANE}
