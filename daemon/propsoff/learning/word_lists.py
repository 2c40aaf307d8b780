"""Values that are words, or lists of them: roles of ports, functions of switches, elements, reasons not to arm."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from propsoff.learning.model import Reading
from propsoff.learning.thesaurus import folded, named, read_name, value_words, words_for

Shape = Callable[[str, str | None, str], Reading | None]
"""From text, the unit that the name says, and the fact's canonical name, to how it is read."""


def listed(table: str, *, keep: bool) -> Shape:
    """A list of words that are looked up; with one that is unknown it is none. `keep` is for what comes later."""

    def read(text: str, unit: str | None, fact: str) -> Reading | None:
        words = value_words(table)
        for separator in (",", "+", "/", "|", ";", " "):
            reading = made(text, separator, fact, lambda part: words.get(folded(part)))
            if reading is not None:
                return reading
        for separator in (",", "|", ";") if table == "blocks" else ():
            reading = made(text, separator, fact, lambda part: words.get(folded(part)) or _phrase(part))
            if reading is not None:
                return reading
        return None

    def made(text: str, separator: str, fact: str, look: Callable[[str], str | None]) -> Reading | None:
        parts = [part.strip() for part in text.split(separator)] if separator in text else [text]
        known = {part: meaning for part in parts if (meaning := look(part)) is not None}
        if not text or not all(parts) or len(known) < len(set(parts)):  # what it means is not certain then
            return None
        each: dict[str, Any] = {"as": "choice", "words": known} | ({"others": "keep"} if keep else {})
        return Reading({"as": "list", "separator": separator, "each": each}, tuple(known[part] for part in parts))

    return read


def _phrase(text: str) -> str | None:
    """The reason not to arm that a phrase says in other words: what it names, and that it is missing or too much."""
    if any(mark in text for mark in ',;|"'):  # a list of several
        return None
    pieces = read_name(text)
    about, said = named(pieces), {piece.text for piece in pieces} | {folded(word) for word in text.split()}
    denials = [word for word in map(folded, text.split()) if word in words_for("missing")]
    missing = bool(said & words_for("missing"))
    if len(denials) > 1:  # `not missing` is none
        return None
    if "usb" in said and not missing:
        return "usb-connected"
    if missing and about & {"receiver", "link", "failsafe"} and not about & {"gyro", "throttle", "video"}:
        return "no-receiver-link"
    if missing and "gyro" in about:
        return "gyro-missing"
    if "throttle" in about and (said & words_for("raised") or (missing and "low" in about)):
        return "throttle-not-low"
    if "arming" in about and "switch" in about:
        return "arm-switch-on"
    return None


def known_word(table: str) -> Shape:
    """A word of a table; others are kept as they are."""

    def read(text: str, unit: str | None, fact: str) -> Reading | None:
        meaning = value_words(table).get(folded(text)) or _called_after(text, table)
        if meaning is None:
            return None
        return Reading({"as": "choice", "words": {text: meaning}, "others": "keep"}, meaning)

    return read


_CALLED_AFTER: Mapping[str, tuple[tuple[frozenset[str], str], ...]] = {
    "functions": ((frozenset(["arming"]), "arm"),),
    "elements": (
        (frozenset(["craft", "name"]), "craft-name"),
        (frozenset(["warn"]), "warnings"),
        (frozenset(["battery", "volt"]), "battery"),
    ),
}
"""Words of rows that are told by what they name, the first of which all are named."""


def _called_after(text: str, table: str) -> str | None:
    pieces = read_name(text)
    about = named(pieces)
    if any(piece.other for piece in pieces):
        return None
    return next((meaning for concepts, meaning in _CALLED_AFTER[table] if concepts <= about), None)


def roles(text: str, unit: str | None, fact: str) -> Reading | None:
    """What a port carries: a list of words, or one in a phrase such as `the video transmitter`."""
    several = listed("roles", keep=False)(text, unit, fact)
    words = value_words("roles")
    if " " not in text.strip() or (several is not None and any(mark in text for mark in ",+/|;")):
        return several
    meaning = words.get(folded(text)) or role_in(text)
    if meaning is None:
        return None
    return Reading({"as": "list", "separator": ",", "each": {"as": "choice", "words": {text: meaning}}}, (meaning,))


_NARROWER = {
    frozenset(["telemetry", "esc-telemetry"]): "esc-telemetry",
    frozenset(["positioning", "receiver"]): "positioning",
    frozenset(["overlay-link", "video-control"]): "overlay-link",
    frozenset(["telemetry", "receiver"]): "telemetry",
}


def role_in(text: str) -> str | None:
    """The role that a phrase names: what is said besides are articles and words such as `control` or `link`."""
    words, meanings = value_words("roles"), set[str]()
    denied = any(folded(word) in words_for("missing") for word in text.split())
    for word in text.split():
        if folded(word) in words_for("missing"):
            continue
        meaning = words.get(folded(word))
        if meaning is not None:
            meanings.add(meaning)
        elif not (folded(word) in words_for("beside_roles") or all(piece.neutral for piece in read_name(word))):
            return None
    if denied:
        return None if meanings - {"unused"} else "unused"
    return next(iter(meanings)) if len(meanings) == 1 else _NARROWER.get(frozenset(meanings))
