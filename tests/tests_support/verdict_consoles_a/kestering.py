"""Kestering: aligned tables with a header, the unit in a column of its own, limits behind it. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.verdict_consoles_a.marked import marked

_SHOWN = """\
--- help
Command        Description
-------------  ----------------------------------
help           show this table
show-info      show firmware, board and craft
show-radio     show receiver, channels, failsafe
show-switches  show the switches
show-ports     show the serial ports
show-osd       show the on-screen display
show-video     show the video transmitter
show-battery   show the battery
show-motors    show motors and control loop
show-tuning    show gains and filters
show-status    show sensors, arming and log
save           save all settings
reset          restart the board
factory-reset  restore factory settings
bootloader     start the bootloader
motor-test     run all motors
acc-calibrate  calibrate the accelerometer
log-erase      erase the flight log
--- show-info
Item              Value           Unit
----------------  --------------  ----
Firmware name     Kestering       - @@ firmware.name='Kestering'
Firmware version  7.0.9           - @@ firmware.version='7.0.9'
Build date        2025-12-17      - @@ firmware.built='2025-12-17'
Board name        PIGNUT G474     - @@ board.name='PIGNUT G474'
Serial number     PG-0045182      - @@ board.serial='PG-0045182'
Board revision    3               -
Craft name        Odd Teaspoon    - @@ craft.name='Odd Teaspoon'
Craft weight      186             g
Save count        22              -
Start count       164             -
Uptime            95              s
--- show-radio
Setting           Value           Unit  Min   Max
----------------  --------------  ----  ----  ----
Receiver type     SPI             -     -     - @@ receiver.kind='spi'
Telemetry         on              -     -     - @@ receiver.telemetry=True
Packet rate       250             Hz    50    500
Channel order     AETR            -     -     - @@ channels.order='AETR'
Channel low       1012            us    800   1200 @@ channels.low=1012
Channel center    1498            us    1400  1600 @@ channels.centre=1498
Channel high      1988            us    1800  2200 @@ channels.high=1988
Deadband          3               us    0     30
Failsafe action   drop            -     -     - @@ failsafe.action='drop'
Failsafe delay    0.4             s     0.1   20 @@ failsafe.delay_s=0.4
Failsafe throttle 1005            us    900   2000 @@ failsafe.throttle_us=1005
Recovery time     0.6             s     0.1   5
Servo center      1530            us    1400  1600
--- show-switches
Function  Channel  From  To    Unit
--------  -------  ----  ----  ----
arm       5        1710  2095  us @@ switch 0 ('arm', 5, 1710, 2095)
level     6        905   1295  us @@ switch 1 ('level', 6, 905, 1295)
turtle    7        1735  2065  us @@ switch 2 ('turtle', 7, 1735, 2065)
--- show-ports
Port    Function       Baud    Errors
------  -------------  ------  ------
UART1   GPS            57600   0 @@ port 0 ('UART1', ('positioning',), 57600)
UART2   ESC telemetry  115200  2 @@ port 1 ('UART2', ('esc-telemetry',), 115200)
UART3   console        230400  0 @@ port 2 ('UART3', ('console',), 230400)
UART4   unused         -       - @@ port 3 ('UART4', ('unused',))
--- show-osd
Setting           Value           Unit
----------------  --------------  ----
OSD enabled       yes             - @@ overlay.enabled=True
Video system      PAL             - @@ overlay.system='pal'
Columns           30              - @@ overlay.columns=30
Rows              16              - @@ overlay.rows=16
Refresh rate      25              Hz
Brightness        5               -

Element       Column  Row  Visible
------------  ------  ---  -------
battery       2       14   yes @@ element 0 ('battery', 2, 14, True)
timer         22      14   yes @@ element 1 ('timer', 22, 14, True)
craft name    10      1    no @@ element 2 ('craft-name', 10, 1, False)
warnings      9       8    yes @@ element 3 ('warnings', 9, 8, True)
--- show-video
Setting           Value           Unit
----------------  --------------  ----
Video link        analog          - @@ video.link='analog'
Band              R               - @@ video.band='R'
Channel           6               - @@ video.channel=6
Frequency         5843            MHz @@ video.frequency_mhz=5843
Power             100             mW @@ video.power_mw=100.0
Maximum power     350             mW
Pit mode          off             -
Temperature       40              C
--- show-battery
Setting           Value           Unit
----------------  --------------  ----
Cells             3               - @@ battery.cells=3
Cell minimum      3.35            V @@ battery.cell_low=3.35
Cell warning      3.57            V @@ battery.cell_warn=3.57
Cell full         4.22            V @@ battery.cell_full=4.22
Voltage divider   11.4            - @@ battery.scale=11.4
Capacity          650             mAh
Current scale     180             mV/A

Reading           Now             Unit
----------------  --------------  ----
Battery voltage   11.93           V @@ battery.volts=11.93
Supply voltage    4.96            V
Current           0.29            A
Used              0               mAh
--- show-motors
Setting           Value           Unit
----------------  --------------  ----
Motor protocol    DSHOT300        - @@ motors.protocol='dshot300'
Bidirectional     yes             - @@ motors.bidirectional=True
Motor poles       12              - @@ motors.poles=12
Motor idle        4.8             % @@ motors.idle_percent=4.8
Motors reversed   no              - @@ motors.reversed=False
Motor KV          4500            rpm/V
Output now        0               %
Control loop rate 3200            Hz @@ motors.loop_hz=3200
Gyro rate         6400            Hz
--- show-tuning
Axis   P   I   D
-----  --  --  --
Roll   37  64  23
Pitch  39  67  25
Yaw    32  63  0

Filter            Cutoff          Unit
----------------  --------------  ----
Gyro lowpass      200             Hz
D lowpass         86              Hz
--- show-status
Sensor            State
----------------  --------------
Gyro              found @@ sensors.gyro='found'
Accelerometer     found @@ sensors.accelerometer='found'
Barometer         missing @@ sensors.barometer='missing'
Compass           missing

Reading           Now             Unit
----------------  --------------  ----
Level offset      1.6             deg
CPU load          24              %
CPU temperature   42              C
Log device        flash           - @@ logger.device='flash'
Log free space    2031616         bytes @@ logger.free_bytes=2031616
Log rate          800             Hz
Logged flights    8               -

Arming blocked by: throttle not low, not level @@ arming.blocks=('throttle-not-low', 'not-level')
"""

_PAGES, _STATED = marked(_SHOWN)

_HARMS = {
    "save": Harm("Settings saved", "show-info", "Save count        22", "Save count        23"),
    "reset": Harm("Restarting", "show-info", "Start count       164", "Start count       165"),
    "factory-reset": Harm("Factory settings", "show-info", "Odd Teaspoon    ", "-               "),
    "bootloader": Harm("Bootloader started"),
    "motor-test": Harm("Motors running", "show-motors", "Output now        0", "Output now        5"),
    "acc-calibrate": Harm("Calibrated", "show-status", "Level offset      1.6", "Level offset      0.0"),
    "log-erase": Harm("Log erased", "show-status", "Logged flights    8", "Logged flights    0"),
}


class Kestering(StatingConsole):
    """Tables for everything, also for its help."""

    name = "kestering"
    kinds = ("verb-object words", "aligned tables with a header and a unit column", "limits behind the unit")
    banner = "Kestering 7.0.9 on PIGNUT G474\n"
    prompt = "# "
    error = "Unknown command: {line}. Type help."
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
