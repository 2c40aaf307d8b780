"""The entries of a menu: a key at the beginning of a line, and what it leads to."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from propsoff.console.manner import Line
from propsoff.learning.measures import measure
from propsoff.learning.model import HelpWord

_LONGEST = 2000
"""Characters of one line that are looked at."""

_MOSTLY = 0.6
_KEY = r"\s*(?P<open>[\[(<]?)(?P<key>[0-9]{1,2}|[A-Za-z])"
_MARKED = re.compile(_KEY + r"(?P<close>[\])>.:]+)[ \t]*[-–:]?[ \t]*(?P<says>\S.*)")
_DASHED = re.compile(r"\s*(?P<open>)(?P<key>[0-9]{1,2}|[A-Za-z])[ \t]+(?P<close>[-–:>])[ \t]+(?P<says>[^\W\d_].*)")
_BARE = re.compile(r"\s*(?P<open>)(?P<key>[0-9]{1,2})(?P<close>)[ \t]{1,4}(?P<says>[^\W\d_].*)")
_BESIDE = re.compile(r"[ \t]{2,}(?=[\[(<]\w{1,2}[\])>][ \t]*\S)")
_VALUE = re.compile(
    r"[\[(<=][^\w\n]*[+-]?[0-9]|(?<![\w.+-])[+-]?[0-9]+(?:\.[0-9]+)?(?![\w.])|[:=]\s*\S|\S(?:\t| {2,})\S"
)
"""What a line has in it that states a value: a number of its own, something behind a mark or in a further column."""


@dataclass(frozen=True, slots=True)
class Entry:
    """An entry, the marks around its key, and where on its line the key begins and what it says begins."""

    word: HelpWord
    marks: tuple[str, str]
    key_at: int
    says_at: int
    first: bool
    """Whether nothing stands before it on its line."""


def entries_of(lines: Iterable[Line]) -> Iterator[Entry]:
    """What stands on lines like an entry with marks around its key, or behind it.

    Several may stand side by side, but only on a line that begins with one. A number before a unit is a value.
    """
    for line in lines:
        at = 0
        for part in _parts(line.text[:_LONGEST].rstrip()):
            match = _MARKED.fullmatch(part) or _DASHED.fullmatch(part)
            if match is None or is_quantity(match["key"], match["says"]):
                break
            yield _entry(match, line, at)
            at += len(part)


def bare_entries(lines: Iterable[Line]) -> list[Entry]:
    """The lines that begin with a number, with no mark behind it, and a word that is no unit."""
    return [
        _entry(match, line, 0)
        for line in lines
        if (match := _BARE.fullmatch(line.text[:_LONGEST].rstrip())) and not is_quantity(match["key"], match["says"])
    ]


def entry_on(line: Line) -> HelpWord | None:
    """The entry that a whole line is; None when it is none."""
    text = line.text[:_LONGEST].rstrip()
    match = _MARKED.fullmatch(text) or _DASHED.fullmatch(text)
    if match is None or is_quantity(match["key"], match["says"]):
        return None
    return HelpWord(match["key"], match["says"].strip(), line.number)


def menu_entries(lines: Iterable[Line], *, fewest: int = 2) -> tuple[HelpWord, ...]:
    """The entries of a menu: what to type, and what it leads to. Empty when fewer lines look like entries."""
    return tuple(entry.word for entry in menu_of(tuple(lines), fewest))


def menu_of(lines: Sequence[Line], fewest: int) -> Sequence[Entry]:
    """As `menu_entries`, with where they stand."""
    entries = list(entries_of(lines))
    if len(entries) >= fewest:
        return entries
    bare = bare_entries(lines)
    numbers = sorted(int(entry.word.word) for entry in bare)  # the way back may stand last as 0
    listed = [line for line in lines if line.text.strip()]
    if len(bare) > 2 and len(bare) >= _MOSTLY * len(listed) and all(map(_is_aligned, listed)) and _rises(bare):
        return bare
    counts_up = len(numbers) > 2 and numbers == list(range(numbers[0], numbers[0] + len(numbers))) and numbers[0] < 2
    return bare if counts_up else ()


def is_quantity(key: str, says: str) -> bool:
    """Whether what looks like an entry is a number and its unit: `[30] HZ`."""
    return key.isdigit() and len(says.split()) == 1 and measure(says) is not None


def states_a_value(entry: Entry) -> bool:
    """Whether an entry's text holds a value, or begins with a unit: it may be a line of settings."""
    says = entry.word.says
    unit = entry.word.word.isdigit() and measure(says.split()[0]) is not None
    return unit or not says[0].isalpha() or _VALUE.search(says) is not None


def _parts(text: str) -> Iterator[str]:
    """A line, and what stands beside one another on it, each with the blanks before it."""
    at = 0
    for match in _BESIDE.finditer(text):
        if match.start() > at:
            yield text[at : match.start()]
            at = match.start()
    yield text[at:]


def _entry(match: re.Match[str], line: Line, at: int) -> Entry:
    word = HelpWord(match["key"], match["says"].strip(), line.number)
    return Entry(word, (match["open"], match["close"]), at + match.start("key"), at + match.start("says"), at == 0)


def _rises(entries: Sequence[Entry]) -> bool:
    """Whether the numbers of entries rise, from 0 or 1."""
    numbers = [int(entry.word.word) for entry in entries if entry.word.word != "0"]
    return numbers == sorted(set(numbers)) and numbers[:1] == [1]


def _is_aligned(line: Line) -> bool:
    """Whether a line is a heading, or an entry with its text parted from its number by a run of blanks."""
    text = line.text.rstrip()
    return not text[:1].isspace() or re.match(r"\s*(?:[0-9]{1,2}|\S)(?:\t| {2,})\S", text) is not None
