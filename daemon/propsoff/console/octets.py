"""Bytes as text and back without loss.

Text that a board sends is UTF-8 by hope, not by promise. Each byte that is not UTF-8 becomes one private-use character
U+EF80..U+EFFF; a board that really sends one of these has it kept as its three bytes, so that the way back stays exact.
"""

from __future__ import annotations

_PRIVATE = range(0xEF80, 0xF000)
_BASE = 0xEF00

_KEEP: dict[int, str] = {0xDC00 + byte: chr(_BASE + byte) for byte in range(0x80, 0x100)}
_KEEP |= {point: "".join(chr(_BASE + byte) for byte in chr(point).encode()) for point in _PRIVATE}
_GIVE_BACK: dict[int, str] = {point: chr(0xDC00 + point - _BASE) for point in _PRIVATE}


def text_of(data: bytes) -> str:
    """Bytes as text; what is not UTF-8 (or would collide with how that is kept) becomes U+EF80..U+EFFF."""
    text = data.decode("utf-8", "surrogateescape")
    return text if text.isascii() else text.translate(_KEEP)


def bytes_of(text: str) -> bytes:
    """The exact bytes behind `text_of`. What no board can have sent (a lone surrogate) becomes `?`."""
    if text.isascii():
        return text.encode()
    whole = "".join("?" if 0xD800 <= ord(char) <= 0xDFFF else char for char in text)
    return whole.translate(_GIVE_BACK).encode("utf-8", "surrogateescape")


def partial_tail(data: bytes) -> int:
    """How many bytes at the end begin a UTF-8 character that may still be completed (0..3). Source: RFC 3629, 4."""
    for back in range(1, min(3, len(data)) + 1):
        byte = data[-back]
        if byte & 0xC0 == 0x80:
            continue
        need = 2 if 0xC2 <= byte <= 0xDF else 3 if 0xE0 <= byte <= 0xEF else 4 if 0xF0 <= byte <= 0xF4 else 1
        return back if need > back else 0
    return 0
