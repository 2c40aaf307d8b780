"""Single lines of an answer taken apart: several `key=value`, a setting, values in places, a sentence."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from propsoff.console.manner import Line
from propsoff.dialects.templates import TemplateError, compile_template
from propsoff.learning.habits import escaped
from propsoff.learning.layouts.paths import path_of
from propsoff.learning.layouts.sentences import sentence
from propsoff.learning.model import Statement
from propsoff.learning.spans import Span, form_of, spans_of

_PAIR = re.compile(r"([A-Za-z][\w.-]*)([=:])(\S+)")
_FEWEST = 2
_LONGEST_SENTENCE = 240
COMMENT_MARKS = ("#", ";", "//", "--")


@dataclass(frozen=True, slots=True)
class Found:
    """A line taken apart: its template, and by field what the field is called and what stands there.

    `spans` are what a sentence says of each field.
    """

    line: Line
    template: str
    names: tuple[str, ...]
    texts: tuple[str, ...]
    lead: tuple[str, ...]
    spans: tuple[Span, ...] = ()
    called: tuple[str, ...] = ()
    """What each field is called, where its name cannot be that of a field."""

    def statements(self, command: str, words: Sequence[str]) -> list[Statement]:
        """What it states, by the words that the dialect has for its fields."""
        fields = zip(words, self.called or self.names, self.texts, strict=True)
        number = self.line.number
        if not self.spans:
            return [Statement(command, word, (*self.lead, *path_of(name)), text, number) for word, name, text in fields]
        return [
            Statement(command, word, span.path, text, number, "told", span.unit, span.implied)
            for (word, _, text), span in zip(fields, self.spans, strict=True)
        ]


Way = Callable[[Line], Found | None]


def take(line: Line, ways: Sequence[Way]) -> Found | None:
    """The line by the first way that takes it apart and whose template gives the same again; None when none does."""
    for way in ways:
        found = way(line)
        if found is not None and reads_back(found):
            return found
    return None


def reads_back(found: Found) -> bool:
    """Whether the template gives the very fields."""
    try:
        fields = compile_template(found.template).match(found.line.text)
    except TemplateError:
        return False
    return fields is not None and tuple(fields.values()) == found.texts


def _assignments(line: Line) -> Found | None:
    """``uart 1 role=rx baud=420000``: a lead of words, and two or more assignments."""
    tokens = line.text.split()
    pairs = [_PAIR.fullmatch(token.rstrip(",;")) for token in tokens]
    first = next((at for at, pair in enumerate(pairs) if pair is not None), len(tokens))
    if len(tokens) - first < _FEWEST or not all(pairs[first:]) or first > 3:
        return None
    parts: list[str] = []
    names: list[str] = []
    texts: list[str] = []
    lead: list[str] = []
    for at, token in enumerate(tokens[:first]):
        if at and re.fullmatch(r"[A-Za-z]{0,6}[0-9]{1,2}:?", token):
            names.append("id")
            texts.append(token.rstrip(":"))
            parts.append("{id:word}" + (":" if token.endswith(":") else ""))
        else:
            parts.append(escaped(token))
            lead.append(token.strip(":"))
    for token, pair in zip(tokens[first:], pairs[first:], strict=True):
        assert pair is not None
        end = token[len(token.rstrip(",;")) :]
        parts.append(f"{escaped(pair[1] + pair[2])}{{{field_name(pair[1])}:word}}{end}")
        names.append(pair[1])
        texts.append(pair[3].rstrip(",;"))
    if len(set(map(field_name, names))) < len(names):
        return None
    return Found(line, " ".join(parts), tuple(names), tuple(texts), tuple(lead))


def _positional(line: Line) -> Found | None:
    """``port 1 rx 420000``: a word, and values in places."""
    tokens = line.text.split()
    if not 3 <= len(tokens) <= 12 or not tokens[0].isalpha() or not any(char.isdigit() for char in tokens[1]):
        return None
    names = ("id", *(f"value{number}" for number in range(2, len(tokens))))
    template = " ".join([escaped(tokens[0]), *(f"{{{name}:word}}" for name in names)])
    return Found(line, template, names, tuple(tokens[1:]), (tokens[0],))


_SIDE = re.compile(r"\s*([^\W\d_][\w .,/%()-]{0,30}?)\s*([:=])\s*(\S+(?: \S+)*)(?=\s{2,}|\s*$)")


def _side_by_side(line: Line) -> Found | None:
    """``Cells:  6     Voltage:  23.7 V``: several settings, with runs of blanks between them."""
    matches = list(_SIDE.finditer(line.text))
    if len(matches) < _FEWEST or any(one.end() != other.start() for one, other in pairwise(matches)):
        return None
    names = tuple(match[1].strip() for match in matches)
    fields = [f"p{at}" for at in range(1, len(matches) + 1)]
    if matches[0].start() or line.text[matches[-1].end() :].strip() or len(set(names)) < len(names):
        return None
    parts = [
        f"{escaped(name)}{' ' if line.text[match.end(1)].isspace() else ''}{match[2]} {{{field}:label}}"
        for name, match, field in zip(names, matches, fields, strict=True)
    ]
    template = " ".join(parts)
    return Found(line, template, tuple(fields), tuple(match[3] for match in matches), (), called=names)


_PAIRED = re.compile(r"\s*([^\W\d_][^=:\t]{0,48}?)(\s*(?::=|=>|->|=|:|\t|\.{3,}|\s{2,})\s*)(\S.*)")
_SENTENCE = 4


def _pair(line: Line) -> Found | None:
    """``some key: value``, on its own among other lines."""
    match = _PAIRED.fullmatch(line.text.rstrip())
    if match is None or len(match[1].split()) > _SENTENCE or match[3].startswith("="):
        return None
    key = match[1].strip()
    return Found(line, escaped(match[1].strip() + match[2]) + f"{{{field_name(key)}:rest}}", (key,), (match[3],), ())


def _told(line: Line) -> Found | None:
    """A sentence in which values stand among words."""
    text = line.text.strip()
    if text.startswith(COMMENT_MARKS):
        return None
    spans = spans_of(text) if len(text) <= _LONGEST_SENTENCE and text.count("|") < 2 else ()
    if not spans or not any(span.words or span.subject or span.implied for span in spans):
        return None
    for count in range(len(spans), 0, -1):  # what follows a field must end it; else the rest of the line is left alone
        rest = escaped(text[spans[count - 1].end :]) if count == len(spans) else " {_:rest}"
        found = Found(
            line,
            form_of(text, spans[:count], "f") + rest,
            tuple(f"f{number}" for number in range(1, count + 1)),
            tuple(span.text for span in spans[:count]),
            (),
            spans[:count],
        )
        if reads_back(found):
            return found
    return None


def _sentence(line: Line) -> Found | None:
    taken = sentence(line.text)
    if taken is None:
        return None
    template, names, texts = taken
    return Found(line, template, names, texts, ())


def verb_pair(verb: str) -> Way:
    """The way of lines such as ``have key value``."""

    def way(line: Line) -> Found | None:
        tokens = line.text.split()
        if len(tokens) < 3 or tokens[0] != verb or not tokens[1][0].isalpha():
            return None
        value = line.text.split(None, 2)[2].strip()
        template = f"{escaped(verb)} {escaped(tokens[1])} {{{field_name(tokens[1])}:rest}}"
        return Found(line, template, (tokens[1],), (value,), ())

    return way


RECORDS: tuple[Way, ...] = (_assignments, _side_by_side, _sentence, _positional)
MIXED: tuple[Way, ...] = (_assignments, _side_by_side, _pair, _told, _sentence, _positional)


def field_name(name: str) -> str:
    """A name as a template's field is called."""
    word = re.sub(r"[^A-Za-z0-9]+", "_", name).strip("_") or "field"
    return word if word[0].isalpha() else f"f{word}"
