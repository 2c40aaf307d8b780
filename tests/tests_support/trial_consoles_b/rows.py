"""Facts of rows that repeat: ports, switches and elements of the overlay, each with the texts that state it."""

from __future__ import annotations

from collections.abc import Iterable

from tests_support.other_consoles.stating import Said, said

Texts = tuple[str, ...]


def ports_said(word: str, rows: Iterable[tuple[str, Texts, int | None, Texts]]) -> dict[str, Said]:
    """Rows of name, roles, line rate (baud, None where none is stated) and texts."""
    facts: dict[str, Said] = {}
    for row, (name, roles, baud, texts) in enumerate(rows):
        facts[f"ports[{row}].id"] = said(name, word, *texts)
        facts[f"ports[{row}].roles"] = said(roles, word, *texts)
        if baud is not None:
            facts[f"ports[{row}].baud"] = said(baud, word, *texts)
    return facts


def switches_said(word: str, rows: Iterable[tuple[str, int, int, int, Texts]]) -> dict[str, Said]:
    """Rows of function, channel, lower and upper end (us) and texts."""
    facts: dict[str, Said] = {}
    for row, (function, channel, from_us, to_us, texts) in enumerate(rows):
        facts[f"switches[{row}].function"] = said(function, word, *texts)
        facts[f"switches[{row}].channel"] = said(channel, word, *texts)
        facts[f"switches[{row}].from_us"] = said(from_us, word, *texts)
        facts[f"switches[{row}].to_us"] = said(to_us, word, *texts)
    return facts


def elements_said(word: str, rows: Iterable[tuple[str, int, int, bool, Texts]]) -> dict[str, Said]:
    """Rows of name, column, row, shown and texts."""
    facts: dict[str, Said] = {}
    for at, (name, column, row, shown, texts) in enumerate(rows):
        facts[f"overlay.elements[{at}].name"] = said(name, word, *texts)
        facts[f"overlay.elements[{at}].column"] = said(column, word, *texts)
        facts[f"overlay.elements[{at}].row"] = said(row, word, *texts)
        facts[f"overlay.elements[{at}].shown"] = said(shown, word, *texts)
    return facts
