"""Menus that an answer opens: what they offer, and the way back out of them."""

from __future__ import annotations

import re
from collections.abc import Sequence

from propsoff.console.manner import Line
from propsoff.learning.entries import Entry, menu_of, states_a_value
from propsoff.learning.help_text import help_words
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
    """The entries of the menu that an answer opened, without the way back.

    An opened page may be one of settings, and a value typed as a key would do what nobody knows. So it is an entry only
    where it states no value, has the same marks in the same place as the others, and its key is in their counting
    order; a menu of which that is not so offers nothing.
    """
    entries = menu_of(lines, 1)
    ways_back = [entry for entry in entries if leads_back(entry.word)]
    found = [entry for entry in entries if entry not in ways_back]
    telling = not any(map(states_a_value, found))
    alike = {entry.marks for entry in entries} and len({entry.marks for entry in entries}) == 1
    if not (found and telling and alike and _are_in_place(found, ways_back) and _count_up(found, ways_back)):
        return ()
    return tuple(entry.word for entry in found)


def _are_in_place(found: Sequence[Entry], ways_back: Sequence[Entry]) -> bool:
    """Whether the keys, or what they say, stand below one another; one alone is compared with the way back."""
    firsts = [entry for entry in found if entry.first]
    compared = firsts if len(firsts) > 1 else [*firsts, *ways_back]
    return len({entry.key_at for entry in compared}) == 1 or len({entry.says_at for entry in compared}) == 1


def _count_up(found: Sequence[Entry], ways_back: Sequence[Entry]) -> bool:
    """Whether the numbers are those of a menu: each once, one after the other, and rising where each has a line."""
    keys = [entry.word.word for entry in found]
    if len({*keys}) < len(keys):
        return False
    numbers = [int(key) for key in keys if key.isdigit()]
    if all(entry.first for entry in found) and numbers != sorted(numbers):
        return False
    known = {*numbers, *(int(entry.word.word) for entry in ways_back if entry.word.word.isdigit())}
    return all(number == 1 or known & {number - 1, number + 1} for number in numbers)
