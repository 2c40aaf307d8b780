"""Tyndray: upper-case mnemonics, a word a subject, `NAME=VALUE` and what it means behind a semicolon. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.verdict_consoles_a.marked import marked

# Marks stand behind the lines; `_pages` below sets the comments into one column.
_SHOWN = """\
--- HELP
HELP ; this list
IDNT ; show firmware, board and craft
RECV ; show receiver and channels
MODE ; show mode switches
UART ; show serial ports
OSDS ; show OSD and its elements
VTXS ; show video transmitter
BATT ; show battery
MOTR ; show motors and control loop
FAIL ; show failsafe
GAIN ; show gains and filters
STAT ; show sensors, arming, log and load
SAVE ; write settings to flash
BOOT ; restart the board
DFLT ; restore default settings
LOAD ; enter the bootloader
SPIN ; run a motor
ACAL ; calibrate accelerometer
LERA ; erase flight log
--- IDNT
FWNAM=TYNDRAY ; firmware name @@ firmware.name='TYNDRAY'
FWVER=2.31 ; firmware version @@ firmware.version='2.31'
FWDAT=2026-06-03 ; build date @@ firmware.built='2026-06-03'
BLVER=1.1 ; bootloader version
BDNAM=COMFREY G4 ; board name @@ board.name='COMFREY G4'
BDSER=CG4-310-0552 ; board serial number @@ board.serial='CG4-310-0552'
BDREV=2 ; board revision
CRNAM=BLUE SHREW ; craft name @@ craft.name='BLUE SHREW'
CRWGT=310 ; craft weight, g
NSAVE=22 ; number of saves
NBOOT=148 ; number of restarts
--- RECV
RXTYP=SERIAL ; receiver type: SERIAL, PPM or NONE @@ receiver.kind='serial'
RXPRO=CRSF ; receiver protocol @@ receiver.protocol='crsf'
RXPRT=UART3 ; receiver port @@ receiver.port='UART3'
RXINV=0 ; receiver signal inverted: 0 no, 1 yes @@ receiver.inverted=False
RXHDX=1 ; receiver half duplex: 0 no, 1 yes @@ receiver.half_duplex=True
RXTLM=1 ; receiver telemetry: 0 off, 1 on @@ receiver.telemetry=True
RXSMO=32 ; receiver smoothing, Hz
CHORD=AETR ; channel order @@ channels.order='AETR'
CHMIN=995 ; channel minimum, us @@ channels.low=995
CHCEN=1504 ; channel centre, us @@ channels.centre=1504
CHMAX=2012 ; channel maximum, us @@ channels.high=2012
CHDBD=6 ; channel deadband, us
SVCEN=1530 ; servo centre, us
SVRAT=60 ; servo rate, Hz
--- MODE
SW1=ARM,7,1685,2095 ; function, channel, from us, to us @@ switch 0 ('arm', 7, 1685, 2095)
SW2=LEVEL,5,935,1330 ; function, channel, from us, to us @@ switch 1 ('level', 5, 935, 1330)
SW3=BEEPER,6,1655,2045 ; function, channel, from us, to us @@ switch 2 ('beeper', 6, 1655, 2045)
SW4=TURTLE,8,1745,2075 ; function, channel, from us, to us @@ switch 3 ('turtle', 8, 1745, 2075)
--- UART
UART1=CONSOLE,115200 ; function, baud @@ port 0 ('UART1', ('console',), 115200)
UART2=GPS,57600 ; function, baud @@ port 1 ('UART2', ('positioning',), 57600)
UART3=RECEIVER,420000 ; function, baud @@ port 2 ('UART3', ('receiver',), 420000)
UART4=RANGEFINDER,19200 ; function, baud @@ port 3 ('UART4', ('rangefinder',), 19200)
UART5=UNUSED,0 ; function, baud @@ port 4 ('UART5', ('unused',))
I2CLK=400 ; I2C clock, kHz
FRERR=5 ; framing errors
--- OSDS
OSENA=1 ; OSD enabled: 0 no, 1 yes @@ overlay.enabled=True
OSSYS=NTSC ; OSD video system: AUTO, PAL or NTSC @@ overlay.system='ntsc'
OSCOL=30 ; OSD columns @@ overlay.columns=30
OSROW=13 ; OSD rows @@ overlay.rows=13
OSREF=30 ; OSD refresh rate, Hz
EL1=BATTERY,1,11,1 ; element, column, row, visible @@ element 0 ('battery', 1, 11, True)
EL2=TIMER,24,11,1 ; element, column, row, visible @@ element 1 ('timer', 24, 11, True)
EL3=SPEED,2,6,0 ; element, column, row, visible @@ element 2 ('speed', 2, 6, False)
EL4=ALTITUDE,24,6,1 ; element, column, row, visible @@ element 3 ('altitude', 24, 6, True)
--- VTXS
VTLNK=ANALOG ; video link: ANALOG or DIGITAL @@ video.link='analog'
VTBND=E ; video band @@ video.band='E'
VTCHN=2 ; video channel @@ video.channel=2
VTFRQ=5685 ; video frequency, MHz @@ video.frequency_mhz=5685
VTPWR=350 ; video power, mW @@ video.power_mw=350.0
VTMAX=800 ; maximum video power, mW
VTPIT=0 ; pit mode: 0 off, 1 on
VTTMP=43 ; video transmitter temperature, C
--- BATT
BTCEL=3 ; battery cells @@ battery.cells=3
BTVOL=11.73 ; battery voltage now, V @@ battery.volts=11.73
BTDIV=10.9 ; battery voltage divider @@ battery.scale=10.9
CVMIN=3280 ; minimum cell voltage, mV @@ battery.cell_low=3.28
CVWRN=3530 ; warning cell voltage, mV @@ battery.cell_warn=3.53
CVFUL=4170 ; full cell voltage, mV @@ battery.cell_full=4.17
BTCAP=850 ; battery capacity, mAh
BTCUR=0.29 ; battery current, A
BTCSC=38 ; current scale, mV/A
RGVOL=5.04 ; regulator voltage, V
--- MOTR
MTPRO=DSHOT300 ; motor protocol: DSHOT150, DSHOT300 or DSHOT600 @@ motors.protocol='dshot300'
MTBID=0 ; bidirectional DShot: 0 off, 1 on @@ motors.bidirectional=False
MTPOL=12 ; motor poles @@ motors.poles=12
MTIDL=5.9 ; motor idle, % @@ motors.idle_percent=5.9
MTREV=1 ; motors reversed: 0 no, 1 yes @@ motors.reversed=True
MTKVV=2900 ; motor KV, rpm/V
MTOUT=0 ; motor output now, %
LPRAT=3200 ; control loop rate, Hz @@ motors.loop_hz=3200
GYRAT=6400 ; gyro rate, Hz
--- FAIL
FSACT=HOLD ; failsafe action: DROP, HOLD, LAND or RETURN @@ failsafe.action='hold'
FSDLY=700 ; failsafe delay, ms @@ failsafe.delay_s=0.7
FSTHR=1285 ; failsafe throttle, us @@ failsafe.throttle_us=1285
FSREC=1600 ; failsafe recovery time, ms
--- GAIN
RLLP=39 ; roll P
RLLI=71 ; roll I
RLLD=24 ; roll D
PTCP=41 ; pitch P
PTCI=74 ; pitch I
PTCD=26 ; pitch D
YAWP=35 ; yaw P
YAWI=70 ; yaw I
GYLPF=205 ; gyro lowpass, Hz
DTLPF=98 ; D lowpass, Hz
--- STAT
SGYRO=FOUND ; gyro: FOUND or MISSING @@ sensors.gyro='found'
SACCE=FOUND ; accelerometer: FOUND or MISSING @@ sensors.accelerometer='found'
SBARO=FOUND ; barometer: FOUND or MISSING @@ sensors.barometer='found'
SCOMP=MISSING ; compass: FOUND or MISSING
TILTD=2.1 ; tilt, deg
ARBLK=USB CONNECTED,NOT LEVEL ; arming blocked by @@ arming.blocks=('usb-connected', 'not-level')
LGDEV=CARD ; log device: FLASH, CARD or NONE @@ logger.device='card'
LGFRE=3955752960 ; log free space, bytes @@ logger.free_bytes=3955752960
LGRAT=800 ; log rate, Hz
LGNUM=12 ; number of logs
CPULD=31 ; processor load, %
CPUTP=44 ; processor temperature, C
UPTIM=241 ; uptime, s
LDCOL=WHITE ; LED colour
"""

_COMMENT_AT = 30


def _lined_up(shown: str) -> str:
    """The pages with the comments in one column."""
    split = (line.partition(" ; ") for line in shown.splitlines())
    return "".join(f"{left:<{_COMMENT_AT if bar else 0}}{bar.lstrip()}{right}\n" for left, bar, right in split)


_PAGES, _STATED = marked(_lined_up(_SHOWN))

_HARMS = {
    "SAVE": Harm("SAVED", "IDNT", "NSAVE=22 ", "NSAVE=23 "),
    "BOOT": Harm("RESTARTING", "IDNT", "NBOOT=148 ", "NBOOT=149 "),
    "DFLT": Harm("DEFAULTS RESTORED", "IDNT", "CRNAM=BLUE SHREW ", "CRNAM=           "),
    "LOAD": Harm("BOOTLOADER 1.1 WAITING"),
    "SPIN": Harm("MOTOR RUNNING", "MOTR", "MTOUT=0 ", "MTOUT=7 ", sample="SPIN 1"),
    "ACAL": Harm("CALIBRATED", "STAT", "TILTD=2.1 ", "TILTD=0.0 "),
    "LERA": Harm("LOG ERASED", "STAT", "LGNUM=12 ", "LGNUM=0  "),
}


class Tyndray(StatingConsole):
    """Takes small letters, too; a mnemonic is explained by the comment behind it, with its unit or its choices."""

    name = "tyndray"
    kinds = (
        "upper-case mnemonics",
        "NAME=VALUE with a comment",
        "units and legends in the comment",
        "numbered records",
    )
    banner = "TYNDRAY 2.31 READY, HELP LISTS COMMANDS\n"
    prompt = "* "
    error = "? {line} UNKNOWN, TYPE HELP"
    help_word = "HELP"
    any_case = True
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
