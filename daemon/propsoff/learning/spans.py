"""Values in running text: `the receiver is serial, speaks CRSF and sits on UART2` holds three of them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from propsoff.learning.habits import escaped
from propsoff.learning.measures import measure
from propsoff.learning.thesaurus import folded, names_something, value_words
from propsoff.learning.vocabulary import words_of

_CLAUSE = re.compile(r"[,;:()]\s*|\.(?:\s+|$)|\s+(?:and|und|et|y|e|och|og|with|mit|but|while)\s+", re.IGNORECASE)
_TOKEN = re.compile(r"\"[^\"]+\"|'[^']+'|[^\s,;:()\"]+(?:,[0-9]+(?![0-9]))?")
_NUMBER = re.compile(r"([+-]?[0-9]+(?:[.,][0-9]+)?)([^\W\d_]{0,5}|%|°C?)")
_LOOKS = re.compile(
    r"[vV]?[0-9]+(?:\.[0-9]+){2,3}[\w.+-]*|[0-9]{4}-[0-9]{2}-[0-9]{2}|[0-9]{1,2}\.[0-9]{1,2}\.[0-9]{4}"
    r"|[A-Za-z]{1,8}-?[0-9]{1,2}|[AETR]{4}[0-9]{0,4}|[0-9]{2}[xX][0-9]{2}|[A-Z][0-9]|[1-8][sS]"
    r"|(?=[0-9A-Za-z:-]*[0-9])[0-9A-Za-z]{2,}(?:[:-][0-9A-Za-z]+)*"
)
_CALLED = re.compile(
    r"\b(?:called|named|name is|name of|goes by|answers to|heißt|heisst|genannt|nommé|appelé|llamado|chiamato)\s+"
    r"(\"[^\"]+\"|'[^']+'|\S+(?: [A-Z0-9]\S*)*)"
)
_RUNS_ON = re.compile(
    r"\b(?:runs on|running on|built for|made for|board is|hardware is|target is|läuft auf|fonctionne sur|on board)\s+"
    r"(?:an? |the )?"
    r"([A-Z][\w-]*(?: [A-Z0-9][\w-]*)*)"
)
_GREETS = re.compile(
    r"(?:(?:this is|i am|welcome to|hello from|here is|running|firmware(?: is)?)\s+)?(?:the )?([A-Za-z][\w-]+)"
    r"(?= firmware\b|,? (?:release|version|ver|rev|v)?\.? ?[vV]?[0-9]+\.[0-9])",
    re.IGNORECASE,
)
_MOST = 16
_CHOICES = ("receiver.kind", "overlay.system", "video.link", "failsafe.action", "sensor", "truth", "logger.device")


@dataclass(frozen=True, slots=True)
class Span:
    """A value in a text from `start` to `end`. `words` stand in the same clause, `subject` in the sentence's first.

    `unit` stands behind it. `implied` are concepts that nothing names, but the way in which it is said.
    """

    start: int
    end: int
    text: str
    words: tuple[str, ...]
    subject: tuple[str, ...]
    unit: str = ""
    implied: frozenset[str] = frozenset()

    @property
    def path(self) -> tuple[str, str]:
        """The words that name it: those of the sentence's subject, and its own."""
        return " ".join(self.subject), " ".join(self.words)


def spans_of(text: str) -> tuple[Span, ...]:
    """The values in a text, in order; none overlaps another."""
    named = list(_named(text))
    subject: tuple[str, ...] = ()
    found: list[Span] = list(named)
    for start, end in _clauses(text):
        tokens = [(match.start() + start, match.group()) for match in _TOKEN.finditer(text[start:end])]
        values = [one for one in _values(tokens, text) if not any(_cross(one, known) for known in found)]
        taken = [(one.start, one.end) for one in (*named, *values)]
        for at, one in enumerate(values):
            words = _words_of_value(tokens, values, at, taken)
            found.append(Span(one.start, one.end, one.text, words, subject, one.unit))
        if not subject:
            subject = tuple(
                token for at, token in tokens if not _inside(at, taken) and token.casefold() not in _fillers()
            )
    return tuple(sorted(found, key=lambda one: one.start)[:_MOST])


def form_of(text: str, spans: Sequence[Span], field: str) -> str:
    """The line template of a text up to its last value: each is a field, called by its number from 1."""
    parts, at = list[str](), 0
    for number, span in enumerate(spans, 1):
        plain = re.fullmatch(r"[+-]?[0-9]+(?:\.[0-9]+)?", span.text)
        kind = "number" if plain else "words" if " " in span.text else "word"
        parts += [escaped(text[at : span.start]), f"{{{field}{number}:{kind}}}"]
        at = span.end
    return "".join(parts)


