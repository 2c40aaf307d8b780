"""What a number stands for, where a note beside it says so: `0 none, 1 ppm, 2 serial`, or only `(serial)`."""

from __future__ import annotations

import re
from collections.abc import Mapping

from propsoff.craft.names import facts
from propsoff.learning.measures import measure
from propsoff.learning.model import Reading
from propsoff.learning.readings import reading_of

_ENTRY = re.compile(r"\s*(?:[^\W\d_]\w*:\s*)?([0-9]{1,3})\s*(?:=>|->|[=:)-])?\s*([^\W\d_].{0,40}?)\s*")
_DEFAULTS = re.compile(r"\b(?:default|range|min|max|def)\b")
_LEAST = 2
_SHAPES = frozenset(
    ["choice", "truth", "reversal", "radio-protocol", "motor-protocol", "order", "logger-device", "roles"]
)
_TENTHS = ("tenth", "hundredth", "thousandth")


def legend_of(text: str, note: str) -> Mapping[str, str]:
    """What each number means by a note; empty when it says nothing of the one that is there."""
    if not text.isdigit():
        return {}
    note = _DEFAULTS.split(note)[0].strip(" ,;")
    found: dict[str, str] = {}
    for part in re.split(r"[,;|/]", note):
        if (match := _ENTRY.fullmatch(part)) is not None:
            found.setdefault(match[1], match[2])
    if len(found) >= _LEAST:
        return found if text in found else {}
    plain = note.strip().strip("()")
    alone = plain and not any(char.isdigit() for char in plain.partition(" ")[0]) and measure(plain) is None
    return {text: plain} if alone and len(plain.split()) <= _LEAST else {}


def read_by_legend(shape: str, text: str, legend: Mapping[str, str], fact: str) -> Reading | None:
    """The value that a number stands for, with what the others stand for as far as that is known."""
    if shape not in _SHAPES or text not in legend:
        return None
    readings = {number: reading_of(shape, phrase, None, fact) for number, phrase in legend.items()}
    values = {number: reading.value for number, reading in readings.items() if reading is not None}
    if text not in values:
        return None
    if facts()[fact].type is bool:
        yes = [number for number, value in values.items() if value is True]
        no = [number for number, value in values.items() if value is False]
        yes, no = yes or ["1" if no != ["1"] else "0"], no or ["0" if yes != ["0"] else "1"]
        return Reading({"as": "yes-no", "yes": yes[0], "no": no[0]}, values[text])
    if isinstance(values[text], tuple):
        single = {number: value[0] for number, value in values.items() if len(value) == 1}
        return Reading({"as": "list", "separator": ",", "each": {"as": "choice", "words": single}}, values[text])
    return Reading({"as": "choice", "words": values}, values[text])


def bits_of(text: str, note: str) -> Mapping[int, str]:
    """What each bit of a number means by a note (-1: none of them is set); empty when it says nothing of bits.

    Such a note is `mask: bit 0 = gyro, bit 1 = compass`, or `sum: 0 = unused, 1 = console, 2 = receiver`.
    """
    kind = _BITS.match(note)
    if kind is None or not text.isdigit():
        return {}
    found: dict[int, str] = {}
    for part in re.split(r"[,;|]", note[kind.end() :]):
        match = _BIT.fullmatch(part)
        if match is None:
            return {}
        number, values = int(match[2]), not match[1] and kind[1].casefold() == "sum"
        if values and number & (number - 1):
            return {}
        found[number.bit_length() - 1 if values else number] = match[3]
    return found


_BITS = re.compile(r"((?:bit ?)?mask|flags|bits|sum)\s*:\s*", re.IGNORECASE)
_BIT = re.compile(r"\s*(bit ?)?([0-9]{1,3})\s*(?:=>|->|[=:-])?\s*([^\W\d_].{0,40}?)\s*", re.IGNORECASE)
_LISTED = frozenset(["blocks", "roles"])
_WIDEST = 64


def read_by_bits(shape: str, text: str, bits: Mapping[int, str], fact: str) -> Reading | None:
    """The list that a number stands for, each of its bits one thing; None where one that is set is not known."""
    if shape not in _LISTED or not bits or max(bits) >= _WIDEST:
        return None
    names: dict[int, str] = {}
    for bit, phrase in bits.items():
        reading = reading_of(shape, phrase, None, fact)
        if reading is not None and isinstance(reading.value, tuple) and len(reading.value) == 1:
            names[bit] = reading.value[0]
    number = int(text)
    there = [bit for bit in range(number.bit_length()) if number >> bit & 1]
    if not names or not all(bit in names for bit in there):
        return None
    none = (names[-1],) if -1 in names else ()
    options = {"as": "bits", "names": {str(bit): name for bit, name in names.items() if bit >= 0}}
    value = tuple(names[bit] for bit in there) or none
    return Reading({**options, **({"empty": list(none)} if none else {})}, value)


def unit_in(note: str) -> str:
    """The unit that a note says: at its beginning, before a comma, as tenths of something."""
    note = note.strip().strip("()")
    heads = [note, *(part.strip() for part in re.split(r"[,;(]", note))]
    if note.casefold().startswith(_TENTHS):
        heads += [" ".join(note.split()[:count]) for count in (4, 3, 2, 1)]
    return next((head for head in heads if head and measure(head) is not None), "")
