"""The grammar `pairs`: one setting a line, key and value with any mark between."""

from __future__ import annotations

from dataclasses import dataclass

from propsoff.console.manner import Line
from propsoff.dialects.decode import Raw
from propsoff.dialects.harvest import Harvest, Place
from propsoff.dialects.heads import Heads
from propsoff.dialects.listing import STOPS_SHORT, Listing, Reply
from propsoff.dialects.repeated import VALUE, Repeated, Rows
from propsoff.dialects.templates import LineTemplate


@dataclass(frozen=True)
class Pairs:
    """`line` has the fields `key` and `value`; `keyed` are the groups and lists by the head of their keys."""

    line: LineTemplate
    keyed: Heads[Repeated]

    def read(self, listing: Listing, reply: Reply, harvest: Harvest) -> None:
        """Take each line by its key."""
        seen: dict[str, tuple[Repeated, Line]] = {}
        at_key, at_value = self.line.names.index("key"), self.line.names.index("value")
        if reply.whole:
            for spec in listing.repeated:
                if spec.none_when_absent:
                    harvest.open(spec)
        for line in reply.lines:
            found = self.line.groups(line.text)
            if found is None:
                reply.aside(line)
                continue
            key, value = found[at_key], found[at_value]
            word = listing.word(key)
            if word is not None:
                harvest.word(word, value, Place(line.number, line.text))
            elif (stated := self._repeated(key, value, line, harvest)) is not None:
                seen[stated.name] = stated, line
            elif not listing.ignores(key):
                reply.aside(line)
        if not reply.whole:
            for spec, line in seen.values():
                harvest.broken(spec, STOPS_SHORT, Place(line.number, line.text))

    def _repeated(self, key: str, value: str, line: Line, harvest: Harvest) -> Repeated | None:
        for spec in self.keyed.under(key):
            fields = spec.template.match(key) if spec.template else None
            if fields is None:
                continue
            raws: dict[str, Raw] = {**fields, VALUE: value}
            if isinstance(spec, Rows):
                harvest.row(spec, raws, Place(line.number, line.text), key)
            else:
                harvest.item(spec, raws, Place(line.number, line.text))
            return spec
        return None
