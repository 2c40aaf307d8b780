"""Brachvogel: words and help in German, decimal commas, indented blocks. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_HELP = """\
Diese Worte gibt es:
  anschluesse   zeigt die seriellen Anschlüsse
  auffrischen   räumt den Aufzeichnungsspeicher auf
  drehen        prüft kurz, ob sich etwas bewegt
  eichen        merkt sich die waagrechte Lage
  einspielen    bereitet auf neue Firmware vor
  hilfe         zeigt diese Liste
  kennung       zeigt, was das hier ist
  loeschen      vergisst alle Werte
  neustart      beginnt von vorn
  regler        zeigt Verstärkungen und Filter
  sichern       behält die Werte
  werte         zeigt alle Einstellungen
  zustand       zeigt Sensoren und Startsperren
"""

_KENNUNG = """\
Firmware:        Brachvogel
Version:         1.7.3
Gebaut:          2026-05-11
Platine:         HABICHT F7
Seriennummer:    H7-00318
Urladerversion:  2.0
"""

_WERTE = """\
Fluggerät
  Name: Rote Meise
  Profil: 1
  Satz: 9
Empfänger
  Art: seriell
  Protokoll: CRSF
  Anschluss: S2
  Invertiert: nein
  Halbduplex: nein
  Telemetrie: ja
  Kanäle
    Reihenfolge: AETR
    Unteres Ende: 988 us
    Mitte: 1500 us
    Oberes Ende: 2012 us
    Totzone: 3 us
    Drehrate: 680 Grad/s
Signalverlust
  Verhalten: Motoren aus
  Verzögerung: 0,5 s
  Gas: 1000 us
Akku
  Zellen: 4
  Zelle leer: 3,30 V
  Zelle Warnung: 3,50 V
  Zelle voll: 4,20 V
  Spannungsteiler: 11,0
  Kapazität: 1300 mAh
Motoren
  Protokoll: DShot300
  Bidirektional: ja
  Pole: 12
  Leerlauf: 5,5 %
  Drehrichtung umgekehrt: nein
  Regeltakt: 4 kHz
  Drehzahlfilter: 3
Bild
  Übertragung: analog
  Band: R
  Kanal: 1
  Frequenz: 5658 MHz
  Sendeleistung: 25 mW
  Einblendung: ein
  Norm: PAL
  Spalten: 30
  Zeilen: 16
  Helligkeit: 2
Licht
  Anzahl: 14
  Farbe: 255, 120, 0
"""

_ANSCHLUESSE = """\
S0  Konsole         115200 Baud
S1  GPS             57600 Baud
S2  Empfänger       420000 Baud
S3  frei
"""

_ZUSTAND = """\
Akkuspannung: 15,92 V
Gyroskop: gefunden
Beschleunigungssensor: gefunden
Barometer: fehlt
Startsperren: kein Empfängersignal, USB verbunden
Freier Speicher: 7340032 Bytes
Motoren jetzt: 0 %
Lagefehler: 0,8 Grad
Starts: 88
Laufzeit: 301 s
Prozessor: 14 %
Temperatur: 36,5 °C
"""

_REGLER = """\
Rollen
  P: 4,2
  I: 8,0
  D: 3,1
Nicken
  P: 4,5
  I: 8,4
  D: 3,4
Gieren
  P: 4,0
  I: 8,0
  D: 0,0
Filter
  Gyroskop: 210 Hz
  D-Anteil: 100 Hz
