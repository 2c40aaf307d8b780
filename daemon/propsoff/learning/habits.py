"""Learning how a console talks from what it printed: its prompt, its error line, its pager. Pure."""

from __future__ import annotations

import re
from collections.abc import Sequence

from propsoff.console.manner import Line

NONSENSE = "qzxv"
"""A word that no console knows: asked once, to hear how it says so."""
_NUMBER = re.compile(r"[0-9]+")
_STOPS = re.compile(
    r"more|any key|next page|continue|weiter|taste|suite|touche|tecla|seguir|tasto|continua|toets|tangent|klawisz|"
    r"[0-9]+ ?%|"
    r"[0-9]+ ?(?:/|of|von|de|di|av|z) ?[0-9]+|^[-=*:. ]*\(?end\)?[-=*:. ]*$|^[-=*:. ]+$",
    re.IGNORECASE,
)
_LONGEST_PROMPT = 64


def escaped(text: str) -> str:
    """Text as a line template takes it literally."""
    return text.replace("{", "{{").replace("}", "}}")


def prompt_of(tails: Sequence[str]) -> str | None:
    """The template of a prompt that was seen several times; numbers that change in it are fields.

    None when the tails are no prompt: empty, too long, or different in more than numbers.
    """
    if not tails or any(not tail.strip() or len(tail) > _LONGEST_PROMPT for tail in tails):
        return None
    if len(set(tails)) == 1:
        return escaped(tails[0].rstrip(" "))
    shapes = {_NUMBER.sub("0", tail) for tail in tails}
    if len(shapes) > 1:
        return None
    return _NUMBER.sub("{_:int}", escaped(tails[0].rstrip(" ")))


def common_prompt(tails: Sequence[str]) -> str | None:
    """The template of prompts that differ from menu to menu in their words: what they end with tells them.

    None when they have no end in common.
    """
    if (same := prompt_of(tails)) is not None:
        return same
    kept = [tail.rstrip(" ") for tail in tails if tail.strip()]
    if not kept:
        return None
    end = kept[0]
    while end and not all(tail.endswith(end) for tail in kept):
        end = end[1:]
    end = re.sub(r"^[\w ]+", "", end)
    return "{_:words}" + escaped(end) if end and all(len(tail) > len(end) for tail in kept) else None


def error_of(lines: Sequence[Line], word: str) -> str | None:
    """The template of the line that answers an unknown word; None when there is no such line."""
    for line in lines:
        text = line.text.strip()
        if not text:
            continue
        at = text.casefold().find(word.casefold())
        before, found, after = text[:at], text[at : at + len(word)], text[at + len(word) :]
        if at < 0 or not found:
            return escaped(text)
        if not after.strip() or not before.strip():
            return escaped(before) + ("{_:rest}" if not after.strip() else "{_:word}" + escaped(after))
        return escaped(before) + "{_:word}" + escaped(after)
    return None


def is_error(lines: Sequence[Line], asked: str, nonsense_reply: Sequence[Line]) -> bool:
    """Whether a reply is the answer to an unknown word, as the nonsense word was answered."""
    wanted = [line.text.strip().casefold().replace(NONSENSE, "\0") for line in nonsense_reply if line.text.strip()]
    got = [line.text.strip().casefold() for line in lines if line.text.strip()]
    asked = asked.casefold()
    if not wanted or not got:
        return False
    first = asked.split()[0] if asked.split() else asked
    said = {got[0].replace(asked, "\0", 1), got[0].replace(first, "\0", 1), got[0]}
    return wanted[0] in said or _NUMBER.sub("0", wanted[0]) in {_NUMBER.sub("0", text) for text in said}


def is_nonsense(word: str) -> bool:
    """Whether a word is the nonsense word, or what is left of it where characters were lost."""
    plain = word.casefold()
    return len(plain) > 1 and is_left_of(plain, NONSENSE)


def is_left_of(heard: str, typed: str) -> bool:
    """Whether what was heard is what was typed, or that with characters lost."""
    rest = iter(typed)
    return bool(heard) and all(char in rest for char in heard)


def is_misheard(lines: Sequence[Line], asked: str, nonsense_reply: Sequence[Line]) -> bool:
    """Whether a console refuses, as it refused the nonsense word, what is left of a word that lost characters."""
    first = next((line.text.strip() for line in lines if line.text.strip()), "").casefold()
    for line in nonsense_reply:
        before, quoted, after = line.text.strip().casefold().partition(NONSENSE)
        if not quoted:
            continue
        pattern = _NUMBER.sub("[0-9]+", re.escape(before)) + "(.*)" + _NUMBER.sub("[0-9]+", re.escape(after))
        match = re.fullmatch(pattern, first)
        heard = match[1].strip() if match else ""
        words = asked.casefold().split()
        return heard not in ("", " ".join(words), *words[:1]) and is_left_of(heard, " ".join(words))
    return False


def looks_like_pager(tail: str) -> bool:
    """Whether a line on which a long reply stops asks for a key."""
    text = tail.strip()
    return bool(text) and len(text) <= _LONGEST_PROMPT and _STOPS.search(text) is not None


def pager_of(stops: Sequence[str]) -> str:
    """The template of the lines at which replies stopped: numbers in them are fields."""
    text = escaped(stops[0].strip())
    return _NUMBER.sub("{_:int}", text)
