"""Whether a console answers an unknown word by starting again. Pure."""

from __future__ import annotations

import re
from collections.abc import Sequence

from propsoff.console.manner import Line
from propsoff.learning.choosing import choose
from propsoff.learning.habits import NONSENSE
from propsoff.learning.help_text import help_words, menu_entries
from propsoff.learning.speaker import Said
from propsoff.learning.vocabulary import pieces_of, words_of

_LONGEST_ERROR = 3
_FEWEST_WORDS = 2
_SHORTEST_GREETING = 8
_NUMBER = re.compile(r"[0-9]+")
_VERSION = re.compile(r"(?<![\w.])v?[0-9]+\.[0-9]+(?:\.[0-9]+)?(?![\w.])", re.IGNORECASE)


def has_restarted(said: Said, greeting: Sequence[Line]) -> bool:
    """Whether the answer to the nonsense word may be that of a console that starts again; in doubt it is."""
    texts = said.texts
    greeted = {_shape(line.text) for line in greeting if len(line.text.strip()) >= _SHORTEST_GREETING}
    if any(_shape(text) in greeted for text in texts):
        return True
    if len(texts) > _LONGEST_ERROR:
        return not names_its_words(said)
    if any(NONSENSE in text.casefold() for text in texts):
        return False
    if said.woken:
        return True
    pieces = {piece for text in texts for piece in pieces_of(text)}
    if any(piece.startswith(words_of("restart_stems")) for piece in pieces) or any(map(_VERSION.search, texts)):
        return True
    refuses = any("?" in text for text in texts) or any(piece.startswith(words_of("error_stems")) for piece in pieces)
    return len(texts) > 1 and not refuses


def names_its_words(said: Said) -> bool:
    """Whether a long answer to an unknown word is a list of words, of which some certainly read."""
    pieces = {piece for text in said.texts for piece in pieces_of(text)}
    words = menu_entries(said.lines) or help_words(said.lines)
    described = [word for word in words if sum(map(str.isalpha, pieces_of(word.says))) > 1]
    chosen, _ = choose(described, len(words))
    boots = any(piece.startswith("boot") for piece in pieces) and len(chosen) < len(said.texts) // 2
    return len(chosen) >= _FEWEST_WORDS and not boots


def restarts_again(said: Said, first: Said) -> bool:
    """Whether an answer begins as the one did with which the console first started again."""
    known = {_shape(text) for text in first.texts}
    return bool(known) and any(_shape(text) in known for text in said.texts[:1])


def _shape(text: str) -> str:
    return _NUMBER.sub("0", text.strip().casefold())
