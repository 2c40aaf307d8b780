"""Ferrimoor: a flat JSON document a word, camelCase keys, quantities as text with the unit, rows in lists. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.verdict_consoles_a.marked import marked

_SHOWN = """\
--- help
{
  "help": "lists the commands",
  "version": "reads firmware, board and craft",
  "radio": "reads receiver and channels",
  "modes": "reads the mode switches",
  "serialPorts": "reads the serial ports",
  "onScreen": "reads the OSD",
  "vtx": "reads the video transmitter",
  "battery": "reads battery settings and voltage",
  "motors": "reads motors and control loop",
  "pid": "reads gains and filters",
  "failsafe": "reads the failsafe",
  "status": "reads sensors, arming, log and load",
  "saveAll": "writes the settings to flash",
  "powerCycle": "restarts the flight controller",
  "factoryReset": "restores the factory settings",
  "bootLoader": "enters the bootloader",
  "motorTest": "turns a motor",
  "levelCalibrate": "calibrates the accelerometer",
  "logErase": "erases the flight log"
}
--- version
{
  "firmwareName": "Ferrimoor", @@ firmware.name='Ferrimoor'
  "firmwareVersion": "1.14.3", @@ firmware.version='1.14.3'
  "buildDate": "2026-05-09", @@ firmware.built='2026-05-09'
  "bootloaderVersion": "0.9",
  "boardName": "FLEABANE H743", @@ board.name='FLEABANE H743'
  "boardSerial": "FB-7743-008", @@ board.serial='FB-7743-008'
  "boardRevision": 3,
  "craftName": "Loud Wren", @@ craft.name='Loud Wren'
  "craftWeight": "735 g",
  "saveCount": 52,
  "restartCount": 318
}
--- radio
{
  "receiverType": "serial", @@ receiver.kind='serial'
  "receiverProtocol": "SBUS", @@ receiver.protocol='sbus'
  "receiverPort": "UART5", @@ receiver.port='UART5'
  "receiverInverted": true, @@ receiver.inverted=True
  "receiverHalfDuplex": false, @@ receiver.half_duplex=False
  "telemetryEnabled": false, @@ receiver.telemetry=False
  "telemetryInterval": "200 ms",
  "channelOrder": "TAER", @@ channels.order='TAER'
  "channelMin": "1012 us", @@ channels.low=1012
  "channelMid": "1507 us", @@ channels.centre=1507
  "channelMax": "1992 us", @@ channels.high=1992
  "channelDeadband": "4 us",
  "channelSmoothing": "38 Hz",
  "servoMid": "1520 us",
  "servoRate": "50 Hz"
}
--- modes
{
  "switches": [
    {"mode": "arm", "channel": 5, "minUs": 1690, "maxUs": 2090}, @@ switch 0 ('arm', 5, 1690, 2090)
    {"mode": "level", "channel": 6, "minUs": 905, "maxUs": 1310}, @@ switch 1 ('level', 6, 905, 1310)
    {"mode": "beeper", "channel": 9, "minUs": 1645, "maxUs": 2035} @@ switch 2 ('beeper', 9, 1645, 2035)
  ]
}
--- serialPorts
{
  "ports": [
    {"port": "UART1", "function": "console", "baudRate": 115200}, @@ port 0 ('UART1', ('console',), 115200)
    {"port": "UART2", "function": "OSD", "baudRate": 230400}, @@ port 1 ('UART2', ('overlay-link',), 230400)
    {"port": "UART3", "function": "ESC telemetry", "baudRate": 115200}, @@ port 2 ('UART3', ('esc-telemetry',), 115200)
    {"port": "UART5", "function": "receiver", "baudRate": 100000}, @@ port 3 ('UART5', ('receiver',), 100000)
    {"port": "UART7", "function": "unused"} @@ port 4 ('UART7', ('unused',))
  ],
  "i2cClock": "400 kHz",
  "framingErrors": 2
}
--- onScreen
{
  "osdEnabled": true, @@ overlay.enabled=True
  "osdSystem": "digital", @@ overlay.system='digital'
  "osdColumns": 53, @@ overlay.columns=53
  "osdRows": 20, @@ overlay.rows=20
  "osdRefreshRate": "15 Hz",
  "osdElements": [
    {"element": "battery", "column": 5, "row": 18, "visible": true}, @@ element 0 ('battery', 5, 18, True)
    {"element": "craftName", "column": 22, "row": 1, "visible": true}, @@ element 1 ('craft-name', 22, 1, True)
    {"element": "warnings", "column": 20, "row": 12, "visible": true}, @@ element 2 ('warnings', 20, 12, True)
    {"element": "altitude", "column": 44, "row": 9, "visible": false} @@ element 3 ('altitude', 44, 9, False)
  ]
}
--- vtx
{
  "videoLink": "digital", @@ video.link='digital'
  "frequency": "5806 MHz", @@ video.frequency_mhz=5806
  "outputPower": "400 mW", @@ video.power_mw=400.0
  "maxPower": "1000 mW",
  "bitRate": "25 Mbit/s",
  "fanSpeed": "60 %",
  "temperature": "54 C"
}
--- battery
{
  "cellCount": 6, @@ battery.cells=6
  "batteryVoltage": "22.74 V", @@ battery.volts=22.74
  "minCellVoltage": "3.26 V", @@ battery.cell_low=3.26
  "warningCellVoltage": "3.51 V", @@ battery.cell_warn=3.51
  "fullCellVoltage": "4.22 V", @@ battery.cell_full=4.22
  "voltageDivider": 20.7, @@ battery.scale=20.7
  "batteryCapacity": "1150 mAh",
  "batteryCurrent": "0.56 A",
  "usedCapacity": "4 mAh",
  "regulatorVoltage": "9.96 V",
  "currentScale": "28 mV/A"
}
--- motors
{
  "motorProtocol": "DShot600", @@ motors.protocol='dshot600'
  "dshotBidirectional": true, @@ motors.bidirectional=True
  "motorPoles": 14, @@ motors.poles=14
  "motorIdle": "4.8 %", @@ motors.idle_percent=4.8
  "motorsReversed": false, @@ motors.reversed=False
  "motorKv": 1850,
  "motorOutput": "0 %",
  "throttleLimit": "90 %",
  "controlLoopRate": "8 kHz", @@ motors.loop_hz=8000
  "gyroSampleRate": "32 kHz"
}
--- pid
{
  "rollGains": {"p": 43, "i": 78, "d": 29},
  "pitchGains": {"p": 46, "i": 82, "d": 32},
  "yawGains": {"p": 37, "i": 78, "d": 0},
  "gyroLowpass": "250 Hz",
  "dtermLowpass": "120 Hz",
  "notchCount": 3
}
--- failsafe
{
  "failsafeAction": "land", @@ failsafe.action='land'
  "failsafeDelay": "0.8 s", @@ failsafe.delay_s=0.8
  "failsafeThrottle": "1265 us", @@ failsafe.throttle_us=1265
  "landingTime": "20 s",
  "recoveryTime": "1.5 s"
}
--- status
{
  "gyro": "found", @@ sensors.gyro='found'
  "accelerometer": "found", @@ sensors.accelerometer='found'
  "barometer": "missing", @@ sensors.barometer='missing'
  "compass": "missing",
  "levelError": "1.6 deg",
  "armingBlockedBy": ["noReceiverLink", "usbConnected"], @@ arming.blocks=('no-receiver-link', 'usb-connected')
  "logDevice": "card", @@ logger.device='card'
  "logFreeBytes": 7969177600, @@ logger.free_bytes=7969177600
  "logRate": "2000 Hz",
  "logFiles": 26,
  "processorLoad": "41 %",
  "processorTemperature": "48 C",
  "uptime": "196 s"
}
"""

_PAGES, _STATED = marked(_SHOWN)

_HARMS = {
    "saveAll": Harm('{"done": "settings saved"}', "version", '"saveCount": 52', '"saveCount": 53'),
    "powerCycle": Harm('{"done": "restarting"}', "version", '"restartCount": 318', '"restartCount": 319'),
    "factoryReset": Harm('{"done": "factory settings restored"}', "version", '"Loud Wren"', '""'),
    "bootLoader": Harm('{"done": "bootloader is waiting"}'),
    "motorTest": Harm(
        '{"done": "motor is turning"}', "motors", '"motorOutput": "0 %"', '"motorOutput": "6 %"', sample="motorTest 1"
    ),
    "levelCalibrate": Harm('{"done": "calibrated"}', "status", '"levelError": "1.6 deg"', '"levelError": "0.0 deg"'),
    "logErase": Harm('{"done": "log erased"}', "status", '"logFiles": 26', '"logFiles": 0'),
}


class Ferrimoor(StatingConsole):
    """Every reply is one document; each member stands on a line of its own."""

    name = "ferrimoor"
    kinds = ("one JSON document a word", "flat camel case keys", "quantities as text with the unit", "rows as lists")
    banner = '{"ready": "Ferrimoor 1.14.3", "try": "help"}\n'
    prompt = "# "
    error = '{{"error": "no command {line}", "try": "help"}}'
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
