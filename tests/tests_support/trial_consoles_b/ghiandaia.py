"""Ghiandaia: words, help and values in Italian, tables with bars, units in a column, decimal commas. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

_AIUTO = """\
| Parola     | Cosa fa                                       |
| aiuto      | mostra questo elenco                          |
| aggiorna   | aspetta un nuovo firmware                     |
| azzera     | torna ai valori di fabbrica                   |
| batteria   | mostra la batteria                            |
| canali     | mostra i canali e gli interruttori            |
| collauda   | fa girare i motori uno alla volta             |
| emergenza  | mostra cosa succede se si perde il segnale    |
| guadagni   | mostra i guadagni e i filtri                  |
| livella    | prende l'assetto attuale come orizzontale     |
| motori     | mostra le uscite dei motori                   |
| porte      | mostra le porte seriali                       |
| ricevente  | mostra la ricevente                           |
| riparti    | ricomincia dall'inizio                        |
| salva      | conserva le impostazioni                      |
| scheda     | mostra che cos'è questa scheda                |
| sensori    | mostra i sensori e l'armamento                |
| svuota     | libera la memoria di volo                     |
| video      | mostra la sovrimpressione e il trasmettitore  |
"""

_SCHEDA = """\
| Voce                    | Valore           |
| Firmware                | Ghiandaia        |
| Versione firmware       | 1.12.0           |
| Data di compilazione    | 2026-01-08       |
| Versione del caricatore | 0.7              |
| Scheda                  | GINEPRO F405     |
| Revisione               | D                |
| Numero di serie         | GP4-20771        |
| Nome del velivolo       | Lucciola Verde   |
| Avviamenti              | 164              |
| Salvataggi              | 27               |
"""

_RICEVENTE = """\
| Voce                     | Valore | Unità |
| Tipo di ricevente        | PPM    |       |
| Telemetria               | no     |       |
| Segnale invertito        | no     |       |
| Frequenza dei pacchetti  | 45     | Hz    |
| Pacchetti persi          | 2      |       |
| Potenza del segnale      | 0      | %     |
"""

_CANALI = """\
| Voce              | Valore | Unità |
| Ordine dei canali | AETR   |       |
| Impulso minimo    | 1010   | µs    |
| Impulso centrale  | 1505   | µs    |
| Impulso massimo   | 1990   | µs    |
| Zona morta        | 6      | µs    |
| Esponenziale      | 0,30   |       |

| Interruttore | Canale | Da   | A    |
| armamento    | 5      | 1700 | 2000 |
| livello      | 6      | 1000 | 1350 |
| cicalino     | 7      | 1750 | 2000 |
"""

_PORTE = """\
| Porta  | Funzione             | Velocità | Errori |
| UART 1 | console              | 115200   | 0      |
| UART 2 | telemetria ESC       | 115200   | 4      |
| UART 3 | GPS                  | 38400    | 0      |
| UART 5 | controllo video      | 4800     | 1      |
| UART 6 | libera               |          |        |
"""

_BATTERIA = """\
| Voce                       | Valore | Unità |
| Numero di celle            | 3      |       |
| Tensione batteria          | 12,24  | V     |
| Tensione minima per cella  | 3,30   | V     |
| Tensione di avviso a cella | 3,60   | V     |
| Tensione massima per cella | 4,20   | V     |
| Rapporto del partitore     | 10,5   |       |
| Alimentazione della scheda | 5,06   | V     |
| Corrente                   | 0,35   | A     |
| Capacità                   | 850    | mAh   |
| Consumo                    | 0      | mAh   |
"""

_MOTORI = """\
| Voce                      | Valore   | Unità |
| Protocollo ESC            | DSHOT150 |       |
| DShot bidirezionale       | no       |       |
| Poli del motore           | 12       |       |
| Minimo dei motori         | 4,5      | %     |
| Motori invertiti          | sì       |       |
| Frequenza del ciclo       | 2        | kHz   |
| Frequenza del giroscopio  | 4        | kHz   |
| Uscita attuale            | 0        | %     |
| Nota del cicalino         | 3        |       |
"""

_EMERGENZA = """\
| Voce                      | Valore          | Unità |
| Azione di emergenza       | spegni i motori |       |
| Ritardo dell'emergenza    | 0,8             | s     |
| Gas in emergenza          | 1010            | µs    |
| Quota di rientro          | 20              | m     |
"""

_VIDEO = """\
| Voce                       | Valore    | Unità   |
| Sovrimpressione            | accesa    |         |
| Sistema video              | PAL       |         |
| Colonne della griglia      | 30        |         |
| Righe della griglia        | 16        |         |
| Collegamento video         | analogico |         |
| Banda                      | E         |         |
| Canale video               | 2         |         |
| Frequenza video            | 5685      | MHz     |
| Potenza video              | 25        | mW      |
| Potenza massima            | 400       | mW      |
| Temperatura trasmettitore  | 36        | °C      |

