"""Pages with each fact beside the line that states it, and the heading above it where that is part of the words."""

from __future__ import annotations

import ast

from tests_support.other_consoles.stating import Said, said

_ROWS = {
    "port": ("ports", ("id", "roles", "baud")),
    "switch": ("switches", ("function", "channel", "from_us", "to_us")),
    "element": ("overlay.elements", ("name", "column", "row", "shown")),
}
"""Fields in order of a mark such as `@@ port 0 ('uart1', ('console',), 115200)`."""


def read_marks(text: str) -> tuple[dict[str, str], dict[str, Said]]:
    """Pages by word without the marks, and the facts.

    `--- word` begins a page. `@@ head` marks a heading: it belongs to the texts of the facts below it, up to an empty
    line, the next heading or the next page. `@@ name=value; name=value` states facts, a heading can do so as well.
    """
    pages: dict[str, str] = {}
    facts: dict[str, Said] = {}
    word, head = "", ""
    for line in text.splitlines():
        shown, _, mark = line.partition("@@")
        shown, marks = shown.rstrip(), mark.strip()
        if shown.startswith("--- "):
            word, head = shown.removeprefix("--- "), ""
            pages[word] = ""
            continue
        pages[word] += shown + "\n"
        if not shown:
            head = ""
        if marks.startswith("head"):
            _keep(facts, word, (shown.strip(),), marks.removeprefix("head").lstrip("; "))
            head = shown.strip()
            continue
        _keep(facts, word, (head, shown.strip()) if head else (shown.strip(),), marks)
    return pages, facts


def _keep(facts: dict[str, Said], word: str, texts: tuple[str, ...], marks: str) -> None:
    for name, value in _values(marks):
        assert name not in facts, name
        facts[name] = said(value, word, *texts)


def _values(marks: str) -> list[tuple[str, object]]:
    kind, _, rest = marks.partition(" ")
    if kind in _ROWS:
        group, fields = _ROWS[kind]
        row, _, values = rest.partition(" ")
        return [(f"{group}[{row}].{field}", one) for field, one in zip(fields, ast.literal_eval(values), strict=False)]
    pairs = (mark.partition("=") for mark in marks.split(";") if mark.strip())
    return [(name.strip(), ast.literal_eval(value.strip())) for name, _, value in pairs]
