"""Plain tables on a terminal: aligned, wrapped, harmless whatever stands in a cell."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from rich.table import Table
from rich.text import Text

from propsoff.outputs.escape import visible

if TYPE_CHECKING:
    from rich.console import Console

_MAX_CELL = 400


def show_table(console: Console, head: Sequence[str], rows: Iterable[Sequence[str | Text]]) -> None:
    """Print rows of cells under a head."""
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="bold", pad_edge=False)
    for title in head:
        table.add_column(title, overflow="fold")
    for row in rows:
        table.add_row(*(cell if isinstance(cell, Text) else Text(visible(cell, _MAX_CELL)) for cell in row))
    console.print(table)
