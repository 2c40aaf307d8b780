"""Marrick: no help, a listing that the banner names, nested sections. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_LEDGER = """\
[unit]
firmware = Marrick
release = 0.31.2
release-day = 2026-04-02
board = OSIER H743
craft = "Blue Kite"
profile = 2

[radio]
kind = serial
protocol = SBUS
uart = D
inverted = yes
half-duplex = no

[radio.module]
version = 3.4.1
temperature = 41 C

[radio.sticks]
order = TAER
low = 1000 us
centre = 1500 us
high = 2000 us
deadband = 4 us
expo = 0.20

[radio.link]
on-loss = hold
on-loss.delay = 0.8 s
on-loss.throttle = 1050 us
quality-floor = 70 %

[uart.A]
use = console
baud = 115200

[uart.B]
use = gps
baud = 57600
update-rate = 10 Hz

[uart.D]
use = receiver
baud = 100000
frame = 8E2

[uart.E]
use = free

[pack]
cells = 6
now = 24.31 V
low = 3.30 V/cell
warn = 3.55 V/cell
full = 4.20 V/cell
capacity = 1300 mAh
sag-filter = 0.8 Hz

[output]
protocol = DShot600
bidirectional = yes
poles = 14
idle = 4.5 %
reversed = no
loop = 8 kHz
kv = 1950

[picture]
overlay = on
system = digital
grid = 53 x 20
link = digital
power = 500 mW
font = 3

[tune.roll]
p = 0.046
i = 0.110
d = 0.0031

[tune.pitch]
p = 0.049
i = 0.115
d = 0.0034

[tune.filters]
gyro = 180 Hz
d-term = 95 Hz

[lights]
cells = 12
colour = 10, 80, 255

[arming]
blocked-by = throttle not low, not level

