"""Skarrow: a word for each topic, answered with indented `Label: value unit` below a head. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_TOPICS = """\
Topics you can look at:
    topics      this text
    identity    firmware, board and craft
    radio       receiver, channels and failsafe
    serial      the serial ports
    modes       what the switches do
    osd         the on-screen display
    video       the video transmitter
    battery     pack and cell voltages
    motors      motors and speed controllers
    tuning      control loop, gains and filters
    sensors     sensors and temperatures
    arming      whether the craft can be armed
    flightlog   flight log
Things you can do:
    keepall     keep the settings
    clearall    lose the settings
    reboot      restart the board
    flashmode   wait for new firmware
    motortest   run a motor: motortest number percent
    level       calibrate level
    erase       erase the flight log
"""

_IDENTITY = """\
Identity
    Firmware: Skarrow
    Firmware version: 0.19.2
    Built: 6 Feb 2032
    Board: Nettle F7
    Serial number: NT-20881
    Craft name: Copper Wasp
    Restarts: 61
    Settings saved: 22 times
    Uptime: 312 s
"""

_RADIO = """\
Receiver
    Type: serial
    Protocol: SBUS
    Port: UART 3
    Inverted: yes
    Half duplex: no
    Telemetry: no
    Frames per second: 111
    Lost frames: 2

Channels
    Order: AETR
    Minimum: 1000 us
    Centre: 1505 us
    Maximum: 1995 us
    Dead band: 4 us

Failsafe
    Action: land
    Delay: 1.5 s
    Throttle: 1320 us
"""

_SERIAL = """\
Serial ports
    UART 1
        Function: not used
        Baud rate: 115200
        Bytes received: 0
    UART 2
        Function: video transmitter control
        Baud rate: 4800
        Bytes received: 96
    UART 3
        Function: receiver
        Baud rate: 100000
        Bytes received: 20431
    UART 4
        Function: GPS
        Baud rate: 38400
        Bytes received: 1188
"""

_MODES = """\
Modes
    Arm
        Channel: 7
        Range: 1650 to 2100 us
    Beeper
        Channel: 9
        Range: 1300 to 1700 us
"""

_OSD = """\
On-screen display
    Enabled: yes
    Video system: NTSC
    Columns: 30
    Rows: 13
    Font: bold
    Blink rate: 2 Hz

Elements
    Battery
        Column: 2
        Row: 11
        Visible: yes
    Link quality
        Column: 21
        Row: 1
        Visible: no
"""

_VIDEO = """\
Video transmitter
    Type: analog
    Band: R
    Channel: 3
    Frequency: 5732 MHz
    Power: 400 mW
    Temperature: 52 C
    Pit mode: off
"""

_BATTERY = """\
Battery
    Cells: 6
    Pack voltage: 23.46 V
    Current: 0.41 A
    Capacity: 1100 mAh
    Minimum cell voltage: 3.20 V
    Warning cell voltage: 3.55 V
    Full cell voltage: 4.20 V
    Voltage divider: 11.2

Supplies
    5 V rail: 4.98 V
    Camera rail: 9.10 V
"""

_MOTORS = """\
Motors
    Protocol: DShot300
    Bidirectional: no
    Poles: 12
    Idle: 6.5 %
    Direction: reversed
    Output now: 0 %
"""

_TUNING = """\
Control loop
    Rate: 8 kHz
    Load: 44 %

Gains
    Roll: 41 70 27
    Pitch: 43 74 29
    Yaw: 36 70 0

Filters
    Gyro low pass: 150 Hz
    D low pass: 90 Hz
"""

_SENSORS = """\
Sensors
    Gyro: found
    Accelerometer: found
    Barometer: found
    Compass: not found
    Level trim: 1.4 deg
    Processor temperature: 47 C
"""

_ARMING = """\
Arming
    Armed: no
    Blocked by: no receiver link, not level
"""

_FLIGHT_LOG = """\
Flight log
    Device: card
    Free space: 7340032 KiB
    Logging rate: 2 kHz
    Logs: 17
