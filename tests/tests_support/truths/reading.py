"""How somebody of the trade reads the value of a fact from the text of a console, in the languages they speak."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from typing import Any

from tests_support.other_consoles.stating import Said
from tests_support.truths.packages import Package

_CAMEL = re.compile(r"(?<=[^\W\d_])(?=[A-ZÀ-Ý][a-zà-ÿ])|(?<=[a-zà-ÿ\d])(?=[A-ZÀ-Ý])")
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_MEASURED = re.compile(r"(?<![^\W\d_])(mv|ms|khz|ghz|w|kib|mib|millivolts|milliseconds)(?![^\W_])")
_TIMES = {
    "mv": 0.001, "ms": 0.001, "khz": 1000, "ghz": 1000, "w": 1000, "kib": 1024, "mib": 1024 * 1024,
    "millivolts": 0.001, "milliseconds": 0.001,
}  # fmt: skip
"""What a unit makes of a number for the canonical unit."""
_WORDS: Mapping[object, Collection[str]] = {
    "serial": ("seriell", "série", "serieel", "serie", "seriale"),
    "analog": ("analógico", "analogique", "analogico"),
    "digital": ("digitaal",),
    "land": ("atterrissage", "landen", "landa", "aterrizar", "atterraggio"),
    "drop": ("motoren aus", "cut motors", "motors off", "spegni i motori", "coupure des moteurs", "cortar motores"),
    "return": ("return home", "volver"),
    "found": (
        "ok", "gefunden", "présent", "present", "working", "trovato", "vorhanden", "gevonden", "hittad", "presente",
        "encontrado",
    ),
    "missing": (
        "none", "fehlt", "absent", "not fitted", "not found", "assente", "ontbreekt", "ausente", "no encontrado",
    ),
    "console": ("konsole", "konsol", "consola"),
    "positioning": ("gps",),
    "receiver": ("empfänger", "récepteur", "empf", "ontvanger", "mottagare", "receptor", "ricevitore", "rx"),
    "telemetry": ("telemetría", "télémétrie", "telemetria", "telemetrie"),
    "overlay-link": ("osd",),
    "esc-telemetry": ("esctlm", "telemetria esc", "esc telemetrie", "telemetría esc", "esc telem", "esc tlm"),
    "video-control": ("vtx", "video transmitter", "controllo video", "videosender"),
    "rangefinder": ("télémètre", "lidar"),
    "unused": ("free", "none", "frei", "libre", "not used", "nothing", "libera", "ongebruikt", "oanvänd", "livre"),
    "no-receiver-link": (
        "no rx", "kein empfängersignal", "no receiver signal", "receiver signal missing", "pas de signal du récepteur",
        "receiver link missing", "geen ontvangersignaal", "ingen mottagarsignal", "sin señal del receptor",
        "sem sinal do receptor", "nessun segnale dal ricevitore",
    ),
    "usb-connected": (
        "no rx usb", "usb verbunden", "usb branché", "usb cable connected", "usb collegato", "usb collegata",
        "usb ansluten", "usb conectado",
    ),
    "throttle-not-low": ("gas nicht unten", "acelerador no está bajo", "gaz pas au minimum"),
    "not-level": ("velivolo non in piano", "no nivelado"),
    "arm-switch-on": ("arm switch is on",),
    "arm": ("armamento", "scharf", "armera", "armement", "armar", "scharfschalten", "armen"),
    "level": ("livello", "lage", "nivå", "nivel", "niveau", "nivelar"),
    "battery": ("batt", "pack voltage", "batteria", "akku", "accu", "batteri", "batería", "batterie", "bateria"),
    "timer": ("cronometro", "uhr", "temporizador", "chronomètre", "cronômetro"),
    "link-quality": ("linkq", "länkkvalitet", "qualité du lien", "calidad de enlace", "osd lq"),
    "warnings": ("warn", "warnungen", "waarschuwingen", "avisos"),
    "craft-name": ("nome del velivolo", "modellname"),
    "horizon": ("horisont",),
    "altitude": ("alt", "quota", "hoogte", "altitud", "höhe"),
    "beeper": ("cicalino", "piepser", "pieper", "summer", "zumbador", "buzzer", "buzina"),
    "speed": ("velocidade",),
    "card": ("scheda sd", "speicherkarte", "sd kaart", "minneskort", "carte sd", "sd karte"),
    "AETR": ("aileron elevator throttle rudder",),
    "TAER": ("throttle aileron elevator rudder",),
    True: (
        "yes", "on", "true", "ja", "ein", "oui", "activée", "enabled", "sì", "sí", "accesa", "inverted", "reversed",
        "shown", "visible", "sichtbar", "synlig", "på", "ligado", "ligada", "visível", "sim", "attiva", "1",
    ),
    False: (
        "no", "off", "false", "nein", "non", "usual way", "normal", "disabled", "not", "hidden", "aus", "nee", "nej",
        "dold", "não", "oculto", "verborgen", "0",
    ),
}  # fmt: skip
"""What a canonical value is called where it is not called by its own word."""


def reads(one: Said, package: Package, *, lone: bool = True) -> bool:
    """Whether the value of a fact can be read from its texts; a `lone` flag has no other one and no legend there."""
    texts = one.texts if package.whole or isinstance(one.value, tuple) else one.texts[-1:]
    values: tuple[Any, ...] = one.value if isinstance(one.value, tuple) else (one.value,)
    text = " ".join(present(part, one.texts[0]) for part in texts)
    return all(says(value, text, package, " ".join(texts), lone) for value in values)


def present(line: str, head: str) -> str:
    """A line without its remark, and without the value that stands beside the present one."""
    if "Default" in head and "Default" not in line:
        return line[: head.index("Default")]
    line = line.split(" (factory ")[0]
    remark = re.search(r" *(?: {2,}#| ;) (.*)$", line)
    return line if remark is None or re.search(r"\d \w", remark[1]) else line[: remark.start()]  # a legend is needed


def says(value: Any, text: str, package: Package, around: str, lone: bool) -> bool:
    """Whether a text says a value; its unit may stand in the text around it."""
    if isinstance(value, bool):
        behind = re.split(r": +| = | {2,}", text.strip(), maxsplit=1)[-1] if package.bare else text
        denied = _flagged(False, behind, digits=False)
        if package.bare:
            return denied is not value and _flagged(value, behind, digits=False)
        return _flagged(value, behind) and not (value and lone and denied)
    if isinstance(value, str):
        if value == "found" and _whole("not found", text):
            return False
        return any(_whole(word, text) for word in (value, *_WORDS.get(value, ())))
    units = {unit for one in (around, _CAMEL.sub(" ", around)) for unit in _MEASURED.findall(one.casefold())}
    times = {1.0, *package.times, *(_TIMES[unit] for unit in units)}
    numbers = {float(one.replace(",", ".")) for one in _NUMBER.findall(text)}
    numbers |= {float(one) for one in re.findall(r"\d+", text)}
    if package.periods:
        numbers |= {1_000_000 / number for number in numbers if number}
    return any(abs(value - number * by) < 1e-9 for number in numbers for by in times)


def _flagged(flag: bool, text: str, *, digits: bool = True) -> bool:
    """Whether a text has a word, or a digit, for a flag."""
    return any(_whole(word, text) for word in _WORDS[flag] if digits or not word.isdigit())


def _whole(word: str, text: str) -> bool:
    """Whether words stand in a text, whichever way they are joined there, and not within a longer word."""
    found = rf"(?<![^\W\d_]){re.escape(_plain(word))}(?![^\W\d_])"
    return any(re.search(found, _plain(one)) for one in (text, _CAMEL.sub(" ", text)))


def _plain(text: str) -> str:
    return re.sub(r"[^\w.]+|_|\.(?!\w)|(?<!\d)\.", " ", text.casefold()).strip()
