"""Tamlock: terse upper-case keys, scaled integers, units and meanings in a second listing, no echo. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_a.rows import element_rows, port_rows, switch_rows

_HELP = """\
ID   IDENTITY
VAL  VALUES
KEY  WHAT THE KEYS MEAN
LIV  LIVE READINGS
WRT  WRITE VALUES
RST  RESTART
DEF  DEFAULTS
BLD  BOOTLOADER
RUN  RUN MOTORS
CAL  CALIBRATE
ERA  ERASE LOG
HLP  HELP
"""

_ID = """\
FW=TAMLOCK
FWVER=4.08
FWDATE=2025-10-02
BLVER=1.2
BRD=TEASEL-411
BRDREV=C
BRDSER=7C41-0D22
NAME=MOTHBALL
CFGVER=18
WRITES=41
"""

_VAL = """\
RXTYP=SERIAL
RXPROT=SBUS
RXPORT=UART2
RXINV=1
RXHDX=0
RXTLM=0
RXRATE=111
RXSMO=25
CHMAP=AETR
CHMIN=1000
CHMID=1502
CHMAX=2000
CHDB=5
EXPO=18
SRVMID=1500
FSACT=RETURN
FSDLY=15
FSTHR=1350
FSALT=30
SW_ARM=5,1750,2100
SW_LEVEL=6,1300,1700
SW_BEEPER=9,1750,2100
UART1=CONSOLE,115200
UART2=RECEIVER,100000
UART3=GPS,57600
UART4=TELEMETRY,38400
UART5=FREE
TLMINT=50
OSDON=1
OSDSYS=PAL
OSDCOLS=30
OSDROWS=16
OSDFONT=2
POS_BATT=1,14,1
POS_TIMER=24,14,1
POS_ALT=24,8,0
POS_HORIZON=8,7,1
POS_SPEED=2,8,0
VTXLINK=ANALOG
VTXBAND=A
VTXCH=6
VTXMHZ=5765
VTXMW=200
BATCELLS=4
BATMAH=1800
BATDIV=110
BATLOW=325
BATWARN=348
BATFULL=418
AMPSCL=250
MOTPROT=DSHOT300
MOTBIDIR=1
MOTPOLES=14
MOTIDLE=45
MOTREV=0
MOTLIM=100
LOOPHZ=4000
GYROHZ=8000
GYROLPF=220
DCUT=105
PR=45
IR=80
DR=32
PP=47
IP=84
DP=34
PY=40
IY=80
LOGDEV=FLASH
LOGHZ=1000
BUZVOL=60
"""

_KEY = """\
RXTYP     RECEIVER TYPE: NONE SPI PPM PWM SERIAL
RXPROT    RECEIVER PROTOCOL
RXPORT    RECEIVER PORT
RXINV     RECEIVER SIGNAL INVERTED, 0 NO 1 YES
RXHDX     RECEIVER HALF DUPLEX, 0 NO 1 YES
RXTLM     TELEMETRY OVER THE RADIO LINK, 0 NO 1 YES
RXRATE    RECEIVER FRAME RATE, HZ
RXSMO     STICK SMOOTHING, HZ
CHMAP     CHANNEL ORDER
CHMIN     CHANNEL MINIMUM, US
CHMID     CHANNEL CENTRE, US
CHMAX     CHANNEL MAXIMUM, US
CHDB      DEADBAND, US
EXPO      STICK EXPO, %
SRVMID    SERVO CENTRE, US
FSACT     FAILSAFE ACTION: DROP HOLD LAND RETURN
FSDLY     FAILSAFE DELAY, 0.1 S
FSTHR     FAILSAFE THROTTLE, US
FSALT     RETURN ALTITUDE, M
SW_x      SWITCH: CHANNEL, FROM US, TO US
UARTn     SERIAL PORT: FUNCTION, BAUD
TLMINT    TELEMETRY INTERVAL, MS
OSDON     OSD, 0 OFF 1 ON
OSDSYS    OSD VIDEO SYSTEM: AUTO PAL NTSC DIGITAL
OSDCOLS   OSD GRID COLUMNS
OSDROWS   OSD GRID ROWS
OSDFONT   OSD FONT
POS_x     OSD ELEMENT: COLUMN, ROW, 0 HIDDEN 1 SHOWN
VTXLINK   VIDEO LINK: ANALOG DIGITAL
VTXBAND   VIDEO BAND
VTXCH     VIDEO CHANNEL
VTXMHZ    VIDEO FREQUENCY, MHZ
VTXMW     VIDEO POWER, MW
BATCELLS  BATTERY CELLS IN SERIES
BATMAH    BATTERY CAPACITY, MAH
BATDIV    BATTERY VOLTAGE DIVIDER, 0.1
BATLOW    LOWEST CELL VOLTAGE, 0.01 V
BATWARN   CELL WARNING VOLTAGE, 0.01 V
BATFULL   FULL CELL VOLTAGE, 0.01 V
AMPSCL    CURRENT SENSOR SCALE, 0.1 MV/A
MOTPROT   MOTOR PROTOCOL
MOTBIDIR  MOTOR SPEED TELEMETRY (BIDIRECTIONAL DSHOT), 0 OFF 1 ON
MOTPOLES  MAGNETS ON THE MOTOR BELL
MOTIDLE   MOTOR IDLE, 0.1 %
MOTREV    MOTORS REVERSED, 0 NO 1 YES
MOTLIM    MOTOR OUTPUT LIMIT, %
LOOPHZ    CONTROL LOOP RATE, HZ
GYROHZ    GYRO SAMPLE RATE, HZ
GYROLPF   GYRO LOW PASS, HZ
DCUT      D GAIN CUTOFF, HZ
PR IR DR  ROLL GAINS
PP IP DP  PITCH GAINS
PY IY     YAW GAINS
LOGDEV    LOG DEVICE: NONE FLASH CARD
LOGHZ     LOG RATE, HZ
BUZVOL    BUZZER VOLUME, %
VBAT      BATTERY VOLTAGE NOW, 0.01 V
V5        5 V RAIL, 0.01 V
AMP       CURRENT NOW, 0.01 A
CHNOW     CHANNELS NOW, US
GYRO ACC BARO MAG  SENSORS: FOUND MISSING
NOARM     REASONS FOR NOT ARMING
LOGFREE   LOG SPACE LEFT, KIB
TILT      TILT OFFSET, 0.1 DEG
"""

_LIV = """\
VBAT=1587
V5=503
AMP=44
TMCU=49
CPU=31
UPT=207
STARTS=118
CHNOW=1502,1500,1001,1502,1000,1500,1000,1000
GYRO=FOUND
ACC=FOUND
BARO=MISSING
MAG=MISSING
TILT=12
MOTOUT=0
NOARM=USB CONNECTED,NOT LEVEL
LOGFREE=1920
LOGUSED=128
I2CERR=0
"""

_LIVE = (1502, 1500, 1001, 1502, 1000, 1500, 1000, 1000)
_STATED = {
    "firmware.name": said("TAMLOCK", "ID", "FW=TAMLOCK"),
    "firmware.version": said("4.08", "ID", "FWVER=4.08"),
    "firmware.built": said("2025-10-02", "ID", "FWDATE=2025-10-02"),
    "board.name": said("TEASEL-411", "ID", "BRD=TEASEL-411"),
    "board.serial": said("7C41-0D22", "ID", "BRDSER=7C41-0D22"),
    "craft.name": said("MOTHBALL", "ID", "NAME=MOTHBALL"),
    "receiver.kind": said("serial", "VAL", "RXTYP=SERIAL"),
    "receiver.protocol": said("sbus", "VAL", "RXPROT=SBUS"),
    "receiver.port": said("UART2", "VAL", "RXPORT=UART2"),
    "receiver.inverted": said(True, "VAL", "RXINV=1"),
    "receiver.half_duplex": said(False, "VAL", "RXHDX=0"),
    "receiver.telemetry": said(False, "VAL", "RXTLM=0"),
    "channels.order": said("AETR", "VAL", "CHMAP=AETR"),
    "channels.low": said(1000, "VAL", "CHMIN=1000"),
    "channels.centre": said(1502, "VAL", "CHMID=1502"),
    "channels.high": said(2000, "VAL", "CHMAX=2000"),
    "channels.live": said(_LIVE, "LIV", "CHNOW=" + ",".join(str(pulse) for pulse in _LIVE)),
    "failsafe.action": said("return", "VAL", "FSACT=RETURN"),
    "failsafe.delay_s": said(1.5, "VAL", "FSDLY=15"),
    "failsafe.throttle_us": said(1350, "VAL", "FSTHR=1350"),
    **switch_rows(
        "VAL",
        (("SW_ARM=5,1750,2100",), "arm", 5, 1750, 2100),
        (("SW_LEVEL=6,1300,1700",), "level", 6, 1300, 1700),
        (("SW_BEEPER=9,1750,2100",), "beeper", 9, 1750, 2100),
    ),
    **port_rows(
        "VAL",
        (("UART1=CONSOLE,115200",), "UART1", ("console",), 115200),
        (("UART2=RECEIVER,100000",), "UART2", ("receiver",), 100000),
        (("UART3=GPS,57600",), "UART3", ("positioning",), 57600),
        (("UART4=TELEMETRY,38400",), "UART4", ("telemetry",), 38400),
        (("UART5=FREE",), "UART5", ("unused",), None),
    ),
    "overlay.enabled": said(True, "VAL", "OSDON=1"),
    "overlay.system": said("pal", "VAL", "OSDSYS=PAL"),
    "overlay.columns": said(30, "VAL", "OSDCOLS=30"),
    "overlay.rows": said(16, "VAL", "OSDROWS=16"),
    **element_rows(
        "VAL",
        (("POS_BATT=1,14,1",), "battery", 1, 14, True),
        (("POS_TIMER=24,14,1",), "timer", 24, 14, True),
        (("POS_ALT=24,8,0",), "altitude", 24, 8, False),
        (("POS_HORIZON=8,7,1",), "horizon", 8, 7, True),
        (("POS_SPEED=2,8,0",), "speed", 2, 8, False),
    ),
    "video.link": said("analog", "VAL", "VTXLINK=ANALOG"),
    "video.band": said("A", "VAL", "VTXBAND=A"),
    "video.channel": said(6, "VAL", "VTXCH=6"),
    "video.frequency_mhz": said(5765, "VAL", "VTXMHZ=5765"),
    "video.power_mw": said(200.0, "VAL", "VTXMW=200"),
    "battery.cells": said(4, "VAL", "BATCELLS=4"),
    "battery.volts": said(15.87, "LIV", "VBAT=1587"),
    "battery.scale": said(11.0, "VAL", "BATDIV=110"),
    "battery.cell_low": said(3.25, "VAL", "BATLOW=325"),
    "battery.cell_warn": said(3.48, "VAL", "BATWARN=348"),
    "battery.cell_full": said(4.18, "VAL", "BATFULL=418"),
    "motors.protocol": said("dshot300", "VAL", "MOTPROT=DSHOT300"),
    "motors.bidirectional": said(True, "VAL", "MOTBIDIR=1"),
    "motors.poles": said(14, "VAL", "MOTPOLES=14"),
    "motors.idle_percent": said(4.5, "VAL", "MOTIDLE=45"),
    "motors.reversed": said(False, "VAL", "MOTREV=0"),
    "motors.loop_hz": said(4000, "VAL", "LOOPHZ=4000"),
    "arming.blocks": said(("usb-connected", "not-level"), "LIV", "NOARM=USB CONNECTED,NOT LEVEL"),
    "sensors.gyro": said("found", "LIV", "GYRO=FOUND"),
    "sensors.accelerometer": said("found", "LIV", "ACC=FOUND"),
    "sensors.barometer": said("missing", "LIV", "BARO=MISSING"),
    "logger.device": said("flash", "VAL", "LOGDEV=FLASH"),
    "logger.free_bytes": said(1966080, "LIV", "LOGFREE=1920"),
}

_HARMS = {
    "WRT": Harm("WRITTEN", "ID", "WRITES=41", "WRITES=42"),
    "RST": Harm("RESTART", "LIV", "STARTS=118", "STARTS=119"),
    "DEF": Harm("DEFAULTS SET", "ID", "NAME=MOTHBALL", "NAME=-"),
    "BLD": Harm("BOOTLOADER 1.2"),
    "RUN": Harm("MOTORS RUN", "LIV", "MOTOUT=0", "MOTOUT=7"),
    "CAL": Harm("DONE", "LIV", "TILT=12", "TILT=0"),
    "ERA": Harm("LOG ERASED", "LIV", "LOGUSED=128", "LOGUSED=0"),
}

_PAGES = {"HLP": _HELP, "ID": _ID, "VAL": _VAL, "KEY": _KEY, "LIV": _LIV}


class Tamlock(StatingConsole):
    """Takes either case and does not echo; the unit of a value stands only in the listing of the keys."""

    name = "tamlock"
    kinds = ("terse upper-case keys", "scaled integers", "units in a second listing", "no echo")
    echo = False
    any_case = True
    banner = "TAMLOCK 4.08 (HLP)\n"
    prompt = "?> "
    error = "NAK {line}"
    help_word = "HLP"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
