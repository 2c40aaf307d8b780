"""How well a name fits a fact: which of its concepts are named, where, and what in the name speaks against it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from propsoff.learning.measures import measure
from propsoff.learning.readings import RADIO_PROTOCOLS
from propsoff.learning.thesaurus import Piece, Term, folded, named, read_name

_BASE = 0.95
_WANTED = 0.04
_CONTEXT_ONLY = 0.06
_ASKED_ONLY = 0.1
_OTHER_DOMAIN = 0.35
_BRACKETED = re.compile(r"(.*\S)\s*[\[(]([^\])]{1,12})[\])]\s*")
"""A unit in brackets behind a name."""
_DOMAINS = frozenset(
    [
        "receiver", "channel", "stick", "overlay", "video", "battery", "motor", "failsafe", "telemetry", "logger",
        "switch", "gyro", "accelerometer", "barometer",
    ]
)  # fmt: skip
"""What a section may be about: a name of one domain means nothing of another."""
_STRANGE_PIECE = 0.25
_STRANGE_CONTEXT = 0.04
_STRANGE_TOLD = 0.05
_OTHER_CONCEPT = 0.4
_OTHER_CONTEXT = 0.12
_MEANS_OTHER = 0.6
_PER_NEED = 0.03
_FREE_TEXT = 0.1
_SHORT = 2
_SHORT_PIECE = 0.1
_PLAIN_BY_LOOK = frozenset(["radio-protocol", "motor-protocol", "order"])
"""Shapes of values that hardly anything else has."""
_ORDINARY_WORDS = frozenset(["rate", "tear", "tare"])
"""Orders of A, E, T and R that are words as well."""
_STRANGE_BUT_PLAIN = 0.1
_PREPOSITIONS = frozenset(["on", "at", "in", "of", "to", "for", "from", "by", "per", "with"])
_OF_THE_NEXT = frozenset(["default"])
"""Words of a sentence that belong to the value behind them: `(dshot300, default 2)`."""
_FREE_SHAPES = frozenset(["label", "name", "date"])


@dataclass(frozen=True, slots=True)
class Name:
    """A name taken apart: the pieces of its last word, and those of what stands around it."""

    leaf: tuple[Piece, ...]
    around: tuple[Piece, ...]
    beside: str | None = None
    path_around: tuple[Piece, ...] = ()
    """What of that around is said beside it, and not only asked for."""
    implied: frozenset[str] = frozenset()
    told: bool = False
    """Whether it stands in running text: much of that says nothing of the value."""
    volts: bool = False
    """Whether the value is written in volts."""

    @classmethod
    def of(
        cls,
        path: Sequence[str],
        command: str = "",
        unit: str = "",
        implied: frozenset[str] = frozenset(),
        *,
        told: bool = False,
    ) -> Name:
        """The name that a path gives, with the command that was answered, and the unit that stands beside the value."""
        leaf = path[-1] if path else ""
        if (bracketed := _BRACKETED.fullmatch(leaf)) and measure(bracketed[2]):
            leaf, unit = bracketed[1], unit.strip(" -") or bracketed[2]
        around = [piece for part in path[:-1] for piece in read_name(part)]
        known = {piece.text for piece in around}
        asked = [piece for piece in read_name(command) if piece.text not in known and piece.concepts]
        return cls(read_name(leaf), (*around, *asked), unit.strip(" -") or None, tuple(around), implied, told)

    @property
    def unit(self) -> str | None:
        """The unit that the name says."""
        last = self.leaf[-1] if self.leaf else None
        said = last is not None and (len(self.leaf) > 1 or len(last.text) > 1)  # `a` alone counts no amperes
        return self.beside or (last.unit if last is not None and said else None)


def score(name: Name, term: Term, text: str) -> float:
    """0 to 1: how well a name and a value's text fit a fact, the value being one of the right shape."""
    if name.told and term.shape in _FREE_SHAPES and term.shape != "date" and not name.implied:
        return 0.0  # any word might be a name
    leaf = named(name.leaf) | name.implied | _meant_by_value(name, term, text)
    named_enough = _needs_met(name, term, leaf)
    if named_enough is None or term.unless & named((*name.leaf, *name.path_around)):
        return 0.0
    if term.shape == "order" and text.casefold() in _ORDINARY_WORDS and "order" not in leaf:
        return 0.0
    result = _BASE - (_FREE_TEXT if term.shape in _FREE_SHAPES else 0.0) + named_enough
    strange = _STRANGE_TOLD if name.told else _STRANGE_BUT_PLAIN if term.shape in _PLAIN_BY_LOOK else _STRANGE_PIECE
    for piece in name.leaf:
        if name.told and piece.text in _OF_THE_NEXT:
            continue
        result -= _against(piece, term, strange, _OTHER_CONCEPT)
    own = any(piece.concepts & term.fitting & _DOMAINS for piece in (*name.around, *name.leaf))
    generic = len(term.needs) == 1 and not own
    for piece in name.around:
        result -= _against(piece, term, _STRANGE_CONTEXT, _OTHER_DOMAIN if generic else _OTHER_CONTEXT, _DOMAINS)
    return max(0.0, min(1.0, result))