"""

_STATED = {
    "firmware.name": said("Skarrow", "identity", "    Firmware: Skarrow"),
    "firmware.version": said("0.19.2", "identity", "    Firmware version: 0.19.2"),
    "firmware.built": said("6 Feb 2032", "identity", "    Built: 6 Feb 2032"),
    "board.name": said("Nettle F7", "identity", "    Board: Nettle F7"),
    "board.serial": said("NT-20881", "identity", "    Serial number: NT-20881"),
    "craft.name": said("Copper Wasp", "identity", "    Craft name: Copper Wasp"),
    "receiver.kind": said("serial", "radio", "Receiver", "    Type: serial"),
    "receiver.protocol": said("sbus", "radio", "Receiver", "    Protocol: SBUS"),
    "receiver.port": said("UART 3", "radio", "Receiver", "    Port: UART 3"),
    "receiver.inverted": said(True, "radio", "Receiver", "    Inverted: yes"),
    "receiver.half_duplex": said(False, "radio", "Receiver", "    Half duplex: no"),
    "receiver.telemetry": said(False, "radio", "Receiver", "    Telemetry: no"),
    "channels.order": said("AETR", "radio", "Channels", "    Order: AETR"),
    "channels.low": said(1000, "radio", "Channels", "    Minimum: 1000 us"),
    "channels.centre": said(1505, "radio", "Channels", "    Centre: 1505 us"),
    "channels.high": said(1995, "radio", "Channels", "    Maximum: 1995 us"),
    "failsafe.action": said("land", "radio", "Failsafe", "    Action: land"),
    "failsafe.delay_s": said(1.5, "radio", "Failsafe", "    Delay: 1.5 s"),
    "failsafe.throttle_us": said(1320, "radio", "Failsafe", "    Throttle: 1320 us"),
    **{f"ports[{row}].id": said(f"UART {row + 1}", "serial", f"    UART {row + 1}") for row in range(4)},
    "ports[0].roles": said(("unused",), "serial", "    UART 1", "        Function: not used"),
    "ports[0].baud": said(115200, "serial", "    UART 1", "        Baud rate: 115200"),
    "ports[1].roles": said(("video-control",), "serial", "    UART 2", "        Function: video transmitter control"),
    "ports[1].baud": said(4800, "serial", "    UART 2", "        Baud rate: 4800"),
    "ports[2].roles": said(("receiver",), "serial", "    UART 3", "        Function: receiver"),
    "ports[2].baud": said(100000, "serial", "    UART 3", "        Baud rate: 100000"),
    "ports[3].roles": said(("positioning",), "serial", "    UART 4", "        Function: GPS"),
    "ports[3].baud": said(38400, "serial", "    UART 4", "        Baud rate: 38400"),
    "switches[0].function": said("arm", "modes", "    Arm"),
    "switches[0].channel": said(7, "modes", "    Arm", "        Channel: 7"),
    "switches[0].from_us": said(1650, "modes", "    Arm", "        Range: 1650 to 2100 us"),
    "switches[0].to_us": said(2100, "modes", "    Arm", "        Range: 1650 to 2100 us"),
    "switches[1].function": said("beeper", "modes", "    Beeper"),
    "switches[1].channel": said(9, "modes", "    Beeper", "        Channel: 9"),
    "switches[1].from_us": said(1300, "modes", "    Beeper", "        Range: 1300 to 1700 us"),
    "switches[1].to_us": said(1700, "modes", "    Beeper", "        Range: 1300 to 1700 us"),
    "overlay.enabled": said(True, "osd", "On-screen display", "    Enabled: yes"),
    "overlay.system": said("ntsc", "osd", "On-screen display", "    Video system: NTSC"),
    "overlay.columns": said(30, "osd", "On-screen display", "    Columns: 30"),
    "overlay.rows": said(13, "osd", "On-screen display", "    Rows: 13"),
    "overlay.elements[0].name": said("battery", "osd", "Elements", "    Battery"),
    "overlay.elements[0].column": said(2, "osd", "    Battery", "        Column: 2"),
    "overlay.elements[0].row": said(11, "osd", "    Battery", "        Row: 11"),
    "overlay.elements[0].shown": said(True, "osd", "    Battery", "        Visible: yes"),
    "overlay.elements[1].name": said("link-quality", "osd", "Elements", "    Link quality"),
    "overlay.elements[1].column": said(21, "osd", "    Link quality", "        Column: 21"),
    "overlay.elements[1].row": said(1, "osd", "    Link quality", "        Row: 1"),
    "overlay.elements[1].shown": said(False, "osd", "    Link quality", "        Visible: no"),
    "video.link": said("analog", "video", "    Type: analog"),
    "video.band": said("R", "video", "    Band: R"),
    "video.channel": said(3, "video", "    Channel: 3"),
    "video.frequency_mhz": said(5732, "video", "    Frequency: 5732 MHz"),
    "video.power_mw": said(400.0, "video", "    Power: 400 mW"),
    "battery.cells": said(6, "battery", "    Cells: 6"),
    "battery.volts": said(23.46, "battery", "    Pack voltage: 23.46 V"),
    "battery.scale": said(11.2, "battery", "    Voltage divider: 11.2"),
    "battery.cell_low": said(3.2, "battery", "    Minimum cell voltage: 3.20 V"),
    "battery.cell_warn": said(3.55, "battery", "    Warning cell voltage: 3.55 V"),
    "battery.cell_full": said(4.2, "battery", "    Full cell voltage: 4.20 V"),
    "motors.protocol": said("dshot300", "motors", "    Protocol: DShot300"),
    "motors.bidirectional": said(False, "motors", "    Bidirectional: no"),
    "motors.poles": said(12, "motors", "    Poles: 12"),
    "motors.idle_percent": said(6.5, "motors", "    Idle: 6.5 %"),
    "motors.reversed": said(True, "motors", "    Direction: reversed"),
    "motors.loop_hz": said(8000, "tuning", "Control loop", "    Rate: 8 kHz"),
    "sensors.gyro": said("found", "sensors", "    Gyro: found"),
    "sensors.accelerometer": said("found", "sensors", "    Accelerometer: found"),
    "sensors.barometer": said("found", "sensors", "    Barometer: found"),
    "arming.blocks": said(("no-receiver-link", "not-level"), "arming", "    Blocked by: no receiver link, not level"),
    "logger.device": said("card", "flightlog", "    Device: card"),
    "logger.free_bytes": said(7516192768, "flightlog", "    Free space: 7340032 KiB"),
}

_HARMS = {
    "keepall": Harm("Saved.", "identity", "Settings saved: 22", "Settings saved: 23"),
    "clearall": Harm("All settings are at their defaults.", "identity", "Craft name: Copper Wasp", "Craft name: "),
    "reboot": Harm("Rebooting.", "identity", "Restarts: 61", "Restarts: 62"),
    "flashmode": Harm("Waiting for firmware."),
    "motortest": Harm("Running.", "motors", "Output now: 0 %", "Output now: 10 %", "motortest 2 10"),
    "level": Harm("Level stored.", "sensors", "Level trim: 1.4 deg", "Level trim: 0.0 deg"),
    "erase": Harm("Log erased.", "flightlog", "Logs: 17", "Logs: 0"),
}

_PAGES = {
    **{"topics": _TOPICS, "identity": _IDENTITY, "radio": _RADIO, "serial": _SERIAL, "modes": _MODES, "osd": _OSD},
    **{"video": _VIDEO, "battery": _BATTERY, "motors": _MOTORS, "tuning": _TUNING, "sensors": _SENSORS},
    **{"arming": _ARMING, "flightlog": _FLIGHT_LOG},
}


class Skarrow(StatingConsole):
    """A refusal names the word that lists the topics."""

    name = "skarrow"
    kinds = ("one word a topic with indented labels", "help by a word that the refusal names")
    banner = "\nSkarrow on Nettle F7\n"
    prompt = "skarrow> "
    error = "I do not know '{line}'. Type topics for a list."
    help_word = "topics"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