def _clauses(text: str) -> Iterator[tuple[int, int]]:
    at = 0
    for match in _CLAUSE.finditer(text):
        if match.group().startswith(",") and re.match(r",[0-9]", text[match.start() :]):
            continue  # a comma in a number
        yield at, match.start()
        at = match.end()
    yield at, len(text)


def _named(text: str) -> Iterator[Span]:
    for pattern, concepts in ((_CALLED, {"name"}), (_RUNS_ON, {"board"}), (_GREETS, {"firmware", "name"})):
        match = pattern.search(text) if pattern is not _GREETS else pattern.match(text)
        if match is None or (pattern is _GREETS and not _is_greeting(match, text)):
            continue
        start, body = match.start(1), match[1].rstrip(".,;")
        before = re.findall(r"[^\W\d_]+", text[: match.start()]) if pattern is _CALLED else []
        words = tuple(word for word in before[-4:] if word.casefold() not in _fillers())
        if body[:1] in "\"'" and len(body) > 2:
            start, body = start + 1, body[1:-1]
        if body.casefold() not in _fillers():
            yield Span(start, start + len(body), body, words, (), implied=frozenset(concepts))


def _is_greeting(match: re.Match[str], text: str) -> bool:
    """Whether it is a name with a version behind it: no thing with a measured value."""
    unit = re.match(r",?\s*[0-9]+\.[0-9]+\s*([^\W\d]\S*)", text[match.end() :])
    return not names_something(match[1]) and match[1][:1].isupper() and not (unit and measure(unit[1]))


def _values(tokens: list[tuple[int, str]], text: str) -> list[Span]:
    """The tokens that are values by their look, or words of values where nothing is denied."""
    denied = any(folded(token) in words_of("denying") for _, token in tokens)
    found: list[Span] = []
    skip = -1
    for index, (at, token) in enumerate(tokens):
        if at < skip:
            continue
        body = token.rstrip(".!")
        if (number := _NUMBER.fullmatch(body)) is not None and (not number[2] or measure(number[2])):
            unit, end = number[2], at + len(body)
            if not unit and index + 1 < len(tokens):
                further, following = tokens[index + 1]
                following = following.rstrip(".!")
                if measure(following) and not text[end:further].strip():
                    unit, skip = following, further + 1
            found.append(Span(at, at + len(number[1]), number[1], (), (), unit))
        elif body[:1] in "\"'" and len(body) > 2:
            found.append(Span(at + 1, at + len(body) - 1, body[1:-1], (), ()))
        elif (
            _LOOKS.fullmatch(body)
            or folded(body) in _protocols()
            or (folded(body) in _choices() and not denied and (body.casefold() != "on" or index + 1 == len(tokens)))
        ):
            found.append(Span(at, at + len(body), body, (), ()))
    return found


@cache
def _fillers() -> frozenset[str]:
    return frozenset(words_of("fillers"))


@cache
def _choices() -> frozenset[str]:
    return frozenset(word for table in _CHOICES for word in value_words(table) if not word.isdigit())


@cache
def _protocols() -> frozenset[str]:
    from propsoff.learning.readings import RADIO_PROTOCOLS

    return RADIO_PROTOCOLS


def _words_of_value(
    tokens: list[tuple[int, str]], values: list[Span], index: int, taken: list[tuple[int, int]]
) -> tuple[str, ...]:
    """The words between the value before and the value behind; all of the clause where it has the one value."""
    plain = [one for one in values if not folded(one.text).isalpha()]
    value = values[index]
    first = max((one.end for one in plain if one.end <= value.start), default=-1)
    last = min((one.start for one in plain if one.start >= value.end), default=1 << 30)
    words = [
        token.strip(".!\"'")
        for at, token in tokens
        if first <= at < last and at != value.start and token.casefold() not in _fillers()
        and not any(start <= at < end and one_plain(token) for start, end in taken)
    ]  # fmt: skip
    return tuple(word for word in words if measure(word) is None or word.casefold() not in (value.unit.casefold(),))


def one_plain(token: str) -> bool:
    """Whether a token that is a value is none but that: a number, an id."""
    return not token.isalpha()


def _inside(at: int, taken: list[tuple[int, int]]) -> bool:
    return any(start <= at < end for start, end in taken)


def _cross(one: Span, other: Span) -> bool:
    return one.start < other.end and other.start < one.end
