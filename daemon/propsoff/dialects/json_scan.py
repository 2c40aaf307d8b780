"""Reading a JSON document (RFC 8259) with the line on which each value stands.

Python's own reader gives no positions, and nothing of a document that broke off. This one reads in a single pass over
the tokens and keeps what came before the break.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from propsoff.console.manner import Line
from propsoff.dialects.decode import Raw

MAX_DEPTH = 64
_TOKEN = re.compile(
    r"""[ \t\r]*(?:([{}\[\],:])|("(?:[^"\\\x00-\x1f]|\\["\\/bfnrtu])*")|((?:true|false|null)(?![A-Za-z0-9_]))"""
    r"""|(-?(?:0|[1-9][0-9]{0,39})(?:\.[0-9]{1,40})?(?:[eE][+-]?[0-9]{1,2})?)(?![0-9A-Za-z_.]))"""
)
_WORDS: dict[str, bool | None] = {"true": True, "false": False, "null": None}
_NO_TEXT = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff]")


@dataclass(slots=True)
class Node:
    """One value and where it stands: `line` and `end` are transcript lines from 1.

    Exactly one of `members` (an object's, in order, since a name may stand twice), `items` and `scalar` applies.
    `closed` is false where the document broke off inside, or right after a number or a word: its end may be lost.
    """

    line: int
    end: int
    scalar: str | Decimal | bool | None = None
    members: list[tuple[str, Node]] | None = None
    items: list[Node] | None = None
    closed: bool = True

    @property
    def bare(self) -> bool:
        """Whether it has no mark of its own at its end, as a number, true, false and null have none."""
        return self.members is None and self.items is None and not isinstance(self.scalar, str)

    def plain(self) -> Raw:
        """The value without positions."""
        if self.members is not None:
            return {name: node.plain() for name, node in self.members}
        if self.items is not None:
            return [node.plain() for node in self.items]
        return self.scalar


@dataclass(frozen=True, slots=True)
class Break:
    """Where and why the document could not be read on."""

    why: str
    line: Line


class _BrokenError(Exception):
    def __init__(self, why: str, line: Line) -> None:
        self.why, self.line = why, line


def scan(lines: Sequence[Line]) -> tuple[Node | None, Break | None]:
    """Read one document; the second value says where it broke off, None when it is whole. Never raises."""
    reader = _Reader(lines)
    try:
        reader.read()
    except _BrokenError as broken:
        return reader.root, Break(broken.why, broken.line)
    return reader.root, None


class _Reader:
    def __init__(self, lines: Sequence[Line]) -> None:
        self._tokens = _tokens(lines)
        self._line = lines[0] if lines else Line(0, "")
        self.root: Node | None = None

    def read(self) -> None:
        """The whole document into `root`. Raises _BrokenError; what was read until then is in `root`."""
        kind, text = self._next("a document")
        self.root = self._node(kind, text)
        self._fill(self.root, 1)
        for _, text, line in self._tokens:
            raise _BrokenError(f"{text!r} after the end of the document", line)

    def _next(self, wanted: str) -> tuple[int, str]:
        token = next(self._tokens, None)
        if token is None:
            raise _BrokenError(f"the document breaks off here: expected {wanted}", self._line)
        kind, text, self._line = token
        if kind == 0:
            raise _BrokenError(f"expected {wanted}, found {text[:20]!r}", self._line)
        return kind, text

    def _node(self, kind: int, text: str) -> Node:
        at = self._line.number
        if text in ("{", "["):
            return Node(at, at, members=[] if text == "{" else None, items=[] if text == "[" else None, closed=False)
        if kind == 1:
            raise _BrokenError(f"expected a value, found {text!r}", self._line)
        if kind == 2:
            return Node(at, at, self._string(text))
        return Node(at, at, _WORDS[text] if kind == 3 else Decimal(text))

    def _string(self, text: str) -> str:
        if "\\" not in text:
            return text[1:-1]
        try:
            found: str = json.loads(text)
        except ValueError:
            raise _BrokenError(f"not an escape of JSON in {text[:40]}", self._line) from None
        # Only by escapes do control characters and half surrogates reach a fact, and a terminal would obey them.
        return _NO_TEXT.sub("\ufffd", found)

    def _fill(self, node: Node, depth: int) -> None:
        """Read the inside of an object or a list up to its closing mark."""
        if node.closed:
            return
        if depth > MAX_DEPTH:
            raise _BrokenError(f"nested more than {MAX_DEPTH} deep", self._line)
        close = "}" if node.members is not None else "]"
        mark = f"',' or {close!r}"
        kind, text = self._next(f"a value or {close!r}")
        while text != close or kind != 1:
            inner = self._inner(node, kind, text, depth)
            try:
                kind, text = self._next(mark)
                if kind != 1 or (text != "," and text != close):
                    raise _BrokenError(f"expected {mark}, found {text[:20]!r}", self._line)
            except _BrokenError:
                inner.closed = not inner.bare
                raise
            if text == ",":
                kind, text = self._next("a value")
                if kind == 1 and text == close:
                    raise _BrokenError(f"expected a value, found {text!r}", self._line)
        node.end = self._line.number
        node.closed = True

    def _inner(self, node: Node, kind: int, text: str, depth: int) -> Node:
        """The next value of an object or a list."""
        if node.members is not None:
            return self._member(node.members, kind, text, depth)
        inner = self._node(kind, text)
        if node.items is not None:
            node.items.append(inner)
        self._fill(inner, depth + 1)
        return inner

    def _member(self, members: list[tuple[str, Node]], kind: int, text: str, depth: int) -> Node:
        if kind != 2:
            raise _BrokenError(f"expected a name in quotes, found {text[:20]!r}", self._line)
        name = self._string(text)
        kind, text = self._next("':'")
        if kind != 1 or text != ":":
            raise _BrokenError(f"expected ':', found {text[:20]!r}", self._line)
        kind, text = self._next("a value")
        inner = self._node(kind, text)
        members.append((name, inner))
        self._fill(inner, depth + 1)
        return inner


def _tokens(lines: Sequence[Line]) -> Iterator[tuple[int, str, Line]]:
    """(kind, text, line): 1 a mark, 2 a string, 3 true, false or null, 4 a number, 0 what is none of these."""
    match = _TOKEN.match
    for line in lines:
        text = line.text
        at = 0
        while (found := match(text, at)) is not None:
            kind = found.lastindex or 0
            yield kind, found[kind], line
            at = found.end()
        if text[at:].strip():
            yield 0, text[at:].strip(), line