def _needs_met(name: Name, term: Term, leaf: frozenset[str]) -> float | None:
    """What a name gains or loses by how the fact's concepts are named; None when one of them is not."""
    around, near = named(name.around), named(name.path_around)
    result = (_WANTED if term.wants & (leaf | around) else 0.0) + _PER_NEED * (len(term.needs) - 1)
    in_leaf = 0
    for need in term.needs:
        if need & leaf:
            in_leaf += 1
        elif need & around and not term.by_leaf:
            result -= _CONTEXT_ONLY if need & near else _ASKED_ONLY
        else:
            return None
    return result if in_leaf or leaf & term.wants else None


def _meant_by_value(name: Name, term: Term, text: str) -> frozenset[str]:
    """Concepts that a value says itself: nothing but a protocol is written `crsf`, and what counts volts is one."""
    found = _implied_by(term, text) if name.told else frozenset[str]()
    if term.shape == "motor-protocol" or (term.shape == "radio-protocol" and folded(text) in RADIO_PROTOCOLS):
        found |= {"protocol"}
    if term.shape == "truth" and not text.strip().isdigit():
        found |= {"enabled"}
    if term.shape == "pulses":
        found |= {"live"}
    if term.shape == "blocks":  # nothing but a reason not to arm is written so
        found |= _said_of_arming(name)
    if term.shape == "pack-voltage" and (name.beside or name.volts):
        found |= {"volt"}
    return found


def _said_of_arming(name: Name) -> frozenset[str]:
    """What `no arm` and `blocked by` leave out, where known reasons stand behind them and nothing else is named."""
    beside = {*_PREPOSITIONS, *_DENIED}
    if not all(piece.concepts & _ARMING or piece.neutral or piece.text in beside for piece in name.leaf):
        return frozenset()
    blocked = any(piece.text.startswith(_BLOCKED) for piece in name.leaf)
    armed = any("arming" in piece.concepts for piece in name.leaf)
    denied = any(piece.text in _DENIED for piece in name.leaf)
    return _ARMING if blocked or (armed and denied) else frozenset()


_ARMING = frozenset(["arming", "block"])
_BLOCKED = (
    "block", "blok", "bloq", "bloc", "prevent", "inhibit", "ground", "sperr", "gesperr", "hind", "empech", "refus",
)  # fmt: skip
_DENIED = frozenset(["no", "not", "cannot", "cant", "wont", "un", "deny", "denied", "stop", "stops", "stopped"])


def _implied_by(term: Term, text: str) -> frozenset[str]:
    """What a sentence need not say, for the value itself says so: `the receiver is serial`."""
    if term.shape == "port" and text.isdigit():
        return frozenset()
    return _SAY_THEMSELVES.get(term.shape, _SAY_THEMSELVES.get(term.fact, frozenset()))


_SAY_THEMSELVES = {
    "radio-protocol": frozenset(["protocol"]),
    "motor-protocol": frozenset(["protocol"]),
    "port": frozenset(["port"]),
    "date": frozenset(["build"]),
    "frequency": frozenset(["frequency"]),
    "power": frozenset(["power"]),
    "truth": frozenset(["enabled"]),
    "receiver.kind": frozenset(["kind"]),
    "video.link": frozenset(["link"]),
    "overlay.system": frozenset(["system"]),
    "failsafe.action": frozenset(["action"]),
    "logger.device": frozenset(["storage"]),
}


def _against(
    piece: Piece, term: Term, strange: float, other_concept: float, domains: frozenset[str] | None = None
) -> float:
    """What a piece takes away. With `domains`, only concepts of those count as another one."""
    if piece.concepts & term.fitting or piece.text in _PREPOSITIONS:
        return 0.0
    if piece.other and not (domains is not None and piece.concepts & domains):
        return _MEANS_OTHER
    if piece.neutral or piece.unit:
        return 0.0
    if len(piece.text) <= _SHORT and not piece.concepts & _DOMAINS:
        return min(strange, _SHORT_PIECE)
    if piece.concepts and domains is not None and not piece.concepts & domains:
        return 0.0
    return other_concept if piece.concepts else strange


def said(name: Name, term: Term) -> str:
    """In words: what of the name speaks for the fact."""
    pieces = [piece for piece in (*name.around, *name.leaf) if piece.concepts & term.fitting]
    return ", ".join(
        dict.fromkeys(f"{piece.text!r} names {' or '.join(sorted(piece.concepts & term.fitting))}" for piece in pieces)
    )
