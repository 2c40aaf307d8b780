"""A dialect: one firmware family's console, as data read from a TOML file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from propsoff.console.manner import Line, Manner
from propsoff.dialects.listing import Listing
from propsoff.dialects.patterns import Template
from propsoff.dialects.speech import Speech, lines_for
from propsoff.ports.facts import UsbHint


@dataclass(frozen=True)
class Dialect:
    """One firmware family's console. Frozen, picklable; implements `inspection.case.Tongue`.

    `file` names where it was read from; `version` is the revision of that file, as its author writes it. `listings` are
    what the replies mean, the identity command's first. `comments` are lines that say nothing, in any reply.
    """

    id: str
    title: str
    file: str
    version: str
    manner: Manner
    hints: tuple[UsbHint, ...]
    listings: tuple[Listing, ...] = field(repr=False)
    comments: tuple[Template, ...] = field(default=(), repr=False)
    speech: Speech = field(default=Speech(()), repr=False)
    closing_lines: tuple[str, ...] = ()
    capabilities: Mapping[str, str] = field(default_factory=dict)

    def parts(self, command: str) -> tuple[Listing, ...]:
        """What this command's reply means, by its parts: each takes of the lines that those before it left."""
        return tuple(listing for listing in self.listings if listing.command == command)

    def listing(self, command: str) -> Listing | None:
        """What the reply to a command means, None for a command that is not one of this dialect's."""
        return next((listing for listing in self.listings if listing.command == command), None)

    def is_comment(self, line: Line) -> bool:
        """Whether a line says nothing by its form."""
        return any(template.match(line.text.strip()) is not None for template in self.comments)

    def say(self, fact: str, value: object, *, row: Mapping[str, object] | None = None) -> tuple[str, ...]:
        """Console lines that set a canonical fact, empty when this dialect cannot say it.

        `row` names which row of a repeated group (`{"id": "U3"}`) and carries what else the board's line must state
        (`{"id": "U3", "baud": 420000}`; a field that is no fact by the name it has in the dialect file, the place of a
        counted row, from 1, as `index`). For facts
        outside a group it carries further facts, by dotted name or by leaf name in the same group.
        """
        line = self.speech.line(fact, value, row or {})
        return () if line is None else (line,)

    def say_all(self, settings: Sequence[tuple[str, object]]) -> tuple[str, ...]:
        """Console lines that set all these (fact, value) pairs, each line once; empty when any of them cannot be said.

        Facts that the board states in one word (`make picture.grid 53,20`) are said together. Facts of repeated groups
        need `say` with its `row`.
        """
        return lines_for(self.speech, settings)

    def closing(self) -> tuple[str, ...]:
        """Console lines that store what was set and restart the board."""
        return self.closing_lines

    def since(self, capability: str) -> str | None:
        """The firmware version from which a capability exists (`digital-grid`), None when the file does not say."""
        return self.capabilities.get(capability)
