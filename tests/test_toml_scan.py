"""Finding the line of a key in a TOML file."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from propsoff.dialects.catalogue import BUILTIN
from propsoff.toml_scan import KeyLines, Path

TEXT = '''# a comment with [brackets] and = signs
format = 1
[console]           # a table
wake = """
more = "than one line"
"""
"odd.key".'inner' = { a = [1,
    2, { b = "x # no comment" } ], c = 'd' }

[[reads]]
command = "a = b"
[reads.words]
"k.l" = 2
"tab\\tin\\u0041key" = 3
[[reads.rows]]
group = 1979-05-27T07:32:00Z
[[reads.rows]]
forms = [
    # a comment
    { line = "x", means = { roles = ["unused"] } },
    "second",
]
[[reads]]
command = "c"
[say]
set = \'\'\'it''s
= odd\'\'\'
closing = ["x"]
'''

LINES: list[tuple[Path, int | None]] = [
    (("format",), 2),
    (("console",), 3),
    (("console", "wake"), 4),
    (("console", "odd.key"), 7),
    (("console", "odd.key", "inner", "a"), 7),
    (("console", "odd.key", "inner", "a", 1), 8),
    (("console", "odd.key", "inner", "a", 2, "b"), 8),
    (("console", "odd.key", "inner", "c"), 8),
    (("reads", 0), 10),
    (("reads", 0, "command"), 11),
    (("reads", 0, "words", "k.l"), 13),
    (("reads", 0, "words", "tab\tinAkey"), 14),
    (("reads", 0, "rows", 0, "group"), 16),
    (("reads", 0, "rows", 1, "forms", 0, "means", "roles"), 20),
    (("reads", 0, "rows", 1, "forms", 1), 21),
    (("reads", 1, "command"), 24),
    (("say", "set"), 26),
    (("say", "closing"), 28),
    (("say", "nothing"), 25),  # not there: its table
    (("reads", 1, "words", "x"), 23),
    (("nowhere",), None),
    ((), None),
]


@pytest.mark.parametrize(("path", "line"), LINES)
def test_a_key_is_found_on_its_line(path: Path, line: int | None) -> None:
    assert tomllib.loads(TEXT)
    assert KeyLines(TEXT).of(*path) == line


def _paths(value: Any, path: Path = ()) -> list[Path]:
    children: list[tuple[str | int, Any]] = []
    if isinstance(value, dict):
        children = list(value.items())
    elif isinstance(value, list):
        children = list(enumerate(value))
    found = [path] if path else []
    for key, inner in children:
        found += _paths(inner, (*path, key))
    return found


@pytest.mark.parametrize("name", ["ossel", "brindle", "corvane"])
def test_every_key_of_the_built_in_files_is_found_on_a_line_that_shows_it(name: str) -> None:
    text = (BUILTIN / f"{name}.toml").read_text()
    lines = text.split("\n")
    keys = [path for path in _paths(tomllib.loads(text)) if isinstance(path[-1], str)]
    assert len(keys) > 100
    scanned = KeyLines(text)
    for path in keys:
        line = scanned.of(*path)
        assert line is not None
        assert str(path[-1]) in lines[line - 1], path
