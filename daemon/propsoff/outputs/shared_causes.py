"""The same fault on several craft: where one of a box has it, the others are looked at for it without being asked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.text import Text

from propsoff.outputs.escape import visible

if TYPE_CHECKING:
    from rich.console import Console


@dataclass(frozen=True, slots=True)
class Cause:
    """A finding's name (CHECK/CODE) and what it says of one craft."""

    name: str
    summary: str


@dataclass(frozen=True, slots=True)
class SharedCause:
    """A cause that several craft have. `labels` name the craft, in order; `summary` is that of the first."""

    name: str
    summary: str
    labels: tuple[str, ...]


def shared_causes(seen: Iterable[tuple[str, Iterable[Cause]]]) -> list[SharedCause]:
    """The causes that more than one label has, those of most craft first; each label counts once for a cause."""
    found: dict[str, tuple[str, dict[str, None]]] = {}
    for label, causes in seen:
        for cause in causes:
            found.setdefault(cause.name, (cause.summary, {}))[1][label] = None
    shared = [SharedCause(name, first, tuple(labels)) for name, (first, labels) in found.items() if len(labels) > 1]
    return sorted(shared, key=lambda cause: -len(cause.labels))


def show_shared(shared: Iterable[SharedCause], console: Console, *, most: int = 10) -> None:
    """Print them."""
    for cause in list(shared)[:most]:
        console.print(Text(f"the same on {len(cause.labels)} craft: {cause.name}", style="bold"))
        named = [visible(label, 80) for label in cause.labels[:12]]
        more = [f"and {len(cause.labels) - 12} more"] if len(cause.labels) > 12 else []
        for text in (visible(cause.summary, 400), f"on: {', '.join([*named, *more])}"):
            console.print(Padding(Text(text), (0, 0, 0, 4), expand=False))
