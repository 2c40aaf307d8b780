"""Quappe: German abbreviations without umlauts, aligned colons, units behind the value, decimal commas. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_HILFE = """\
anz :  akku     Akku und Spannungen
       ausf     Verhalten bei Signalausfall
       bild     Bildeinblendung (OSD)
       empf     Empfaenger und Kanaele
       geraet   Platine, Firmware, Modell
       mot      Motoren und Regelschleife
       regl     Regler und Filter
       schalt   Schalter des Senders
       schn     serielle Schnittstellen
       vsend    Videosender
       zust     Sensoren, Scharfschalten, Flugschreiber
tun :  lade     auf neue Firmware warten
       loesch   Flugschreiber loeschen
       mtest    Motortest
       nivell   Lagesensor kalibrieren
       sich     Einstellungen sichern
       start    neu starten
       werk     Werkseinstellungen
"""

_GERAET = """\
Platine    : KRESSE-H7
Rev.       : 3
Ser.-Nr.   : KH7-20816
Firmware   : Quappe
FW-Vers.   : 3.6.1
FW-Datum   : 22.04.2026
Lader-Vers.: 1.4
Modellname : Grauer Spatz
Gesichert  : 14 mal
Starts     : 208
Betr.-Std. : 31 h
"""

_EMPF = """\
Empf.-Typ    : seriell
Protokoll    : SBUS
Anschluss    : S3
Invertiert   : ja
Halbduplex   : nein
Telemetrie   : aus
Tele.-Takt   : 200 ms
Kan.-Folge   : TAER
Impuls min.  : 1000 us
Impuls Mitte : 1500 us
Impuls max.  : 2000 us
Totzone      : 5 us
Servomitte   : 1520 us
Empf.-Staerke: 0 %
"""

_SCHALT = """\
Schalter : Kan. von  bis us
Scharf   : 5    1700 2100
Lage     : 6    1300 1700
Piepser  : 8    1600 2100
"""

_SCHN = """\
S1 : Konsole, 115200 Baud
S2 : GPS, 38400 Baud
S3 : Empf., 100000 Baud
S4 : Videosender, 9600 Baud
S5 : ESC-Telemetrie, 115200 Baud
S6 : frei
"""

_BILD = """\
OSD        : ein
Videonorm  : PAL
Spalten    : 30
Zeilen     : 16
Helligkeit : 70 %

