"""Text from a board, as a terminal would show it, line by line.

Control functions and the syntax of their sequences are those of ECMA-48 (5th edition, 1991); the recovery from broken
sequences follows the state diagram of ANSI video terminals (https://vt100.net/emu/dec_ansi_parser). Only what moves or
erases within a line has an effect; a line ends at LF and nowhere else, so that the lines of a file keep their numbers.
All other sequences (colours, titles, device strings) are swallowed, other control characters are dropped.
"""

from __future__ import annotations

import re
from collections.abc import Callable

LINE_CAP = 8 << 10
"""Longest line in characters; what goes beyond is dropped and `CUT` stands at its end.

Twice the longest value that a board is known to print (4096 characters), and short enough that a stream which moves or
erases a whole line with every few bytes is rendered in seconds.
"""
CUT = "…[cut]"

_CODE, _WIDTH = "utf-32-le", 4
"""How a line's cells are kept: as bytes of one width they are moved and blanked at the speed of memory."""
_BLANK = " ".encode(_CODE)
_TAB = 8
_STRING_CAP = 4096
_PARAMETER_CAP = 64
_GROUND, _ESCAPE, _CSI, _STRING = range(4)

_PLAIN = re.compile("[^\x00-\x1f\x7f-\x9f\ud800-\udfff]+")
_COLOUR = re.compile("\x1b\\[[0-9;:]*m")
_FIRST_NUMBER = re.compile("[0-9]{1,6}")


