"""Oxlip: a menu by letter; an entry opens a page with a prompt of its own, and q goes back. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_MENU = """\
Oxlip - what shall it be?
   a  about this craft
   b  battery
   c  receiver and channels
   e  motors and speed controllers
   g  give the gyro a rest
   k  keep the changes
   l  loss of the link
   m  this menu
   n  new transmitter
   o  overlay and video
   r  ready to fly?
   t  tuning
   u  serial ports
   w  warm the motors up
   x  exchange the firmware
   y  start over
   z  as it came from the shop
"""

_ABOUT = """\
           firmware : Oxlip
            version : 12.4.0
           built on : 30 Apr 2026
              board : LOVAGE F745
      serial number : LV-2209
         craft name : Old Kettle
       menu version : 3
        first flown : 11 Mar 2025
      times started : 146
         times kept : 21
"""

_CHANNELS = """\
      receiver type : serial
           protocol : IBUS
        serial port : U4
        half duplex : no
          telemetry : off
      channel order : aileron, elevator, throttle, rudder
       lowest pulse : 1000 us
       centre pulse : 1500 us
      highest pulse : 2000 us
          dead band : 4 us
      frame spacing : 7 ms
       rate of turn : 700 deg/s
       curve of yaw : 0.12
   model match code : 22
"""

_PORTS = """\
                 U1 : console at 115200 baud
                 U2 : OSD link at 230400 baud
                 U3 : rangefinder at 19200 baud
                 U4 : receiver at 115200 baud
                 U5 : not used
"""

_VIDEO = """\
            overlay : on
     video standard : PAL
            columns : 30
               rows : 16
    overlay refresh : 12 Hz
           contrast : 6
         video link : analog
      video channel : A4
          frequency : 5805 MHz
     transmit power : 100 mW
  transmitter temp. : 44 C
       camera angle : 32 degrees
"""

_BATTERY = """\
    cells in series : 6
        voltage now : 24.9 V
        lowest cell : 3.3 V allowed
       cell warning : 3.5 V
          full cell : 4.2 V
            current : 0.2 A
               used : 12 mAh
 cells in the radio : 2
"""

_MOTORS = """\
     motor protocol : DShot600
      bidirectional : yes
              poles : 14
               idle : 5 %
           reversed : yes
  control loop rate : 4 kHz
                 KV : 1900
            outputs : 0 0 0 0
       beacon after : 300 s
"""

_LOSS = """\
    failsafe action : land
     failsafe delay : 600 ms
  failsafe throttle : 1180 us
      quality floor : 60 %
      return height : 35 m
         sink speed : 1.1 m/s
"""

_READY = """\
               gyro : found
      accelerometer : found
          barometer : missing
            compass : missing
       gyro warm-up : 3 s
         cannot arm : throttle not low, USB connected
       largest tilt : 25 degrees
     log free space : 31457280 bytes
           log rate : 500 Hz
"""

_TUNING = """\
               roll : P 44  I 80  D 29
              pitch : P 47  I 84  D 32
                yaw : P 40  I 80  D 0
        gyro filter : 205 Hz
      D-term filter : 98 Hz
   gyro rest offset : 5 -3 1
