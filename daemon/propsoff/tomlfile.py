"""A TOML file of the operator's, with the line of each key, so that an error can say where.

The standard library's reader keeps no positions; `KeyLines` finds them by a scan that knows strings, comments and
brackets.
"""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from propsoff.exceptions import ConfigError

_MAX_BYTES = 1 << 20
_BARE_OR_QUOTED = r"""(?:[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')"""
_DOTTED = rf"{_BARE_OR_QUOTED}(?:[ \t]*\.[ \t]*{_BARE_OR_QUOTED})*"
_HEADER = re.compile(rf"[ \t]*(\[\[?)[ \t]*({_DOTTED})[ \t]*\]\]?")
_KEY = re.compile(rf"[ \t]*({_DOTTED})[ \t]*=")
_PART = re.compile(_BARE_OR_QUOTED)
_AT_LINE = re.compile(r"at line (\d+)")


def read_toml(path: Path, error: type[ConfigError] = ConfigError) -> tuple[dict[str, Any], KeyLines]:
    """The document and where its keys stand.

    Raises `error` with file and line when the file cannot be read, is larger than 1 MiB, not UTF-8, or not TOML.
    """
    try:
        if path.stat().st_size > _MAX_BYTES:
            raise error("larger than 1 MiB, which no such file is", source=path)
        text = path.read_bytes().decode("utf-8")
    except UnicodeDecodeError as wrong:
        line = wrong.object[: wrong.start].count(b"\n") + 1
        raise error("is not UTF-8 text", source=path, line=line) from None
    except OSError as wrong:
        raise error(wrong.strerror or str(wrong), source=path) from None
    try:
        return tomllib.loads(text), KeyLines(text)
    except tomllib.TOMLDecodeError as wrong:
        at = _AT_LINE.search(str(wrong))
        line = int(at[1]) if at else text.count("\n") + 1
        raise error(f"is not TOML: {wrong}", source=path, line=line) from None
    except RecursionError:
        raise error("is nested too deeply", source=path) from None


class KeyLines:
    """The line, from 1, of each key of a TOML text; items of arrays of tables are numbered: `read[1].command`."""

    def __init__(self, text: str) -> None:
        self._lines: dict[str, int] = dict(_scan(text))

    def of(self, key: str) -> int | None:
        """The line of a dotted key, of its nearest parent when it stands inside an inline value, else None."""
        while key:
            if key in self._lines:
                return self._lines[key]
            key = key[: max(key.rfind("."), key.rfind("["), 0)]
        return None


def _scan(text: str) -> Iterator[tuple[str, int]]:
    table, counts = "", {}  # type: str, dict[str, int]
    for number, statement in _statements(text):
        if header := _HEADER.match(statement):
            name = _dotted(header[2], counts)
            if header[1] == "[[":
                counts[name] = counts.get(name, -1) + 1
                name = f"{name}[{counts[name]}]"
            table = name
            yield table, number
        elif key := _KEY.match(statement):
            parts = _parts(key[1])
            for upto in range(1, len(parts) + 1):
                yield ".".join(([table] if table else []) + parts[:upto]), number


def _parts(dotted: str) -> list[str]:
    return [part[1:-1] if part[0] in "\"'" else part for part in _PART.findall(dotted)]


def _dotted(header: str, counts: dict[str, int]) -> str:
    """The header's name, in which each array of tables on the way stands with the number of its current item."""
    name = ""
    parts = _parts(header)
    for index, part in enumerate(parts):
        name = f"{name}.{part}" if name else part
        if name in counts and index < len(parts) - 1:
            name = f"{name}[{counts[name]}]"
    return name


def _statements(text: str) -> Iterator[tuple[int, str]]:
    """(line number, text of the first line) of each statement; lines inside a multi-line value are passed over."""
    depth, quote = 0, ""
    for number, line in enumerate(text.split("\n"), 1):
        if depth == 0 and not quote and line.strip() and not line.lstrip().startswith("#"):
            yield number, line
            if _HEADER.match(line) and not _KEY.match(line):
                continue
        depth, quote = _after(line, depth, quote)


def _after(line: str, depth: int, quote: str) -> tuple[int, str]:
    """Bracket depth and open multi-line quote at the end of a line."""
    at = 0
    while at < len(line):
        if quote:
            if quote in ('"', '"""') and line[at] == "\\":
                at += 2
            elif line.startswith(quote, at):
                at, quote = at + len(quote), ""
            else:
                at += 1
        elif line[at] == "#":
            break
        elif line[at] in "\"'":
            quote = line[at] * 3 if line.startswith(line[at] * 3, at) else line[at]
            at += len(quote)
        else:
            depth += (line[at] in "[{") - (line[at] in "]}")
            at += 1
    return max(depth, 0), quote if len(quote) == 3 else ""


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that looks most like `word`, or None."""
    matches = difflib.get_close_matches(word, list(known), n=1, cutoff=0.6)
    return matches[0] if matches else None
