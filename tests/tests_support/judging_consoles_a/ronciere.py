"""Roncière: French words, aligned pages of a label, a value and a unit, tables with a header for rows. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

# Each page below the word that prints it.
_SHOWN = """\
--- aide
aide         affiche cette liste
version      affiche le micrologiciel, la carte et l'appareil
recepteur    affiche le récepteur et les voies
inters       affiche les interrupteurs
liaisons     affiche les ports série
affichage    affiche l'OSD
emetteur     affiche l'émetteur vidéo
accu         affiche la batterie
moteurs      affiche les moteurs et la boucle
failsafe     affiche le failsafe
capteurs     affiche les capteurs et l'armement
journal      affiche le journal de vol
gains        affiche les gains et les filtres
processeur   affiche la charge du processeur
enregistrer  enregistre les réglages en mémoire
redemarrer   redémarre la carte
usine        remet les réglages d'usine
maj          attend un nouveau micrologiciel
essai        fait tourner les moteurs
calibrer     calibre l'accéléromètre
effacer      efface le journal de vol
--- version
MICROLOGICIEL, CARTE ET APPAREIL
Nom du micrologiciel        Roncière
Version du micrologiciel    5.6.2
Date de compilation         2026-04-19
Version du chargeur         1.8
Nom de la carte             GENTIANE F722
Numéro de série             GT7-30418
Révision de la carte        D
Nom de l'appareil           Lente Mésange
Poids de l'appareil         533       g
Nombre d'enregistrements    52
Nombre de démarrages        276
--- recepteur
RÉCEPTEUR ET VOIES
Type de récepteur           PPM
Signal inversé              non
Télémétrie                  non
Ordre des voies             TAER
Impulsion minimale          1012      µs
Impulsion centrale          1503      µs
Impulsion maximale          1994      µs
Zone morte                  4         µs
Durée de trame              22,5      ms
Centre du servo             1530      µs
Lissage                     25        Hz
--- inters
INTERRUPTEURS
Fonction     Voie   De (µs)   À (µs)
armement     5      1680      2095
niveau       6      935       1315
buzzer       8      1735      2055
--- liaisons
PORTS SÉRIE
Port     Usage         Débit (bauds)   Erreurs
UART1    console       115200          0
UART2    GPS           57600           2
UART4    télémétrie    19200           0
UART5    OSD           230400          0
UART6    libre         -               -
--- affichage
OSD
OSD activé                  oui
Norme vidéo                 PAL
Nombre de colonnes          30
Nombre de lignes            16
Luminosité                  4
Cadence                     25        Hz

