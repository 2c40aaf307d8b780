"""Where a key stands in a TOML file.

tomllib gives no positions. This scan finds the line of every key of a file that tomllib has already accepted; it runs
only when an error is to be reported.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

Path = tuple[str | int, ...]
"""Names, and indices of arrays: ``("reads", 0, "words", "radio.flip", "as")``."""
_BARE = frozenset("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-")
_ESCAPES = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", "e": "\x1b", '"': '"', "\\": "\\"}


class KeyLines:
    """The lines of the keys of one text, which must be valid TOML. The scan waits until it is asked for the first."""

    def __init__(self, text: str) -> None:
        self._text = text

    @cached_property
    def _known(self) -> dict[Path, int]:
        known: dict[Path, int] = {}
        # tomllib takes line ends of both kinds; the scan wants them alike.
        for found, line in _Scan(self._text.replace("\r\n", "\n")).walk():
            known.setdefault(found, line)
        return known

    def of(self, *path: str | int) -> int | None:
        """The line (from 1) of the key at `path`, or of the nearest key above it; None when there is none."""
        for length in range(len(path), 0, -1):
            if path[:length] in self._known:
                return self._known[path[:length]]
        return None


class _Scan:
    """One pass over the text, giving (path, line) pairs."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._at = 0
        self._line = 1
        self._arrays: dict[Path, int] = {}

    def walk(self) -> Iterator[tuple[Path, int]]:
        """Every key in the order of the file."""
        table: Path = ()
        while self._skip_blank(lines=True):
            line = self._line
            if self._peek() == "[":
                table = self._header()
                for length in range(1, len(table) + 1):
                    yield table[:length], line
                continue
            path = table + self._key()
            for length in range(len(table) + 1, len(path) + 1):
                yield path[:length], line
            self._skip_blank()
            self._step()  # the equals sign
            yield from self._value(path)

    def _peek(self, length: int = 1) -> str:
        return self._text[self._at : self._at + length]

    def _step(self, length: int = 1) -> None:
        self._line += self._text.count("\n", self._at, self._at + length)
        self._at += length

    def _skip_blank(self, *, lines: bool = False) -> bool:
        """Pass blanks, and with `lines` comments and line ends too; False at the end of the text."""
        while self._at < len(self._text):
            char = self._peek()
            if lines and char == "#":
                end = self._text.find("\n", self._at)
                self._step((end if end >= 0 else len(self._text)) - self._at)
            elif char in " \t" or (lines and char in "\r\n"):
                self._step()
            else:
                return True
        return False

    def _header(self) -> Path:
        many = self._peek(2) == "[["
        self._step(2 if many else 1)
        names = self._key()
        self._skip_blank()
        self._step(2 if many else 1)
        path: Path = ()
        for index, name in enumerate(names):
            path = (*path, name)
            if many and index == len(names) - 1:
                self._arrays[path] = self._arrays.get(path, -1) + 1
            if path in self._arrays:
                path = (*path, self._arrays[path])
        return path

    def _key(self) -> tuple[str, ...]:
        parts: list[str] = []
        while True:
            self._skip_blank()
            if self._peek() in ('"', "'"):
                parts.append(self._string())
            else:
                start = self._at
                while self._peek() and self._peek() in _BARE:
                    self._at += 1
                parts.append(self._text[start : self._at])
            self._skip_blank()
            if self._peek() != ".":
                return tuple(parts)
            self._step()

    def _string(self) -> str:
        """Pass one string; its value where it is a one-line string (keys are), with the usual escapes."""
        quote = self._peek()
        mark = quote * 3 if self._peek(3) == quote * 3 else quote
        self._step(len(mark))
        out: list[str] = []
        while self._peek() and self._peek(len(mark)) != mark:
            if quote == '"' and self._peek() == "\\":
                width = {"x": 4, "u": 6, "U": 10}.get(self._peek(2)[1:], 2)
                code = self._peek(width)[2:]
                out.append(chr(int(code, 16)) if code else _ESCAPES.get(self._peek(2)[1:], ""))
                self._step(width)
            else:
                out.append(self._peek())
                self._step()
        self._step(len(mark))
        while len(mark) == 3 and self._peek() == quote:  # up to two quotes may stand before the closing three
            self._step()
        return "".join(out)

    def _value(self, path: Path) -> Iterator[tuple[Path, int]]:
        self._skip_blank()
        char = self._peek()
        if char in ('"', "'"):
            self._string()
        elif char == "[":
            yield from self._array(path)
        elif char == "{":
            yield from self._inline_table(path)
        else:
            while self._peek() and self._peek() not in ",]}#\r\n":
                self._step()

    def _array(self, path: Path) -> Iterator[tuple[Path, int]]:
        self._step()
        index = 0
        while self._skip_blank(lines=True) and self._peek() != "]":
            if self._peek() == ",":
                self._step()
                index += 1
                continue
            yield (*path, index), self._line
            yield from self._value((*path, index))
        self._step()

    def _inline_table(self, path: Path) -> Iterator[tuple[Path, int]]:
        self._step()
        while self._skip_blank(lines=True) and self._peek() != "}":
            if self._peek() == ",":
                self._step()
                continue
            key = self._key()
            for length in range(1, len(key) + 1):
                yield (*path, *key[:length]), self._line
            self._skip_blank()
            self._step()
            yield from self._value((*path, *key))
        self._step()
