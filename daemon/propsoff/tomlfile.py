"""A TOML file of the operator's, with the line of each key, so that an error can say where."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from propsoff.exceptions import ConfigError
from propsoff.toml_scan import KeyLines

_MAX_BYTES = 1 << 20
_AT_LINE = re.compile(r" \(at line (\d+), column \d+\)\Z")


def read_toml(
    path: Path, error: type[ConfigError] = ConfigError, parse_float: Callable[[str], Any] = float
) -> tuple[dict[str, Any], KeyLines]:
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
    return parse_toml(text, path, error, parse_float)


def parse_toml(
    text: str,
    source: str | Path,
    error: type[ConfigError] = ConfigError,
    parse_float: Callable[[str], Any] = float,
) -> tuple[dict[str, Any], KeyLines]:
    """As `read_toml`, of a text; `source` names it in errors."""
    try:
        return tomllib.loads(text, parse_float=parse_float), KeyLines(text)
    except RecursionError:
        raise error("is nested too deeply", source=source) from None
    except (ValueError, ArithmeticError) as wrong:  # ArithmeticError: a number beyond what a Decimal can hold
        at = _AT_LINE.search(str(wrong))
        line = int(at[1]) if at else text.count("\n") + 1
        raise error(f"is not TOML: {_AT_LINE.sub('', str(wrong))}", source=source, line=line) from None


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that looks most like `word`, or None."""
    matches = difflib.get_close_matches(word, list(known), n=1, cutoff=0.6)
    return matches[0] if matches else None