Élément           Colonne   Ligne   Visible
batterie          3         14      oui
chronomètre       21        14      oui
altitude          23        8       non
qualité du lien   3         2       oui
--- emetteur
ÉMETTEUR VIDÉO
Liaison vidéo               analogique
Bande                       B
Canal                       6
Fréquence                   5828      MHz
Puissance                   25        mW
Puissance maximale          500       mW
Température                 44        °C
--- accu
BATTERIE
Nombre de cellules          4
Tension de la batterie      15,24     V
Diviseur de tension         11,4
Tension minimale cellule    3,30      V
Tension d'alerte cellule    3,48      V
Tension maximale cellule    4,19      V
Capacité                    1500      mAh
Consommation                12        mAh
Courant                     0,52      A
Tension du rail 5 V         5,06      V
--- moteurs
MOTEURS ET BOUCLE
Protocole des moteurs       DSHOT600
DShot bidirectionnel        oui
Nombre de pôles             14
Ralenti                     5,2       %
Moteurs inversés            oui
Constante KV                1950      tr/min/V
Sortie actuelle             0         %
Fréquence de la boucle      4000      Hz
Fréquence du gyroscope      8000      Hz
--- failsafe
FAILSAFE
Action                      coupure des moteurs
Délai                       0,7       s
Gaz                         1008      µs
Durée de reprise            1,5       s
--- capteurs
CAPTEURS ET ARMEMENT
Gyroscope                   présent
Accéléromètre               présent
Baromètre                   présent
Boussole                    absent
Température du gyroscope    37        °C
Inclinaison                 1,1       °
Armement bloqué par         USB branché, gaz pas au minimum
Essais d'armement           0
--- journal
JOURNAL DE VOL
Support du journal          carte SD
Espace libre                4026531840 octets
Fréquence du journal        500       Hz
Nombre de vols              18
--- gains
GAINS ET FILTRES
Roulis P                    41
Roulis I                    74
Tangage P                   43
Tangage I                   79
Lacet P                     35
Lacet I                     70
Passe-bas du gyroscope      210       Hz
Passe-bas du terme D        95        Hz
--- processeur
PROCESSEUR
Charge                      26        %
Température                 45        °C
Temps de marche             388       s
"""

_STATED = {
    "firmware.name": said("Roncière", "version", "Nom du micrologiciel        Roncière"),
    "firmware.version": said("5.6.2", "version", "Version du micrologiciel    5.6.2"),
    "firmware.built": said("2026-04-19", "version", "Date de compilation         2026-04-19"),
    "board.name": said("GENTIANE F722", "version", "Nom de la carte             GENTIANE F722"),
    "board.serial": said("GT7-30418", "version", "Numéro de série             GT7-30418"),
    "craft.name": said("Lente Mésange", "version", "Nom de l'appareil           Lente Mésange"),
    "receiver.kind": said("ppm", "recepteur", "Type de récepteur           PPM"),
    "receiver.inverted": said(False, "recepteur", "Signal inversé              non"),
    "receiver.telemetry": said(False, "recepteur", "Télémétrie                  non"),
    "channels.order": said("TAER", "recepteur", "Ordre des voies             TAER"),
    "channels.low": said(1012, "recepteur", "Impulsion minimale          1012      µs"),
    "channels.centre": said(1503, "recepteur", "Impulsion centrale          1503      µs"),
    "channels.high": said(1994, "recepteur", "Impulsion maximale          1994      µs"),
    **switches_said(
        "inters",
        [
            ("arm", 5, 1680, 2095, ("armement     5      1680      2095",)),
            ("level", 6, 935, 1315, ("niveau       6      935       1315",)),
            ("beeper", 8, 1735, 2055, ("buzzer       8      1735      2055",)),
        ],
    ),
    **ports_said(
        "liaisons",
        [
            ("UART1", ("console",), 115200, ("UART1    console       115200          0",)),
            ("UART2", ("positioning",), 57600, ("UART2    GPS           57600           2",)),
            ("UART4", ("telemetry",), 19200, ("UART4    télémétrie    19200           0",)),
            ("UART5", ("overlay-link",), 230400, ("UART5    OSD           230400          0",)),
            ("UART6", ("unused",), None, ("UART6    libre         -               -",)),
        ],
    ),
    "overlay.enabled": said(True, "affichage", "OSD activé                  oui"),
    "overlay.system": said("pal", "affichage", "Norme vidéo                 PAL"),
    "overlay.columns": said(30, "affichage", "Nombre de colonnes          30"),
    "overlay.rows": said(16, "affichage", "Nombre de lignes            16"),
    **elements_said(
        "affichage",
        [
            ("battery", 3, 14, True, ("batterie          3         14      oui",)),
            ("timer", 21, 14, True, ("chronomètre       21        14      oui",)),
            ("altitude", 23, 8, False, ("altitude          23        8       non",)),
            ("link-quality", 3, 2, True, ("qualité du lien   3         2       oui",)),
        ],
    ),
    "video.link": said("analog", "emetteur", "Liaison vidéo               analogique"),
    "video.band": said("B", "emetteur", "Bande                       B"),
    "video.channel": said(6, "emetteur", "Canal                       6"),
    "video.frequency_mhz": said(5828, "emetteur", "Fréquence                   5828      MHz"),
    "video.power_mw": said(25.0, "emetteur", "Puissance                   25        mW"),
    "battery.cells": said(4, "accu", "Nombre de cellules          4"),
    "battery.volts": said(15.24, "accu", "Tension de la batterie      15,24     V"),
    "battery.scale": said(11.4, "accu", "Diviseur de tension         11,4"),
    "battery.cell_low": said(3.3, "accu", "Tension minimale cellule    3,30      V"),
    "battery.cell_warn": said(3.48, "accu", "Tension d'alerte cellule    3,48      V"),
    "battery.cell_full": said(4.19, "accu", "Tension maximale cellule    4,19      V"),
    "motors.protocol": said("dshot600", "moteurs", "Protocole des moteurs       DSHOT600"),
    "motors.bidirectional": said(True, "moteurs", "DShot bidirectionnel        oui"),
    "motors.poles": said(14, "moteurs", "Nombre de pôles             14"),
    "motors.idle_percent": said(5.2, "moteurs", "Ralenti                     5,2       %"),
    "motors.reversed": said(True, "moteurs", "Moteurs inversés            oui"),
    "motors.loop_hz": said(4000, "moteurs", "Fréquence de la boucle      4000      Hz"),
    "failsafe.action": said("drop", "failsafe", "Action                      coupure des moteurs"),
    "failsafe.delay_s": said(0.7, "failsafe", "Délai                       0,7       s"),
    "failsafe.throttle_us": said(1008, "failsafe", "Gaz                         1008      µs"),
    "sensors.gyro": said("found", "capteurs", "Gyroscope                   présent"),
    "sensors.accelerometer": said("found", "capteurs", "Accéléromètre               présent"),
    "sensors.barometer": said("found", "capteurs", "Baromètre                   présent"),
    "arming.blocks": said(
        ("usb-connected", "throttle-not-low"), "capteurs", "Armement bloqué par         USB branché, gaz pas au minimum"
    ),
    "logger.device": said("card", "journal", "Support du journal          carte SD"),
    "logger.free_bytes": said(4026531840, "journal", "Espace libre                4026531840 octets"),
}

_HARMS = {
    "enregistrer": Harm(
        "Réglages enregistrés.", "version", "Nombre d'enregistrements    52", "Nombre d'enregistrements    53"
    ),
    "redemarrer": Harm("Redémarrage.", "version", "Nombre de démarrages        276", "Nombre de démarrages        277"),
    "usine": Harm("Réglages d'usine remis.", "version", "Lente Mésange", "-"),
    "maj": Harm("En attente du micrologiciel."),
    "essai": Harm(
        "Les moteurs tournent.", "moteurs", "Sortie actuelle             0 ", "Sortie actuelle             7 "
    ),
    "calibrer": Harm(
        "Accéléromètre calibré.", "capteurs", "Inclinaison                 1,1", "Inclinaison                 0,0"
    ),
    "effacer": Harm("Journal effacé.", "journal", "Nombre de vols              18", "Nombre de vols              0"),
}


def _pages(shown: str) -> dict[str, str]:
    parts = (part.split("\n", 1) for part in shown.removeprefix("--- ").split("\n--- "))
    return {word: page.rstrip("\n") + "\n" for word, page in parts}


class Ronciere(StatingConsole):
    """Labels, values and units each in a column of their own; a refusal names the word of help."""

    name = "ronciere"
    kinds = ("French", "aligned label, value and unit", "tables with a header", "decimal commas")
    banner = ""
    prompt = "rc> "
    error = 'Mot inconnu : {line}. Tapez "aide".'
    help_word = "aide"
    pages = _pages(_SHOWN)
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