Element      : Sp. Ze. sichtbar
Akku         : 2   14  ja
Uhr          : 22  14  ja
Modellname   : 10  1   nein
Warnungen    : 9   10  ja
"""

_VSEND = """\
Verbindung   : analog
Band         : F
Kanal        : 3
Frequenz     : 5780 MHz
Leistung     : 25 mW
Leistung max.: 400 mW
Temperatur   : 39 Grad C
"""

_AKKU = """\
Zellenzahl   : 4
Akkuspg.     : 16,12 V
Bordspg.     : 5,02 V
Spg.-Teiler  : 11,0
Zellspg. min.: 3,30 V
Zellspg. Warn: 3,50 V
Zellspg. voll: 4,20 V
Kapazitaet   : 1500 mAh
Strom        : 0,44 A
Verbrauch    : 0 mAh
"""

_MOT = """\
Mot.-Protok. : DShot600
Bidirektional: ja
Polzahl      : 14
Leerlauf     : 5,5 %
Drehr. umgek.: nein
Regeltakt    : 8 kHz
Kreiseltakt  : 8 kHz
Ausg. jetzt  : 0 %
Mot.-KV      : 1960
"""

_AUSF = """\
Ausf.-Aktion : landen
Ausf.-Verz.  : 0,8 s
Ausf.-Gas    : 1150 us
Landezeit    : 15 s
"""

_ZUST = """\
Kreisel      : vorhanden
Beschl.-Sens.: vorhanden
Barometer    : fehlt
Kompass      : fehlt
Kreiseltemp. : 36 Grad C
Lagefehler   : 1,2 Grad
Gesperrt weil: USB verbunden, Gas nicht unten
Flugschreiber: Speicherkarte
Frei         : 7340032 Byte
Schreibtakt  : 500 Hz
Fluege       : 9
"""

_REGL = """\
Rollen P/I/D : 45 / 80 / 30
Nicken P/I/D : 47 / 84 / 33
Gieren P/I/D : 40 / 80 / 0
TP Kreisel   : 230 Hz
TP D-Anteil  : 105 Hz
LED-Farbe    : blau
"""

_STATED = {
    "firmware.name": said("Quappe", "geraet", "Firmware   : Quappe"),
    "firmware.version": said("3.6.1", "geraet", "FW-Vers.   : 3.6.1"),
    "firmware.built": said("22.04.2026", "geraet", "FW-Datum   : 22.04.2026"),
    "board.name": said("KRESSE-H7", "geraet", "Platine    : KRESSE-H7"),
    "board.serial": said("KH7-20816", "geraet", "Ser.-Nr.   : KH7-20816"),
    "craft.name": said("Grauer Spatz", "geraet", "Modellname : Grauer Spatz"),
    "receiver.kind": said("serial", "empf", "Empf.-Typ    : seriell"),
    "receiver.protocol": said("sbus", "empf", "Protokoll    : SBUS"),
    "receiver.port": said("S3", "empf", "Anschluss    : S3"),
    "receiver.inverted": said(True, "empf", "Invertiert   : ja"),
    "receiver.half_duplex": said(False, "empf", "Halbduplex   : nein"),
    "receiver.telemetry": said(False, "empf", "Telemetrie   : aus"),
    "channels.order": said("TAER", "empf", "Kan.-Folge   : TAER"),
    "channels.low": said(1000, "empf", "Impuls min.  : 1000 us"),
    "channels.centre": said(1500, "empf", "Impuls Mitte : 1500 us"),
    "channels.high": said(2000, "empf", "Impuls max.  : 2000 us"),
    **switches_said(
        "schalt",
        [
            ("arm", 5, 1700, 2100, ("Scharf   : 5    1700 2100",)),
            ("level", 6, 1300, 1700, ("Lage     : 6    1300 1700",)),
            ("beeper", 8, 1600, 2100, ("Piepser  : 8    1600 2100",)),
        ],
    ),
    **ports_said(
        "schn",
        [
            ("S1", ("console",), 115200, ("S1 : Konsole, 115200 Baud",)),
            ("S2", ("positioning",), 38400, ("S2 : GPS, 38400 Baud",)),
            ("S3", ("receiver",), 100000, ("S3 : Empf., 100000 Baud",)),
            ("S4", ("video-control",), 9600, ("S4 : Videosender, 9600 Baud",)),
            ("S5", ("esc-telemetry",), 115200, ("S5 : ESC-Telemetrie, 115200 Baud",)),
            ("S6", ("unused",), None, ("S6 : frei",)),
        ],
    ),
    "overlay.enabled": said(True, "bild", "OSD        : ein"),
    "overlay.system": said("pal", "bild", "Videonorm  : PAL"),
    "overlay.columns": said(30, "bild", "Spalten    : 30"),
    "overlay.rows": said(16, "bild", "Zeilen     : 16"),
    **elements_said(
        "bild",
        [
            ("battery", 2, 14, True, ("Akku         : 2   14  ja",)),
            ("timer", 22, 14, True, ("Uhr          : 22  14  ja",)),
            ("craft-name", 10, 1, False, ("Modellname   : 10  1   nein",)),
            ("warnings", 9, 10, True, ("Warnungen    : 9   10  ja",)),
        ],
    ),
    "video.link": said("analog", "vsend", "Verbindung   : analog"),
    "video.band": said("F", "vsend", "Band         : F"),
    "video.channel": said(3, "vsend", "Kanal        : 3"),
    "video.frequency_mhz": said(5780, "vsend", "Frequenz     : 5780 MHz"),
    "video.power_mw": said(25.0, "vsend", "Leistung     : 25 mW"),
    "battery.cells": said(4, "akku", "Zellenzahl   : 4"),
    "battery.volts": said(16.12, "akku", "Akkuspg.     : 16,12 V"),
    "battery.scale": said(11.0, "akku", "Spg.-Teiler  : 11,0"),
    "battery.cell_low": said(3.3, "akku", "Zellspg. min.: 3,30 V"),
    "battery.cell_warn": said(3.5, "akku", "Zellspg. Warn: 3,50 V"),
    "battery.cell_full": said(4.2, "akku", "Zellspg. voll: 4,20 V"),
    "motors.protocol": said("dshot600", "mot", "Mot.-Protok. : DShot600"),
    "motors.bidirectional": said(True, "mot", "Bidirektional: ja"),
    "motors.poles": said(14, "mot", "Polzahl      : 14"),
    "motors.idle_percent": said(5.5, "mot", "Leerlauf     : 5,5 %"),
    "motors.reversed": said(False, "mot", "Drehr. umgek.: nein"),
    "motors.loop_hz": said(8000, "mot", "Regeltakt    : 8 kHz"),
    "failsafe.action": said("land", "ausf", "Ausf.-Aktion : landen"),
    "failsafe.delay_s": said(0.8, "ausf", "Ausf.-Verz.  : 0,8 s"),
    "failsafe.throttle_us": said(1150, "ausf", "Ausf.-Gas    : 1150 us"),
    "sensors.gyro": said("found", "zust", "Kreisel      : vorhanden"),
    "sensors.accelerometer": said("found", "zust", "Beschl.-Sens.: vorhanden"),
    "sensors.barometer": said("missing", "zust", "Barometer    : fehlt"),
    "arming.blocks": said(
        ("usb-connected", "throttle-not-low"), "zust", "Gesperrt weil: USB verbunden, Gas nicht unten"
    ),
    "logger.device": said("card", "zust", "Flugschreiber: Speicherkarte"),
    "logger.free_bytes": said(7340032, "zust", "Frei         : 7340032 Byte"),
}

_HARMS = {
    "lade": Harm("Bereit zum Laden."),
    "loesch": Harm("Geloescht.", "zust", "Fluege       : 9", "Fluege       : 0"),
    "mtest": Harm("Mot. 1 dreht.", "mot", "Ausg. jetzt  : 0 %", "Ausg. jetzt  : 8 %", "mtest 1"),
    "nivell": Harm("Nivelliert.", "zust", "Lagefehler   : 1,2 Grad", "Lagefehler   : 0,0 Grad"),
    "sich": Harm("Gesichert.", "geraet", "Gesichert  : 14 mal", "Gesichert  : 15 mal"),
    "start": Harm("Neustart.", "geraet", "Starts     : 208", "Starts     : 209"),
    "werk": Harm("Werkseinst. geladen.", "geraet", "Modellname : Grauer Spatz", "Modellname : -"),
}

_PAGES = {
    "hilfe": "hilfe: diese Seite\n" + _HILFE,
    "akku": _AKKU,
    "ausf": _AUSF,
    "bild": _BILD,
    "empf": _EMPF,
    "geraet": _GERAET,
    "mot": _MOT,
    "regl": _REGL,
    "schalt": _SCHALT,
    "schn": _SCHN,
    "vsend": _VSEND,
    "zust": _ZUST,
}


class Quappe(StatingConsole):
    """Words, labels and values are shortened German in ASCII; the help parts what shows from what does."""

    name = "quappe"
    kinds = ("German abbreviations without umlauts", "aligned colons", "decimal commas", "small tables behind colons")
    banner = "Quappe 3.6.1, hilfe zeigt die Befehle\n"
    prompt = "bef> "
    error = "unbek. Befehl: {line}"
    help_word = "hilfe"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
