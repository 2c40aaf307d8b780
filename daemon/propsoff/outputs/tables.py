"""Plain tables on a terminal: aligned, wrapped, harmless whatever stands in a cell."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import TYPE_CHECKING

from rich.cells import cell_len
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from propsoff.outputs.escape import visible

if TYPE_CHECKING:
    from rich.console import Console

_MAX_CELL = 4096
"""As long as a path may be (PATH_MAX of Linux)."""
_GAP = 2
_MAX_WORD = 40
"""A longer word may break: it is no name that somebody types."""

Cell = str | Text


def show_table(
    console: Console, head: Sequence[str], rows: Iterable[Sequence[Cell]], paths: Collection[str] = ()
) -> None:
    """Print rows of cells under a head.

    `paths` are the columns that hold paths: they are never folded, so that they can be copied; of the others words stay
    whole. Where the terminal is too narrow for that, each row becomes a block of lines.
    """
    cells = [[_text(cell) for cell in row] for row in rows]
    most = [max(cell_len(title), _longest(cells, at)) for at, title in enumerate(head)]
    least = [most[at] if title in paths else _least(cells, at, title) for at, title in enumerate(head)]
    room = console.width - _GAP * len(head)
    longest = sum(_longest(cells, at) for at, title in enumerate(head) if title in paths)
    if sum(most) > room and (sum(least) > room or console.width < 2 * longest):
        for row in cells:
            _show_block(console, head, row, paths)
        return
    table = Table(box=None, padding=(0, _GAP, 0, 0), header_style="bold", pad_edge=False)
    for title, width in zip(head, _widths(least, most, room), strict=True):
        table.add_column(title, overflow="fold", no_wrap=title in paths, width=width)
    for row in cells:
        table.add_row(*row)
    console.print(table)


def show_pairs(console: Console, pairs: Iterable[tuple[str, Cell]], *, left: int = 0) -> None:
    """Print a name and a text a line, texts wrapped beside their names."""
    grid = Table.grid(padding=(0, _GAP))
    grid.add_column(no_wrap=True)
    grid.add_column(overflow="fold")
    for name, text in pairs:
        grid.add_row(name, _text(text))
    console.print(Padding(grid, (0, 0, 0, left), expand=False))


def _text(cell: Cell) -> Text:
    return cell if isinstance(cell, Text) else Text(visible(cell, _MAX_CELL))


def _longest(rows: Sequence[Sequence[Text]], column: int) -> int:
    return max((cell_len(row[column].plain) for row in rows), default=0)


def _widths(least: Sequence[int], most: Sequence[int], room: int) -> Sequence[int]:
    """Of each column: as wide as it would be, or what is left beyond the least of all, by how much each lacks."""
    lacks = [wide - narrow for narrow, wide in zip(least, most, strict=True)]
    spare = min(room - sum(least), sum(lacks))
    return [narrow + spare * lack // (sum(lacks) or 1) for narrow, lack in zip(least, lacks, strict=True)]


def _least(rows: Sequence[Sequence[Text]], column: int, title: str) -> int:
    """The width in which no word of a column breaks, within reason."""
    words = (word for row in rows for word in row[column].plain.split())
    return min(max(map(cell_len, (*title.split(), *words)), default=0), _MAX_WORD)


def _show_block(console: Console, head: Sequence[str], row: Sequence[Text], paths: Collection[str]) -> None:
    """The first cell on a line of its own, the others below it; a path is left to the terminal to wrap."""
    first, *others = zip(head, row, strict=True)
    console.print(first[1], soft_wrap=True)
    width = max(map(len, head[1:]), default=0)
    for title, cell in others:
        if title in paths:
            console.print(Text.assemble(f"  {title:<{width + _GAP}}", cell), soft_wrap=True)
        else:
            show_pairs(console, [(f"{title:<{width}}", cell)], left=2)
