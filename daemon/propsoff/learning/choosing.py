"""Which words of an unknown console may be sent: only those that read, and in doubt none."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from propsoff.learning.help_lists import is_doing
from propsoff.learning.model import HelpWord, LeftOut
from propsoff.learning.thesaurus import is_term, names_something, read_name
from propsoff.learning.vocabulary import (
    harm_in,
    hidden_harm_in,
    motor_in,
    pieces_of,
    reads_all,
    reads_in,
    words_of,
)


def choose(
    words: Iterable[HelpWord], most: int, *, menu: bool = False, pages_least: int = 3
) -> tuple[tuple[HelpWord, ...], tuple[LeftOut, ...]]:
    """(to be sent, left out with the reason). At most `most` are sent; those that read everything come first.

    In a `menu` where `pages_least` entries are called by what they show, so are all others that are called by a thing.
    """
    words = list(words)
    pages = [word for word in words if menu and _is_page(word)]
    wanted: list[HelpWord] = []
    left_out: list[LeftOut] = []
    for word in words:
        why = None if len(pages) >= pages_least and word in pages else reason_against(word)
        if why is None:
            wanted.append(word)
        else:
            left_out.append(LeftOut(word, why))
    wanted.sort(key=lambda word: not reads_all(word.word))
    left_out += [LeftOut(word, f"{most} words are sent at most") for word in wanted[most:]]
    return tuple(wanted[:most]), tuple(left_out)


def _is_page(word: HelpWord) -> bool:
    """Whether a menu's entry is called by one thing, in so many words: what is done there has no verb."""
    pieces = read_name(word.says)
    named = all(piece.concepts or piece.neutral for piece in pieces)
    return (
        any(piece.concepts for piece in pieces)
        and named
        and _harm_described(word.says) is None
        and not _begins_by_doing(word.says)
    )


def reason_against(word: HelpWord) -> str | None:
    """Why a word is not sent, None when it only reads."""
    if (harm := _harm_of(word.word)) is not None:
        return f"{harm!r} may change something"
    if (harm := _harm_described(word.says)) is not None and not _ends_with_load(word, harm):
        return f"what it says of it speaks of {harm!r}"
    if word.under and (is_doing(word.under) or (harm := harm_in(word.under)) is not None):
        return f"it stands under {word.under!r}"
    if word.takes and not word.takes.startswith("["):
        return f"it wants to be told something ({word.takes}), and no argument is ever sent"
    if (harm := harm_in(word.takes)) is not None:
        return f"what it may be told speaks of {harm!r}"
    named = motor_in(word.word) or motor_in(word.says)
    if named is not None and not _surely_reads(word):
        return f"{named!r} may move something"
    if not _known_to_read(word):
        return "nothing says that it only reads"
    return None


def _harm_of(word: str) -> str | None:
    """What in a command does harm, however it is written; None when nothing does."""
    word = _ON_THE.sub("", word)
    agreed = next((piece for piece in pieces_of(word.casefold()) if piece in words_of("agreeing")), None)
    return harm_in(word) or hidden_harm_in(word) or agreed


_ON_THE = re.compile(r"(?<![^\W\d_])on[-_ ]?(?=screen|board)", re.IGNORECASE)
"""`on` in `onScreen` says where."""


def does_no_harm(word: HelpWord) -> bool:
    """Whether nothing speaks against sending a word that the console points at; its line is its description."""
    if _harm_of(word.word) is not None or motor_in(word.word) is not None:
        return False
    return reads_in(word.word) is not None or (harm_in(word.says) is None and motor_in(word.says) is None)


def _harm_described(says: str) -> str | None:
    """What a description says that does harm. In one that begins with reading, adjectives and such nouns do none."""
    pieces = _with_marks(says)
    reads = bool(pieces) and reads_in(pieces[0]) is not None
    for at, piece in enumerate(pieces):
        if harm_in(piece) is None:
            continue
        if piece in words_of("little_words") and (_is_little(pieces, at) or _says_where(pieces, at)):
            continue
        if reads and is_term(piece) and piece not in words_of("doing"):  # `visa programvara, kort`
            continue
        joined = any(mark in words_of("joins") for mark in pieces[max(0, at - 3) : at])
        if not reads or joined or not (_PARTICIPLE.fullmatch(piece) or piece in words_of("shown_nouns")):
            return piece
    return None


def _ends_with_load(word: HelpWord, harm: str) -> bool:
    """Whether all that speaks against a word that shows a state is the load of the processor, last in a list."""
    *before, last = pieces_of(word.says) or ("",)
    return (
        harm == last == "load"
        and bool(before)
        and (reads_in(before[0]) is not None or names_something(before[0]))
        and all(harm_in(piece) is None for piece in before)
        and any(piece.startswith(words_of("states")) for piece in pieces_of(word.word))
    )


def _is_little(pieces: Sequence[str], at: int) -> bool:
    """Whether `on` or `do` says where or what, and does nothing: `the on-screen display`, `what they do`."""
    following = pieces[at + 1] if at + 1 < len(pieces) else ""
    if following in ("screen", "board", "line"):
        return True
    return at > 0 and any(piece in words_of("asking") for piece in pieces[:_LEAD])


