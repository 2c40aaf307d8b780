"""Ackerwinde: German words with umlauts, a subject a word, name, colon, value and unit. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.verdict_consoles_a.marked import marked

_SHOWN = """\
--- help
help: zeigt diese Liste
version: zeigt Firmware, Platine und Modell
funk: zeigt Empfänger und Kanäle
schalter: zeigt die Schalter
ports: zeigt die seriellen Ports
osd: zeigt das OSD
video: zeigt den Videosender
akku: zeigt den Akku
motor: zeigt Motoren und Regelschleife
failsafe: zeigt das Failsafe
status: zeigt Sensoren, Startsperren und Log
pid: zeigt Verstärkungen und Filter
speichern: speichert die Einstellungen
neustart: startet die Platine neu
werkseinstellung: lädt die Werkseinstellungen
bootloader: wartet auf neue Firmware
motortest: lässt die Motoren laufen
kalibrieren: kalibriert den Beschleunigungssensor
logloeschen: löscht das Log
--- version
Firmware: Ackerwinde @@ firmware.name='Ackerwinde'
Firmwareversion: 2.11.0 @@ firmware.version='2.11.0'
Baudatum: 2026-02-25 @@ firmware.built='2026-02-25'
Bootloaderversion: 1.4
Platine: GUNDERMANN F7 @@ board.name='GUNDERMANN F7'
Platinenrevision: B
Seriennummer: GF7-61120 @@ board.serial='GF7-61120'
Modellname: Flinke Assel @@ craft.name='Flinke Assel'
Modellgewicht: 467 g
Anzahl Speicherungen: 31
Anzahl Starts: 254
--- funk
Empfängertyp: seriell @@ receiver.kind='serial'
Empfängerprotokoll: SBUS @@ receiver.protocol='sbus'
Empfängerport: UART4 @@ receiver.port='UART4'
Invertiert: ja @@ receiver.inverted=True
Halbduplex: nein @@ receiver.half_duplex=False
Telemetrie: aus @@ receiver.telemetry=False
Telemetrieintervall: 160 ms
Kanalreihenfolge: AETR @@ channels.order='AETR'
Kanalminimum: 1006 us @@ channels.low=1006
Kanalmitte: 1502 us @@ channels.centre=1502
Kanalmaximum: 1994 us @@ channels.high=1994
Totzone: 5 us
Servomitte: 1510 us
--- schalter
Scharfschalten: Kanal 6, 1700 bis 2060 us @@ switch 0 ('arm', 6, 1700, 2060)
Lage: Kanal 5, 930 bis 1270 us @@ switch 1 ('level', 5, 930, 1270)
Pieper: Kanal 8, 1660 bis 2030 us @@ switch 2 ('beeper', 8, 1660, 2030)
--- ports
UART1: Konsole, 115200 Baud @@ port 0 ('UART1', ('console',), 115200)
UART2: GPS, 38400 Baud @@ port 1 ('UART2', ('positioning',), 38400)
UART4: Empfänger, 100000 Baud @@ port 2 ('UART4', ('receiver',), 100000)
UART5: Telemetrie, 57600 Baud @@ port 3 ('UART5', ('telemetry',), 57600)
UART6: frei @@ port 4 ('UART6', ('unused',))
Rahmenfehler: 2
I2C-Takt: 400 kHz
--- osd
OSD aktiv: ja @@ overlay.enabled=True
Videosystem: PAL @@ overlay.system='pal'
Spalten: 30 @@ overlay.columns=30
Zeilen: 16 @@ overlay.rows=16
Helligkeit: 3
Bildrate: 25 Hz
Element Akku: Spalte 2, Zeile 14, sichtbar @@ element 0 ('battery', 2, 14, True)
Element Timer: Spalte 23, Zeile 13, sichtbar @@ element 1 ('timer', 23, 13, True)
Element Höhe: Spalte 24, Zeile 7, verborgen @@ element 2 ('altitude', 24, 7, False)
--- video
Videoverbindung: analog @@ video.link='analog'
Band: B @@ video.band='B'
Kanal: 4 @@ video.channel=4
Frequenz: 5790 MHz @@ video.frequency_mhz=5790
Sendeleistung: 25 mW @@ video.power_mw=25.0
Maximale Sendeleistung: 600 mW
Sendertemperatur: 37 C
Kameraneigung: 30 Grad
--- akku
Zellen: 4 @@ battery.cells=4
Akkuspannung: 15.96 V @@ battery.volts=15.96
Spannungsteiler: 11.1 @@ battery.scale=11.1
Minimale Zellspannung: 3.3 V @@ battery.cell_low=3.3
Zellspannung Warnung: 3.5 V @@ battery.cell_warn=3.5
Zellspannung voll: 4.2 V @@ battery.cell_full=4.2
Akkukapazität: 1350 mAh
Strom: 0.42 A
Verbraucht: 0 mAh
Versorgungsspannung: 5.05 V
--- motor
Motorprotokoll: DShot600 @@ motors.protocol='dshot600'
Bidirektional: ja @@ motors.bidirectional=True
Motorpole: 14 @@ motors.poles=14
Leerlauf: 5.4 % @@ motors.idle_percent=5.4
Drehrichtung umgekehrt: nein @@ motors.reversed=False
Motor-KV: 2100 rpm/V
Ausgabe jetzt: 0 %
Regelrate: 4000 Hz @@ motors.loop_hz=4000
Gyrorate: 8000 Hz
--- failsafe
Failsafe-Aktion: landen @@ failsafe.action='land'
Failsafe-Verzögerung: 1.1 s @@ failsafe.delay_s=1.1
Failsafe-Gas: 1230 us @@ failsafe.throttle_us=1230
Landezeit: 18 s
--- status
Gyroskop: gefunden @@ sensors.gyro='found'
Beschleunigungssensor: gefunden @@ sensors.accelerometer='found'
Barometer: fehlt @@ sensors.barometer='missing'
Kompass: fehlt
Gyrotemperatur: 36 C
Lageabweichung: 1.2 Grad
Startsperren: kein Empfängersignal, USB verbunden @@ arming.blocks=('no-receiver-link', 'usb-connected')
Logspeicher: SD-Karte @@ logger.device='card'
Log frei: 3965190144 Bytes @@ logger.free_bytes=3965190144
Lograte: 500 Hz
Anzahl Flüge: 17
Prozessorlast: 27 %
--- pid
Rollen: P 40, I 73, D 27
Nicken: P 42, I 77, D 29
Gieren: P 35, I 72, D 0
Gyro-Tiefpass: 210 Hz
D-Tiefpass: 92 Hz
"""

_PAGES, _STATED = marked(_SHOWN)

_HARMS = {
    "speichern": Harm("Gespeichert", "version", "Speicherungen: 31", "Speicherungen: 32"),
    "neustart": Harm("Neustart", "version", "Starts: 254", "Starts: 255"),
    "werkseinstellung": Harm("Geladen", "version", "Flinke Assel", "-"),
    "bootloader": Harm("Bootloader 1.4"),
    "motortest": Harm("Motoren laufen", "motor", "jetzt: 0 %", "jetzt: 7 %"),
    "kalibrieren": Harm("Kalibriert", "status", "Lageabweichung: 1.2", "Lageabweichung: 0.0"),
    "logloeschen": Harm("Gelöscht", "status", "Flüge: 17", "Flüge: 0"),
}


class Ackerwinde(StatingConsole):
    """German throughout, but for help and the words that German has borrowed; decimal points."""

    name = "ackerwinde"
    kinds = ("German words with umlauts", "a word a subject", "name: value unit")
    banner = "Ackerwinde 2.11.0, help zeigt die Befehle\n"
    prompt = "aw> "
    error = "Unbekannter Befehl: {line} (help zeigt alle)"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
