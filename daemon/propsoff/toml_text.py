"""Values and keys as TOML text, harmless to a terminal: what does not print is escaped."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+\Z")
_ESCAPED = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\r": "\\r", "\t": "\\t"}


def toml_value(value: Any) -> str:
    """A value as TOML writes it, tables and lists inline. Raises TypeError for what TOML cannot say."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, str):
        return f'"{"".join(map(_char, value))}"'
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(toml_value, value))}]"
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{toml_key(key)} = {toml_value(item)}' for key, item in value.items())} }}"
    raise TypeError(f"TOML has no {type(value).__name__}")


def sayable(text: str) -> bool:
    """Whether TOML can hold a text: what a torn conversation leaves may have halves of characters."""
    return text.isascii() or not any("\ud800" <= char <= "\udfff" for char in text)


def toml_comment(text: str) -> str:
    """What a comment can hold of a text: one line that prints."""
    return "".join(char if char.isprintable() else _char(char) for char in text)


def toml_key(*path: str) -> str:
    """A key, or the path of one, with quotation marks where it needs them."""
    return ".".join(part if _BARE.match(part) else toml_value(part) for part in path)


def _char(char: str) -> str:
    if char in _ESCAPED:
        return _ESCAPED[char]
    if char.isprintable():
        return char
    point = ord(char)
    if 0xD800 <= point <= 0xDFFF:  # no text of TOML can hold half a character
        return "\\uFFFD"
    return f"\\u{point:04X}" if point < 0x10000 else f"\\U{point:08X}"
