"""Pages with each fact beside the line that states it: `line @@ name=value; name=value`."""

from __future__ import annotations

import ast
import re

from tests_support.other_consoles.stating import Said, said

_FIELDS = {
    "port": ("ports", ("id", "roles", "baud")),
    "switch": ("switches", ("function", "channel", "from_us", "to_us")),
    "element": ("overlay.elements", ("name", "column", "row", "shown")),
}
"""Kinds of rows that a mark names, as in `@@ port 0 ('uart1', ('console',), 115200)`: group and fields in order."""


def marked(text: str) -> tuple[dict[str, str], dict[str, Said]]:
    """Pages by word without the marks, and the facts that are marked; `--- word` begins a page."""
    pages: dict[str, str] = {}
    facts: dict[str, Said] = {}
    for block in re.split(r"^--- (?=[\w?])", text, flags=re.MULTILINE)[1:]:
        word, _, page = block.partition("\n")
        pages[word] = ""
        for line in page.splitlines():
            shown, _, marks = line.partition("@@")
            pages[word] += shown.rstrip() + "\n"
            for name, value in _values(marks.strip()):
                assert name not in facts, name
                facts[name] = said(value, word, shown.strip())
    return pages, facts


def _values(marks: str) -> list[tuple[str, object]]:
    kind, _, rest = marks.partition(" ")
    if kind in _FIELDS:
        group, fields = _FIELDS[kind]
        row, _, values = rest.partition(" ")
        return [(f"{group}[{row}].{field}", one) for field, one in zip(fields, ast.literal_eval(values), strict=False)]
    pairs = (mark.partition("=") for mark in marks.split(";") if mark.strip())
    return [(name.strip(), ast.literal_eval(value.strip())) for name, _, value in pairs]