"""

_STATED = {
    "firmware.name": said("Brachvogel", "kennung", "Firmware:        Brachvogel"),
    "firmware.version": said("1.7.3", "kennung", "Version:         1.7.3"),
    "firmware.built": said("2026-05-11", "kennung", "Gebaut:          2026-05-11"),
    "board.name": said("HABICHT F7", "kennung", "Platine:         HABICHT F7"),
    "board.serial": said("H7-00318", "kennung", "Seriennummer:    H7-00318"),
    "craft.name": said("Rote Meise", "werte", "Fluggerät", "Name: Rote Meise"),
    "receiver.kind": said("serial", "werte", "Empfänger", "Art: seriell"),
    "receiver.protocol": said("crsf", "werte", "Protokoll: CRSF"),
    "receiver.port": said("S2", "werte", "Anschluss: S2"),
    "receiver.inverted": said(False, "werte", "Invertiert: nein"),
    "receiver.half_duplex": said(False, "werte", "Halbduplex: nein"),
    "receiver.telemetry": said(True, "werte", "Telemetrie: ja"),
    "channels.order": said("AETR", "werte", "Kanäle", "Reihenfolge: AETR"),
    "channels.low": said(988, "werte", "Unteres Ende: 988 us"),
    "channels.centre": said(1500, "werte", "Mitte: 1500 us"),
    "channels.high": said(2012, "werte", "Oberes Ende: 2012 us"),
    "failsafe.action": said("drop", "werte", "Signalverlust", "Verhalten: Motoren aus"),
    "failsafe.delay_s": said(0.5, "werte", "Verzögerung: 0,5 s"),
    "failsafe.throttle_us": said(1000, "werte", "Gas: 1000 us"),
    "battery.cells": said(4, "werte", "Akku", "Zellen: 4"),
    "battery.volts": said(15.92, "zustand", "Akkuspannung: 15,92 V"),
    "battery.cell_low": said(3.3, "werte", "Zelle leer: 3,30 V"),
    "battery.cell_warn": said(3.5, "werte", "Zelle Warnung: 3,50 V"),
    "battery.cell_full": said(4.2, "werte", "Zelle voll: 4,20 V"),
    "battery.scale": said(11.0, "werte", "Spannungsteiler: 11,0"),
    "motors.protocol": said("dshot300", "werte", "Motoren", "Protokoll: DShot300"),
    "motors.bidirectional": said(True, "werte", "Bidirektional: ja"),
    "motors.poles": said(12, "werte", "Pole: 12"),
    "motors.idle_percent": said(5.5, "werte", "Leerlauf: 5,5 %"),
    "motors.reversed": said(False, "werte", "Drehrichtung umgekehrt: nein"),
    "motors.loop_hz": said(4000, "werte", "Regeltakt: 4 kHz"),
    "video.link": said("analog", "werte", "Bild", "Übertragung: analog"),
    "video.band": said("R", "werte", "Band: R"),
    "video.channel": said(1, "werte", "Kanal: 1"),
    "video.frequency_mhz": said(5658, "werte", "Frequenz: 5658 MHz"),
    "video.power_mw": said(25.0, "werte", "Sendeleistung: 25 mW"),
    "overlay.enabled": said(True, "werte", "Einblendung: ein"),
    "overlay.system": said("pal", "werte", "Norm: PAL"),
    "overlay.columns": said(30, "werte", "Spalten: 30"),
    "overlay.rows": said(16, "werte", "Zeilen: 16"),
    "ports[0].id": said("S0", "anschluesse", "S0  Konsole         115200 Baud"),
    "ports[0].roles": said(("console",), "anschluesse", "S0  Konsole         115200 Baud"),
    "ports[0].baud": said(115200, "anschluesse", "S0  Konsole         115200 Baud"),
    "ports[1].id": said("S1", "anschluesse", "S1  GPS             57600 Baud"),
    "ports[1].roles": said(("positioning",), "anschluesse", "S1  GPS             57600 Baud"),
    "ports[1].baud": said(57600, "anschluesse", "S1  GPS             57600 Baud"),
    "ports[2].id": said("S2", "anschluesse", "S2  Empfänger       420000 Baud"),
    "ports[2].roles": said(("receiver",), "anschluesse", "S2  Empfänger       420000 Baud"),
    "ports[2].baud": said(420000, "anschluesse", "S2  Empfänger       420000 Baud"),
    "ports[3].id": said("S3", "anschluesse", "S3  frei"),
    "ports[3].roles": said(("unused",), "anschluesse", "S3  frei"),
    "sensors.gyro": said("found", "zustand", "Gyroskop: gefunden"),
    "sensors.accelerometer": said("found", "zustand", "Beschleunigungssensor: gefunden"),
    "sensors.barometer": said("missing", "zustand", "Barometer: fehlt"),
    "arming.blocks": said(
        ("no-receiver-link", "usb-connected"), "zustand", "Startsperren: kein Empfängersignal, USB verbunden"
    ),
}

_HARMS = {
    "auffrischen": Harm("Speicher ist leer.", "zustand", "Freier Speicher: 7340032", "Freier Speicher: 16777216"),
    "drehen": Harm("Motoren laufen!", "zustand", "Motoren jetzt: 0 %", "Motoren jetzt: 6 %"),
    "eichen": Harm("Lage gemerkt.", "zustand", "Lagefehler: 0,8 Grad", "Lagefehler: 0,0 Grad"),
    "einspielen": Harm("Warte auf Firmware."),
    "loeschen": Harm("Alle Werte vergessen.", "werte", "Name: Rote Meise", "Name: "),
    "neustart": Harm("Brachvogel 1.7.3 beginnt.", "zustand", "Starts: 88", "Starts: 89"),
    "sichern": Harm("Gesichert.", "werte", "Satz: 9", "Satz: 10"),
}

_PAGES = {
    "hilfe": _HELP,
    "?": _HELP,
    "kennung": _KENNUNG,
    "werte": _WERTE,
    "anschluesse": _ANSCHLUESSE,
    "zustand": _ZUSTAND,
    "regler": _REGLER,
}


class Brachvogel(StatingConsole):
    """German words and help (`hilfe`, and `?`), decimal commas, umlauts in UTF-8, blocks by indentation."""

    name = "brachvogel"
    kinds = ("German words and help", "indented blocks")
    banner = "Brachvogel 1.7.3 - 'hilfe' zeigt alle Worte\n"
    prompt = "Brachvogel $ "
    error = "Unbekanntes Wort: {line}"
    help_word = "hilfe"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
