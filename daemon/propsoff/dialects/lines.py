"""The grammar `lines`: each line is a sentence of its own, matched by a template."""

from __future__ import annotations

from dataclasses import dataclass

from propsoff.console.manner import Line
from propsoff.dialects.decode import Raw
from propsoff.dialects.harvest import Harvest, Place
from propsoff.dialects.heads import Heads
from propsoff.dialects.listing import STOPS_SHORT, Listing, Reply
from propsoff.dialects.patterns import Template
from propsoff.dialects.repeated import Repeated, Rows

Sentence = tuple[Template, Repeated | None]
"""A template, and the group or list that it states one entry of (None: its fields are words)."""


@dataclass(frozen=True)
class Lines:
    """The sentences by the literal text that they begin with."""

    sentences: Heads[Sentence]

    def read(self, listing: Listing, reply: Reply, harvest: Harvest) -> None:
        """Take each line by the first sentence that matches it."""
        seen: dict[str, tuple[Repeated, Line]] = {}
        if reply.whole:
            for spec in listing.repeated:
                if spec.none_when_absent:
                    harvest.open(spec)
        for line in reply.lines:
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
