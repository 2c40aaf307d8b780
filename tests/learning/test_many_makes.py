"""Consoles of several makes, copied from a terminal: invented firmwares in layouts that are common practice."""

from __future__ import annotations

from typing import Any

import pytest

from propsoff.console.capture import pasted
from propsoff.craft.model import Craft
from propsoff.learning.from_text import heard_in
from propsoff.learning.learn import learn

LABELS = """
> about
Product          : Ferrow flight firmware
Release          : 2.3.1
Compiled         : Apr 12 2026
Hardware         : BRINDLE H743
Hardware serial  : BH-7712-09
Aircraft         : Old Badger
> switches
Arm channel      : 5
Arm range        : 1700-2100
Level channel    : 6
Level range      : 900-1300
Beeper channel   : 8
Beeper range     : 1650-2100
> ports
UART 1 function  : Console
UART 1 baud      : 115200
UART 2 function  : Receiver
UART 2 baud      : 420000
UART 4 function  : Video transmitter
UART 4 baud      : 9600
UART 6 function  : None
> display
Display enabled  : Yes
Video standard   : PAL
Grid             : 30 x 16
Battery element  : 3, 14, shown
Timer element    : 22, 14, shown
Craft name element : 10, 1, hidden
> channels
Ch  Min   Mid   Max   Now
1   1000  1500  2000  1498
2   1000  1500  2000  1502
3   1000  1500  2000  1003
4   1000  1500  2000  1499
5   1000  1500  2000  1000
6   1000  1500  2000  1000
7   1000  1500  2000  1000
8   1000  1500  2000  1000
> arming
Arming blocked by:
  - receiver link lost
  - USB cable connected
>
"""

KINDS = """
$ info
{"t":"fw","name":"Larkspan","ver":"0.9.4","built":"2026-05-01"}
{"t":"hw","board":"MERLE F405","sn":"MF4-001922"}
{"t":"bl","ver":"1.2"}
{"t":"craft","name":"Slow Puffin"}
$ cfg
{"t":"rx","type":"serial","proto":"sbus","uart":"UART3","inverted":true,"half_duplex":false,"telemetry":false}
{"t":"ch","order":"TAER","min":1005,"mid":1500,"max":1995}
{"t":"sw","fn":"arm","ch":5,"lo":1750,"hi":2100}
{"t":"sw","fn":"level","ch":6,"lo":900,"hi":1300}
{"t":"uart","id":"UART1","use":"cli","baud":115200}
{"t":"uart","id":"UART3","use":"rx","baud":100000}
{"t":"uart","id":"UART5","use":"off","baud":0}
{"t":"osd","on":true,"std":"ntsc","cols":30,"rows":13}
{"t":"osd_item","item":"battery","x":1,"y":11,"on":true}
{"t":"osd_item","item":"timer","x":22,"y":11,"on":false}
{"t":"vtx","link":"analog","band":"F","ch":4,"mhz":5800,"mw":200}
{"t":"bat","cells":4,"div":10.9,"cell_min":3.3,"cell_warn":3.5,"cell_max":4.2}
{"t":"mot","proto":"dshot300","bidir":true,"poles":12,"idle_pct":5.0,"reversed":false,"loop_hz":2000}
{"t":"fs","act":"land","delay_s":1.5,"thr_us":1180}
$ st
{"t":"sens","gyro":"ok","acc":"ok","baro":"missing"}
{"t":"bat","v":15.8,"a":0.4}
{"t":"arm","blocks":["rx_lost","throttle_high"]}
{"t":"log","dev":"sd","free_mb":3120}
$
"""

