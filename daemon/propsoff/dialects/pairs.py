"""The grammar `pairs`: one setting a line, key and value with any mark between."""

from __future__ import annotations

from dataclasses import dataclass

from propsoff.console.manner import Line
from propsoff.dialects.harvest import Harvest, Place
from propsoff.dialects.keyed import Keyed, PairLines, open_absent, stopped
from propsoff.dialects.listing import Listing, Reply
from propsoff.dialects.repeated import Repeated


@dataclass(frozen=True)
class Pairs:
    """`lines` are what a line of key and value looks like; `keyed` are the groups and lists by their keys."""

    lines: PairLines
    keyed: Keyed

    def read(self, listing: Listing, reply: Reply, harvest: Harvest) -> None:
        """Take each line by its key."""
        seen: dict[str, tuple[Repeated, Line]] = {}
        split, take = self.lines.splitter, self.keyed.take
        open_absent(listing, reply, harvest)
        for line in reply.lines:
            found = split(line.text.lstrip())
            if found is None:
                reply.aside(line)
                continue
            key, value = found
            word = listing.word(key)
            if word is not None:
                harvest.word(word, value, Place(line.number, line.text))
            elif key in listing.ignored:  # by name, before any group: it may be called like a row
                continue
            elif (stated := take(key, value, line, harvest)) is not None:
                seen[stated.name] = stated, line
            elif not listing.ignores(key):
                reply.aside(line)
        stopped(list(seen.values()), reply, harvest)
