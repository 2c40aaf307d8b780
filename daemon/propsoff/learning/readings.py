"""What a value may be: for each shape of a fact's values, the way to read a text, or that it is none."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from propsoff.craft.names import FactSpec, facts
from propsoff.learning.measures import Measure, measure
from propsoff.learning.model import Reading
from propsoff.learning.thesaurus import folded, has_value_words, truth_pairs, value_words
from propsoff.learning.vocabulary import words_of
from propsoff.learning.word_lists import Shape, known_word, listed, roles

RADIO_PROTOCOLS = frozenset(
    [
        "crsf",
        "sbus",
        "ibus",
        "dsm",
        "dsm2",
        "dsmx",
        "srxl",
        "srxl2",
        "ghst",
        "sumd",
        "sumh",
        "fport",
        "s.bus",
        "i.bus",
        "f.port",
    ]
)
_NUMBER = re.compile(r"([+-]?[0-9]+(?:\.[0-9]+)?)\s*((?:[^\W\d_]|[%°‰])[^0-9,;()]{0,18})?")
_VERSION = re.compile(r"[vV]?[0-9]+(?:\.[0-9]+){1,3}(?:[-+._~]?[0-9A-Za-z]+)*")
_PORT = re.compile(r"[A-Za-z]{0,8}[-_ ]?[0-9]{1,2}|[A-Za-z]{2,8}[-_ ][A-Za-z]|[A-Z]|usb|USB|vcp|VCP")
_SERIAL = re.compile(r"(?=.*[0-9])[0-9A-Za-z][0-9A-Za-z:.-]{3,40}")
_MOTOR = re.compile(r"(?:d|pro|multi|one)[- ]?shot[- ]?[0-9]*|pwm|brushed", re.IGNORECASE)
_DATE = re.compile(
    r"(?:20[0-9]{2}[-./ ][0-9]{1,2}[-./ ][0-9]{1,2}|20[0-9]{2}(?:0[1-9]|1[0-2])[0-3][0-9]"
    r"|[0-9]{1,2}[-./ ]+(?:[0-9]{1,2}|[^\W\d_]{3,10}\.?)[-./ ]+(?:20)?[0-9]{2}"
    r"|[^\W\d_]{3,10}\.? +[0-9]{1,2},? +20[0-9]{2})(?:[T ,].{0,20})?"
)
_WORD = re.compile(r"[A-Za-z][A-Za-z0-9._+/-]{1,15}")
_NAME = re.compile(r"[A-Za-z][\w .+-]{1,40}")
_VERSIONED = re.compile(r"(?:^|\s)[vV]?[0-9]+\.[0-9]")
_PHRASE = 4
_AXES = {"a": "A", "e": "E", "t": "T", "r": "R"}


def reading_of(shape: str, text: str, unit: str | None, fact: str, kind: str = "text") -> Reading | None:
    """How a text is read as a value of this shape; None when it is none. `kind` is that of the statement."""
    reading = _SHAPES[shape](text.strip(), unit, fact)
    if reading is not None and kind == "list":
        if reading.options.get("as") != "list":
            return None
        return Reading({key: value for key, value in reading.options.items() if key != "separator"}, reading.value)
    return reading


def _plain(pattern: re.Pattern[str], **options: Any) -> Shape:
    def read(text: str, unit: str | None, fact: str) -> Reading | None:
        if pattern.fullmatch(text) is None:
            return None
        return Reading(options, text.lower() if options.get("lower") else text)

    return read


def _label(text: str, unit: str | None, fact: str) -> Reading | None:
    plain = (
        text
        and len(text) <= 60
        and "\t" not in text
        and "  " not in text
        and text[0] not in "\"'[(<"
        and ";" not in text
    )
    return Reading({}, text) if plain else None


def _choice(text: str, unit: str | None, fact: str) -> Reading | None:
    table = "sensor" if fact.startswith("sensors.") else fact
    if not has_value_words(table):
        return None
    meaning = value_words(table).get(folded(text)) or (_in_a_phrase(text) if fact == "failsafe.action" else None)
    if meaning is None:
        return None
    spec = facts()[fact]
    words = {text: meaning} | {choice: choice for choice in spec.choices if choice != text}
    return Reading({"as": "choice", "words": words}, meaning)


def _in_a_phrase(text: str) -> str | None:
    """What a failsafe does, said in several words of which one tells: `cut the motors`, `return home`."""
    words = text.split()
    if any(folded(word) in words_of("denying") for word in words):
        return None
    meanings = {value_words("failsafe.action").get(folded(word)) for word in words} - {None}
    return meanings.pop() if len(meanings) == 1 and len(words) <= _PHRASE else None


def _truth(text: str, unit: str | None, fact: str) -> Reading | None:
    meaning = value_words("truth").get(folded(text))
    if meaning is None:
        return None
    for pair in map(str.split, truth_pairs()):
        for cased in (pair, [word.upper() for word in pair], [word.capitalize() for word in pair]):
            if text == cased[0 if meaning == "true" else 1]:
                return Reading({"as": "yes-no", "yes": cased[0], "no": cased[1]}, meaning == "true")
    other = "no" if meaning == "true" else "yes"
    yes, no = (text, other) if meaning == "true" else (other, text)
    return Reading({"as": "yes-no", "yes": yes, "no": no}, meaning == "true")


def _reversal(text: str, unit: str | None, fact: str) -> Reading | None:
    """Which way the motors turn, where it is said in a word: `reversed`, `as usual`."""
    meaning = value_words(fact).get(folded(text))
    if meaning is None:
        return _truth(text, unit, fact)
    other = "normal" if meaning == "true" else "reversed"
    yes, no = (text, other) if meaning == "true" else (other, text)
    return Reading({"as": "yes-no", "yes": yes, "no": no}, meaning == "true")


def _number(fits: Callable[[float], bool], units: Mapping[str, float], bare: Callable[[float], str | None]) -> Shape:
    """A number. `units` maps those that are taken to how many of the fact's unit one is; a negative one is a period.

    `bare` names the unit of a number that says none by its size, or None when it cannot be told.
    """

    def read(text: str, unit: str | None, fact: str) -> Reading | None:
        match = _NUMBER.fullmatch(text.replace(",", ".", 1) if "." not in text else text)
        if match is None:
            return None
        number, said = float(match[1]), (match[2] or "").strip()
        counted = _counted_in(said or unit or "", number, bare)
        if counted is None or counted.unit not in units:
            return None
        factor = units[counted.unit]
        if factor < 0 and counted.factor != 1:
            return None
        value = number * counted.factor * factor if factor > 0 else 1 / (number * -factor) if number else 0.0
        value, spec = round(value, 9), _spec(fact)
        if not fits(value):
            return None
        options = _number_options(said, counted, factor, spec) | ({"comma": True} if "," in text else {})
        return Reading(options, _typed(value, spec))

    return read


def _counted_in(said: str, number: float, bare: Callable[[float], str | None]) -> Measure | None:
    """What a number counts in: as it is said, or by its size; None when nobody knows."""
    if not said:
        name = bare(number)
        return None if name is None else Measure("V", 0.01) if name == "cV" else Measure(name)
    counted = measure(said)
    if counted is not None and not counted.unit:
        name = bare(number * counted.factor)
        return None if name is None else Measure(name, counted.factor)
    return counted


def _number_options(said: str, counted: Measure, factor: float, spec: FactSpec) -> dict[str, Any]:
    options: dict[str, Any] = {"suffix": said} if said else {}
    if counted.factor != 1:
        return options | {"factor": round(counted.factor * factor, 12)}
    if counted.unit in (said if said else spec.unit, "", spec.unit) and not (said and counted.unit != said):
        return options
    return options | ({"unit": counted.unit} if counted.unit else {})


def _spec(fact: str) -> FactSpec:
    return facts()[fact]


def _typed(value: float, spec: FactSpec) -> Any:
    return round(value) if spec.type is int else value


def _within(low: float, high: float) -> Callable[[float], bool]:
    return lambda value: low <= value <= high


def _even_within(low: int, high: int) -> Callable[[float], bool]:
    return lambda value: low <= value <= high and value % 2 == 0


def _always(name: str | None) -> Callable[[float], str | None]:
    return lambda number: name


def _volts(number: float) -> str | None:
    if number < 100:
        return "V"
    return "cV" if 200 <= number <= 450 else "mV" if 2000 <= number <= 4500 else None


def _baud(number: float) -> str | None:
    return "" if number >= 1200 else None


def _hertz(number: float) -> str | None:
    return "Hz" if number >= 500 else None


_VOLTS = {"V": 1.0, "mV": 0.001}
_SECONDS = {"s": 1.0, "ms": 0.001, "us": 0.000001}
_PULSE = {"us": 1.0, "": 1.0, "ms": 1000.0}
_COUNT = {"": 1.0}


def _pulse(low: int, high: int) -> Shape:
    return _number(_within(low, high), _PULSE, _always(""))


def _count(low: int, high: int) -> Shape:
    return _number(_within(low, high), _COUNT, _always(""))


def _cells(text: str, unit: str | None, fact: str) -> Reading | None:
    match = re.fullmatch(r"([0-9]{1,2})\s*([sS]?)", text)
    if match is None or not 1 <= int(match[1]) <= 14:
        return None
    return Reading({"suffix": match[2]} if match[2] else {}, int(match[1]))


def _order(text: str, unit: str | None, fact: str) -> Reading | None:
    letters = re.fullmatch(r"([AETRaetr])([-,/ ]?)([AETRaetr])\2([AETRaetr])\2([AETRaetr])((?:\2[0-9]+)*)", text)
    if letters is not None:
        return _letters(text, letters)
    separator = next((mark for mark in (",", "/", "-", ">", " ") if mark in text), None)
    if separator is None:
        return None
    words = [word.strip() for word in text.split(separator) if word.strip()]
    axes = [word for word in words if not word.isdigit()]
    if [value_words("axes").get(folded(word), "") for word in axes] and sorted(
        value_words("axes").get(folded(word), "") for word in axes
    ) == ["A", "E", "R", "T"]:
        names = {word: value_words("axes")[folded(word)] for word in axes}
        rest = len(words) - len(axes)
        if [word for word in words if word.isdigit()] != [str(number) for number in range(5, 5 + rest)]:
            return None
        value = "".join(names[word] for word in axes)
        extra = {"rest": rest} if rest else {}
        return Reading({"as": "axes", "separator": separator, "names": names, **extra}, value)
    return None


def _letters(text: str, match: re.Match[str]) -> Reading | None:
    written = [match[1], match[3], match[4], match[5]]
    order = "".join(written).upper()
    if sorted(order) != ["A", "E", "R", "T"]:
        return None
    options: dict[str, Any] = {"as": "letters"}
    if match[2]:
        options["separator"] = match[2]
    numbers = re.findall(r"[0-9]", match[6]) if not match[2] else match[6].split(match[2])[1:]
    if numbers:
        if [int(number) for number in numbers] != list(range(1, len(numbers) + 1)):
            return None
        options["rest"] = len(numbers)
    if written[0].islower():
        options["letters"] = _AXES
    return Reading(options, order)


def _radio_protocol(text: str, unit: str | None, fact: str) -> Reading | None:
    if folded(text) not in RADIO_PROTOCOLS:
        return None
    plain = folded(text).replace(".", "")
    if plain == text.lower():
        return Reading({"lower": True}, plain)
    return Reading({"as": "choice", "words": {text: plain}, "others": "keep"}, plain)  # `S-BUS`


def _motor_protocol(text: str, unit: str | None, fact: str) -> Reading | None:
    if _MOTOR.fullmatch(text) is None:
        return None
    plain = re.sub(r"[\s_-]", "", text).lower()
    if plain == text.lower():
        return Reading({"lower": True}, plain)
    return Reading({"as": "choice", "words": {text: plain}, "others": "keep"}, plain)  # `DShot 600`


def _name(text: str, unit: str | None, fact: str) -> Reading | None:
    """A name; that of a firmware has no version in it."""
    if _NAME.fullmatch(text) is None or (fact == "firmware.name" and _VERSIONED.search(text)):
        return None
    return Reading({}, text)


def _band(text: str, unit: str | None, fact: str) -> Reading | None:
    if re.fullmatch(r"[A-Za-z]", text) is None:
        return None
    if text.isupper():
        return Reading({}, text)
    return Reading(
        {"as": "choice", "words": {letter: letter.upper() for letter in sorted({*"abdeflr", text})}}, text.upper()
    )


def _pulses(text: str, unit: str | None, fact: str) -> Reading | None:
    bare = text.removesuffix("us").rstrip()
    behind = {"behind": text[len(bare) :]} if bare != text else {}
    for separator in (",", " ", "/"):
        parts = [part.strip() for part in bare.split(separator) if part.strip()]
        if len(parts) >= 4 and all(part.isdigit() and 700 <= int(part) <= 2300 for part in parts):
            value = tuple(map(int, parts))
            return Reading({"as": "list", "separator": separator, "each": "number", **behind}, value)
    return None


_SHAPES: Mapping[str, Shape] = {
    "name": _name,
    "version": _plain(_VERSION),
    "date": _plain(_DATE),
    "serial": _plain(_SERIAL),
    "label": _label,
    "choice": _choice,
    "truth": _truth,
    "reversal": _reversal,
    "radio-protocol": _radio_protocol,
    "motor-protocol": _motor_protocol,
    "port": _plain(_PORT),
    "order": _order,
    "pulse": _pulse(700, 2300),
    "pulse-low": _pulse(800, 1300),
    "pulse-centre": _pulse(1400, 1600),
    "pulse-high": _pulse(1700, 2200),
    "pulses": _pulses,
    "columns": _count(20, 80),
    "rows": _count(10, 30),
    "band": _band,
    "video-channel": _count(1, 8),
    "frequency": _number(_within(5000, 6100), {"MHz": 1.0, "GHz": 1000.0}, _always("MHz")),
    "power": _number(_within(0, 5000), {"mW": 1.0, "W": 1000.0}, _always(None)),
    "cells": _cells,
    "pack-voltage": _number(_within(0, 70), {"V": 1.0, "mV": 0.001}, lambda number: "V" if number < 70 else None),
    "scale": _number(_within(1, 40), _COUNT, _always("")),
    "cell-low": _number(_within(2.0, 4.0), _VOLTS, _volts),
    "cell-warn": _number(_within(2.5, 4.1), _VOLTS, _volts),
    "cell-full": _number(_within(3.5, 4.5), _VOLTS, _volts),
    "poles": _number(_even_within(4, 42), _COUNT, _always("")),
    "percent": _number(_within(0, 30), {"%": 1.0, "": 1.0, "permille": 0.1}, _always("")),
    "loop": _number(_within(500, 64000), {"Hz": 1.0, "kHz": 1000.0, "us": -1e-6}, _hertz),
    "delay": _number(_within(0, 120), _SECONDS, lambda number: None),
    "bytes": _number(
        _within(0, 1e12),
        {"bytes": 1.0, "kB": 1e3, "MB": 1e6, "GB": 1e9, "KiB": 1024.0, "MiB": 1048576.0, "GiB": 1073741824.0},
        _always(None),
    ),
    "blocks": listed("blocks", keep=True),
    "logger-device": _choice,
    "roles": roles,
    "baud": _number(_within(1200, 6_000_000), {"": 1.0, "baud": 1.0, "kbaud": 1000.0}, _baud),
    "function": known_word("functions"),
    "element": known_word("elements"),
    "channel": _count(1, 32),
    "small": _count(0, 100),
}  # fmt: skip
