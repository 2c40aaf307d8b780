"""What repeats in a listing: the rows of a group, and lists whose items stand one by one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from propsoff.dialects.decode import Raw
from propsoff.dialects.patterns import Template
from propsoff.dialects.words import Part, Word

MEMBER = "member"
"""The field of a key that names a cell, where the cells of a row stand on several lines."""
VALUE = ""
"""The cell under which the grammar `pairs` hands over the value; the other cells are the fields of the key."""


@dataclass(frozen=True, slots=True)
class Rows:
    """A repeated group. `cells` maps what the grammar names (columns, members, fields of the key) to words.

    `source` is the table, or the path of the array; it is empty where `templates` find the rows (in a key, or a line).
    `index` is the cell that counts the rows from 1, `named_by` the one that names a row when it is set. With
    `none_when_absent`, a whole listing without such rows states that there are none.
    """

    group: str
    cells: Mapping[str, Word]
    source: str = ""
    templates: tuple[Template, ...] = ()
    index: str | None = None
    named_by: str | None = None
    none_when_absent: bool = False
    plan: tuple[tuple[str, Word, str | None, Callable[[Raw], object]], ...] = field(
        init=False, repr=False, compare=False
    )
    """Each cell with its word; of a simple one also the fact, and what reads it. Listings have thousands of rows."""
    membered: bool = field(init=False, repr=False, compare=False)
    """Whether its cells stand on lines of their own, each named by the field `MEMBER` of the key."""

    def __post_init__(self) -> None:
        plan = tuple((name, word, word.only and word.only.fact, word.reader) for name, word in self.cells.items())
        object.__setattr__(self, "plan", plan)
        object.__setattr__(self, "membered", any(MEMBER in template.names for template in self.templates))

    @property
    def name(self) -> str:
        """The canonical name of what it states."""
        return self.group


@dataclass(frozen=True, slots=True)
class Gathered:
    """A list fact whose items stand one in a line, row or element; `cell` is where the item stands. Else as `Rows`.

    `below` are templates of the line under which the items stand, up to a line that is none; empty where they may stand
    anywhere.
    """

    fact: str
    part: Part
    cell: str
    source: str = ""
    templates: tuple[Template, ...] = ()
    index: str | None = None
    none_when_absent: bool = False
    below: tuple[Template, ...] = ()

    @property
    def name(self) -> str:
        """The canonical name of what it states."""
        return self.fact


Repeated = Rows | Gathered
