"""What the pieces of a console's words may mean: terms of the trade in several languages, from `thesaurus.toml`."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from propsoff.learning.vocabulary import pieces_of

UNITS: Mapping[str, str] = {
    "mv": "mV", "v": "V", "volts": "V", "volt": "V", "us": "us", "usec": "us", "µs": "us", "\u03bcs": "us",
    "ms": "ms", "msec": "ms", "s": "s", "sec": "s", "secs": "s", "seconds": "s", "hz": "Hz", "khz": "kHz", "mhz": "MHz",
    "ghz": "GHz", "mw": "mW", "w": "W", "pct": "%", "percent": "%", "prozent": "%", "kb": "kB", "mb": "MB",
    "kib": "KiB", "mib": "MiB", "bytes": "bytes", "gb": "GB", "gib": "GiB", "byte": "bytes",
    "a": "A", "ma": "mA", "mah": "mAh", "amps": "A", "c": "C", "degc": "C", "deg": "deg",
    "rpm": "rpm", "db": "dB", "dbm": "dBm", "kv": "kV",
}  # fmt: skip
"""Pieces of a name that say the unit, and the dialect language's word for it."""

_ELIDED = re.compile(r"\b[dlDL]['’](?=\w)")
_SHORTEST_PART = 2
_INFLECTED = 5
_ENDINGS = ("s", "n", "en", "e", "es", "er", "em")
_CONNECTING = ("", "s", "n", "en", "e", "er", "es")


@dataclass(frozen=True, slots=True)
class Term:
    """What tells one fact. Each of `needs` is one concept or several of which one will do; `wants` fit it, too."""

    fact: str
    needs: tuple[frozenset[str], ...]
    wants: frozenset[str]
    shape: str
    by_leaf: bool = False
    """Whether the last word itself must name all of it."""
    unless: frozenset[str] = frozenset()
    """Concepts that it does not go together with."""

    @property
    def fitting(self) -> frozenset[str]:
        """Every concept that may stand in its name."""
        return self.wants.union(*self.needs)


@cache
def _tables() -> dict[str, Any]:
    return tomllib.loads(files(__package__).joinpath("thesaurus.toml").read_text(encoding="utf-8"))


@cache
def terms() -> Mapping[str, Term]:
    """The facts outside repeated groups, by canonical name; another way to name one has a word behind it."""
    return {name: _term(name.partition(" ")[0], entry) for name, entry in _tables()["facts"].items()}


@cache
def row_terms(group: str) -> tuple[frozenset[str], Mapping[str, Term]]:
    """Of a repeated group: the concepts of which its name has one, and its own facts."""
    table = dict(_tables()["rows"][group])
    needs = frozenset(table.pop("needs"))
    return needs, {leaf: _term(f"{group}[].{leaf}", entry) for leaf, entry in table.items()}


def _term(fact: str, entry: Mapping[str, Any]) -> Term:
    needs = tuple(frozenset(need.split("|")) for need in entry["needs"])
    wants, unless = frozenset(entry.get("wants", ())), frozenset(entry.get("unless", ()))
    return Term(fact, needs, wants, entry["shape"], bool(entry.get("by_leaf")), unless)


def groups() -> tuple[str, ...]:
    """The repeated groups that are known."""
    return tuple(_tables()["rows"])


@cache
def value_words(table: str) -> Mapping[str, str]:
    """Words of values, folded, and what each means; of a table such as `truth`, `roles` or `failsafe.action`."""
    return {folded(word): meaning for meaning, words in _tables()["values"][table].items() for word in words.split()}


@cache
def _all_value_words() -> frozenset[str]:
    return frozenset(word for table in _tables()["values"] for word in value_words(table))


def is_value_word(text: str) -> bool:
    """Whether a text is a word of some fact's values, such as `serial`, `found` or `yes`."""
    return folded(text) in _all_value_words()


def is_truth_word(text: str) -> bool:
    """Whether a text says yes or no."""
    return folded(text) in value_words("truth")


@cache
def words_for(kind: str) -> frozenset[str]:
    """Folded words of phrases: `missing` (that something is not there), `raised` (that it is too high)."""
    return frozenset(folded(word) for word in _tables()["phrases"][kind].split())


