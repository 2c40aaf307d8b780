"""Pages of a console of the sealed set, with each fact noted behind the line that states it."""

from __future__ import annotations

import ast

from tests_support.other_consoles.stating import Said, said

_ROWS = {
    "port": ("ports", ("id", "roles", "baud")),
    "switch": ("switches", ("function", "channel", "from_us", "to_us")),
    "element": ("overlay.elements", ("name", "column", "row", "shown", "width")),
}
"""Fields in order of a note such as `@@ port 0 ('uart1', ('console',), 115200)`."""


def read_marks(text: str) -> tuple[dict[str, str], dict[str, Said]]:
    """Pages by word without the notes, and the facts.

    `--- word` begins a page. Behind `@@` stand the facts that the line states. A note that ends with `+` waits for the
    next line noted `legend` on the page: that line belongs to the texts of its facts as well.
    """
    pages: dict[str, str] = {}
    facts: dict[str, Said] = {}
    waiting: list[str] = []
    word = ""
    for line in text.splitlines():
        if line.startswith("--- "):
            assert not waiting, waiting
            word = line.removeprefix("--- ")
            pages[word] = ""
            continue
        shown, _, note = (part.strip() for part in line.partition("@@"))
        pages[word] += line.partition("@@")[0].rstrip() + "\n"
        if note == "legend":
            facts.update({name: said(facts[name].value, word, *facts[name].texts, shown) for name in waiting})
            waiting.clear()
            continue
        for name, value in _values(note.removesuffix("+").strip()):
            assert name not in facts, name
            facts[name] = said(value, word, shown)
            if note.endswith("+"):
                waiting.append(name)
    assert not waiting, waiting
    return pages, facts


def _values(note: str) -> list[tuple[str, object]]:
    kind, _, rest = note.partition(" ")
    if kind in _ROWS:
        group, fields = _ROWS[kind]
        row, _, values = rest.partition(" ")
        return [(f"{group}[{row}].{field}", one) for field, one in zip(fields, ast.literal_eval(values), strict=False)]
    pairs = (part.partition("=") for part in note.split(";") if part.strip())
    return [(name.strip(), ast.literal_eval(value.strip())) for name, _, value in pairs]
