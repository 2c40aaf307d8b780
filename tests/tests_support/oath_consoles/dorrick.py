"""Dorrick: `show` and a subject, answered by a table with a header; settings have a default and a unit. Invented."""

from __future__ import annotations

from tests_support.oath_consoles.dorrick_pages import PAGES
from tests_support.oath_consoles.repeated import PORT, SWITCH, repeated
from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_STATED = {
    "firmware.name": said("Dorrick", "show board", "Firmware          Dorrick"),
    "firmware.version": said("7.3.1", "show board", "Firmware version  7.3.1"),
    "firmware.built": said("9 Feb 2026", "show board", "Build date        9 Feb 2026"),
    "board.name": said("HOLMSIDE F722", "show board", "Board             HOLMSIDE F722"),
    "board.serial": said("D7-118-20463", "show board", "Serial number     D7-118-20463"),
    "craft.name": said("Grey Otter", "show board", "Craft name        Grey Otter"),
    "receiver.kind": said("serial", "show receiver", "Receiver type      serial "),
    "receiver.protocol": said("crsf", "show receiver", "Protocol           CRSF "),
    "receiver.port": said("UART2", "show receiver", "Port               UART2 "),
    "receiver.inverted": said(False, "show receiver", "Inverted           off "),
    "receiver.half_duplex": said(True, "show receiver", "Half duplex        on "),
    "receiver.telemetry": said(True, "show receiver", "Telemetry          on "),
    "channels.order": said("AETR", "show receiver", "Channel order      AETR "),
    "channels.low": said(1010, "show receiver", "Channel minimum    1010 "),
    "channels.centre": said(1510, "show receiver", "Channel centre     1510 "),
    "channels.high": said(2010, "show receiver", "Channel maximum    2010 "),
    "channels.live": said(
        (1511, 1509, 1012, 1510, 1903, 1002, 2003, 1498),
        "show inputs",
        "Channel  Control   Now (us)",
        "1        roll      1511",
        "2        pitch     1509",
        "3        throttle  1012",
        "4        yaw       1510",
        "5        aux 1     1903",
        "6        aux 2     1002",
        "7        aux 3     2003",
        "8        aux 4     1498",
    ),
    **repeated(
        "switches",
        SWITCH,
        "show switches",
        ("arm       5        1800       2100   ", "arm", 5, 1800, 2100),
        ("level     6        1300       1700   ", "level", 6, 1300, 1700),
        ("turtle    7        1850       2150   ", "turtle", 7, 1850, 2150),
    ),
    **repeated(
        "ports",
        PORT,
        "show ports",
        ("USB    console        115200", "USB", ("console",), 115200),
        ("UART1  OSD            230400", "UART1", ("overlay-link",), 230400),
        ("UART2  receiver       420000", "UART2", ("receiver",), 420000),
        ("UART3  GPS            57600", "UART3", ("positioning",), 57600),
        ("UART4  ESC telemetry  115200", "UART4", ("esc-telemetry",), 115200),
        ("UART5  VTX control    4800", "UART5", ("video-control",), 4800),
        ("UART6  unused", "UART6", ("unused",)),
    ),
    "overlay.enabled": said(True, "show overlay", "Overlay            on "),
    "overlay.system": said("digital", "show overlay", "Video system       digital "),
    "overlay.columns": said(53, "show overlay", "Columns            53 "),
    "overlay.rows": said(20, "show overlay", "Rows               20 "),
    **repeated(
        "overlay.elements",
        ("name", "column", "row", "width", "shown"),
        "show elements",
        ("battery       3       18   7      yes", "battery", 3, 18, 7, True),
        ("timer         45      18   5      yes", "timer", 45, 18, 5, True),
        ("link quality  46      1    4      yes", "link-quality", 46, 1, 4, True),
        ("craft name    20      0    12     no", "craft-name", 20, 0, 12, False),
    ),
    "video.link": said("digital", "show video", "Video link         digital "),
    "video.band": said("R", "show video", "Band               R "),
    "video.channel": said(2, "show video", "Channel            2 "),
    "video.frequency_mhz": said(5695, "show video", "Frequency          5695 "),
    "video.power_mw": said(350.0, "show video", "Power              350 "),
    "battery.cells": said(5, "show battery", "Cells              5 "),
    "battery.cell_low": said(3.35, "show battery", "Low cell           3.35 "),
    "battery.cell_warn": said(3.55, "show battery", "Warning cell       3.55 "),
    "battery.cell_full": said(4.22, "show battery", "Full cell          4.22 "),
    "battery.scale": said(11.5, "show battery", "Voltage divider    11.5 "),
    "battery.volts": said(19.84, "show battery", "Battery voltage    19.84 "),
    "motors.protocol": said("dshot150", "show motors", "Motor protocol     DShot150 "),
    "motors.bidirectional": said(True, "show motors", "Bidirectional      on "),
    "motors.poles": said(24, "show motors", "Magnets            24 "),
    "motors.idle_percent": said(6.5, "show motors", "Idle               6.5 "),
    "motors.reversed": said(False, "show motors", "Reversed           off "),
    "motors.loop_hz": said(2000, "show loop", "Loop rate          2000 "),
    "failsafe.action": said("drop", "show failsafe", "Action             drop "),
    "failsafe.delay_s": said(0.4, "show failsafe", "Delay              0.4 "),
    "sensors.gyro": said("found", "show sensors", "gyro           found "),
    "sensors.accelerometer": said("found", "show sensors", "accelerometer  found "),
    "sensors.barometer": said("missing", "show sensors", "barometer      missing "),
    "arming.blocks": said(
        ("usb-connected", "not-level", "arm-switch-on"),
        "show arming",
        "1   USB connected",
        "2   not level",
        "3   arm switch on",
    ),
    "logger.device": said("flash", "show log", "Log device        flash "),
    "logger.free_bytes": said(7864320, "show log", "Free space        7864320 "),
}

_HARMS = {
    "edit": Harm("ok", "show loop", "Loop rate          2000", "Loop rate          1000", sample="edit loop 1000"),
    "save": Harm("saved", "show board", "Saves             64", "Saves             65"),
    "reboot": Harm("rebooting", "show board", "Restarts          301", "Restarts          302"),
    "boot": Harm("boot loader"),
    "test": Harm("turning", "show outputs", "1      0           0  ", "1      9           840", sample="test 1 9"),
    "zero": Harm("zeroed", "show sensors", "SPI1  0.07", "SPI1  0.00"),
    "erase": Harm("erased", "show log", "Used space        524288", "Used space        0     "),
}


class Dorrick(StatingConsole):
    """Every reply is a table under a header with a rule of dashes; a dash alone stands for nothing."""

    name = "dorrick"
    kinds = ("tables with header", "default beside the value", "unit column", "two words a command")
    banner = "Dorrick 7.3.1\n"
    prompt = "dorrick> "
    error = "Unknown command: {line}. Type help for a list."
    pages = PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
