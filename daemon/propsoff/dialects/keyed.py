"""What the grammars `pairs` and `sections` share: lines of a key and a value, and taking a value by its key."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

from propsoff.console.manner import Line
from propsoff.dialects.decode import Raw
from propsoff.dialects.harvest import Harvest, Place
from propsoff.dialects.heads import Heads
from propsoff.dialects.listing import STOPS_SHORT, Listing, Reply
from propsoff.dialects.patterns import Template
from propsoff.dialects.repeated import VALUE, Repeated, Rows
from propsoff.dialects.templates import LineTemplate


@dataclass(frozen=True)
class PairLines:
    """The templates of a line of key and value, each with the fields `key` and `value`; the first that fits is used."""

    templates: tuple[Template, ...]

    @cached_property
    def _plans(self) -> tuple[tuple[Template, int, int], ...]:
        return tuple((each, each.names.index("key"), each.names.index("value")) for each in self.templates)

    @property
    def splitter(self) -> Callable[[str], tuple[str, ...] | None]:
        """What splits a line as `split` does, by the shortest way."""
        first = self.templates[0]
        if len(self.templates) == 1 and isinstance(first, LineTemplate) and first.names == ("key", "value"):
            return first.groups
        return self.split

    def split(self, text: str) -> tuple[str, str] | None:
        """Key and value of a line; None when it is no such line."""
        for template, at_key, at_value in self._plans:
            found = template.groups(text)
            if found is not None:
                key, value = found[at_key], found[at_value]
                # A group of a free pattern may take no part; then there is no key, or nothing is said.
                if key is not None and value is not None:
                    return key, value
        return None


@dataclass(frozen=True)
class Keyed:
    """The groups and lists by the head of their keys."""

    heads: Heads[tuple[Template, Repeated]]

    @classmethod
    def of(cls, repeated: Sequence[Repeated]) -> Keyed:
        """File groups and lists under each of their keys."""
        return cls(Heads.of((template.head, (template, spec)) for spec in repeated for template in spec.templates))

    def take(self, key: str, value: str, line: Line, harvest: Harvest) -> Repeated | None:
        """Hand over what stands at a key of a group or list, and say of which; None when there is none at this key."""
        for template, spec in self.heads.under(key):
            fields = template.match(key)
            if fields is None:
                continue
            at = Place(line.number, line.text)
            if isinstance(spec, Rows) and spec.membered:
                hidden = template.forgotten
                apart = None if hidden is None else hidden.groups(key)
                if not harvest.cell(spec, fields, value, at, apart):
                    continue
            elif isinstance(spec, Rows):
                raws: dict[str, Raw] = {**fields, VALUE: value}
                harvest.row(spec, raws, at, key if fields else None)  # rows of one key are told apart by what they say
            else:
                harvest.item(spec, {**fields, VALUE: value}, at)
            return spec
        return None


def open_absent(listing: Listing, reply: Reply, harvest: Harvest) -> None:
    """A whole reply without a line of a group or list that would show any states that there are none."""
    if reply.whole:
        for spec in listing.repeated:
            if spec.none_when_absent:
                harvest.open(spec)


def stopped(seen: Sequence[tuple[Repeated, Line]], reply: Reply, harvest: Harvest) -> None:
    """Of a reply that is not whole, no group and no list that was begun in it is known to be."""
    if not reply.whole:
        for spec, line in seen:
            harvest.broken(spec, STOPS_SHORT, Place(line.number, line.text))