[verbs]
known = bench-spin, bootrom, ledger, pair, relaunch, store, vitals, wipe
"""

_VITALS = """\
[vitals]
boots = 1204
uptime = 96 s
cpu = 23 %
core = 52 C
outputs = 0 0 0 0
unsaved = 1
"""

_STATED = {
    "firmware.name": said("Marrick", "ledger", "firmware = Marrick"),
    "firmware.version": said("0.31.2", "ledger", "release = 0.31.2"),
    "firmware.built": said("2026-04-02", "ledger", "release-day = 2026-04-02"),
    "board.name": said("OSIER H743", "ledger", "board = OSIER H743"),
    "craft.name": said("Blue Kite", "ledger", 'craft = "Blue Kite"'),
    "receiver.kind": said("serial", "ledger", "[radio]", "kind = serial"),
    "receiver.protocol": said("sbus", "ledger", "[radio]", "protocol = SBUS"),
    "receiver.port": said("D", "ledger", "[radio]", "uart = D"),
    "receiver.inverted": said(True, "ledger", "[radio]", "inverted = yes"),
    "receiver.half_duplex": said(False, "ledger", "[radio]", "half-duplex = no"),
    "channels.order": said("TAER", "ledger", "[radio.sticks]", "order = TAER"),
    "channels.low": said(1000, "ledger", "[radio.sticks]", "low = 1000 us"),
    "channels.centre": said(1500, "ledger", "[radio.sticks]", "centre = 1500 us"),
    "channels.high": said(2000, "ledger", "[radio.sticks]", "high = 2000 us"),
    "failsafe.action": said("hold", "ledger", "[radio.link]", "on-loss = hold"),
    "failsafe.delay_s": said(0.8, "ledger", "[radio.link]", "on-loss.delay = 0.8 s"),
    "failsafe.throttle_us": said(1050, "ledger", "[radio.link]", "on-loss.throttle = 1050 us"),
    "ports[0].id": said("A", "ledger", "[uart.A]"),
    "ports[0].roles": said(("console",), "ledger", "[uart.A]", "use = console"),
    "ports[0].baud": said(115200, "ledger", "[uart.A]", "baud = 115200"),
    "ports[1].id": said("B", "ledger", "[uart.B]"),
    "ports[1].roles": said(("positioning",), "ledger", "[uart.B]", "use = gps"),
    "ports[1].baud": said(57600, "ledger", "[uart.B]", "baud = 57600"),
    "ports[2].id": said("D", "ledger", "[uart.D]"),
    "ports[2].roles": said(("receiver",), "ledger", "[uart.D]", "use = receiver"),
    "ports[2].baud": said(100000, "ledger", "[uart.D]", "baud = 100000"),
    "ports[3].id": said("E", "ledger", "[uart.E]"),
    "ports[3].roles": said(("unused",), "ledger", "[uart.E]", "use = free"),
    "battery.cells": said(6, "ledger", "[pack]", "cells = 6"),
    "battery.volts": said(24.31, "ledger", "[pack]", "now = 24.31 V"),
    "battery.cell_low": said(3.3, "ledger", "[pack]", "low = 3.30 V/cell"),
    "battery.cell_warn": said(3.55, "ledger", "[pack]", "warn = 3.55 V/cell"),
    "battery.cell_full": said(4.2, "ledger", "[pack]", "full = 4.20 V/cell"),
    "motors.protocol": said("dshot600", "ledger", "[output]", "protocol = DShot600"),
    "motors.bidirectional": said(True, "ledger", "[output]", "bidirectional = yes"),
    "motors.poles": said(14, "ledger", "[output]", "poles = 14"),
    "motors.idle_percent": said(4.5, "ledger", "[output]", "idle = 4.5 %"),
    "motors.reversed": said(False, "ledger", "[output]", "reversed = no"),
    "motors.loop_hz": said(8000, "ledger", "[output]", "loop = 8 kHz"),
    "overlay.enabled": said(True, "ledger", "[picture]", "overlay = on"),
    "overlay.system": said("digital", "ledger", "[picture]", "system = digital"),
    "overlay.columns": said(53, "ledger", "[picture]", "grid = 53 x 20"),
    "overlay.rows": said(20, "ledger", "[picture]", "grid = 53 x 20"),
    "video.link": said("digital", "ledger", "[picture]", "link = digital"),
    "video.power_mw": said(500.0, "ledger", "[picture]", "power = 500 mW"),
    "arming.blocks": said(
        ("throttle-not-low", "not-level"), "ledger", "[arming]", "blocked-by = throttle not low, not level"
    ),
}

_HARMS = {
    "store": Harm("stored.", "vitals", "unsaved = 1", "unsaved = 0"),
    "wipe": Harm("all values at their defaults.", "ledger", 'craft = "Blue Kite"', 'craft = ""'),
    "relaunch": Harm("Marrick 0.31.2 launching ...", "vitals", "boots = 1204", "boots = 1205"),
    "bootrom": Harm("entering rom."),
    "bench-spin": Harm("outputs at 1080.", "vitals", "outputs = 0 0 0 0", "outputs = 1080 1080 1080 1080"),
    "pair": Harm("receiver is pairing.", "ledger", "protocol = SBUS", "protocol = pairing"),
}

_PAGES = {"ledger": _LEDGER, "vitals": _VITALS}


class Marrick(StatingConsole):
    """No help and no echo; an empty line prints the banner again, which names the listing; nested sections."""

    name = "marrick"
    kinds = ("no help, listing named in the banner", "nested sections")
    banner = "Marrick flight stack 0.31.2 -- everything is in the 'ledger'\n"
    echo = False
    ends = b"\r"
    newline = "\n"
    prompt = "=> "
    error = "?? {line}"
    help_word = ""
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)

    def entered(self, line: str) -> str:
        again = "" if line.strip() else self._wire(self.banner)
        # Without echo nothing else ends the line of the prompt.
        return self.newline + again + super().entered(line)
