"""Drosselau: German with umlauts, sections in square brackets, `label = value unit`, decimal commas. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.parting_consoles_a.marks import read_marks

_SHOWN = """\
--- hilfe
hilfe          zeigt diese Liste
info           zeigt Firmware, Platine und Modell
einstellungen  zeigt alle Einstellungen
zustand        zeigt Messwerte, Sensoren und Flugschreiber
regler         zeigt Regler und Filter
sichern        speichert die Einstellungen
neustart       startet die Platine neu
werkswerte     stellt die Werkseinstellungen wieder her
lader          wechselt in den Bootloader
motortest      lässt einen Motor laufen
abgleich       kalibriert den Beschleunigungssensor
loeschen       löscht den Flugschreiber
--- info
[Firmware] @@ head
Name = Drosselau @@ firmware.name='Drosselau'
Version = 2.9.1 @@ firmware.version='2.9.1'
Erstellt am = 2026-03-27 @@ firmware.built='2026-03-27'
Bootloader-Version = 1.2

[Platine] @@ head
Name = QUENDEL F722 @@ board.name='QUENDEL F722'
Seriennummer = QF7-33051 @@ board.serial='QF7-33051'
Revision = 3

[Modell] @@ head
Modellname = Stiller Falter @@ craft.name='Stiller Falter'
Gewicht = 467 g

[Zähler]
Gespeichert = 21
Neustarts = 154
--- einstellungen
[Empfänger] @@ head
Typ = seriell @@ receiver.kind='serial'
Protokoll = IBUS @@ receiver.protocol='ibus'
Anschluss = UART4 @@ receiver.port='UART4'
Invertiert = nein @@ receiver.inverted=False
Halbduplex = ja @@ receiver.half_duplex=True
Telemetrie = ja @@ receiver.telemetry=True
Telemetrieabstand = 150 ms

[Kanäle] @@ head
Reihenfolge = AETR @@ channels.order='AETR'
Minimum = 1006 µs @@ channels.low=1006
Mitte = 1498 µs @@ channels.centre=1498
Maximum = 1994 µs @@ channels.high=1994
Totzone = 5 µs

[Servo]
Mitte = 1515 µs
Frequenz = 50 Hz

[Schalter] @@ head
Arm = Kanal 5, 1700 bis 2080 µs @@ switch 0 ('arm', 5, 1700, 2080)
Level = Kanal 7, 930 bis 1310 µs @@ switch 1 ('level', 7, 930, 1310)
Pieper = Kanal 6, 1660 bis 2050 µs @@ switch 2 ('beeper', 6, 1660, 2050)

[Serielle Anschlüsse] @@ head
UART1 = Konsole, 115200 Baud @@ port 0 ('UART1', ('console',), 115200)
UART2 = GPS, 57600 Baud @@ port 1 ('UART2', ('positioning',), 57600)
UART3 = ESC-Telemetrie, 115200 Baud @@ port 2 ('UART3', ('esc-telemetry',), 115200)
UART4 = Empfänger, 115200 Baud @@ port 3 ('UART4', ('receiver',), 115200)
UART5 = frei @@ port 4 ('UART5', ('unused',))

[OSD] @@ head
Aktiv = ja @@ overlay.enabled=True
Videosystem = PAL @@ overlay.system='pal'
Spalten = 30 @@ overlay.columns=30
Zeilen = 16 @@ overlay.rows=16
Helligkeit = 4

[OSD-Elemente] @@ head
Akku = Spalte 2, Zeile 14, sichtbar @@ element 0 ('battery', 2, 14, True)
Timer = Spalte 22, Zeile 14, sichtbar @@ element 1 ('timer', 22, 14, True)
Warnungen = Spalte 9, Zeile 10, sichtbar @@ element 2 ('warnings', 9, 10, True)
Höhe = Spalte 24, Zeile 7, verborgen @@ element 3 ('altitude', 24, 7, False)

