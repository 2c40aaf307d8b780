"""What the reply of one read command means: its layout, its words, its repeated groups and gathered lists."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Protocol

from propsoff.console.manner import Line
from propsoff.dialects.harvest import Harvest
from propsoff.dialects.joined import Joined
from propsoff.dialects.patterns import Template
from propsoff.dialects.repeated import Repeated
from propsoff.dialects.words import Word

STOPS_SHORT = "the reply stops short here: entries may be missing"


@dataclass(frozen=True, slots=True)
class Reply:
    """The lines of one reply without its marks.

    `whole`: nothing of it is missing. `torn`: something is missing in the middle, not only at the end. `aside` takes a
    line that no grammar wants. `quiet` tells whether a line says nothing: a blank one, or a comment. `refused` tells
    whether it is how the console answers a command that it does not know.
    """

    lines: tuple[Line, ...]
    whole: bool
    torn: bool
    aside: Callable[[Line], None]
    quiet: Callable[[Line], bool]
    refused: Callable[[Line], bool]


class Grammar(Protocol):
    """How the reply of one command is laid out."""

    def read(self, listing: Listing, reply: Reply, harvest: Harvest) -> None:
        """Hand every statement of the reply to `harvest`, and every line that says nothing known to `reply.aside`."""


@dataclass(frozen=True)
class Listing:
    """One read command: its grammar and what its words mean.

    `aliases` are further names of words; `ignored` are words (or templates of words) that are known to state no fact.
    `set` and `set_row` are the phrases by which its words are set, empty where they cannot be. `joined` are the facts
    that several of its words state together. `typed` is None unless its lines may be typed as they stand, to set what
    they state; it then holds those whose fields are words.
    """

    command: str
    grammar: Grammar
    words: Mapping[str, Word]
    aliases: Mapping[str, str] = field(default_factory=dict)
    repeated: tuple[Repeated, ...] = ()
    ignored: frozenset[str] = frozenset()
    ignored_templates: tuple[Template, ...] = ()
    set: str = ""
    set_row: str = ""
    joined: tuple[Joined, ...] = ()
    typed: tuple[Template, ...] | None = None

    def word(self, key: str) -> Word | None:
        """The word of this name, or of this further name."""
        found = self.words.get(key)
        return self.words[self.aliases[key]] if found is None and key in self.aliases else found

    def ignores(self, key: str) -> bool:
        """Whether the word is known to state no fact."""
        return key in self.ignored or any(template.fits(key) for template in self.ignored_templates)

    def at(self, source: str) -> Repeated | None:
        """The repeated group or list that stands at a table or path, or None."""
        return next((spec for spec in self.repeated if spec.source == source), None)
