"""The grammar `lines`: each line is a sentence of its own, matched by a template."""

from __future__ import annotations

from dataclasses import dataclass, replace

from propsoff.console.manner import Line
from propsoff.dialects.decode import Raw
from propsoff.dialects.harvest import Harvest, Place
from propsoff.dialects.heads import Heads
from propsoff.dialects.listing import STOPS_SHORT, Listing, Reply
from propsoff.dialects.patterns import Template
from propsoff.dialects.repeated import Gathered, Repeated, Rows

Sentence = tuple[Template, Repeated | None]
"""A template, and the group or list that it states one entry of (None: its fields are words)."""


@dataclass(frozen=True)
class Lines:
    """The sentences by the literal text that they begin with, and the lists whose items stand below a line."""

    sentences: Heads[Sentence]
    lists: tuple[Gathered, ...] = ()

    def read(self, listing: Listing, reply: Reply, harvest: Harvest) -> None:
        """Take each line by the first sentence that matches it."""
        seen: dict[str, tuple[Repeated, Line]] = {}
        if reply.whole:
            for spec in listing.repeated:
                if spec.none_when_absent:
                    harvest.open(spec)
        below: _Below | None = None
        for line in reply.lines:
            if (begun := self._begun(line)) is not None:
                below = _Below(begun, line, line.number)
                continue
            if below is not None and (item := below.item(line)) is not None:
                _take(listing, below.spec, item, line, harvest)
                seen[below.spec.name] = below.spec, line
                below = replace(below, last=line.number)
                continue
            below = None
            for template, stated in self.sentences.under(line.text):
                fields = template.match(line.text)
                if fields is None:
                    continue
                _take(listing, stated, dict(fields), line, harvest)
                if stated is not None:
                    seen[stated.name] = stated, line
                break
            else:
                reply.aside(line)
        if not reply.whole:
            for spec, line in seen.values():
                harvest.broken(spec, STOPS_SHORT, Place(line.number, line.text))

    def _begun(self, line: Line) -> Gathered | None:
        """The list whose items stand below this line."""
        text = line.text.strip()
        return next((spec for spec in self.lists if any(each.fits(text) for each in spec.below)), None)


@dataclass(frozen=True, slots=True)
class _Below:
    """A list that has begun with the line `under`; `last` is the number of its last line."""

    spec: Gathered
    under: Line
    last: int

    def item(self, line: Line) -> dict[str, Raw] | None:
        """The fields of the next item; None when the line is none.

        It is the very next line, and stands deeper than the first or begins with a mark.
        """
        text = line.text.strip()
        if line.number != self.last + 1 or not text:
            return None
        deeper = _indent(line) > _indent(self.under)
        fitting = (template for template in self.spec.templates if deeper or template.head)
        found = next((fields for each in fitting if (fields := each.match(text)) is not None), None)
        return None if found is None else dict(found)


def _indent(line: Line) -> int:
    return len(line.text) - len(line.text.lstrip())


def _take(listing: Listing, stated: Repeated | None, fields: dict[str, Raw], line: Line, harvest: Harvest) -> None:
    at = Place(line.number, line.text)
    if isinstance(stated, Rows):
        harvest.row(stated, fields, at)
    elif stated is not None:
        harvest.item(stated, fields, at)
    else:
        for name, value in fields.items():
            word = listing.word(name)
            if word is not None:
                harvest.word(word, value, at)
