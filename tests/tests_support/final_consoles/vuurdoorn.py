"""Vuurdoorn: words, help and values in Dutch, tables of value, factory value and unit, decimal commas. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_HELP = """\
Woord           Wat het doet
==============  =============================================
accu            toont de accu
bewaar          slaat de instellingen op
bijwerken       wacht op nieuwe firmware
bord            toont wat dit voor bord is
fabriek         zet alles terug op fabrieksinstellingen
help            toont deze lijst
herstart        start het bord opnieuw
motoren         toont de motoren en de regelaars
motortest       laat een motor draaien
ontvanger       toont de ontvanger en de kanalen
osd             toont het beeld in de bril
poorten         toont de seriële poorten
regeling        toont de versterkingen en de filters
schakelaars     toont de schakelaars
signaalverlies  toont wat er gebeurt zonder signaal
toestand        toont de sensoren en of het kan vliegen
videozender     toont de videozender
waterpas        ijkt de versnellingsmeter
wislogboek      wist het logboek
"""

_BORD = """\
Gegeven               Waarde
====================  ==================
Firmware              Vuurdoorn
Firmwareversie        8.2.5
Bouwdatum             2026-05-08
Laderversie           1.9
Bord                  ZEGGE-G4
Serienummer           ZG4-50671
Naam van het toestel  Grijze Mees
Keer opgeslagen       27
Keer gestart          164
"""

_ONTVANGER = """\
Instelling            Waarde        Fabriek       Eenheid
====================  ============  ============  =======
Soort ontvanger       serieel       serieel       -
Protocol              IBUS          SBUS          -
Poort                 UART4         UART2         -
Signaal omgekeerd     nee           nee           -
Halfduplex            ja            nee           -
Telemetrie            ja            nee           -
Telemetriesnelheid    57600         115200        baud
Kanaalvolgorde        AETR          AETR          -
Laagste puls          1008          1000          us
Middelste puls        1498          1500          us
Hoogste puls          1992          2000          us
Dode zone             5             2             us
Midden van de servo   1510          1500          us
"""

_SCHAKELAARS = """\
Functie     Kanaal  Van us  Tot us
==========  ======  ======  ======
armen       5       1600    2100
pieper      7       1700    2100
"""

_POORTEN = """\
Poort   Gebruik         Snelheid baud  Fouten
======  ==============  =============  ======
UART1   console         115200         0
UART2   OSD             230400         0
UART4   ontvanger       115200         2
UART5   GPS             38400          0
UART6   ongebruikt      -              -
"""

_OSD = """\
Instelling            Waarde        Fabriek       Eenheid
====================  ============  ============  =======
OSD ingeschakeld      ja            ja            -
Videosysteem          digitaal      auto          -
Aantal kolommen       50            30            -
Aantal rijen          18            16            -
Knipperfrequentie     2             3             Hz

Element             Kolom   Rij     Zichtbaar
==================  ======  ======  =========
accu                2       16      ja
timer               41      16      ja
waarschuwingen      18      9       ja
hoogte              40      8       nee
"""

_VIDEOZENDER = """\
Instelling            Waarde        Fabriek       Eenheid
====================  ============  ============  =======
Videoverbinding       digitaal      digitaal      -
Frequentie            5769          5732          MHz
Zendvermogen          400           25            mW
Grootste vermogen     700           700           mW
Temperatuur           48            -             graden
"""

_ACCU = """\
Instelling            Waarde        Fabriek       Eenheid
====================  ============  ============  =======
Aantal cellen         6             4             -
Accuspanning          23,46         -             V
Bordspanning          5,03          -             V
Spanningsdeler        11,5          11,0          -
Laagste celspanning   3,20          3,30          V
Celwaarschuwing       3,55          3,50          V
Volle celspanning     4,20          4,20          V
Capaciteit            1100          0             mAh
Stroom                0,52          -             A
"""

_MOTOREN = """\
Instelling            Waarde        Fabriek       Eenheid
====================  ============  ============  =======
ESC-protocol          DSHOT600      DSHOT300      -
DShot tweerichting    ja            nee           -
Aantal magneten       14            14            -
Stationair            4,5           5,0           %
Motoren omgekeerd     nee           nee           -
Regellus              8000          4000          Hz
Gyrofrequentie        8000          8000          Hz
Uitgang nu            0             -             %
"""

_SIGNAALVERLIES = """\
Instelling            Waarde        Fabriek       Eenheid
====================  ============  ============  =======
Failsafe-actie        landen        motoren uit   -
Failsafe-vertraging   1,5           0,5           s
Failsafe-gas          1230          1000          us
Landingsduur          15            10            s
"""

_TOESTAND = """\
Gegeven               Waarde                          Eenheid
====================  ==============================  =======
Gyroscoop             gevonden                        -
Versnellingsmeter     gevonden                        -
Barometer             ontbreekt                       -
Scheefstand           1,1                             graden
Armen geblokkeerd     geen ontvangersignaal           -
Logboek op            SD-kaart                        -
Vrije ruimte          3971481600                      bytes
Logfrequentie         2000                            Hz
Logbestanden          9                               -
Looptijd              318                             s
Processorbelasting    27                              %
"""

_REGELING = """\
As        P     I     D
========  ====  ====  ====
rol       47    83    33
stamp     49    86    36
gier      42    80    0

