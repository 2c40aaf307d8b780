"""A layout as lines of text, a character for each cell of the grid."""

from __future__ import annotations

from dataclasses import dataclass

from propsoff.overlay.layout import Layout, width_of
from propsoff.overlay.picture import Picture, plain_name


@dataclass(frozen=True, slots=True)
class Strokes:
    """The characters that a grid is drawn with."""

    across: str
    down: str
    corners: tuple[str, str, str, str]
    edge: str
    filled: str
    both: str
    cut: str


FANCY = Strokes("─", "│", ("┌", "┐", "└", "┘"), "·", "_", "▓", "»")
ASCII = Strokes("-", "|", ("+", "+", "+", "+"), ".", "_", "#", ">")


def draw_lines(layout: Layout, *, ascii_only: bool = False) -> tuple[str, ...]:
    """The grid in a box with its elements on it, then each element with its place, and what is wrong.

    An element shows as much of its name as it is wide; cells that two share are filled, and what is cut off at the edge
    ends with an arrow. Raises LayoutError for a grid that cannot be drawn.
    """
    picture = Picture(layout)
    strokes = ASCII if ascii_only else FANCY
    columns = layout.size.columns
    left = len(str(layout.size.rows - 1))
    first, second, third, fourth = strokes.corners
    return (
        picture.headline,
        f"{'':{left}}  {_ruler(columns)}".rstrip(),
        f"{'':{left}} {first}{strokes.across * columns}{second}",
        *(f"{at:{left}} {strokes.down}{row}{strokes.down}" for at, row in enumerate(_cells(picture, strokes))),
        f"{'':{left}} {third}{strokes.across * columns}{fourth}",
        *_list(picture),
        *picture.footnotes,
    )


def _ruler(columns: int) -> str:
    """Each tenth column by its number, over its cell."""
    return "".join(f"{at:<10}" for at in range(0, columns, 10)).rstrip()


def _cells(picture: Picture, strokes: Strokes) -> list[str]:
    columns, rows = picture.layout.size
    edge = [[strokes.edge if _at_edge(at, row, columns, rows) else " " for at in range(columns)] for row in range(rows)]
    taken: set[tuple[int, int]] = set()
    for element in picture.drawn:
        column, row, width = element.column or 0, element.row or 0, width_of(element)
        label = plain_name(element)
        last = min(column + width, columns)
        for at in range(max(column, 0), last):
            char = label[at - column] if at - column < len(label) else strokes.filled
            beyond = (at == columns - 1 and column + width > columns) or (at == 0 and column < 0)
            edge[row][at] = strokes.both if (row, at) in taken else strokes.cut if beyond else char
            taken.add((row, at))
    return ["".join(row) for row in edge]


def _at_edge(column: int, row: int, columns: int, rows: int) -> bool:
    return column in (0, columns - 1) or row in (0, rows - 1)


def _list(picture: Picture) -> list[str]:
    width = max((len(one.name) for one in picture.listed), default=0)
    place = max((len(one.place) for one in picture.listed), default=0)
    return [f"  {one.name:<{width}}  {one.place:<{place}}  {one.mark}".rstrip() for one in picture.listed]
