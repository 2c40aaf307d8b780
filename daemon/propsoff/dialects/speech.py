"""Saying settings in a board's own words: the way back from canonical values."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from propsoff.craft.names import facts
from propsoff.dialects.listing import Listing
from propsoff.dialects.patterns import Template
from propsoff.dialects.repeated import MEMBER, VALUE, Rows
from propsoff.dialects.words import Word

_PLACE = re.compile(r"\{([a-z]+)\}")
PLACE = "index"
"""Under this name a caller gives the place of a row, from 1, to dialects that count rows."""
WORD_PLACES = ("word", "table", "item", "section", "key", "value")
ROW_PLACES = ("table", "path", "row", "column", "member", "value")


@dataclass(frozen=True)
class Speech:
    """What can be said. `longest` is the longest line that the board reads, in bytes."""

    listings: tuple[Listing, ...]
    longest: int = 0

    def line(self, fact: str, value: object, others: Mapping[str, object]) -> str | None:
        """The line that sets a fact, None when it cannot be said. `others` are further facts that the line may need."""
        group, marker, leaf = fact.partition("[].")
        said = self._row_line(group, leaf, value, others) if marker else self._word_line(fact, value, others)
        if said is None or (self.longest and len(said.encode()) > self.longest):
            return None
        return said

    def _word_line(self, fact: str, value: object, others: Mapping[str, object]) -> str | None:
        group = fact.rpartition(".")[0]
        # Others may be named in full or by their leaf in the same group: {"rows": 20} beside overlay.columns.
        named = {name if name in facts() else f"{group}.{name}": _plain(found) for name, found in others.items()}
        values = {**named, fact: _many(fact, value)}
        for listing in self.listings:
            if listing.typed is not None and (line := _typed(listing.typed, listing.words, fact, values)) is not None:
                return line
            for key, word in listing.words.items() if listing.set else ():
                # Several words may state the fact: the first that can be said is.
                if fact in word.facts and (text := word.say(values, fact)) is not None:
                    return _worded(listing, key, text)
        return None

    def _row_line(self, group: str, leaf: str, value: object, others: Mapping[str, object]) -> str | None:
        values = {**{name: _plain(found) for name, found in others.items()}, leaf: _many(f"{group}[].{leaf}", value)}
        for listing in self.listings:
            for rows in listing.repeated:
                if isinstance(rows, Rows) and rows.group == group:
                    if listing.typed is not None:
                        return _typed(rows.templates, rows.cells, leaf, values)
                    if rows.membered:
                        return _membered(listing, rows, leaf, values)
                    if rows.templates:
                        return _keyed(listing, rows, leaf, values)
                    return _celled(listing, rows, leaf, values)
        return None


def _typed(
    templates: Sequence[Template], words: Mapping[str, Word], fact: str, values: Mapping[str, object]
) -> str | None:
    """A line as the console prints it: the first that states the fact and of which every field is known."""
    for template in templates:
        there = {name: words[name] for name in template.names if name in words}
        if any(fact in word.facts for word in there.values()):
            said = {name: word.say(values, next(iter(word.facts), "")) for name, word in there.items()}
            line = template.fill({name: text for name, text in said.items() if text is not None})
            if line is not None:
                return line
    return None


def _keyed(listing: Listing, rows: Rows, leaf: str, values: Mapping[str, object]) -> str | None:
    """A whole row in one line, as grammar `pairs` has it."""
    value = rows.cells.get(VALUE)
    if not listing.set or value is None or leaf not in value.facts or (text := value.say(values, leaf)) is None:
        return None
    key = _key_of(rows, values)
    return None if key is None else _worded(listing, key, text)


def _membered(listing: Listing, rows: Rows, leaf: str, values: Mapping[str, object]) -> str | None:
    """One cell of a row in a line of its own, as `pairs` and `sections` have it."""
    for name, word in rows.cells.items() if listing.set else ():
        if leaf not in word.facts or any(name in template.names for template in rows.templates):
            continue
        text, key = word.say(values, leaf), _key_of(rows, values, name)
        if text is not None and key is not None:
            return _worded(listing, key, text)
    return None


def _key_of(rows: Rows, values: Mapping[str, object], member: str = "") -> str | None:
    """The key of a row (of its cell `member`) by the first template of which every field is known."""
    for template in rows.templates:
        names = {name: member if name == MEMBER else _cell_text(rows, name, values) for name in template.names}
        key = template.fill({name: found for name, found in names.items() if found is not None})
        if key is not None:
            return key
    return None


def _worded(listing: Listing, key: str, text: str) -> str | None:
    """The line that sets the word at a key."""
    table, _, item = key.partition(".")
    section, _, last = key.rpartition(".")
    return fill(listing.set, word=key, table=table, item=item, section=section, key=last, value=text)


def _celled(listing: Listing, rows: Rows, leaf: str, values: Mapping[str, object]) -> str | None:
    """One cell of a row, as tables and documents have it."""
    if not listing.set_row or rows.named_by is None:
        return None
    row = _cell_text(rows, rows.named_by, values)
    for name, word in rows.cells.items():
        if leaf in word.facts and name != rows.named_by:
            text = word.say(values, leaf)
            if text is None or row is None:
                return None
            return fill(
                listing.set_row, table=rows.source, path=rows.source, row=row, column=name, member=name, value=text
            )
    return None


def _cell_text(rows: Rows, name: str, values: Mapping[str, object]) -> str | None:
    """The text of a cell that names the row: of a fact, or of what is none and is given by the cell's own name."""
    word = rows.cells.get(name)
    if word is not None:
        return word.say(values, word.facts[0])
    given = values.get(name, values.get(PLACE) if name == rows.index else None)
    return str(given) if isinstance(given, (int, str)) and not isinstance(given, bool) else None


def _plain(value: object) -> object:
    return tuple(value) if isinstance(value, list) else value


def _many(fact: str, value: object) -> object:
    spec = facts().get(fact)
    return (value,) if spec is not None and spec.many and isinstance(value, str) else _plain(value)


def fill(phrase: str, **places: str) -> str | None:
    """A phrase with its places filled, None when it has a place that is not given here."""
    if any(name not in places for name in _PLACE.findall(phrase)):
        return None
    return _PLACE.sub(lambda match: places[match[1]], phrase)


def unknown_place(phrase: str, known: Sequence[str]) -> str | None:
    """A place of the phrase that is none of these, or None."""
    return next((name for name in _PLACE.findall(phrase) if name not in known), None)


def lines_for(speech: Speech, settings: Iterable[tuple[str, object]]) -> tuple[str, ...]:
    """Lines that set all of these, each once; empty when one cannot be said."""
    listed = [(fact, value) for fact, value in settings]
    context = dict(listed)
    said = [
        speech.line(fact, value, {name: found for name, found in context.items() if name != fact})
        for fact, value in listed
    ]
    return () if None in said else tuple(dict.fromkeys(line for line in said if line is not None))