Filter                Waarde        Fabriek       Eenheid
====================  ============  ============  =======
Gyrofilter            260           250           Hz
D-filter              120           110           Hz
"""

_STATED = {
    "firmware.name": said("Vuurdoorn", "bord", "Firmware              Vuurdoorn"),
    "firmware.version": said("8.2.5", "bord", "Firmwareversie        8.2.5"),
    "firmware.built": said("2026-05-08", "bord", "Bouwdatum             2026-05-08"),
    "board.name": said("ZEGGE-G4", "bord", "Bord                  ZEGGE-G4"),
    "board.serial": said("ZG4-50671", "bord", "Serienummer           ZG4-50671"),
    "craft.name": said("Grijze Mees", "bord", "Naam van het toestel  Grijze Mees"),
    "receiver.kind": said("serial", "ontvanger", "Soort ontvanger       serieel "),
    "receiver.protocol": said("ibus", "ontvanger", "Protocol              IBUS "),
    "receiver.port": said("UART4", "ontvanger", "Poort                 UART4 "),
    "receiver.inverted": said(False, "ontvanger", "Signaal omgekeerd     nee "),
    "receiver.half_duplex": said(True, "ontvanger", "Halfduplex            ja "),
    "receiver.telemetry": said(True, "ontvanger", "Telemetrie            ja "),
    "channels.order": said("AETR", "ontvanger", "Kanaalvolgorde        AETR "),
    "channels.low": said(1008, "ontvanger", "Laagste puls          1008 "),
    "channels.centre": said(1498, "ontvanger", "Middelste puls        1498 "),
    "channels.high": said(1992, "ontvanger", "Hoogste puls          1992 "),
    **switches_said(
        "schakelaars",
        [
            ("arm", 5, 1600, 2100, ("armen       5       1600    2100",)),
            ("beeper", 7, 1700, 2100, ("pieper      7       1700    2100",)),
        ],
    ),
    **ports_said(
        "poorten",
        [
            ("UART1", ("console",), 115200, ("UART1   console         115200 ",)),
            ("UART2", ("overlay-link",), 230400, ("UART2   OSD             230400 ",)),
            ("UART4", ("receiver",), 115200, ("UART4   ontvanger       115200 ",)),
            ("UART5", ("positioning",), 38400, ("UART5   GPS             38400 ",)),
            ("UART6", ("unused",), None, ("UART6   ongebruikt      - ",)),
        ],
    ),
    "overlay.enabled": said(True, "osd", "OSD ingeschakeld      ja "),
    "overlay.system": said("digital", "osd", "Videosysteem          digitaal "),
    "overlay.columns": said(50, "osd", "Aantal kolommen       50 "),
    "overlay.rows": said(18, "osd", "Aantal rijen          18 "),
    **elements_said(
        "osd",
        [
            ("battery", 2, 16, True, ("accu                2       16      ja",)),
            ("timer", 41, 16, True, ("timer               41      16      ja",)),
            ("warnings", 18, 9, True, ("waarschuwingen      18      9       ja",)),
            ("altitude", 40, 8, False, ("hoogte              40      8       nee",)),
        ],
    ),
    "video.link": said("digital", "videozender", "Videoverbinding       digitaal "),
    "video.frequency_mhz": said(5769, "videozender", "Frequentie            5769 "),
    "video.power_mw": said(400.0, "videozender", "Zendvermogen          400 "),
    "battery.cells": said(6, "accu", "Aantal cellen         6 "),
    "battery.volts": said(23.46, "accu", "Accuspanning          23,46 "),
    "battery.scale": said(11.5, "accu", "Spanningsdeler        11,5 "),
    "battery.cell_low": said(3.2, "accu", "Laagste celspanning   3,20 "),
    "battery.cell_warn": said(3.55, "accu", "Celwaarschuwing       3,55 "),
    "battery.cell_full": said(4.2, "accu", "Volle celspanning     4,20 "),
    "motors.protocol": said("dshot600", "motoren", "ESC-protocol          DSHOT600 "),
    "motors.bidirectional": said(True, "motoren", "DShot tweerichting    ja "),
    "motors.poles": said(14, "motoren", "Aantal magneten       14 "),
    "motors.idle_percent": said(4.5, "motoren", "Stationair            4,5 "),
    "motors.reversed": said(False, "motoren", "Motoren omgekeerd     nee "),
    "motors.loop_hz": said(8000, "motoren", "Regellus              8000 "),
    "failsafe.action": said("land", "signaalverlies", "Failsafe-actie        landen "),
    "failsafe.delay_s": said(1.5, "signaalverlies", "Failsafe-vertraging   1,5 "),
    "failsafe.throttle_us": said(1230, "signaalverlies", "Failsafe-gas          1230 "),
    "sensors.gyro": said("found", "toestand", "Gyroscoop             gevonden "),
    "sensors.accelerometer": said("found", "toestand", "Versnellingsmeter     gevonden "),
    "sensors.barometer": said("missing", "toestand", "Barometer             ontbreekt "),
    "arming.blocks": said(("no-receiver-link",), "toestand", "Armen geblokkeerd     geen ontvangersignaal "),
    "logger.device": said("card", "toestand", "Logboek op            SD-kaart "),
    "logger.free_bytes": said(3971481600, "toestand", "Vrije ruimte          3971481600 "),
}

_HARMS = {
    "bewaar": Harm("Opgeslagen.", "bord", "Keer opgeslagen       27", "Keer opgeslagen       28"),
    "bijwerken": Harm("Wacht op firmware."),
    "fabriek": Harm("Teruggezet.", "bord", "toestel  Grijze Mees", "toestel  -"),
    "herstart": Harm("Tot zo.", "bord", "Keer gestart          164", "Keer gestart          165"),
    "motortest": Harm("Motor draait.", "motoren", "Uitgang nu            0", "Uitgang nu            7", "motortest 1"),
    "waterpas": Harm("Geijkt.", "toestand", "Scheefstand           1,1", "Scheefstand           0,0"),
    "wislogboek": Harm("Gewist.", "toestand", "Logbestanden          9", "Logbestanden          0"),
}

_PAGES = {
    "help": _HELP,
    "bord": _BORD,
    "ontvanger": _ONTVANGER,
    "schakelaars": _SCHAKELAARS,
    "poorten": _POORTEN,
    "osd": _OSD,
    "videozender": _VIDEOZENDER,
    "accu": _ACCU,
    "motoren": _MOTOREN,
    "signaalverlies": _SIGNAALVERLIES,
    "toestand": _TOESTAND,
    "regeling": _REGELING,
}


class Vuurdoorn(StatingConsole):
    """A word for each subject; each setting stands beside the value that it had when it left the works."""

    name = "vuurdoorn"
    kinds = ("Dutch words, help and values", "aligned tables with headers", "decimal commas", "factory values")
    banner = "Vuurdoorn 8.2.5 staat klaar\n"
    prompt = "vd$ "
    error = "Onbekend woord: {line} (probeer help)"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
