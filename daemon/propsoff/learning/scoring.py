"""How well a name fits a fact: which of its concepts are named, where, and what in the name speaks against it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from propsoff.learning.readings import RADIO_PROTOCOLS
from propsoff.learning.thesaurus import UNITS, Piece, Term, folded, named, read_name

_BASE = 0.95
_WANTED = 0.04
_CONTEXT_ONLY = 0.06
_OTHER_DOMAIN = 0.35
_DOMAINS = frozenset(
    [
        "receiver", "channel", "stick", "overlay", "video", "battery", "motor", "failsafe", "telemetry", "logger",
        "switch", "gyro", "accelerometer", "barometer",
    ]
)  # fmt: skip
"""What a section may be about: a name of one domain means nothing of another."""
_STRANGE_PIECE = 0.25
_STRANGE_CONTEXT = 0.04
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
_FREE_SHAPES = frozenset(["label", "name", "date"])


@dataclass(frozen=True, slots=True)
class Name:
    """A name taken apart: the pieces of its last word, and those of what stands around it."""

    leaf: tuple[Piece, ...]
    around: tuple[Piece, ...]
    beside: str | None = None

    @classmethod
    def of(cls, path: Sequence[str], command: str = "", unit: str = "") -> Name:
        """The name that a path gives, with the command that was answered, and the unit that stands beside the value."""
        around = [piece for part in path[:-1] for piece in read_name(part)]
        known = {piece.text for piece in around}
        asked = [piece for piece in read_name(command) if piece.text not in known and (piece.concepts or piece.other)]
        return cls(read_name(path[-1]) if path else (), (*around, *asked), UNITS.get(unit.casefold()))

    @property
    def unit(self) -> str | None:
        """The unit that the name says."""
        return self.beside or (self.leaf[-1].unit if self.leaf else None)


def score(name: Name, term: Term, text: str) -> float:
    """0 to 1: how well a name and a value's text fit a fact, the value being one of the right shape."""
    leaf, around = named(name.leaf), named(name.around)
    if term.shape in ("radio-protocol", "motor-protocol") and (
        folded(text) in RADIO_PROTOCOLS or term.shape == "motor-protocol"
    ):
        leaf = leaf | {"protocol"}
    if term.shape == "truth" and not text.strip().isdigit():
        leaf = leaf | {"enabled"}
    result = _BASE - (_FREE_TEXT if term.shape in _FREE_SHAPES else 0.0)
    if term.wants & (leaf | around):
        result += _WANTED
    in_leaf = 0
    for need in term.needs:
        if need & leaf:
            in_leaf += 1
        elif need & around:
            result -= _CONTEXT_ONLY
        else:
            return 0.0
    if not in_leaf and not leaf & term.wants:
        return 0.0
    if term.shape == "order" and text.casefold() in _ORDINARY_WORDS and "order" not in leaf:
        return 0.0
    strange = _STRANGE_BUT_PLAIN if term.shape in _PLAIN_BY_LOOK else _STRANGE_PIECE
    for piece in name.leaf:
        result -= _against(piece, term, strange, _OTHER_CONCEPT)
    generic = len(term.needs) == 1 and not any(piece.concepts & term.fitting & _DOMAINS for piece in name.around)
    for piece in name.around:
        result -= _against(piece, term, _STRANGE_CONTEXT, _OTHER_DOMAIN if generic else _OTHER_CONTEXT, _DOMAINS)
    return max(0.0, min(1.0, result + _PER_NEED * (len(term.needs) - 1)))


def _against(
    piece: Piece, term: Term, strange: float, other_concept: float, domains: frozenset[str] | None = None
) -> float:
    """What a piece takes away. With `domains`, only concepts of those count as another one."""
    if piece.concepts & term.fitting:
        return 0.0
    if piece.other:
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