"""

_STATED = {
    "firmware.name": said("Oxlip", "a", "firmware : Oxlip"),
    "firmware.version": said("12.4.0", "a", "version : 12.4.0"),
    "firmware.built": said("30 Apr 2026", "a", "built on : 30 Apr 2026"),
    "board.name": said("LOVAGE F745", "a", "board : LOVAGE F745"),
    "board.serial": said("LV-2209", "a", "serial number : LV-2209"),
    "craft.name": said("Old Kettle", "a", "craft name : Old Kettle"),
    "receiver.kind": said("serial", "c", "receiver type : serial"),
    "receiver.protocol": said("ibus", "c", "protocol : IBUS"),
    "receiver.port": said("U4", "c", "serial port : U4"),
    "receiver.half_duplex": said(False, "c", "half duplex : no"),
    "receiver.telemetry": said(False, "c", "telemetry : off"),
    "channels.order": said("AETR", "c", "channel order : aileron, elevator, throttle, rudder"),
    "channels.low": said(1000, "c", "lowest pulse : 1000 us"),
    "channels.centre": said(1500, "c", "centre pulse : 1500 us"),
    "channels.high": said(2000, "c", "highest pulse : 2000 us"),
    "ports[0].id": said("U1", "u", "U1 : console at 115200 baud"),
    "ports[0].roles": said(("console",), "u", "U1 : console at 115200 baud"),
    "ports[0].baud": said(115200, "u", "U1 : console at 115200 baud"),
    "ports[1].id": said("U2", "u", "U2 : OSD link at 230400 baud"),
    "ports[1].roles": said(("overlay-link",), "u", "U2 : OSD link at 230400 baud"),
    "ports[1].baud": said(230400, "u", "U2 : OSD link at 230400 baud"),
    "ports[2].id": said("U3", "u", "U3 : rangefinder at 19200 baud"),
    "ports[2].roles": said(("rangefinder",), "u", "U3 : rangefinder at 19200 baud"),
    "ports[2].baud": said(19200, "u", "U3 : rangefinder at 19200 baud"),
    "ports[3].id": said("U4", "u", "U4 : receiver at 115200 baud"),
    "ports[3].roles": said(("receiver",), "u", "U4 : receiver at 115200 baud"),
    "ports[3].baud": said(115200, "u", "U4 : receiver at 115200 baud"),
    "ports[4].id": said("U5", "u", "U5 : not used"),
    "ports[4].roles": said(("unused",), "u", "U5 : not used"),
    "overlay.enabled": said(True, "o", "overlay : on"),
    "overlay.system": said("pal", "o", "video standard : PAL"),
    "overlay.columns": said(30, "o", "columns : 30"),
    "overlay.rows": said(16, "o", "rows : 16"),
    "video.link": said("analog", "o", "video link : analog"),
    "video.band": said("A", "o", "video channel : A4"),
    "video.channel": said(4, "o", "video channel : A4"),
    "video.frequency_mhz": said(5805, "o", "frequency : 5805 MHz"),
    "video.power_mw": said(100.0, "o", "transmit power : 100 mW"),
    "battery.cells": said(6, "b", "cells in series : 6"),
    "battery.volts": said(24.9, "b", "voltage now : 24.9 V"),
    "battery.cell_low": said(3.3, "b", "lowest cell : 3.3 V allowed"),
    "battery.cell_warn": said(3.5, "b", "cell warning : 3.5 V"),
    "battery.cell_full": said(4.2, "b", "full cell : 4.2 V"),
    "motors.protocol": said("dshot600", "e", "motor protocol : DShot600"),
    "motors.bidirectional": said(True, "e", "bidirectional : yes"),
    "motors.poles": said(14, "e", "poles : 14"),
    "motors.idle_percent": said(5.0, "e", "idle : 5 %"),
    "motors.reversed": said(True, "e", "reversed : yes"),
    "motors.loop_hz": said(4000, "e", "control loop rate : 4 kHz"),
    "failsafe.action": said("land", "l", "failsafe action : land"),
    "failsafe.delay_s": said(0.6, "l", "failsafe delay : 600 ms"),
    "failsafe.throttle_us": said(1180, "l", "failsafe throttle : 1180 us"),
    "sensors.gyro": said("found", "r", "gyro : found"),
    "sensors.accelerometer": said("found", "r", "accelerometer : found"),
    "sensors.barometer": said("missing", "r", "barometer : missing"),
    "arming.blocks": said(("throttle-not-low", "usb-connected"), "r", "cannot arm : throttle not low, USB connected"),
    "logger.free_bytes": said(31457280, "r", "log free space : 31457280 bytes"),
}

_HARMS = {
    "g": Harm("Hold still ... the gyro has rested.", "t", "gyro rest offset : 5 -3 1", "gyro rest offset : 0 0 0"),
    "k": Harm("Kept.", "a", "times kept : 21", "times kept : 22"),
    "n": Harm("Waiting for a transmitter.", "c", "model match code : 22", "model match code : none"),
    "w": Harm("Warming up.", "e", "outputs : 0 0 0 0", "outputs : 7 7 7 7"),
    "x": Harm("Send the new one."),
    "y": Harm("Oxlip starts over.", "a", "times started : 146", "times started : 147"),
    "z": Harm("As new.", "a", "craft name : Old Kettle", "craft name : "),
}

_PAGES = {
    "m": _MENU,
    "?": _MENU,
    "a": _ABOUT,
    "b": _BATTERY,
    "c": _CHANNELS,
    "e": _MOTORS,
    "l": _LOSS,
    "o": _VIDEO,
    "r": _READY,
    "t": _TUNING,
    "u": _PORTS,
}

_PROMPTS = {
    "a": "about",
    "b": "battery",
    "c": "channels",
    "e": "motors",
    "l": "loss",
    "o": "video",
    "r": "ready",
    "t": "tuning",
    "u": "ports",
}


class Oxlip(StatingConsole):
    """A letter of the menu opens a page; nothing but q, which goes back, and an empty line is taken there."""

    name = "oxlip"
    kinds = ("menu by letter", "pages with a prompt of their own and a way back", "labels aligned to the right")
    banner = "Oxlip 12.4.0, m shows the menu\n"
    prompt = "choose> "
    back = "q"
    error = "There is no {line} here; m shows the menu."
    help_word = "m"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)

    def __init__(self) -> None:
        super().__init__()
        self._page = ""

    def prompt_within(self, word: str) -> str:
        """The prompt after a word was entered at the menu: that of its page, or the menu's."""
        return f"{_PROMPTS[word]} (q = back)> " if word in _PROMPTS else self.prompt

    def entered(self, line: str) -> str:
        if self._page:
            return self._within(line)
        text = super().entered(line)
        if line.strip() not in _PROMPTS:
            return text
        self._page = line.strip()
        return text.removesuffix(self.prompt) + self.prompt_within(self._page)

    def _within(self, line: str) -> str:
        self.received.append(line)
        if line.strip() == self.back:
            self._page = ""
            return self.prompt
        answer = self._wire(f"Only q is taken here, not {line.strip()}.\n") if line.strip() else ""
        return answer + self.prompt_within(self._page)
