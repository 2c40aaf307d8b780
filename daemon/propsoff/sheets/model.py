"""A build sheet: what a craft should be, once everything that it extends has been taken in.

Names are the canonical fact names, and `hand.ID` for what a person answers to a question. Beside them stand the overlay
grid (columns and rows together), the port roles that must or may be there, and the house plan of the switches.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType
from typing import Literal

from propsoff.sheets.expect import Expected

GRID_SIZE = r"^\s*[0-9]{1,5}\s*[xX×]\s*[0-9]{1,5}\s*$"
"""How the size of a grid is written: columns x rows."""
_SIZE = re.compile(r"([0-9]{1,5})\s*[xX×]\s*([0-9]{1,5})\Z")

REGIONS = ("eu", "us-unlicensed", "us-amateur")
"""The regions whose rules for radio a sheet may name. Which rules hold where a craft flies, local law decides."""

CHEMISTRIES = ("lipo", "li-ion", "life")
"""The kinds of lithium cells that a sheet may name: polymer, ion, iron phosphate."""


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
class MatchRule:
    """One condition for a sheet to be meant: a fact must equal, or match the pattern of, any of `patterns`."""

    key: str
    fact: str
    patterns: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlannedSwitch:
    """Where the house has a function: on a channel (from 1), active in `from_us`..`to_us`; None leaves it open."""

    channel: int | None = None
    from_us: int | None = None
    to_us: int | None = None


@dataclass(frozen=True)
class SwitchPlan:
    """The switches of the house. `required` functions must be there; `planned` ones must be as planned, if there.

    `together` are pairs of functions that may be active at one position of a switch.
    """

    required: tuple[str, ...] = ()
    planned: Mapping[str, PlannedSwitch] = field(default_factory=dict)
    together: frozenset[frozenset[str]] = frozenset()


AnswerKind = Literal["yes-no", "text", "version", "choice"]


@dataclass(frozen=True, slots=True)
class Question:
    """Something that no console tells: a person looks, and answers. The answer is the fact `hand.ID`.

    `choices` are the answers that there are, of a question of kind `choice`. `expected` is None when any answer will
    do. `why` says what goes wrong when the answer is not as expected, `remedy` what to do then.
    """

    id: str
    ask: str
    kind: AnswerKind
    choices: tuple[str, ...] = ()
    expected: Expected | None = None
    why: str = ""
    remedy: str = ""

    @property
    def fact(self) -> str:
        """The name of the fact that the answer is."""
        return f"hand.{self.id}"


@dataclass(frozen=True, slots=True)
class Waiver:
    """A finding (CHECK or CHECK/CODE) that may be, why, and the last day on which this holds (None: without end)."""

    finding: str
    reason: str
    until: date | None = None
    source: str = ""


@dataclass(frozen=True)
class BuildSheet:
    """One build sheet. `source` is its file, `version` its author's, `built_in` whether it ships with propsoff.

    `grids` maps a video link (`analog`, `digital`) to the grids that will do with it. `roles_required` are the roles
    that some UART must carry; `roles_allowed` those that one may carry, None when any may. `elements_required` are the
    overlay elements that must be shown, None when the sheet does not say. `region` names whose rules for radio are
    compared with, `chemistry` the battery's. `arming_normal` are reasons not to arm that are usual on this bench.
    `only` are the ids of the checks that apply, None for all; `skip` those that do not, with the reason. `extends` are
    the names of the sheets that it was built on, the nearest first. `tolerances` map a fact to how far a number may be
    off. `origins` map each key to the file and line that says it. One that is `abstract` is only there to be built on.
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
    switches: SwitchPlan = SwitchPlan()
    elements_required: tuple[str, ...] | None = None
    region: str | None = None
    chemistry: str | None = None
    arming_normal: tuple[str, ...] = ()
    questions: tuple[Question, ...] = ()
    waivers: tuple[Waiver, ...] = ()
    tolerances: Mapping[str, float] = field(default_factory=dict)
    only: tuple[str, ...] | None = None
    skip: Mapping[str, str] = field(default_factory=dict)
    extends: tuple[str, ...] = ()
    origins: Mapping[str, str] = field(default_factory=dict)
    abstract: bool = False

    @property
    def house_default(self) -> bool:
        """Whether this sheet speaks for every craft that no other sheet matches."""
        return not self.match and not self.abstract

    def expected(self, fact: str) -> Expected | None:
        """What a fact (`channels.order`, `hand.receiver-bound`) should be, None when the sheet does not say."""
        return self.expectations.get(fact)

    def tolerance(self, fact: str) -> float | None:
        """How far a number may be off, in the fact's own unit; None when the sheet does not say."""
        return self.tolerances.get(fact)

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
        if self.switches != SwitchPlan():
            also.append("switches")
        if self.elements_required is not None:
            also.append("overlay.elements")
        return (*self.expectations, *also)
