"""What differs between two layouts of the same elements, as facts that a dialect can say."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import asdict
from typing import NamedTuple

from propsoff.craft.model import OverlayElement
from propsoff.overlay.layout import Layout


class Move(NamedTuple):
    """One fact of one element that changes. `row` holds all facts of the element as they will be."""

    fact: str
    value: object
    row: Mapping[str, object]
    element: OverlayElement


_PARTS = ("column", "row", "shown")


def layout_moves(before: Layout, after: Layout) -> tuple[Move, ...]:
    """What to change to make one layout of the other, element by element.

    `before` and `after` hold the same elements in the same order, as `fit_layout` gives them.
    """
    return tuple(
        Move(f"overlay.elements[].{part}", getattr(new, part), asdict(new), new)
        for old, new in zip(before.elements, after.elements, strict=True)
        for part in _PARTS
        if getattr(new, part) != getattr(old, part)
    )


def nameless(before: Layout, after: Layout) -> tuple[OverlayElement, ...]:
    """Elements to be changed that a console cannot be told of: without a name, or with that of another one."""
    called = Counter(element.name for element in before.elements)
    changed = [new for old, new in zip(before.elements, after.elements, strict=True) if old != new]
    return tuple(element for element in changed if not element.name or called[element.name] > 1)
