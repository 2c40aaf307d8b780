"""Menus that an answer opens: what they offer, and the way back out of them."""

from __future__ import annotations

import re
from collections.abc import Sequence

from propsoff.console.manner import Line
from propsoff.learning.help_text import help_words, menu_entries
from propsoff.learning.model import HelpWord
from propsoff.learning.vocabulary import pieces_of, words_of

_ENTRY = re.compile(r"\s*[\[(<]?([0-9]{1,2}|[A-Za-z])[\])>.:=-]*[ \t]+[-–:=]?[ \t]*(\S.{0,40})")
_NAMED = re.compile(r"\b(\w{1,2})\s*(?:=|:|-|>|for|to)\s*([^\W\d_]{2,})")
_SHORT = 6
_KEY = 1
_GOES_HOME = frozenset(["return", "home"])
"""`9  return home` is what a craft does that lost its radio, and no way back."""


def way_back(lines: Sequence[Line], *, listed: bool) -> str:
    """What an answer says is to be typed to leave it again; empty when it names nothing.

    `listed`: whether the words of a help count, too, and not only entries of a menu.
    """
    entries = [HelpWord(match[1], match[2], line.number) for line in lines if (match := _ENTRY.fullmatch(line.text))]
    entries += help_words(lines) if listed else ()
    return next((entry.word for entry in entries if leads_back(entry)), "")


def way_back_in(prompt: str) -> str:
    """The key that a prompt names for leaving the menu: `about (q = back)>`; empty when it names none."""
    for key, says in _NAMED.findall(prompt):
        if set(pieces_of(says)) & set(words_of("ways_back")):
            return str(key)
    return ""


def leads_back(entry: HelpWord) -> bool:
    """Whether a menu's entry leads out of it: `back`, `to the main menu`, `q` as in `q  leave`."""
    said, back = pieces_of(entry.says), set(words_of("ways_back"))
    if not said:
        return bool(pieces_of(entry.word)) and set(pieces_of(entry.word)) <= back
    named = {*said, *(piece for piece in pieces_of(entry.word) if len(piece) > _KEY)}
    if not named & back or {*said} >= _GOES_HOME:
        return False
    return len(said) <= _SHORT and {*said} <= {*back, *words_of("about_menus")}


def offered(lines: Sequence[Line]) -> tuple[HelpWord, ...]:
    """The entries of the menu that an answer opened, without the way back."""
    return tuple(entry for entry in menu_entries(lines, fewest=1) if not leads_back(entry))
