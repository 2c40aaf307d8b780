"""Sarcelle: words, help and values in French, decimal commas, packed overlay positions. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of

_AIDE = """\
Commandes disponibles :
  aide ........ affiche cette liste
  apropos ..... affiche l'identité de la carte
  aplomb ...... prend la position actuelle comme référence
  appairer .... cherche une nouvelle radiocommande
  asservir .... affiche les gains et les filtres
  batterie .... affiche la batterie
  chauffe ..... petit tour de chauffe
  chargeur .... attend un nouveau logiciel
  etat ........ affiche les capteurs et l'armement
  image ....... affiche l'incrustation vidéo
  memoriser ... garde les réglages
  moteurs ..... affiche les sorties moteur
  oublier ..... repart d'une page blanche
  ports ....... affiche les ports série
  radio ....... affiche le récepteur et les voies
  relancer .... reprend tout depuis le début
  secours ..... affiche le comportement en perte de signal
"""

_APROPOS = """\
Logiciel : Sarcelle
Version : 2.3.0
Date de compilation : 2026-03-17
Carte : ROSEAU F4
Révision de la carte : C
Version du chargeur : 1.1
Nom de l'appareil : Petite Sterne
Jeu de réglages : 14
Démarrages : 92
"""

_RADIO = """\
Type de récepteur : série
Protocole du récepteur : CRSF
Port du récepteur : S4
Télémétrie : oui
Ordre des voies : RTAE
Butée basse : 988 µs
Neutre : 1500 µs
Butée haute : 2012 µs
Zone morte : 3 µs
Exponentiel : 0,25
Vitesse de rotation : 700 °/s
Émetteurs connus : 1
"""

_PORTS = """\
S1 : console à 115200 bauds
S3 : télémètre à 38400 bauds
S4 : récepteur à 420000 bauds
S5 : libre
"""

_BATTERIE = """\
Nombre d'éléments : 6
Tension de la batterie : 23,52 V
Tension minimale par élément : 3,30 V
Tension d'alerte par élément : 3,55 V
Tension maximale par élément : 4,35 V
Courant : 0,31 A
Capacité : 1100 mAh
"""

_MOTEURS = """\
Protocole moteur : DShot600
Bidirectionnel : oui
Nombre de pôles : 14
Ralenti : 6,5 %
Sens inversé : oui
Fréquence de boucle : 8 kHz
Fréquence du gyromètre : 8 kHz
Sorties actuelles : 0 0 0 0
Constante moteur : 1900 tr/min/V
"""

_SECOURS = """\
Action : atterrissage
Délai : 2,5 s
Gaz : 1180 µs
Descente : 1,2 m/s
Inclinaison maximale : 20 °
"""

_IMAGE = """\
Incrustation : activée
Norme vidéo : PAL
Luminosité : 2
Cadence : 25
Case accu : 0x0E01
Case chrono : 0x0E17
Case nom : 0x8A0B
"""

_ETAT = """\
Gyromètre : présent
Accéléromètre : présent
Baromètre : absent
Armement bloqué par : pas de signal du récepteur, USB branché
Écart d'horizon : 1,9 °
Température : 39 °C
Charge du processeur : 24 %
Temps de marche : 218 s
"""

_ASSERVIR = """\
Roulis : P 4,1  I 7,9  D 3,0
Tangage : P 4,4  I 8,2  D 3,3
Lacet : P 3,9  I 7,9  D 0,0
Coupure du gyromètre : 205 Hz
Coupure du terme D : 98 Hz
Couleur des feux : 0, 90, 255
"""

_STATED = {
    "firmware.name": said("Sarcelle", "apropos", "Logiciel : Sarcelle"),
    "firmware.version": said("2.3.0", "apropos", "Version : 2.3.0"),
    "firmware.built": said("2026-03-17", "apropos", "Date de compilation : 2026-03-17"),
    "board.name": said("ROSEAU F4", "apropos", "Carte : ROSEAU F4"),
    "craft.name": said("Petite Sterne", "apropos", "Nom de l'appareil : Petite Sterne"),
    "receiver.kind": said("serial", "radio", "Type de récepteur : série"),
    "receiver.protocol": said("crsf", "radio", "Protocole du récepteur : CRSF"),
    "receiver.port": said("S4", "radio", "Port du récepteur : S4"),
    "receiver.telemetry": said(True, "radio", "Télémétrie : oui"),
    "channels.order": said("RTAE", "radio", "Ordre des voies : RTAE"),
    "channels.low": said(988, "radio", "Butée basse : 988 µs"),
    "channels.centre": said(1500, "radio", "Neutre : 1500 µs"),
    "channels.high": said(2012, "radio", "Butée haute : 2012 µs"),
    "ports[0].id": said("S1", "ports", "S1 : console à 115200 bauds"),
    "ports[0].roles": said(("console",), "ports", "S1 : console à 115200 bauds"),
    "ports[0].baud": said(115200, "ports", "S1 : console à 115200 bauds"),
    "ports[1].id": said("S3", "ports", "S3 : télémètre à 38400 bauds"),
    "ports[1].roles": said(("rangefinder",), "ports", "S3 : télémètre à 38400 bauds"),
    "ports[1].baud": said(38400, "ports", "S3 : télémètre à 38400 bauds"),
    "ports[2].id": said("S4", "ports", "S4 : récepteur à 420000 bauds"),
    "ports[2].roles": said(("receiver",), "ports", "S4 : récepteur à 420000 bauds"),
    "ports[2].baud": said(420000, "ports", "S4 : récepteur à 420000 bauds"),
    "ports[3].id": said("S5", "ports", "S5 : libre"),
    "ports[3].roles": said(("unused",), "ports", "S5 : libre"),
    "battery.cells": said(6, "batterie", "Nombre d'éléments : 6"),
    "battery.volts": said(23.52, "batterie", "Tension de la batterie : 23,52 V"),
    "battery.cell_low": said(3.3, "batterie", "Tension minimale par élément : 3,30 V"),
    "battery.cell_warn": said(3.55, "batterie", "Tension d'alerte par élément : 3,55 V"),
    "battery.cell_full": said(4.35, "batterie", "Tension maximale par élément : 4,35 V"),
    "motors.protocol": said("dshot600", "moteurs", "Protocole moteur : DShot600"),
    "motors.bidirectional": said(True, "moteurs", "Bidirectionnel : oui"),
    "motors.poles": said(14, "moteurs", "Nombre de pôles : 14"),
    "motors.idle_percent": said(6.5, "moteurs", "Ralenti : 6,5 %"),
    "motors.reversed": said(True, "moteurs", "Sens inversé : oui"),
    "motors.loop_hz": said(8000, "moteurs", "Fréquence de boucle : 8 kHz"),
    "failsafe.action": said("land", "secours", "Action : atterrissage"),
    "failsafe.delay_s": said(2.5, "secours", "Délai : 2,5 s"),
    "failsafe.throttle_us": said(1180, "secours", "Gaz : 1180 µs"),
    "overlay.enabled": said(True, "image", "Incrustation : activée"),
    "overlay.system": said("pal", "image", "Norme vidéo : PAL"),
    "sensors.gyro": said("found", "etat", "Gyromètre : présent"),
    "sensors.accelerometer": said("found", "etat", "Accéléromètre : présent"),
    "sensors.barometer": said("missing", "etat", "Baromètre : absent"),
    "arming.blocks": said(
        ("no-receiver-link", "usb-connected"),
        "etat",
        "Armement bloqué par : pas de signal du récepteur, USB branché",
    ),
}

# Only the source tells: the upper byte is the row, with its top bit set when hidden; the lower byte is the column.
_CODED = {
    "overlay.elements[0].name": said("battery", "image", "Case accu : 0x0E01"),
    "overlay.elements[0].column": said(1, "image", "Case accu : 0x0E01"),
    "overlay.elements[0].row": said(14, "image", "Case accu : 0x0E01"),
    "overlay.elements[0].shown": said(True, "image", "Case accu : 0x0E01"),
    "overlay.elements[1].name": said("timer", "image", "Case chrono : 0x0E17"),
    "overlay.elements[1].column": said(23, "image", "Case chrono : 0x0E17"),
    "overlay.elements[1].row": said(14, "image", "Case chrono : 0x0E17"),
    "overlay.elements[1].shown": said(True, "image", "Case chrono : 0x0E17"),
    "overlay.elements[2].name": said("craft-name", "image", "Case nom : 0x8A0B"),
    "overlay.elements[2].column": said(11, "image", "Case nom : 0x8A0B"),
    "overlay.elements[2].row": said(10, "image", "Case nom : 0x8A0B"),
    "overlay.elements[2].shown": said(False, "image", "Case nom : 0x8A0B"),
}

_HARMS = {
    "aplomb": Harm("Référence prise.", "etat", "Écart d'horizon : 1,9 °", "Écart d'horizon : 0,0 °"),
    "appairer": Harm("Recherche...", "radio", "Émetteurs connus : 1", "Émetteurs connus : 0"),
    "chauffe": Harm("Ça tourne.", "moteurs", "Sorties actuelles : 0 0 0 0", "Sorties actuelles : 6 6 6 6"),
    "chargeur": Harm("En attente du logiciel."),
    "memoriser": Harm("Réglages gardés.", "apropos", "Jeu de réglages : 14", "Jeu de réglages : 15"),
    "oublier": Harm("Page blanche.", "apropos", "Nom de l'appareil : Petite Sterne", "Nom de l'appareil : sans nom"),
    "relancer": Harm("Sarcelle 2.3.0 démarre.", "apropos", "Démarrages : 92", "Démarrages : 93"),
}

_PAGES = {
    "aide": _AIDE,
    "apropos": _APROPOS,
    "radio": _RADIO,
    "ports": _PORTS,
    "batterie": _BATTERIE,
    "moteurs": _MOTEURS,
    "secours": _SECOURS,
    "image": _IMAGE,
    "etat": _ETAT,
    "asservir": _ASSERVIR,
}


class Sarcelle(StatingConsole):
    """French throughout; `aide` alone is the help."""

    name = "sarcelle"
    kinds = ("French words, help and values", "packed integers", "help with descriptions")
    banner = "Sarcelle 2.3.0, tapez aide\n"
    prompt = "canard> "
    error = "« {line} » : commande inconnue"
    help_word = "aide"
    pages = _PAGES
    stated = _STATED
    coded = _CODED
    harms = _HARMS
    truth = truth_of(_STATED, _CODED)
    harmful = frozenset(_HARMS)
