"""Strandskata: a Swedish menu by number in one level, labels behind their group, decimal commas. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

# Each page below the number that prints it.
_SHOWN = """\
--- ?
STRANDSKATA - MENY
   1  visa programvara, kort och farkost
   2  visa mottagare och kanaler
   3  visa omkopplare
   4  visa serieportar
   5  visa OSD och videosändare
   6  visa batteri
   7  visa motorer och reglerloop
   8  visa failsafe
   9  visa sensorer, armering och logg
  10  visa förstärkningar och filter
  61  spara inställningarna
  62  starta om kortet
  63  återställ fabriksinställningarna
  64  uppdatera programvaran
  65  provkör motorerna
  66  kalibrera nivån
  67  radera loggen
   ?  visa menyn
--- 1
Programvara, namn: Strandskata
Programvara, version: 4.6.2
Programvara, byggdatum: 2026-01-15
Startladdare, version: 1.2
Kort, modell: KAVELDUN H7
Kort, serienummer: KD-55807
Kort, revision: 4
Farkost, namn: Glada Laxen
Farkost, vikt: 431 g
Antal sparningar: 38
Antal starter: 277
--- 2
Mottagare, typ: seriell
Mottagare, protokoll: CRSF
Mottagare, port: UART4
Mottagare, inverterad: nej
Mottagare, halv duplex: nej
Mottagare, telemetri: på
Telemetri, intervall: 140 ms
Kanaler, ordning: TAER
Kanaler, lägsta: 990 µs
Kanaler, mitten: 1502 µs
Kanaler, högsta: 2014 µs
Kanaler, dödband: 5 µs
Servo, mittläge: 1525 µs
Spakfilter: 35 Hz
--- 3
Omkopplare armera: kanal 5, från 1710 till 2070 µs
Omkopplare nivå: kanal 7, från 930 till 1290 µs
Omkopplare summer: kanal 9, från 1690 till 2050 µs
--- 4
Port USB: konsol
Port UART1: GPS, 57600 baud
Port UART2: OSD, 115200 baud
Port UART4: mottagare, 420000 baud
Port UART5: oanvänd
Bussen I2C: 400 kHz
Förlorade tecken: 12
--- 5
OSD, aktiverad: ja
OSD, videosystem: digital
OSD, kolumner: 53
OSD, rader: 20
OSD, uppdatering: 30 Hz
OSD-element batteri: kolumn 4, rad 18, synlig
OSD-element timer: kolumn 45, rad 18, synlig
OSD-element länkkvalitet: kolumn 4, rad 1, synlig
OSD-element horisont: kolumn 25, rad 9, dold
Videosändare, länk: digital
Videosändare, frekvens: 5769 MHz
Videosändare, effekt: 400 mW
Videosändare, högsta effekt: 700 mW
Videosändare, temperatur: 51 °C
--- 6
Batteri, antal celler: 6
Batteri, spänning: 23,74 V
Batteri, spänningsdelare: 11,2
Batteri, ström: 0,52 A
Batteri, kapacitet: 1300 mAh
Cell, lägsta spänning: 3,3 V
Cell, varningsspänning: 3,55 V
Cell, full spänning: 4,2 V
Regulator, spänning: 5,03 V
--- 7
Motorer, protokoll: DShot600
Motorer, dubbelriktad: ja
Motorer, poler: 14
Motorer, tomgång: 4,5 %
Motorer, omvänd riktning: ja
Motorer, kv: 1850 varv/min/V
Motorer, utsignal nu: 0 %
Reglerloop, frekvens: 4 kHz
Gyro, frekvens: 8 kHz
Processor, belastning: 36 %
--- 8
Failsafe, åtgärd: landa
Failsafe, fördröjning: 1,2 s
Failsafe, gas: 1240 µs
Lågt batteri, fördröjning: 8 s
Landning, sjunkhastighet: 1,1 m/s
--- 9
Gyro: hittad
Accelerometer: hittad
Barometer: hittad
Kompass: saknas
Gyro, temperatur: 39 °C
Nivå, avvikelse: 0,7 grader
Armering spärrad av: ingen mottagarsignal, USB ansluten
Armering, antal: 0
Logg, enhet: minneskort
Logg, ledigt: 7948206080 byte
Logg, takt: 1000 Hz
Logg, flygningar: 14
--- 10
Roll: P 43, I 78, D 27
Tipp: P 45, I 81, D 30
Gir: P 38, I 78, D 0
Gyro, lågpass: 210 Hz
D-del, lågpass: 96 Hz
Lysdioder: 8, färg gul
"""

_STATED = {
    "firmware.name": said("Strandskata", "1", "Programvara, namn: Strandskata"),
    "firmware.version": said("4.6.2", "1", "Programvara, version: 4.6.2"),
    "firmware.built": said("2026-01-15", "1", "Programvara, byggdatum: 2026-01-15"),
    "board.name": said("KAVELDUN H7", "1", "Kort, modell: KAVELDUN H7"),
    "board.serial": said("KD-55807", "1", "Kort, serienummer: KD-55807"),
    "craft.name": said("Glada Laxen", "1", "Farkost, namn: Glada Laxen"),
    "receiver.kind": said("serial", "2", "Mottagare, typ: seriell"),
    "receiver.protocol": said("crsf", "2", "Mottagare, protokoll: CRSF"),
    "receiver.port": said("UART4", "2", "Mottagare, port: UART4"),
    "receiver.inverted": said(False, "2", "Mottagare, inverterad: nej"),
    "receiver.half_duplex": said(False, "2", "Mottagare, halv duplex: nej"),
    "receiver.telemetry": said(True, "2", "Mottagare, telemetri: på"),
    "channels.order": said("TAER", "2", "Kanaler, ordning: TAER"),
    "channels.low": said(990, "2", "Kanaler, lägsta: 990 µs"),
    "channels.centre": said(1502, "2", "Kanaler, mitten: 1502 µs"),
    "channels.high": said(2014, "2", "Kanaler, högsta: 2014 µs"),
    **switches_said(
        "3",
        [
            ("arm", 5, 1710, 2070, ("Omkopplare armera: kanal 5, från 1710 till 2070 µs",)),
            ("level", 7, 930, 1290, ("Omkopplare nivå: kanal 7, från 930 till 1290 µs",)),
            ("beeper", 9, 1690, 2050, ("Omkopplare summer: kanal 9, från 1690 till 2050 µs",)),
        ],
    ),
    **ports_said(
        "4",
        [
            ("USB", ("console",), None, ("Port USB: konsol",)),
            ("UART1", ("positioning",), 57600, ("Port UART1: GPS, 57600 baud",)),
            ("UART2", ("overlay-link",), 115200, ("Port UART2: OSD, 115200 baud",)),
            ("UART4", ("receiver",), 420000, ("Port UART4: mottagare, 420000 baud",)),
            ("UART5", ("unused",), None, ("Port UART5: oanvänd",)),
        ],
    ),
    "overlay.enabled": said(True, "5", "OSD, aktiverad: ja"),
    "overlay.system": said("digital", "5", "OSD, videosystem: digital"),
    "overlay.columns": said(53, "5", "OSD, kolumner: 53"),
    "overlay.rows": said(20, "5", "OSD, rader: 20"),
    **elements_said(
        "5",
        [
            ("battery", 4, 18, True, ("OSD-element batteri: kolumn 4, rad 18, synlig",)),
            ("timer", 45, 18, True, ("OSD-element timer: kolumn 45, rad 18, synlig",)),
            ("link-quality", 4, 1, True, ("OSD-element länkkvalitet: kolumn 4, rad 1, synlig",)),
            ("horizon", 25, 9, False, ("OSD-element horisont: kolumn 25, rad 9, dold",)),
        ],
    ),
    "video.link": said("digital", "5", "Videosändare, länk: digital"),
    "video.frequency_mhz": said(5769, "5", "Videosändare, frekvens: 5769 MHz"),
    "video.power_mw": said(400.0, "5", "Videosändare, effekt: 400 mW"),
    "battery.cells": said(6, "6", "Batteri, antal celler: 6"),
    "battery.volts": said(23.74, "6", "Batteri, spänning: 23,74 V"),
    "battery.scale": said(11.2, "6", "Batteri, spänningsdelare: 11,2"),
    "battery.cell_low": said(3.3, "6", "Cell, lägsta spänning: 3,3 V"),
    "battery.cell_warn": said(3.55, "6", "Cell, varningsspänning: 3,55 V"),
    "battery.cell_full": said(4.2, "6", "Cell, full spänning: 4,2 V"),
    "motors.protocol": said("dshot600", "7", "Motorer, protokoll: DShot600"),
    "motors.bidirectional": said(True, "7", "Motorer, dubbelriktad: ja"),
    "motors.poles": said(14, "7", "Motorer, poler: 14"),
    "motors.idle_percent": said(4.5, "7", "Motorer, tomgång: 4,5 %"),
    "motors.reversed": said(True, "7", "Motorer, omvänd riktning: ja"),
    "motors.loop_hz": said(4000, "7", "Reglerloop, frekvens: 4 kHz"),
    "failsafe.action": said("land", "8", "Failsafe, åtgärd: landa"),
    "failsafe.delay_s": said(1.2, "8", "Failsafe, fördröjning: 1,2 s"),
    "failsafe.throttle_us": said(1240, "8", "Failsafe, gas: 1240 µs"),
    "sensors.gyro": said("found", "9", "Gyro: hittad"),
    "sensors.accelerometer": said("found", "9", "Accelerometer: hittad"),
    "sensors.barometer": said("found", "9", "Barometer: hittad"),
    "arming.blocks": said(
        ("no-receiver-link", "usb-connected"), "9", "Armering spärrad av: ingen mottagarsignal, USB ansluten"
    ),
    "logger.device": said("card", "9", "Logg, enhet: minneskort"),
    "logger.free_bytes": said(7948206080, "9", "Logg, ledigt: 7948206080 byte"),
}

_HARMS = {
    "61": Harm("Sparat.", "1", "Antal sparningar: 38", "Antal sparningar: 39"),
    "62": Harm("Startar om.", "1", "Antal starter: 277", "Antal starter: 278"),
    "63": Harm("Återställt.", "1", "Glada Laxen", "-"),
    "64": Harm("Skicka programvaran."),
    "65": Harm("Motorerna går.", "7", "utsignal nu: 0 %", "utsignal nu: 7 %"),
    "66": Harm("Kalibrerat.", "9", "avvikelse: 0,7", "avvikelse: 0,0"),
    "67": Harm("Raderat.", "9", "flygningar: 14", "flygningar: 0"),
}

_PAGES = {word: page for word, _, page in (text.partition("\n") for text in _SHOWN.split("--- ")[1:])}


class Strandskata(StatingConsole):
    """Every number is taken at any time; a page is printed and the choice is asked for again."""

    name = "strandskata"
    kinds = ("Swedish words", "menu by number in one level", "group and label between commas", "decimal commas")
    banner = "Strandskata 4.6.2\n"
    prompt = "Val: "
    error = "{line} finns inte i menyn (? visar menyn)"
    help_word = "?"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
