"""What Dorrick prints, by command."""

from __future__ import annotations

PAGES = {
    "help": """\
Command          Description
---------------  ------------------------------------
help             this table
show board       firmware and board
show receiver    receiver settings
show inputs      channels as they come in
show switches    switch ranges
show ports       serial ports
show overlay     overlay on the picture
show elements    elements of the overlay
show video       video transmitter
show battery     battery settings and readings
show motors      motor settings
show outputs     motor outputs
show failsafe    behaviour on loss of signal
show loop        control loop and filters
show gains       gains of the controller
show sensors     sensors on the board
show arming      reasons that prevent arming
show log         flight log
edit             edit <setting> <value>
save             save all settings
reboot           restart the board
boot             enter the boot loader
test             test <motor> <percent>, turns a motor
zero             zero the accelerometer
erase            erase the flight log
""",
    "show board": """\
Item              Value
----------------  ----------------
Firmware          Dorrick
Firmware version  7.3.1
Build date        9 Feb 2026
Board             HOLMSIDE F722
Serial number     D7-118-20463
Craft name        Grey Otter
Saves             64
Restarts          301
Uptime            12 min
""",
    "show receiver": """\
Setting            Value     Default   Unit
-----------------  --------  --------  ----
Receiver type      serial    none      -
Protocol           CRSF      SBUS      -
Port               UART2     UART1     -
Inverted           off       on        -
Half duplex        on        off       -
Telemetry          on        off       -
Channel order      AETR      TAER      -
Channel minimum    1010      1000      us
Channel centre     1510      1500      us
Channel maximum    2010      2000      us
Dead band          3         5         us
Smoothing          12        0         Hz
""",
    "show inputs": """\
Channel  Control   Now (us)
-------  --------  --------
1        roll      1511
2        pitch     1509
3        throttle  1012
4        yaw       1510
5        aux 1     1903
6        aux 2     1002
7        aux 3     2003
8        aux 4     1498
""",
    "show switches": """\
Function  Channel  From (us)  To (us)  Active
--------  -------  ---------  -------  ------
arm       5        1800       2100     yes
level     6        1300       1700     no
turtle    7        1850       2150     yes
""",
    "show ports": """\
Port   Function       Baud    Errors
-----  -------------  ------  ------
USB    console        115200  0
UART1  OSD            230400  0
UART2  receiver       420000  2
UART3  GPS            57600   0
UART4  ESC telemetry  115200  0
UART5  VTX control    4800    1
UART6  unused         -       -
""",
    "show overlay": """\
Setting            Value     Default   Unit
-----------------  --------  --------  -------
Overlay            on        on        -
Video system       digital   auto      -
Columns            53        30        columns
Rows               20        16        rows
Font               4         1         -
Refresh            30        25        Hz
""",
    "show elements": """\
Element       Column  Row  Width  Visible
------------  ------  ---  -----  -------
battery       3       18   7      yes
timer         45      18   5      yes
link quality  46      1    4      yes
craft name    20      0    12     no
""",
    "show video": """\
Setting            Value     Default   Unit
-----------------  --------  --------  ----
Video link         digital   analog    -
Band               R         A         -
Channel            2         1         -
Frequency          5695      5865      MHz
Power              350       25        mW
Fan                auto      auto      -
Temperature        48        -         C
""",
    "show battery": """\
Setting            Value     Default   Unit
-----------------  --------  --------  ----
Cells              5         4         -
Low cell           3.35      3.30      V
Warning cell       3.55      3.50      V
Full cell          4.22      4.20      V
Voltage divider    11.5      11.0      -
Capacity           1500      1300      mAh
Current scale      210       400       -

Reading            Value     Unit
-----------------  --------  ----
Battery voltage    19.84     V
Board voltage      4.97      V
Current            0.50      A
Charge used        14        mAh
""",
    "show motors": """\
Setting            Value     Default   Unit
-----------------  --------  --------  ----
Motor protocol     DShot150  DShot300  -
Bidirectional      on        off       -
Magnets            24        14        -
Idle               6.5       5.0       %
Reversed           off       off       -
Output limit       90        100       %
""",
    "show outputs": """\
Motor  Output (%)  Speed (rpm)  Corner
-----  ----------  -----------  -----------
1      0           0            rear right
2      0           0            front right
3      0           0            rear left
4      0           0            front left
""",
    "show failsafe": """\
Setting            Value     Default   Unit
-----------------  --------  --------  ----
Action             drop      land      -
Delay              0.4       1.0       s
Recovery           2.0       1.0       s
""",
    "show loop": """\
Setting            Value     Default   Unit
-----------------  --------  --------  ----
Loop rate          2000      4000      Hz
Gyro rate          8000      8000      Hz
Gyro low pass      180       200       Hz
D low pass         95        100       Hz
Load               22        -         %
""",
    "show gains": """\
Axis   P   I   D   Rate (deg/s)
-----  --  --  --  ------------
roll   42  80  27  650
pitch  45  84  30  650
yaw    38  78  0   500
""",
    "show sensors": """\
Sensor         State    Bus   Offset
-------------  -------  ----  ------
gyro           found    SPI1  0.02
accelerometer  found    SPI1  0.07
barometer      missing  I2C1  -
compass        missing  I2C1  -
""",
    "show arming": """\
No  Reason
--  ----------------
1   USB connected
2   not level
3   arm switch on
""",
    "show log": """\
Item              Value     Unit
----------------  --------  -----
Log device        flash     -
Free space        7864320   bytes
Used space        524288    bytes
Log rate          1600      Hz
Files             3         -
""",
}
