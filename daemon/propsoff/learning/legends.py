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


def unit_in(note: str) -> str:
    """The unit that a note says: at its beginning, before a comma, as tenths of something."""
    note = note.strip().strip("()")
    heads = [note, re.split(r"[,;(]", note)[0].strip()]
    if note.casefold().startswith(_TENTHS):
        heads += [" ".join(note.split()[:count]) for count in (4, 3, 2, 1)]
    return next((head for head in heads if head and measure(head) is not None), "")