[Videosender] @@ head
Übertragung = analog @@ video.link='analog'
Band = B @@ video.band='B'
Kanal = 5 @@ video.channel=5
Frequenz = 5809 MHz @@ video.frequency_mhz=5809
Leistung = 25 mW @@ video.power_mw=25.0
Höchstleistung = 600 mW

[Akku] @@ head
Zellenzahl = 4 @@ battery.cells=4
Zelle leer = 3,30 V @@ battery.cell_low=3.3
Zelle Warnung = 3,55 V @@ battery.cell_warn=3.55
Zelle voll = 4,20 V @@ battery.cell_full=4.2
Spannungsteiler = 11,1 @@ battery.scale=11.1
Kapazität = 1400 mAh

[Motoren] @@ head
Protokoll = DShot600 @@ motors.protocol='dshot600'
Bidirektional = ja @@ motors.bidirectional=True
Polzahl = 14 @@ motors.poles=14
Leerlauf = 5,5 % @@ motors.idle_percent=5.5
Drehrichtung umgekehrt = nein @@ motors.reversed=False
Drehzahlkonstante = 1900 1/min/V
Regelfrequenz = 4 kHz @@ motors.loop_hz=4000
Gyro-Abtastrate = 8 kHz

[Failsafe] @@ head
Aktion = landen @@ failsafe.action='land'
Verzögerung = 0,8 s @@ failsafe.delay_s=0.8
Gas = 1260 µs @@ failsafe.throttle_us=1260
Landedauer = 20 s
--- zustand
[Messwerte] @@ head
Akkuspannung = 15,66 V @@ battery.volts=15.66
Akkustrom = 0,38 A
Versorgungsspannung = 5,04 V
Motorausgang = 0 %
Neigung = 1,6 Grad
Prozessorlast = 31 %
Prozessortemperatur = 43 °C
Laufzeit = 96 s

[Sensoren] @@ head
Gyroskop = gefunden @@ sensors.gyro='found'
Beschleunigungssensor = gefunden @@ sensors.accelerometer='found'
Barometer = fehlt @@ sensors.barometer='missing'
Kompass = fehlt

[Arming] @@ head
Gesperrt wegen = USB verbunden, Gas nicht unten @@ arming.blocks=('usb-connected', 'throttle-not-low')

[Flugschreiber] @@ head
Speicher = Flash @@ logger.device='flash'
Frei = 7340032 Byte @@ logger.free_bytes=7340032
Aufzeichnungsrate = 500 Hz
Flüge = 8
--- regler
[Roll]
P = 43
I = 75
D = 29

[Nick]
P = 46
I = 79
D = 32

[Gier]
P = 36
I = 73
D = 0

[Filter]
Gyro-Tiefpass = 230 Hz
D-Tiefpass = 102 Hz
"""

_PAGES, _STATED = read_marks(_SHOWN)

_HARMS = {
    "sichern": Harm("Einstellungen gespeichert", "info", "Gespeichert = 21", "Gespeichert = 22"),
    "neustart": Harm("Platine startet neu", "info", "Neustarts = 154", "Neustarts = 155"),
    "werkswerte": Harm("Werkseinstellungen geladen", "info", "Stiller Falter", "-"),
    "lader": Harm("Bootloader 1.2 wartet"),
    "motortest": Harm("Motor läuft", "zustand", "Motorausgang = 0 %", "Motorausgang = 6 %", sample="motortest 1"),
    "abgleich": Harm("Abgleich beendet", "zustand", "Neigung = 1,6 Grad", "Neigung = 0,0 Grad"),
    "loeschen": Harm("Flugschreiber gelöscht", "zustand", "Flüge = 8", "Flüge = 0"),
}


class Drosselau(StatingConsole):
    """German throughout, but for the words that the trade has borrowed; the refusal names the word for help."""

    name = "drosselau"
    kinds = ("German words, help and values", "sections in square brackets", "label = value unit", "decimal commas")
    banner = "Drosselau 2.9.1 bereit\n"
    prompt = "drosselau: "
    error = "Unbekannter Befehl: {line} (hilfe zeigt alle)"
    help_word = "hilfe"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