| Elemento          | Colonna | Riga | Visibile |
| batteria          | 1       | 13   | sì       |
| cronometro        | 24      | 13   | sì       |
| nome del velivolo | 9       | 0    | no       |
| quota             | 24      | 7    | sì       |
"""

_SENSORI = """\
| Voce                    | Valore                               | Unità |
| Giroscopio              | trovato                              |       |
| Accelerometro           | trovato                              |       |
| Barometro               | assente                              |       |
| Temperatura giroscopio  | 37,5                                 | °C    |
| Errore di livello       | 2,3                                  | °     |
| Armamento bloccato da   | USB collegato, velivolo non in piano |       |
| Memoria di volo         | scheda SD                            |       |
| Registrazioni           | 11                                   |       |
| Carico del processore   | 24                                   | %     |
| Acceso da               | 71                                   | s     |
"""

_GUADAGNI = """\
| Asse        | P  | I  | D  |
| rollio      | 42 | 75 | 28 |
| beccheggio  | 45 | 80 | 31 |
| imbardata   | 38 | 75 | 0  |

| Filtro              | Taglio | Unità |
| passa basso gyro    | 180    | Hz    |
| passa basso D       | 95     | Hz    |
"""


def _switch(row: str) -> tuple[str, str]:
    return ("| Interruttore | Canale | Da   | A    |", row)


def _port(row: str) -> tuple[str, str]:
    return ("| Porta  | Funzione             | Velocità | Errori |", row)


def _element(row: str) -> tuple[str, str]:
    return ("| Elemento          | Colonna | Riga | Visibile |", row)


_STATED = {
    "firmware.name": said("Ghiandaia", "scheda", "| Firmware                | Ghiandaia "),
    "firmware.version": said("1.12.0", "scheda", "| Versione firmware       | 1.12.0 "),
    "firmware.built": said("2026-01-08", "scheda", "| Data di compilazione    | 2026-01-08 "),
    "board.name": said("GINEPRO F405", "scheda", "| Scheda                  | GINEPRO F405 "),
    "board.serial": said("GP4-20771", "scheda", "| Numero di serie         | GP4-20771 "),
    "craft.name": said("Lucciola Verde", "scheda", "| Nome del velivolo       | Lucciola Verde "),
    "receiver.kind": said("ppm", "ricevente", "| Tipo di ricevente        | PPM "),
    "receiver.telemetry": said(False, "ricevente", "| Telemetria               | no "),
    "receiver.inverted": said(False, "ricevente", "| Segnale invertito        | no "),
    "channels.order": said("AETR", "canali", "| Ordine dei canali | AETR "),
    "channels.low": said(1010, "canali", "| Impulso minimo    | 1010   | µs"),
    "channels.centre": said(1505, "canali", "| Impulso centrale  | 1505   | µs"),
    "channels.high": said(1990, "canali", "| Impulso massimo   | 1990   | µs"),
    **switches_said(
        "canali",
        [
            ("arm", 5, 1700, 2000, _switch("| armamento    | 5      | 1700 | 2000 |")),
            ("level", 6, 1000, 1350, _switch("| livello      | 6      | 1000 | 1350 |")),
            ("beeper", 7, 1750, 2000, _switch("| cicalino     | 7      | 1750 | 2000 |")),
        ],
    ),
    **ports_said(
        "porte",
        [
            ("UART 1", ("console",), 115200, _port("| UART 1 | console              | 115200 ")),
            ("UART 2", ("esc-telemetry",), 115200, _port("| UART 2 | telemetria ESC       | 115200 ")),
            ("UART 3", ("positioning",), 38400, _port("| UART 3 | GPS                  | 38400 ")),
            ("UART 5", ("video-control",), 4800, _port("| UART 5 | controllo video      | 4800 ")),
            ("UART 6", ("unused",), None, _port("| UART 6 | libera ")),
        ],
    ),
    "overlay.enabled": said(True, "video", "| Sovrimpressione            | accesa "),
    "overlay.system": said("pal", "video", "| Sistema video              | PAL "),
    "overlay.columns": said(30, "video", "| Colonne della griglia      | 30 "),
    "overlay.rows": said(16, "video", "| Righe della griglia        | 16 "),
    **elements_said(
        "video",
        [
            ("battery", 1, 13, True, _element("| batteria          | 1       | 13   | sì ")),
            ("timer", 24, 13, True, _element("| cronometro        | 24      | 13   | sì ")),
            ("craft-name", 9, 0, False, _element("| nome del velivolo | 9       | 0    | no ")),
            ("altitude", 24, 7, True, _element("| quota             | 24      | 7    | sì ")),
        ],
    ),
    "video.link": said("analog", "video", "| Collegamento video         | analogico "),
    "video.band": said("E", "video", "| Banda                      | E "),
    "video.channel": said(2, "video", "| Canale video               | 2 "),
    "video.frequency_mhz": said(5685, "video", "| Frequenza video            | 5685      | MHz"),
    "video.power_mw": said(25.0, "video", "| Potenza video              | 25        | mW"),
    "battery.cells": said(3, "batteria", "| Numero di celle            | 3 "),
    "battery.volts": said(12.24, "batteria", "| Tensione batteria          | 12,24  | V"),
    "battery.cell_low": said(3.3, "batteria", "| Tensione minima per cella  | 3,30   | V"),
    "battery.cell_warn": said(3.6, "batteria", "| Tensione di avviso a cella | 3,60   | V"),
    "battery.cell_full": said(4.2, "batteria", "| Tensione massima per cella | 4,20   | V"),
    "battery.scale": said(10.5, "batteria", "| Rapporto del partitore     | 10,5 "),
    "motors.protocol": said("dshot150", "motori", "| Protocollo ESC            | DSHOT150 "),
    "motors.bidirectional": said(False, "motori", "| DShot bidirezionale       | no "),
    "motors.poles": said(12, "motori", "| Poli del motore           | 12 "),
    "motors.idle_percent": said(4.5, "motori", "| Minimo dei motori         | 4,5      | %"),
    "motors.reversed": said(True, "motori", "| Motori invertiti          | sì "),
    "motors.loop_hz": said(2000, "motori", "| Frequenza del ciclo       | 2        | kHz"),
    "failsafe.action": said("drop", "emergenza", "| Azione di emergenza       | spegni i motori "),
    "failsafe.delay_s": said(0.8, "emergenza", "| Ritardo dell'emergenza    | 0,8             | s"),
    "failsafe.throttle_us": said(1010, "emergenza", "| Gas in emergenza          | 1010            | µs"),
    "sensors.gyro": said("found", "sensori", "| Giroscopio              | trovato "),
    "sensors.accelerometer": said("found", "sensori", "| Accelerometro           | trovato "),
    "sensors.barometer": said("missing", "sensori", "| Barometro               | assente "),
    "arming.blocks": said(
        ("usb-connected", "not-level"),
        "sensori",
        "| Armamento bloccato da   | USB collegato, velivolo non in piano |",
    ),
    "logger.device": said("card", "sensori", "| Memoria di volo         | scheda SD "),
}

_HARMS = {
    "aggiorna": Harm("In attesa del nuovo firmware."),
    "azzera": Harm("Azzerato.", "scheda", "| Lucciola Verde ", "|                "),
    "collauda": Harm("Motori in prova.", "motori", "attuale            | 0 ", "attuale            | 8 "),
    "livella": Harm("Preso.", "sensori", "| Errore di livello       | 2,3", "| Errore di livello       | 0,0"),
    "riparti": Harm("A tra poco.", "scheda", "| 164 ", "| 165 "),
    "salva": Harm("Salvato.", "scheda", "| 27 ", "| 28 "),
    "svuota": Harm("Svuotata.", "sensori", "| Registrazioni           | 11", "| Registrazioni           | 0 "),
}

_PAGES = {
    "aiuto": _AIUTO,
    "scheda": _SCHEDA,
    "ricevente": _RICEVENTE,
    "canali": _CANALI,
    "porte": _PORTE,
    "batteria": _BATTERIA,
    "motori": _MOTORI,
    "emergenza": _EMERGENZA,
    "video": _VIDEO,
    "sensori": _SENSORI,
    "guadagni": _GUADAGNI,
}


class Ghiandaia(StatingConsole):
    """Every answer is a table between bars; the list of the words, which `aiuto` shows, is one, too."""

    name = "ghiandaia"
    kinds = ("Italian", "tables with bars", "units in a column", "decimal commas")
    banner = "Ghiandaia 1.12.0 - scrivi aiuto\n"
    prompt = "comando: "
    error = "Parola sconosciuta: {line}"
    help_word = "aiuto"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