def _says_where(pieces: Sequence[str], at: int) -> bool:
    """Whether `on` joins two things: `overlay on the picture`. `lamp on` and `turn the lamp on the left on` do not."""
    before, following = pieces[:at], "".join(pieces[at + 1 : at + 2])
    if pieces[at] != "on" or not before or any(piece in words_of("switching") for piece in before):
        return False
    told = before[-1] in words_of("plain_nouns") or names_something(before[-1])
    thing = following in words_of("plain_words") or names_something(following)
    return told and thing and before[0] not in words_of("doing")


_LEAD = 4
"""Among so many words and marks a description asks: `sensors, and why it stays on the ground`."""


_PARTICIPLE = re.compile(r".+ed|ge.+t(?:e[nrs]?)?")


def _with_marks(says: str) -> list[str]:
    spaced = "".join(f" {char} " if char in ",;/&+" else char for char in says)
    found: list[str] = []
    for token in spaced.split():
        found += [token] if token in words_of("joins") else pieces_of(token)
    return found


def _begins_by_doing(says: str) -> bool:
    """Whether the first word of a description does something, though it may be a name elsewhere: `invert`, `maps`."""
    pieces = pieces_of(says)
    alone = len(pieces) == 1 and pieces[0].endswith("s")  # `switches` alone are things
    return bool(pieces) and pieces[0] in words_of("doing") and not alone


def _surely_reads(word: HelpWord) -> bool:
    """Whether the first word of its description only reads, or its own where nothing is said of it."""
    told = pieces_of(word.says)
    return (
        _names_what_it_shows(word)
        or _shown_by_heading(word)
        or reads_in(next(iter(told or pieces_of(word.word)), "")) is not None
    )


def _only_names(says: str) -> bool:
    """Whether a description is two and more names of things, and nothing else: it says what is shown."""
    pieces = read_name(says)
    known = all(piece.concepts or piece.other or piece.neutral or piece.unit for piece in pieces)
    return len(pieces) > 1 and known and not _begins_by_doing(says)


def _names_what_it_shows(word: HelpWord) -> bool:
    """Whether word and description are both names of things: `mot`, motor outputs. `wiggle` would be none."""
    if not _only_names(word.says):
        return False
    return (
        word.word.isdigit()
        or _is_name(word.word)
        or all(piece in pieces_of(word.says) for piece in pieces_of(word.word))
    )


def _is_name(word: str) -> bool:
    """Whether a word names a thing, and is no verb as well; the beginning of a name does, too."""
    pieces = pieces_of(word)
    verbs = {piece for piece in pieces if piece in words_of("doing") and not _is_plural(piece)}
    return bool(pieces) and not verbs and (word.casefold() in words_of("page_names") or names_something(word))


def _is_plural(piece: str) -> bool:
    """Whether it is the plural of a thing: a command is never said of a third person, `switches` are things."""
    return piece.endswith("s") and not piece.endswith("ss") and piece.removesuffix("es") in words_of("plural_things")


def _known_to_read(word: HelpWord) -> bool:
    """Whether a word or its description says that it reads, or it names a thing and nothing is said of doing."""
    told = pieces_of(word.says)
    if word.says.strip() and not told:  # a description that cannot be read
        return False
    if _shown_by_heading(word):
        return True
    if _says_that_it_reads(told):
        return True
    if _names_what_it_shows(word):
        return True
    reading = [piece for piece in pieces_of(word.word) if reads_in(piece)]
    strong = any(piece not in words_of("weak_reading") for piece in reading)
    if not told:
        return bool(reading) or _is_name(word.word)
    named = told[0] in words_of("beginnings") or names_something(told[0]) or told[0] in pieces_of(word.word)
    if named and not _begins_by_doing(word.says):
        return bool(reading) or _is_name(word.word)
    return strong and not _is_deed(told[0])


def _says_that_it_reads(told: Sequence[str]) -> bool:
    """Whether a description begins with reading: `shows`, `get the state`; `get ready` would be none."""
    first, second = next(iter(told), ""), next(iter(told[1:]), "")
    if first in words_of("asking"):
        return True
    if names_something(first) and second in words_of("joins") and set(told[2:3]) & set(words_of("asking")):
        return True  # `switches and what they do`
    known = bool(second) and (second in words_of("beginnings") or names_something(second) or _reads(second))
    if _reads(first):
        return first not in words_of("weak_reading") or not second or known
    opens = first in words_of("beginnings") or (names_something(first) and first not in words_of("doing"))
    return opens and _reads(second)


def _shown_by_heading(word: HelpWord) -> bool:
    """Whether it stands below a heading such as `words that show something`."""
    return any(map(_reads_strongly, pieces_of(word.under)))


def _reads_strongly(piece: str) -> bool:
    return _reads(piece) and piece not in words_of("weak_reading")


def _reads(piece: str) -> bool:
    return reads_in(piece) is not None


def _is_deed(first: str) -> bool:
    """Whether the first word of a description looks like a verb that nobody knows: `prods`, `invert`."""
    verb = len(first) > 3 and first.endswith(("s", "es", "t")) and not first.endswith("ss")
    return first in words_of("doing") or (verb and not names_something(first) and reads_in(first) is None)


def in_words(chosen: Sequence[HelpWord], left_out: Sequence[LeftOut]) -> list[str]:
    """The list that a person is shown before anything is sent."""
    lines = [f"would send {len(chosen)} words that read:"]
    lines += [f"  {word.word}" + (f"   ({word.says[:60]})" if word.says else "") for word in chosen]
    lines += [f"would not send {len(left_out)}:"] if left_out else []
    lines += [f"  {one.word.word}   {one.why}" for one in left_out]
    return lines
