"""A dialect: one firmware family's console, as data read from a TOML file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from propsoff.console.manner import Manner
from propsoff.ports.facts import UsbHint


@dataclass(frozen=True)
class Dialect:
    """One firmware family's console. Frozen, picklable; implements `inspection.case.Tongue`.

    `file` names where it was read from; `version` is the revision of that file, as its author writes it.
    """

    id: str
    title: str
    file: str
    version: str
    manner: Manner
    hints: tuple[UsbHint, ...]
    capabilities: Mapping[str, str] = field(default_factory=dict)

    def say(self, fact: str, value: object, *, row: Mapping[str, object] | None = None) -> tuple[str, ...]:
        """Console lines that set a canonical fact, empty when this dialect cannot say it.

        `row` names which row of a repeated group (`{"id": "U3"}`) and carries what else the board's line must state
        (`{"id": "U3", "baud": 420000}`); for facts outside a group it carries further facts by their dotted names.
        """
        raise NotImplementedError

    def say_all(self, settings: Sequence[tuple[str, object]]) -> tuple[str, ...]:
        """Console lines that set all these (fact, value) pairs, each line once; empty when any of them cannot be said.

        Facts that the board states in one word (`make picture.grid 53,20`) are said together.
        """
        raise NotImplementedError

    def closing(self) -> tuple[str, ...]:
        """Console lines that store what was set and restart the board."""
        raise NotImplementedError

    def since(self, capability: str) -> str | None:
        """The firmware version from which a capability exists (`digital-grid`), None when the file does not say."""
        return self.capabilities.get(capability)