PARAMETERS = """
pq> id
FW_NAME: Osprel
FW_VERSION: 12.4
FW_BUILD: 2026-06-01 14:22
HW_NAME: KNAPWEED H743
HW_SERIAL: KH7430021
CRAFT: Quick Moth
BOOT_VERSION: 2.0
pq> params
NAME                TYPE    VALUE     DEFAULT   MIN    MAX
RX_TYPE             enum    SERIAL    NONE
RX_PROTOCOL         enum    CRSF      SBUS
RX_PORT             enum    UART6     UART1
RX_INVERT           bool    0         1
RX_HALFDUPLEX       bool    0         0
RX_TELEMETRY        bool    1         0
RC_ORDER            enum    TAER      AETR
RC_MIN              int     990       1000      800    1200
RC_MID              int     1500      1500      1400   1600
RC_MAX              int     2010      2000      1800   2200
FS_ACTION           enum    LAND      DROP
FS_DELAY_MS         int     700       500       0      5000
FS_THROTTLE         int     1250      1000      900    2000
OSD_ENABLE          bool    1         0
OSD_SYSTEM          enum    PAL       AUTO
OSD_COLS            int     30        30        20     60
OSD_ROWS            int     16        16        10     30
VTX_LINK            enum    ANALOG    ANALOG
VTX_BAND            enum    R         A
VTX_CHANNEL         int     7         1         1      8
VTX_FREQ            int     5880      5800      5000   6000
VTX_POWER           int     25        25        0      1000
BAT_CELLS           int     4         0         0      12
BAT_SCALE           float   11.0      11.0      1      30
BAT_CELL_MIN        float   3.3       3.3       3      3.6
BAT_CELL_WARN       float   3.5       3.5       3      3.8
BAT_CELL_FULL       float   4.2       4.2       4      4.4
MOT_PROTOCOL        enum    DSHOT600  PWM
MOT_BIDIR           bool    1         0
MOT_POLES           int     14        14        4      40
MOT_IDLE_PCT        float   5.5       5.0       0      20
MOT_REVERSED        bool    1         0
LOOP_RATE_HZ        int     8000      4000      1000   8000
LOG_DEVICE          enum    CARD      NONE
SW1_FUNC            enum    ARM       NONE
SW1_CHAN            int     5         0
SW1_LOW             int     1700      900
SW1_HIGH            int     2100      900
SW2_FUNC            enum    LEVEL     NONE
SW2_CHAN            int     6         0
SW2_LOW             int     900       900
SW2_HIGH            int     1300      900
pq> ports
PORT    FUNC        BAUD      DEFAULT
UART1   CONSOLE     115200    CONSOLE
UART3   GPS         57600     NONE
UART6   RX          420000    NONE
UART7   NONE        0         NONE
pq>
"""

DOCUMENTS = """
> get modes
{"modes":[{"name":"arm","aux":1,"range":[1700,2100]},{"name":"angle","aux":2,"range":[900,1300]}]}
> get osd
{"osd":{"enabled":true,"videoSystem":"hd","grid":{"cols":53,"rows":20},
"elements":{"battery":{"pos":[2,18],"visible":true},"craftName":{"pos":[20,1],"visible":false}}}}
> get rx
{"channels":{"order":"AETR","values":[1500,1500,988,1500,1000]},"defaults":{"order":"TAER"}}
> get state
{"firmware":{"name":"Calder","version":"1.8.0"},"sensors":{"gyro":true,"baro":false,"mag":false}}
>
"""


def craft_of(text: str) -> Craft:
    heard = heard_in(pasted(text.strip().encode()))
    assert heard is not None
    craft = learn(heard, id_="own", title="Own").craft
    assert craft is not None
    return craft


@pytest.mark.parametrize(
    ("text", "facts"),
    [
        (
            LABELS,
            {
                "switches[0].channel": 5, "switches[1].from_us": 900, "switches[2].function": "beeper",
                "ports[3].id": "UART 6", "ports[3].roles": ("unused",), "overlay.columns": 30,
                "overlay.elements[2].name": "craft-name", "overlay.elements[2].row": 1,
                "channels.live": (1498, 1502, 1003, 1499, 1000, 1000, 1000, 1000), "channels.low": None,
                "arming.blocks": ("no-receiver-link", "usb-connected"),
            },
        ),
        (
            KINDS,
            {
                "firmware.version": "0.9.4", "receiver.kind": "serial", "receiver.port": "UART3", "channels.high": 1995,
                "switches[1].to_us": 1300, "ports[1].roles": ("receiver",), "overlay.rows": 13,
                "overlay.elements[1].shown": False, "battery.cell_full": 4.2, "battery.volts": 15.8,
                "arming.blocks": ("no-receiver-link", "throttle-not-low"), "sensors.barometer": "missing",
            },
        ),
        (
            PARAMETERS,
            {
                "firmware.name": "Osprel", "firmware.version": "12.4", "receiver.protocol": "crsf",
                "channels.order": "TAER", "channels.low": 990, "video.power_mw": None, "motors.bidirectional": True,
                "switches[1].function": "level", "switches[1].to_us": 1300, "ports[1].roles": ("positioning",),
            },
        ),
        (
            DOCUMENTS,
            {
                "switches[1].from_us": 900, "switches[0].channel": None, "overlay.enabled": True,
                "overlay.columns": 53, "overlay.elements[1].name": "craft-name", "overlay.elements[1].column": 20,
                "channels.order": "AETR", "channels.live": (1500, 1500, 988, 1500, 1000),
                "sensors.gyro": "found", "sensors.barometer": "missing",
            },
        ),
    ],
    ids=["labels", "kinds", "parameters", "documents"],
)  # fmt: skip
def test_what_is_certain_is_learned_and_near_misses_are_not(text: str, facts: dict[str, Any]) -> None:
    craft = craft_of(text)
    assert {name: craft.value(name) for name in facts} == facts
