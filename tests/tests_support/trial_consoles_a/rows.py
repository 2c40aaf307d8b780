"""The truth of ports, switches and overlay elements that a console prints one after another."""

from __future__ import annotations

from typing import Any

from tests_support.other_consoles.stating import Said

Texts = tuple[str, ...]
"""The texts of a page that state a row, in the order of the page."""


def port_rows(word: str, *rows: tuple[Texts, str, Texts, int | None]) -> dict[str, Said]:
    """The ports that `word` prints: texts, id, roles, line rate (None where none is stated)."""
    found: dict[str, Said] = {}
    for at, (texts, name, roles, baud) in enumerate(rows):
        values: dict[str, Any] = {"id": name, "roles": roles} | ({} if baud is None else {"baud": baud})
        found |= {f"ports[{at}].{leaf}": Said(value, word, texts) for leaf, value in values.items()}
    return found


def switch_rows(word: str, *rows: tuple[Texts, str, int, int, int]) -> dict[str, Said]:
    """The switches that `word` prints: texts, function, channel from 1, lower and upper end (us)."""
    found: dict[str, Said] = {}
    for at, (texts, *values) in enumerate(rows):
        leaves = ("function", "channel", "from_us", "to_us")
        found |= {
            f"switches[{at}].{leaf}": Said(value, word, texts) for leaf, value in zip(leaves, values, strict=True)
        }
    return found


def element_rows(word: str, *rows: tuple[Texts, str, int, int, bool]) -> dict[str, Said]:
    """The overlay elements that `word` prints: texts, name, column and row from 0, whether it is shown."""
    found: dict[str, Said] = {}
    for at, (texts, *values) in enumerate(rows):
        leaves = ("name", "column", "row", "shown")
        found |= {
            f"overlay.elements[{at}].{leaf}": Said(value, word, texts)
            for leaf, value in zip(leaves, values, strict=True)
        }
    return found