@cache
def truth_pairs() -> tuple[str, ...]:
    """The words for yes and no that come in pairs, such as `on off`."""
    return tuple(pair.strip() for pair in _tables()["pairs"]["truth"].split("|"))


def has_value_words(table: str) -> bool:
    """Whether the words of this fact's values are known."""
    return table in _tables()["values"]


def folded(text: str) -> str:
    """Text for comparing: lower case, without accents, blanks, hyphens and underscores."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    kept = "".join(char for char in plain if not unicodedata.combining(char))
    return re.sub(r"[\s_-]+", "", kept).rstrip(".") or text.strip()


@cache
def _concepts() -> Mapping[str, frozenset[str]]:
    found: dict[str, set[str]] = {}
    for concept, words in _tables()["concepts"].items():
        for word in words.split():
            found.setdefault(folded(word), set()).add(concept)
    return {word: frozenset(concepts) for word, concepts in found.items()}


@cache
def _others() -> frozenset[str]:
    return frozenset(folded(word) for word in _tables()["other"]["words"].split())


@cache
def _neutral() -> frozenset[str]:
    return frozenset(_tables()["neutral"]["words"].split())


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of a name: what it may mean, whether it means something else, and the unit that it says."""

    text: str
    concepts: frozenset[str]
    other: bool = False
    unit: str | None = None

    @property
    def neutral(self) -> bool:
        """Whether it says nothing: a number, an article, a filler."""
        return self.text.isdigit() or self.text in _neutral()


def read_name(text: str) -> tuple[Piece, ...]:
    """The pieces of a name; a piece made of several known words (`cellwarn`, `zellenzahl`) comes apart."""
    return tuple(piece for word in pieces_of(_ELIDED.sub("", text)) for piece in _parts(folded(word)))


@cache
def _parts(word: str) -> tuple[Piece, ...]:
    if (
        word in _concepts()
        or word in _others()
        or word in UNITS
        or word in _neutral()
        or len(word) < 2 * _SHORTEST_PART
    ):
        return (_piece(word),)
    for ending in _ENDINGS:
        stem = word.removesuffix(ending)
        if stem != word and len(stem) > 3 and (stem in _concepts() or stem in _others()):
            return (_piece(stem),)
    if (other := _inflected().get(_stem(word))) is not None and len(word) >= _INFLECTED:
        return (_piece(other),)
    split = _segmented(word)
    return tuple(map(_piece, split)) if split else (_piece(word),)


def _stem(word: str) -> str:
    """A word without its last vowel and the mark of the plural: `minima` and `minimos` are one."""
    return word.removesuffix("s").rstrip("aeio")


@cache
def _inflected() -> Mapping[str, str]:
    """By stem the first known word that is long enough to be told by it."""
    found: dict[str, str] = {}
    for word in _concepts():
        if len(word) >= _INFLECTED and word[-1] in "aeios":
            found.setdefault(_stem(word), word)
    return found


def _piece(word: str) -> Piece:
    return Piece(word, _concepts().get(word, frozenset()), word in _others(), UNITS.get(word))


@cache
def _segmented(word: str) -> tuple[str, ...] | None:
    """The fewest known words that make up a word, with a connecting letter or two between; None when none do."""
    best: tuple[str, ...] | None = None
    for end in range(len(word), _SHORTEST_PART - 1, -1):
        head = word[:end]
        if head not in _concepts() and head not in _others() and not (head in _neutral() and end > _SHORTEST_PART):
            continue
        if end == len(word):
            return (head,)
        for joint in _CONNECTING:
            rest = word[end:]
            if not rest.startswith(joint) or len(rest) - len(joint) < _SHORTEST_PART:
                continue
            tail = _segmented(rest[len(joint) :])
            if tail is not None and (best is None or len(tail) + 1 < len(best)):
                best = (head, *tail)
    return best


def named(pieces: Iterable[Piece]) -> frozenset[str]:
    """Every concept that the pieces may mean."""
    return frozenset().union(*(piece.concepts for piece in pieces))


def is_term(word: str) -> bool:
    """Whether a word as it stands is a term of the trade."""
    return folded(word) in _concepts()


def names_something(text: str) -> bool:
    """Whether a word names something of a craft that a listing would be about."""
    return any(piece.concepts and not piece.other for piece in read_name(text))
