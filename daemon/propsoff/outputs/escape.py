"""Making what a board, a file or a person wrote harmless before it reaches a terminal, a log line or a file name."""

from __future__ import annotations

import hashlib
import re
import unicodedata

_NAMED = {"\n": "\\n", "\r": "\\r", "\t": "\\t", "\x1b": "\\e"}
_NOT_NAME = re.compile(r"[^a-z0-9]+")
_MAX_STEM = 40


def visible(text: str, limit: int | None = None) -> str:
    """The text with everything that is not printable written out: `\\e`, `\\x07`, `\\u202e`.

    Bytes that were not UTF-8 (U+EF80..U+EFFF in a capture) appear as `\\xNN`. `limit` cuts long text, saying how much.
    """
    if text.isprintable() and (limit is None or len(text) <= limit):
        return text
    shown = "".join(_shown(char) for char in (text if limit is None else text[:limit]))
    return shown if limit is None or len(text) <= limit else f"{shown}… ({len(text)} characters)"


def _shown(char: str) -> str:
    if char in _NAMED:
        return _NAMED[char]
    point = ord(char)
    if 0xEF80 <= point <= 0xEFFF:
        return f"\\x{point - 0xEF00:02x}"
    if char.isprintable():
        return char
    if point < 0x100:
        return f"\\x{point:02x}"
    return f"\\u{point:04x}" if point < 0x10000 else f"\\U{point:08x}"


def file_stem(text: str) -> str:
    """A part of a file name made of any text: at most 40 of a-z, 0-9 and hyphens, and never empty.

    Text that loses something keeps six hexadecimal digits of its SHA-256, so that two names stay two.
    """
    plain = unicodedata.normalize("NFKD", text[:500]).encode("ascii", "ignore").decode().lower()
    stem = _NOT_NAME.sub("-", plain).strip("-")[:_MAX_STEM].strip("-")
    spaced = text.lower().replace(" ", "-").replace("_", "-")
    if stem and stem == spaced:
        return stem
    digest = hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:6]
    return f"{stem}-{digest}" if stem else f"unnamed-{digest}" if text else "unnamed"