class Screen:
    """Renders incrementally: `feed` text in pieces of any size; `lines` are ended by LF, `tail` is under way."""

    __slots__ = ("_cap", "_cells", "_column", "_cut", "_parameters", "_state", "_string", "_tail", "lines")

    def __init__(self, cap: int = LINE_CAP) -> None:
        self._cap = cap
        self._cells = bytearray()
        self._column = 0
        self._cut = False
        self._state = _GROUND
        self._parameters = ""
        self._string = 0
        self._tail: str | None = ""
        self.lines: list[str] = []

    @property
    def tail(self) -> str:
        """The line under way, without a line end; empty when nothing stands on it."""
        if self._tail is None:
            self._tail = self._cells.decode(_CODE) + (CUT if self._cut else "")
        return self._tail

    def feed(self, text: str) -> None:
        """Take the next piece of the board's text."""
        whole, ended, last = text.rpartition("\n")
        if ended:
            first, more, others = whole.partition("\n")
            self._finish(first)
            if more:
                self._finish_many(others)
        if last:
            if self._plain(last):
                self._cells += last.encode(_CODE)
                self._column += len(last)
                self._tail = None if self._tail is None else self._tail + last
            else:
                self._render(last)

    def _finish_many(self, text: str) -> None:
        """The rest of several lines, each to its end; nothing stands on the first of them."""
        lines = text.replace("\r\n", "\n").removesuffix("\r").split("\n")
        if self._state == _GROUND and len(text) <= self._cap and "".join(lines).isprintable():
            self.lines += lines
            return
        for part in text.split("\n"):
            self._finish(part)

    def _finish(self, part: str) -> None:
        """The rest of one line, to its end."""
        body = part[:-1] if part.endswith("\r") else part
        if self._plain(body):
            self.lines.append(self.tail + body if self._cells else body)
            self._clear()
        else:
            self._render(part)
            self._end_line()

    def _plain(self, text: str) -> bool:
        """Whether text is simply appended: no control in it, none under way, the cursor at the end, room left."""
        return (
            self._state == _GROUND
            and self._column == self._length
            and text.isprintable()
            and self._column + len(text) <= self._cap
            and not self._cut
        )

    @property
    def _length(self) -> int:
        return len(self._cells) // _WIDTH

    def _clear(self) -> None:
        self._cells = bytearray()
        self._column = 0
        self._cut = False
        self._tail = ""

    def _end_line(self) -> None:
        if self._state == _STRING:  # a string never spans lines here: noise must not swallow the rest of a reply
            self._state = _GROUND
        self.lines.append(self.tail)
        self._clear()

    def _render(self, text: str) -> None:
        at, length = 0, len(text)
        while at < length:
            if self._state == _GROUND:
                if run := _PLAIN.match(text, at):
                    self._write(run.group())
                    at = run.end()
                    continue
                if colour := _COLOUR.match(text, at):
                    at = colour.end()
                    continue
            self._step(text[at])
            at += 1

    def _write(self, run: str) -> None:
        cells, column = self._cells, self._column
        room = self._cap - column
        if len(run) > room:
            if not room and self._cut:  # nothing of it is kept, as of what came before it
                return
            run = run[:room]
            self._cut = True
        self._tail = None
        if column > self._length:
            cells += _BLANK * (column - self._length)
        cells[column * _WIDTH : (column + len(run)) * _WIDTH] = run.encode(_CODE)
        self._column = column + len(run)

    def _step(self, char: str) -> None:
        """One character that is a control, or stands within a sequence."""
        code = ord(char)
        if char == "\x1b":
            self._state, self._parameters = _ESCAPE, ""
        elif char in "\x18\x1a":  # CAN and SUB break a sequence off
            self._state = _GROUND
        elif 0x80 <= code < 0xA0:
            self._c1(code)
        elif self._state == _STRING:
            self._in_string(char)
        elif code < 0x20:
            self._c0(char)
        elif code == 0x7F:
            pass
        elif self._state == _GROUND:
            self._write("\ufffd")  # a lone surrogate, from a capture of somebody else's making
        elif code >= 0xA0:
            self._state = _GROUND
            self._write(char if char.isprintable() else "\ufffd")
        elif self._state == _ESCAPE:
            self._in_escape(char)
        else:
            self._in_csi(char)

    def _c0(self, char: str) -> None:
        if char == "\r":
            self._column = 0
        elif char == "\b":
            self._column = max(0, min(self._column, self._cap) - 1)
        elif char == "\t":
            self._column = min(self._cap, (self._column // _TAB + 1) * _TAB)

    def _c1(self, code: int) -> None:
        self._state = _GROUND
        if code == 0x9B:
            self._state, self._parameters = _CSI, ""
        elif code in (0x90, 0x98, 0x9D, 0x9E, 0x9F):
            self._state, self._string = _STRING, 0

    def _in_string(self, char: str) -> None:
        self._string += 1
        if char == "\a" or self._string > _STRING_CAP:
            self._state = _GROUND

    def _in_escape(self, char: str) -> None:
        if "\x20" <= char <= "\x2f":
            self._parameters = "intermediate"
        elif self._parameters:
            self._state = _GROUND
        elif char == "[":
            self._state = _CSI
        elif char in "P]X^_":
            self._state, self._string = _STRING, 0
        else:
            self._state = _GROUND

    def _in_csi(self, char: str) -> None:
        if char < "@":
            if len(self._parameters) < _PARAMETER_CAP:
                self._parameters += char
            return
        self._state = _GROUND
        function = _FUNCTIONS.get(char)
        # Intermediates and private parameters (< = > ?) make another function of the same final character.
        if function is not None and not self._parameters.strip("0123456789:;"):
            first = _FIRST_NUMBER.match(self._parameters)
            function(self, min(int(first.group()), self._cap) if first else 0)

    def _erase_line(self, what: int) -> None:
        self._tail = None
        if what == 0:
            del self._cells[self._column * _WIDTH :]
        elif what == 1:
            self._blank(0, self._column + 1)
        elif what == 2:
            self._cells.clear()
        if what in (0, 2):
            self._cut = False

    def _blank(self, start: int, stop: int) -> None:
        stop = min(stop, self._length)
        if stop > start:
            self._tail = None
            self._cells[start * _WIDTH : stop * _WIDTH] = _BLANK * (stop - start)

    def _right(self, count: int) -> None:
        self._column = min(self._cap, self._column + (count or 1))

    def _left(self, count: int) -> None:
        self._column = max(0, self._column - (count or 1))

    def _to(self, column: int) -> None:
        self._column = min(self._cap, (column or 1) - 1)

    def _insert(self, count: int) -> None:
        if self._column < self._length:
            self._tail = None
            at = self._column * _WIDTH
            self._cells[at:at] = _BLANK * min(count or 1, self._cap - self._column)
            if self._length > self._cap:
                del self._cells[self._cap * _WIDTH :]
                self._cut = True

    def _delete(self, count: int) -> None:
        self._tail = None
        del self._cells[self._column * _WIDTH : (self._column + (count or 1)) * _WIDTH]

    def _erase(self, count: int) -> None:
        self._blank(self._column, self._column + (count or 1))


_FUNCTIONS: dict[str, Callable[[Screen, int], None]] = {
    "@": Screen._insert,
    "C": Screen._right,
    "D": Screen._left,
    "G": Screen._to,
    "K": Screen._erase_line,
    "P": Screen._delete,
    "X": Screen._erase,
    "`": Screen._to,
    "a": Screen._right,
}
