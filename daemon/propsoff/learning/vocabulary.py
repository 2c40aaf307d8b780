"""Words of consoles that do harm, and words that only read, in several languages.

A word that writes, erases, restarts, enters a loader, moves a motor, radiates or hands the line over to somebody else
is never sent to a console that nobody knows. In doubt a word does harm. The words stand in `vocabulary.toml`.
"""

from __future__ import annotations

import re
import tomllib
import unicodedata
from functools import cache
from importlib.resources import files

_UPPER, _LOWER = "A-Z\u00c0-\u00de", "a-z\u00df-\u00ff\u0100-\u017f"
_UPPER, _LOWER = (
    "".join(chr(code) for code in range(0x250) if chr(code).isalpha() and chr(code).isupper() is upper)
    for upper in (True, False)
)
_PIECES = re.compile(rf"[{_UPPER}]+(?![{_LOWER}])|[{_UPPER}]?[{_LOWER}]+|[^\W\d_]+|[0-9]+|[?]")
_HUMPS = re.compile(r"[A-Z]?[a-z]{2,}[0-9]*(?:[A-Z][a-z]{2,}[0-9]*)+")
_PART, _HIDDEN = 5, 4
"""So long a stem does harm within a longer word of a description, and within a command."""


@cache
def words_of(kind: str) -> tuple[str, ...]:
    """The words of one kind, a key of `vocabulary.toml`: `harmful_stems`, `reading_words`, `help` and so on."""
    return tuple(_tables()[kind].split())


@cache
def _tables() -> dict[str, str]:
    return tomllib.loads(files(__package__).joinpath("vocabulary.toml").read_text(encoding="utf-8"))


def pieces_of(text: str) -> tuple[str, ...]:
    """The pieces of words in lower case: ``rxPort_2`` gives rx, port and 2."""
    micro = unicodedata.normalize("NFC", text).replace("\u03bc", "\u00b5").replace("DShot", "Dshot")
    return tuple(piece.lower() if "\u00b5" in piece else piece.casefold() for piece in _PIECES.findall(micro))


def harm_in(text: str) -> str | None:
    """The first piece of a text that does harm, None when none does."""
    return next((piece for piece in pieces_of(text) if harms(piece)), None)


@cache
def harms(piece: str) -> bool:
    """Whether one piece does harm: as a word, by how it begins, or by a long stem within."""
    plain = unaccented(piece)
    if piece in words_of("things") or piece in words_of("reading_words"):
        return False
    if piece in words_of("harmful_words") or plain in words_of("harmful_words"):
        return True
    return plain.startswith(_stems(1)) or any(stem in plain for stem in _stems(_PART))


def hidden_harm_in(word: str) -> str | None:
    """What does harm within a command that is written in one, such as `cfgsave`; None when nothing does."""
    parted = _HUMPS.fullmatch(word) is not None  # capitals part the words then
    for piece in pieces_of(word if parted else word.casefold()):
        if piece in words_of("things") or piece in words_of("reading_words"):
            continue
        plain = unaccented(piece)
        ends = next((end for end in words_of("harmful_ends") if plain.endswith(end)), None)
        if found := ends or next((stem for stem in _stems(_HIDDEN) if stem in plain), None):
            return found
    return None


@cache
def _stems(fewest: int) -> tuple[str, ...]:
    """The harmful stems of so many letters and more, without accents."""
    return tuple(dict.fromkeys(stem for stem in map(unaccented, words_of("harmful_stems")) if len(stem) >= fewest))


@cache
def unaccented(text: str) -> str:
    """A text in lower case with its letters plain: consoles without accents leave them out."""
    plain = unicodedata.normalize("NFKD", text.casefold().translate(_STROKED))
    return "".join(char for char in plain if not unicodedata.combining(char))


_STROKED = str.maketrans({"ł": "l", "ø": "o", "đ": "d", "æ": "ae", "œ": "oe"})


def motor_in(text: str) -> str | None:
    """The first piece of a text that names a motor or what drives one, None when none does."""
    return next((piece for piece in pieces_of(text) if piece.startswith(words_of("motor_stems"))), None)


def reads_in(text: str) -> str | None:
    """The first piece of a text that only reads, None when there is none."""
    return next((piece for piece in pieces_of(text) if piece in words_of("reading_words")), None)


def reads_all(word: str) -> bool:
    """Whether a word is one of those that read everything at once."""
    return any(piece in words_of("read_all") for piece in pieces_of(word))
