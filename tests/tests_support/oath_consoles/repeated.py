"""The truth of what repeats: ports, switches and elements of the overlay."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tests_support.other_consoles.stating import Said

SWITCH = ("function", "channel", "from_us", "to_us")
PORT = ("id", "roles", "baud")
ELEMENT = ("name", "column", "row", "shown")


def repeated(
    group: str, facts: Sequence[str], word: str, *rows: tuple[Any, ...], heads: tuple[str, ...] = ()
) -> dict[str, Said]:
    """The facts of rows, each row the lines that state it (parted by `|`) and its canonical values.

    The last lines state a fact each, the first line all those before. Under `heads`, a line stands below the first.
    """
    truth: dict[str, Said] = {}
    for at, (text, *values) in enumerate(rows):
        first, *others = text.split("|")
        lines = [first] * (len(values) - len(others)) + others
        for fact, line, value in zip(facts[: len(values)], lines, values, strict=True):
            above = (*heads, first) if heads and line != first else heads
            truth[f"{group}[{at}].{fact}"] = Said(value, word, (*above, line))
    return truth
