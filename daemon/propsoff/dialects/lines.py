"""The grammar `lines`: each line is a sentence of its own, matched by a template."""

from __future__ import annotations

from dataclasses import dataclass

from propsoff.console.manner import Line
from propsoff.dialects.harvest import Harvest, Place
from propsoff.dialects.heads import Heads
from propsoff.dialects.listing import STOPS_SHORT, Listing, Reply
from propsoff.dialects.repeated import Repeated, Rows
from propsoff.dialects.templates import LineTemplate

Sentence = tuple[LineTemplate, Repeated | None]
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
            for template, spec in self.sentences.under(line.text):
                fields = template.match(line.text)
                if fields is None:
                    continue
                if spec is None:
                    _words(listing, dict(fields), line, harvest)
                elif isinstance(spec, Rows):
                    harvest.row(spec, dict(fields), Place(line.number, line.text))
                else:
                    harvest.item(spec, dict(fields), Place(line.number, line.text))
                if spec is not None:
                    seen[spec.name] = spec, line
                break
            else:
                reply.aside(line)
        if not reply.whole:
            for spec, line in seen.values():
                harvest.broken(spec, STOPS_SHORT, Place(line.number, line.text))


def _words(listing: Listing, fields: dict[str, str], line: Line, harvest: Harvest) -> None:
    for name, value in fields.items():
        word = listing.word(name)
        if word is not None:
            harvest.word(word, value, Place(line.number, line.text))
