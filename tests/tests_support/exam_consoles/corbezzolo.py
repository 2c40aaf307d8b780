"""Corbezzolo: words, help and values in Italian, the unit in brackets at the name, loses fast characters. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_AIUTO = """\
Comandi:
abbina    - cerca un nuovo trasmettitore
aiuto     - mostra questo elenco
azzera    - torna ai valori di fabbrica
batteria  - mostra la batteria e i suoi limiti
carica    - attende un nuovo programma
carico    - mostra processore e memoria
guadagni  - mostra guadagni e filtri
identita  - mostra che cosa c'è a bordo
livella   - impara dove sta il piano
motori    - mostra le uscite dei motori
perdita   - mostra che cosa accade senza segnale
porte     - mostra le porte seriali
prova     - un giretto per sentire se tutto gira
pulisci   - fa spazio nel registratore
radio     - mostra ricevitore e canali
riavvia   - ricomincia da capo
salva     - conserva i valori
stato     - mostra sensori e blocchi
video     - mostra sovrimpressione e trasmettitore video
"""

_IDENTITA = """\
firmware = Corbezzolo
versione = 3.8.2
data di compilazione = 12-03-2026
scheda = LUCCIOLA H7
revisione della scheda = B
numero di serie = LU-40917
nome del velivolo = Mela Cotogna
versione del caricatore = 1.1
accensioni = 512
salvataggi = 34
"""

_RADIO = """\
tipo di ricevitore = seriale
protocollo = CRSF
porta = P3
invertito = no
telemetria = sì
ordine dei canali = AETR
canali, minimo [us] = 988
canali, centro [us] = 1500
canali, massimo [us] = 2012
zona morta [us] = 4
esponenziale [%] = 18
rotazione massima [gradi/s] = 650
pacchetti [Hz] = 150
codice di abbinamento = 7731
"""

_PORTE = """\
P1 = console, 115200 baud
P2 = GPS, 57600 baud
P3 = ricevitore, 420000 baud
P4 = telemetria ESC, 115200 baud
P5 = libera
"""

_VIDEO = """\
sovrimpressione OSD = attiva
standard video = PAL
colonne = 30
righe = 16
luminosità = 4
lampeggio [ms] = 400
collegamento video = analogico
banda = R
canale video = 7
frequenza [MHz] = 5880
potenza [mW] = 200
temperatura del trasmettitore [C] = 46
"""

_BATTERIA = """\
celle = 4
tensione del pacco [V] = 16.31
cella minima [mV] = 3300
cella, avviso [mV] = 3500
cella carica [mV] = 4200
corrente [A] = 0.5
capacità [mAh] = 1500
tensione della scheda [V] = 5.04
"""

_MOTORI = """\
protocollo dei motori = DShot300
bidirezionale = sì
poli = 14
regime minimo [%] = 5.5
motori invertiti = no
frequenza del ciclo [Hz] = 4000
giri per volt = 1800
uscite adesso [%] = 0 0 0 0
volume del segnale acustico [%] = 60
"""

_PERDITA = """\
azione senza segnale = atterraggio
ritardo [s] = 0.8
gas [us] = 1200
quota di rientro [m] = 40
velocità di discesa [m/s] = 1.2
raggio massimo [m] = 250
"""

_STATO = """\
giroscopio = trovato
accelerometro = trovato
barometro = assente
bussola = assente
temperatura del giroscopio [C] = 38
blocchi all'armo = nessun segnale dal ricevitore, USB collegata
inclinazione all'origine [gradi] = 0.9
registratore, spazio libero [byte] = 4194304
registratore, voli = 6
"""

_GUADAGNI = """\
rollio = 43 79 30
beccheggio = 46 83 33
imbardata = 39 79 0
filtro del giroscopio [Hz] = 195
filtro derivativo [Hz] = 92
filtro a tacca [Hz] = 270
"""

_CARICO = """\
processore [%] = 26
memoria libera [KiB] = 37
acceso da [s] = 388
led in catena = 12
"""

_STATED = {
    "firmware.name": said("Corbezzolo", "identita", "firmware = Corbezzolo"),
    "firmware.version": said("3.8.2", "identita", "versione = 3.8.2"),
    "firmware.built": said("12-03-2026", "identita", "data di compilazione = 12-03-2026"),
    "board.name": said("LUCCIOLA H7", "identita", "scheda = LUCCIOLA H7"),
    "board.serial": said("LU-40917", "identita", "numero di serie = LU-40917"),
    "craft.name": said("Mela Cotogna", "identita", "nome del velivolo = Mela Cotogna"),
    "receiver.kind": said("serial", "radio", "tipo di ricevitore = seriale"),
    "receiver.protocol": said("crsf", "radio", "protocollo = CRSF"),
    "receiver.port": said("P3", "radio", "porta = P3"),
    "receiver.inverted": said(False, "radio", "invertito = no"),
    "receiver.telemetry": said(True, "radio", "telemetria = sì"),
    "channels.order": said("AETR", "radio", "ordine dei canali = AETR"),
    "channels.low": said(988, "radio", "canali, minimo [us] = 988"),
    "channels.centre": said(1500, "radio", "canali, centro [us] = 1500"),
    "channels.high": said(2012, "radio", "canali, massimo [us] = 2012"),
    "ports[0].id": said("P1", "porte", "P1 = console, 115200 baud"),
    "ports[0].roles": said(("console",), "porte", "P1 = console, 115200 baud"),
    "ports[0].baud": said(115200, "porte", "P1 = console, 115200 baud"),
    "ports[1].id": said("P2", "porte", "P2 = GPS, 57600 baud"),
    "ports[1].roles": said(("positioning",), "porte", "P2 = GPS, 57600 baud"),
    "ports[1].baud": said(57600, "porte", "P2 = GPS, 57600 baud"),
    "ports[2].id": said("P3", "porte", "P3 = ricevitore, 420000 baud"),
    "ports[2].roles": said(("receiver",), "porte", "P3 = ricevitore, 420000 baud"),
    "ports[2].baud": said(420000, "porte", "P3 = ricevitore, 420000 baud"),
    "ports[3].id": said("P4", "porte", "P4 = telemetria ESC, 115200 baud"),
    "ports[3].roles": said(("esc-telemetry",), "porte", "P4 = telemetria ESC, 115200 baud"),
    "ports[3].baud": said(115200, "porte", "P4 = telemetria ESC, 115200 baud"),
    "ports[4].id": said("P5", "porte", "P5 = libera"),
    "ports[4].roles": said(("unused",), "porte", "P5 = libera"),
    "overlay.enabled": said(True, "video", "sovrimpressione OSD = attiva"),
    "overlay.system": said("pal", "video", "standard video = PAL"),
    "overlay.columns": said(30, "video", "colonne = 30"),
    "overlay.rows": said(16, "video", "righe = 16"),
    "video.link": said("analog", "video", "collegamento video = analogico"),
    "video.band": said("R", "video", "banda = R"),
    "video.channel": said(7, "video", "canale video = 7"),
    "video.frequency_mhz": said(5880, "video", "frequenza [MHz] = 5880"),
    "video.power_mw": said(200.0, "video", "potenza [mW] = 200"),
    "battery.cells": said(4, "batteria", "celle = 4"),
    "battery.volts": said(16.31, "batteria", "tensione del pacco [V] = 16.31"),
    "battery.cell_low": said(3.3, "batteria", "cella minima [mV] = 3300"),
    "battery.cell_warn": said(3.5, "batteria", "cella, avviso [mV] = 3500"),
    "battery.cell_full": said(4.2, "batteria", "cella carica [mV] = 4200"),
    "motors.protocol": said("dshot300", "motori", "protocollo dei motori = DShot300"),
    "motors.bidirectional": said(True, "motori", "bidirezionale = sì"),
    "motors.poles": said(14, "motori", "poli = 14"),
    "motors.idle_percent": said(5.5, "motori", "regime minimo [%] = 5.5"),
    "motors.reversed": said(False, "motori", "motori invertiti = no"),
    "motors.loop_hz": said(4000, "motori", "frequenza del ciclo [Hz] = 4000"),
    "failsafe.action": said("land", "perdita", "azione senza segnale = atterraggio"),
    "failsafe.delay_s": said(0.8, "perdita", "ritardo [s] = 0.8"),
    "failsafe.throttle_us": said(1200, "perdita", "gas [us] = 1200"),
    "sensors.gyro": said("found", "stato", "giroscopio = trovato"),
    "sensors.accelerometer": said("found", "stato", "accelerometro = trovato"),
    "sensors.barometer": said("missing", "stato", "barometro = assente"),
    "arming.blocks": said(
        ("no-receiver-link", "usb-connected"),
        "stato",
        "blocchi all'armo = nessun segnale dal ricevitore, USB collegata",
    ),
    "logger.free_bytes": said(4194304, "stato", "registratore, spazio libero [byte] = 4194304"),
}

_HARMS = {
    "abbina": Harm("in ascolto", "radio", "codice di abbinamento = 7731", "codice di abbinamento = nessuno"),
    "azzera": Harm("azzerato", "identita", "nome del velivolo = Mela Cotogna", "nome del velivolo = "),
    "carica": Harm("inviare il programma"),
    "livella": Harm("fatto", "stato", "inclinazione all'origine [gradi] = 0.9", "inclinazione all'origine [gradi] = 0"),
    "prova": Harm("in prova", "motori", "uscite adesso [%] = 0 0 0 0", "uscite adesso [%] = 8 8 8 8"),
    "pulisci": Harm("pulito", "stato", "registratore, voli = 6", "registratore, voli = 0"),
    "riavvia": Harm("a presto", "identita", "accensioni = 512", "accensioni = 513"),
    "salva": Harm("conservato", "identita", "salvataggi = 34", "salvataggi = 35"),
}

_PAGES = {
    "aiuto": _AIUTO,
    "?": _AIUTO,
    "identita": _IDENTITA,
    "radio": _RADIO,
    "porte": _PORTE,
    "video": _VIDEO,
    "batteria": _BATTERIA,
    "motori": _MOTORI,
    "perdita": _PERDITA,
    "stato": _STATO,
    "guadagni": _GUADAGNI,
    "carico": _CARICO,
}


class Corbezzolo(StatingConsole):
    """Italian words and values; units stand in brackets at the name; what comes within 4 ms is lost."""

    name = "corbezzolo"
    kinds = ("Italian words", "units in brackets at the name", "loses characters that are typed fast")
    banner = "Corbezzolo 3.8.2 pronto\n"
    slowest_s = 0.004
    prompt = "corb: "
    error = "comando sconosciuto: {line} (vedi aiuto)"
    help_word = "aiuto"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
