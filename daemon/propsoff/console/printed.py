"""Text that was copied from a terminal, as the console printed it."""

from __future__ import annotations

import re
from collections.abc import Sequence

_QUOTE = re.compile(r"^[>|] ?")
_NUL_SHARE = 0.3
"""Of the bytes of a console's text in UTF-16 more than this share is zero; of one in UTF-8 none is."""


def as_printed(data: bytes) -> bytes:
    """Copied text in UTF-8, without the indent of all its lines, and without the marks of a quotation.

    Bytes that are not UTF-8 stay as they are; so do the numbers of the lines.
    """
    lines = _without_indent(_decoded(data).split("\n"))
    said = [line for line in lines if not _is_blank(line)]
    if len(said) > 1 and all(map(_QUOTE.match, said)):
        lines = _without_indent([_QUOTE.sub("", line, count=1) for line in lines])
    return "\n".join(lines).encode("utf-8", "surrogateescape")


def _without_indent(lines: Sequence[str]) -> list[str]:
    """The lines without the blanks that all of them, but for blank ones, begin with."""
    said = [line for line in lines if not _is_blank(line)]
    indent = min((line[: len(line) - len(line.lstrip(" \t"))] for line in said), key=len, default="")
    while not all(line.startswith(indent) for line in said):
        indent = indent[:-1]
    return [line.removeprefix(indent) for line in lines]


def _is_blank(line: str) -> bool:
    return not line.strip()


def _decoded(data: bytes) -> str:
    """A text as characters: UTF-16 by its byte order mark or by its many zero bytes, else UTF-8.

    Sources: The Unicode Standard, 23.8 (byte order mark); RFC 2781, 3.3.
    """
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", "replace")
    for encoding, zeros in (("utf-16-le", data[1::2]), ("utf-16-be", data[::2])):
        if zeros.count(0) > _NUL_SHARE * len(data):
            return data.decode(encoding, "replace")
    return data.decode("utf-8", "surrogateescape")
