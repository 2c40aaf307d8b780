"""A console of fixed pages that keeps, beside each fact, the text that states it, and shows what harm was done."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tests_support.other_consoles.console import Console, Truth


@dataclass(frozen=True)
class Said:
    """The canonical value of a fact, the word that prints it, and the texts of that reply that state it."""

    value: Any
    word: str
    texts: tuple[str, ...]


@dataclass(frozen=True)
class Harm:
    """What a harmful word does that can be seen.

    It prints a text, and afterwards the reply to `look` says `after` where it said `before`. A loader has no `look`:
    nothing answers any more. `sample` is a whole line for a word that takes arguments.
    """

    prints: str
    look: str = ""
    before: str = ""
    after: str = ""
    sample: str = ""


def said(value: Any, word: str, *texts: str) -> Said:
    """A fact with the word and the texts that state it."""
    return Said(value, word, texts)


def truth_of(stated: Mapping[str, Said], coded: Mapping[str, Said] | None = None) -> Truth:
    """The truth without the texts."""
    return Truth(
        {name: one.value for name, one in stated.items()}, {name: one.value for name, one in (coded or {}).items()}
    )


class StatingConsole(Console):
    """A console of pages: a word is answered with its page, an unknown one with `error`.

    `stated` and `coded` hold the texts for the truth, `harms` what each harmful word does, `pages` what each word that
    only reads prints (lines that end with LF here), `help_word` the page that lists the words ("" when there is none).
    """

    kinds: tuple[str, ...]
    banner: str = ""
    pages: Mapping[str, str]
    harms: Mapping[str, Harm]
    stated: Mapping[str, Said]
    coded: Mapping[str, Said] = {}
    help_word: str = "help"
    error: str = "unknown: {line}"
    any_case: bool = False
    pager: tuple[str, bytes] | None = None
    """What the pager shows, and the key that goes on."""

    def __init__(self) -> None:
        super().__init__()
        self.done: list[Harm] = []
        self.in_loader = False

    def plugged_in(self) -> str:
        return self._wire(self.banner) if self._awake else ""

    def answer(self, line: str) -> str:
        typed = line.strip().upper() if self.any_case else line.strip()
        for word, harm in self.harms.items():
            if typed == word or typed.startswith(word + " "):
                self.done.append(harm)
                self.in_loader = not harm.look
                return self._wire(harm.prints + "\n")
        if typed in self.pages:
            return self._wire(self._shown(self.pages[typed]))
        return self._wire(self.error.format(line=typed) + "\n")

    def entered(self, line: str) -> str:
        text = super().entered(line)
        return text.removesuffix(self.prompt) if self.in_loader else text

    def _key(self, byte: int) -> bytes:
        return b"" if self.in_loader else super()._key(byte)

    def _shown(self, page: str) -> str:
        for harm in self.done:
            page = page.replace(harm.before, harm.after)
        return page

    def _wire(self, text: str) -> str:
        return text.replace("\n", self.newline)
