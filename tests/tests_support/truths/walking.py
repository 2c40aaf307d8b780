"""Going to the page of a word and back, on consoles with menus as on those without."""

from __future__ import annotations

from tests_support.closing_consoles.ousterby import Ousterby
from tests_support.exam_consoles.oxlip import Oxlip
from tests_support.final_consoles.cawthwaite import Cawthwaite
from tests_support.judging_consoles_b.morwick import Morwick
from tests_support.other_consoles.stating import StatingConsole
from tests_support.other_consoles.typist import Typist
from tests_support.trial_consoles_c.lindrick import Lindrick
from tests_support.unseen_consoles.orrin import Orrin

_MAIN_MENUS = {Cawthwaite: "main menu ==", Ousterby: "MAIN MENU"}


def menus_above(kind: type[StatingConsole], word: str) -> tuple[str, ...]:
    """The entries that lead to the menu in which a word is offered."""
    if issubclass(kind, Orrin | Lindrick):
        outer = kind.within.get(word)
        return () if outer is None else (*menus_above(kind, outer), outer)
    if issubclass(kind, Morwick) and word != kind.help_word:
        outer = kind.menu_of(word)
        return () if outer == kind.help_word else (outer,)
    return ()


def go(console: StatingConsole, typist: Typist, word: str) -> None:
    """Enter the menus in which a word is offered."""
    for menu in menus_above(type(console), word):
        typist.enter(menu)


def page_of(console: StatingConsole, typist: Typist, word: str) -> str:
    """What a word prints, from where everything begins and back to it."""
    go(console, typist, word)
    text = typist.enter(word, ending=console.prompt_within(word) if isinstance(console, Oxlip) else None)
    leave(console, typist, word)
    return text


def leave(console: StatingConsole, typist: Typist, word: str) -> None:
    """Back to where everything begins, after a word."""
    kind = type(console)
    if isinstance(console, Orrin | Lindrick):  # twice is deep enough, and once too often does nothing
        typist.enter(console.way_back)
        typist.enter(console.way_back)
    elif isinstance(console, Oxlip) and console.prompt_within(word) != console.prompt:
        typist.enter(console.back)
    elif isinstance(console, Cawthwaite | Ousterby) and word in kind.pages and word.isdigit():
        assert _MAIN_MENUS[kind] in typist.enter(console.way_back)
    elif isinstance(console, Morwick) and word != kind.help_word and (word in kind.pages or menus_above(kind, word)):
        main = kind.pages[kind.help_word].replace("\n", kind.newline)
        while main not in typist.enter(console.way_back):
            pass


def listing(kind: type[StatingConsole]) -> str:
    """Where a console lists its words: its help and the menus; where it has no help, the page that lists them."""
    menus = {menu for word in (*kind.pages, *kind.harms) for menu in menus_above(kind, word)}
    top = {kind.help_word, "0" if issubclass(kind, Orrin) else "", "" if kind.help_word else "ledger"}
    return "\n".join(kind.pages[word] for word in sorted(menus | top) if word in kind.pages)
