"""What a drawing of a layout shows and says, whatever it is drawn with."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import cached_property

from propsoff.craft.model import OverlayElement
from propsoff.overlay.layout import Layout, is_outside, is_placed, is_shown, width_of
from propsoff.overlay.size import checked

_LONGEST_NAME = 40
_MOST_LISTED = 60
HOW_IT_COUNTS = "columns and rows count from 0 at the upper left; the dotted edge is one cell in"


def plain_name(element: OverlayElement) -> str:
    """The name in characters that each fill one cell and do nothing else; others are `?`."""
    name = "".join(char if _is_plain(char) else "?" for char in (element.name or "")[:_LONGEST_NAME])
    return name.strip() or "unnamed"


def _is_plain(char: str) -> bool:
    narrow = unicodedata.east_asian_width(char) not in "WF"
    return narrow and (char == " " or (char.isprintable() and unicodedata.category(char)[0] in "LNPS"))


@dataclass(frozen=True)
class Listed:
    """One element in the list beside a drawing. `mark` is empty when nothing is the matter with it."""

    element: OverlayElement
    name: str
    place: str
    mark: str = ""


@dataclass(frozen=True)
class Picture:
    """A layout that is to be drawn. Raises LayoutError on a grid that cannot be drawn."""

    layout: Layout

    def __post_init__(self) -> None:
        checked(self.layout.size)

    @cached_property
    def drawn(self) -> tuple[OverlayElement, ...]:
        """The shown elements of which something lies on the grid, in reading order."""
        size = self.layout.size
        there = [
            element
            for element in self.layout.drawn
            if 0 <= (element.row or 0) < size.rows and -width_of(element) < (element.column or 0) < size.columns
        ]
        return tuple(sorted(there, key=_reading_order))

    @cached_property
    def listed(self) -> tuple[Listed, ...]:
        """The shown elements with their places and what is the matter with them, in reading order (60 at most)."""
        marks: dict[int, list[str]] = {}
        for one, other, *_ in self.layout.overlaps:
            marks.setdefault(id(one), []).append(plain_name(other))
            marks.setdefault(id(other), []).append(plain_name(one))
        rows = []
        for element in sorted(self.layout.shown, key=_reading_order)[:_MOST_LISTED]:
            said = []
            if is_placed(element) and is_outside(element, self.layout.size):
                said.append("OUTSIDE the grid" if element not in self.drawn else "OUTSIDE the grid in part")
            if id(element) in marks:
                said.append(f"ON TOP OF {', '.join(dict.fromkeys(marks[id(element)][:4]))}")
            rows.append(Listed(element, plain_name(element), _place(element), "; ".join(said)))
        return tuple(rows)

    @property
    def headline(self) -> str:
        """The grid, and how much of it is used."""
        size, reach = self.layout.size, self.layout.reach
        if reach is None:
            return f"{size}, nothing is shown"
        if beyond := len(self.layout.outside):
            return f"{size}, and beyond it {beyond} of {len(self.layout.shown)} elements"
        return f"{size}, reaches {used(reach.columns, size.columns, 'column')} and {used(reach.rows, size.rows, 'row')}"

    @property
    def footnotes(self) -> tuple[str, ...]:
        """What is not drawn, and how to read the numbers."""
        hidden = [plain_name(element) for element in self.layout.elements if not is_shown(element)]
        more = len(self.layout.shown) - len(self.listed)
        notes = [f"hidden, not drawn: {_some(hidden)}"] if hidden else []
        notes += [f"and {more} more"] if more else []
        return (*notes, HOW_IT_COUNTS)


def used(reached: int, there: int, unit: str) -> str:
    """How much of a side is used: `30 of 53 columns (57%)`."""
    return f"{reached} of {there} {unit}s ({reached / there:.0%})"


def _some(names: list[str]) -> str:
    return ", ".join(names[:12]) + (f" and {len(names) - 12} more" if len(names) > 12 else "")


def _place(element: OverlayElement) -> str:
    if not is_placed(element):
        return "where it is drawn was not read"
    first, last = element.column or 0, (element.column or 0) + width_of(element) - 1
    return f"row {element.row}, column{f's {first} to {last}' if last > first else f' {first}'}"


def _reading_order(element: OverlayElement) -> tuple[bool, int, int, int, str]:
    placed = is_placed(element)
    return (not placed, element.row or 0, element.column or 0, width_of(element), element.name or "")
