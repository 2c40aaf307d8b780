"""Units as consoles write them: `V`, `us`, `volts`, `V/cell`, `x 0.1 s`, `dV`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

_WORDS: Mapping[str, str] = {
    "V": "v volt volts voltios",
    "mV": "mv millivolt millivolts",
    "us": "us usec usecs microsecond microseconds micros mikrosekunden microsecondes microsegundos microsecondi",
    "ms": "ms msec msecs millisecond milliseconds millis millisekunden millisecondes milisegundos millisecondi",
    "s": "s sec secs second seconds sek sekunde sekunden seconde secondes segundo segundos secondo secondi",
    "Hz": "hz hertz",
    "kHz": "khz kilohertz",
    "MHz": "mhz megahertz",
    "GHz": "ghz gigahertz",
    "W": "w watt watts",
    "mW": "mw milliwatt milliwatts",
    "%": "% pct percent per-cent prozent pourcent porcentaje percento procent",
    "permille": "permille promille ‰",
    "baud": "baud bauds bd bps bit/s bits/s",
    "kbaud": "kbaud kbd kbps kbit/s",
    "bytes": "byte bytes b",
    "kB": "kb kbyte kbytes kilobytes",
    "MB": "mb mbyte mbytes megabytes",
    "GB": "gb gbyte gbytes gigabytes",
    "KiB": "kib",
    "MiB": "mib",
    "GiB": "gib",
    "A": "a amp amps ampere amperes",
    "mA": "ma",
    "mAh": "mah",
    "C": "c °c degc celsius",
    "deg": "deg ° degree degrees grad",
    "rpm": "rpm",
    "dB": "db",
    "dBm": "dbm",
    "kV": "kv",
}
_SMALLER: Mapping[str, tuple[str, float]] = {
    "dv": ("V", 0.1),
    "cv": ("V", 0.01),
    "ds": ("s", 0.1),
    "cs": ("s", 0.01),
    "decivolt": ("V", 0.1),
    "decivolts": ("V", 0.1),
    "centivolt": ("V", 0.01),
    "centivolts": ("V", 0.01),
    "deciseconds": ("s", 0.1),
    "centiseconds": ("s", 0.01),
    "tenths": ("", 0.1),
    "hundredths": ("", 0.01),
    "thousandths": ("", 0.001),
}
"""Units that the dialect language has no name for: the unit that it has, and how many of it one is."""

_EACH = re.compile(
    r"\s*(?:/|\bper\b|\ba\b|\beach\b|\bpro\b|\bpar\b|\bpor\b|\bje\b|\bje\b|\bper\b)\s*"
    r"(?:cell|zelle|element|élément|cellule|celda|cella|celula|célula|elemento|cel)s?\.?\s*$",
    re.IGNORECASE,
)
_FACTOR = re.compile(r"(?:[x×*]\s*)?(0?\.[0-9]{1,4}|1/10{1,3}|10{1,3})\s*[x×*]?\s*(\S+)?", re.IGNORECASE)
_MICRO = re.compile("[μµ]")


@dataclass(frozen=True, slots=True)
class Measure:
    """A unit by the dialect language's name (empty when it names none), and how many of it a number counts in."""

    unit: str
    factor: float = 1.0


@cache
def measure(text: str) -> Measure | None:
    """The unit that a text says, None when it says none that is known."""
    plain = _EACH.sub("", _MICRO.sub("u", text).strip().strip("()[]").rstrip(".")).strip().casefold()
    if plain in _named():
        return Measure(_named()[plain])
    if plain in _SMALLER:
        return Measure(*_SMALLER[plain])
    scaled = _FACTOR.fullmatch(plain)
    if scaled is not None:
        top, _, below = scaled[1].partition("/")
        number = float(top) / float(below or 1)
        inner = _named().get(scaled[2] or "", "" if not scaled[2] else None)
        return None if inner is None else Measure(inner, number)
    share = re.fullmatch(r"(tenths?|hundredths?|thousandths?) (?:of )?(?:an? )?(\S+)", plain)
    if share is not None and (unit := _named().get(share[2])) is not None:
        return Measure(unit, {"t": 0.1, "h": 0.01}.get(share[1][0], 0.1) if "thou" not in share[1] else 0.001)
    return None


@cache
def _named() -> Mapping[str, str]:
    return {word: unit for unit, words in _WORDS.items() for word in words.split()}
