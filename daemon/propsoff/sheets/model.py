"""A build sheet: what a craft should be.

An expectation is a value or a list of values of which any will do. Names are the canonical fact names; beside them
stand the overlay grid (columns and rows together) and the port roles that must, or may, be there.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

Value = str | int | float | bool

_SIZE = re.compile(r"(\d{1,5})\s*[xX×]\s*(\d{1,5})\Z")


@dataclass(frozen=True, slots=True)
class Grid:
    """A character grid: columns x rows; `name` where it has one."""

    columns: int
    rows: int
    name: str | None = None

    def __str__(self) -> str:
        size = f"{self.columns}x{self.rows}"
        return f"{size} ({self.name})" if self.name else size

    def same_size(self, columns: int, rows: int) -> bool:
        """Whether it has this many columns and rows."""
        return (self.columns, self.rows) == (columns, rows)


GRIDS: Mapping[str, Grid] = MappingProxyType(
    {
        # 30 columns, 13 rows at 525 lines, 16 rows at 625 lines: MAX7456 data sheet 19-0576.
        "ntsc": Grid(30, 13, "ntsc"),
        "pal": Grid(30, 16, "pal"),
        # Common practice of the trade; 60x22 from memory.
        "hd-50x18": Grid(50, 18, "hd-50x18"),
        "hd-53x20": Grid(53, 20, "hd-53x20"),
        "hd-60x22": Grid(60, 22, "hd-60x22"),
    }
)
"""The grids that every sheet knows by name."""


def grid_of(text: str, named: Mapping[str, Grid] = GRIDS) -> Grid | None:
    """The grid that a name or `columns x rows` means, None when it means none."""
    if text in named:
        return named[text]
    size = _SIZE.match(text.strip())
    if size is None:
        return None
    columns, rows = int(size[1]), int(size[2])
    for grid in named.values():
        if grid.same_size(columns, rows):
            return grid
    return Grid(columns, rows)


@dataclass(frozen=True, slots=True)
class Expected:
    """What a fact may be: any one of `values` (never empty). Texts are compared without regard to case."""

    values: tuple[Value, ...]

    def allows(self, value: object) -> bool:
        """Whether a value that was read will do. None, not read, never does."""
        return _folded(value) in {_folded(one) for one in self.values}

    def __str__(self) -> str:
        return either(str(value) for value in self.values)

    @property
    def only(self) -> Value | None:
        """The value when there is but one, else None: only then can a remedy name what to set."""
        return self.values[0] if len(self.values) == 1 else None


def _folded(value: object) -> object:
    if isinstance(value, bool):
        return ("bool", value)
    return value.casefold() if isinstance(value, str) else value


def either(words: Iterable[str]) -> str:
    """`a`, `a or b`, `a, b or c`."""
    listed = list(words)
    return " or ".join(filter(None, [", ".join(listed[:-1]), listed[-1] if listed else ""]))


@dataclass(frozen=True, slots=True)
class MatchRule:
    """One condition for a sheet to be meant: a fact must equal, or match the pattern of, any of `patterns`."""

    key: str
    fact: str
    patterns: tuple[str, ...]


@dataclass(frozen=True)
class BuildSheet:
    """One build sheet. `source` is its file, `version` its author's, `built_in` whether it ships with propsoff.

    `grids` maps a video link (`analog`, `digital`) to the grids that will do with it. `roles_required` are the roles
    that some UART must carry; `roles_allowed` those that one may carry, None when any may.
    """

    name: str
    title: str
    source: str
    match: tuple[MatchRule, ...] = ()
    expectations: Mapping[str, Expected] = field(default_factory=dict)
    grids: Mapping[str, tuple[Grid, ...]] = field(default_factory=dict)
    roles_required: tuple[str, ...] = ()
    roles_allowed: tuple[str, ...] | None = None
    built_in: bool = False
    version: str = ""

    @property
    def house_default(self) -> bool:
        """Whether this sheet speaks for every craft that no other sheet matches."""
        return not self.match

    def expected(self, fact: str) -> Expected | None:
        """What a fact (`channels.order`) should be, None when the sheet does not say."""
        return self.expectations.get(fact)

    def grids_for(self, link: str | None) -> tuple[Grid, ...]:
        """The overlay grids that will do with this video link; empty when the sheet does not say."""
        return self.grids.get(link, ()) if link is not None else ()

    def reads(self) -> tuple[str, ...]:
        """The facts that this sheet says something about, as canonical names or prefixes."""
        also = []
        if self.grids:
            also.append("overlay.columns")
        if self.roles_required or self.roles_allowed is not None:
            also.append("ports")
        return (*self.expectations, *also)
