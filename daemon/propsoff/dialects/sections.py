"""The grammar `sections`: lines of key and value below headings; a word is ``SECTION.KEY``.

A line that is neither heading nor setting may be a heading that lost bytes: what stands below it, up to the next
heading, belongs to nobody and is left unread.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from propsoff.console.manner import Line
from propsoff.dialects.harvest import Harvest, Place
from propsoff.dialects.keyed import Keyed, PairLines, open_absent, stopped
from propsoff.dialects.listing import Listing, Reply
from propsoff.dialects.patterns import Template
from propsoff.dialects.repeated import Repeated, Rows

_ADRIFT = "to which section the lines from here on belong is not known: a heading was lost; they are left unread"
_MAY_BE_OTHERS = "lines are missing, a heading may be among them: this key stands in several sections"


@dataclass(frozen=True)
class Sections:
    """`headings` have the field `section`. `shared` are keys that known words of several sections have.

    `indented`: a heading opens a block for the lines below it that are indented deeper; blocks nest. `items` is the
    mark before the first line of each item of a list in blocks: an item is a block that has its number as name, from 1.
    """

    headings: tuple[Template, ...]
    lines: PairLines
    keyed: Keyed
    shared: frozenset[str] = frozenset()
    indented: bool = False
    items: str = ""

    def read(self, listing: Listing, reply: Reply, harvest: Harvest) -> None:
        """Take each line by the path of its sections and its key."""
        open_absent(listing, reply, harvest)
        visit = _Visit(self, listing, reply, harvest, {})
        for line, path, key, value in self._nested(reply) if self.indented else self._flat(reply):
            visit.setting(line, path, key, value)
        stopped(list(visit.seen.values()), reply, harvest)

    def heading(self, text: str) -> str | None:
        """The name of the section that a line opens; None when it is no heading."""
        for template in self.headings:
            found = template.match(text)
            if found is not None and found.get("section"):
                return found["section"]
        return None

    def _flat(self, reply: Reply) -> Iterator[tuple[Line, str | None, str, str]]:
        """Each setting with the path of its section; the path is None where nobody knows it."""
        path: str | None = ""
        for line in reply.lines:
            text = line.text.lstrip()
            name = self.heading(text)
            if name is not None:
                path = f"{name}."
                continue
            pair = self.lines.split(text)
            if pair is not None:
                yield line, path, *pair
                continue
            reply.aside(line)
            if not reply.quiet(line):
                path = None

    def _nested(self, reply: Reply) -> Iterator[tuple[Line, str | None, str, str]]:
        """As `_flat`, by indentation. A line that fits both is a heading when something stands deeper below it."""
        telling = [(line, _indent(line)) for line in reply.lines if not reply.quiet(line)]
        blocks = [_Block(-1, "")]
        for at, (line, indent) in enumerate(telling):
            while blocks[-1].indent >= indent:
                blocks.pop()
            if self.items and line.text.lstrip().startswith(self.items):
                holder = blocks[-1]
                holder.items += 1
                path = holder.path_at(indent)
                blocks.append(_Block(indent, None if path is None else f"{path}{holder.items}."))
                text = line.text.lstrip()[len(self.items) :].lstrip()
                indent = len(line.text) - len(text)
                line = Line(line.number, " " * indent + text)
            path = blocks[-1].path_at(indent)
            deeper = at + 1 < len(telling) and telling[at + 1][1] > indent
            text = line.text.strip()
            name, pair = self.heading(text), self.lines.split(text)
            if name is not None and (deeper or pair is None):
                blocks.append(_Block(indent, None if path is None else f"{path}{name}."))
            elif pair is not None:
                yield line, path, *pair
            else:
                reply.aside(line)
                blocks.append(_Block(indent, None))


@dataclass(slots=True)
class _Block:
    """An open heading: its indentation, its path (None: not known), the indentation of what stands in it.

    `items` counts the items of the list that it holds.
    """

    indent: int
    path: str | None
    inner: int | None = None
    items: int = 0

    def path_at(self, indent: int) -> str | None:
        """The path for a line in this block; None when it does not stand where the others do."""
        if self.inner is None:
            self.inner = indent
        return self.path if indent == self.inner else None


@dataclass(slots=True)
class _Visit:
    """One way through a reply."""

    grammar: Sections
    listing: Listing
    reply: Reply
    harvest: Harvest
    seen: dict[str, tuple[Repeated, Line]]
    adrift: bool = False

    def setting(self, line: Line, path: str | None, key: str, value: str) -> None:
        """Take one setting, or put its line aside."""
        if path is None:
            if not self.adrift:
                self.harvest.problem(_ADRIFT, line.number, line.text, gap=True)
            self.adrift = True
            self.reply.aside(line)
            return
        self.adrift = False
        full = path + key
        word = self.listing.word(full)
        if word is not None and self.reply.torn and key in self.grammar.shared:
            for fact in word.facts:
                self.harvest.problem(_MAY_BE_OTHERS, line.number, line.text, fact, gap=True)
        elif word is not None:
            self.harvest.word(word, value, Place(line.number, line.text))
        elif full in self.listing.ignored:  # by name, before any group: it may be called like a row
            return
        elif self.reply.torn and (lost := self._below(full)) is not None:
            self.seen[lost.name] = lost, line
        elif (stated := self.grammar.keyed.take(full, value, line, self.harvest)) is not None:
            self.seen[stated.name] = stated, line
        elif not self.listing.ignores(full):
            self.reply.aside(line)

    def _below(self, key: str) -> Repeated | None:
        """The group of rows at a key. Whose row a line of a torn reply belongs to, nobody knows."""
        for template, spec in self.grammar.keyed.heads.under(key):
            if isinstance(spec, Rows) and template.fits(key):
                return spec
        return None


def _indent(line: Line) -> int:
    return len(line.text) - len(line.text.lstrip(" "))  # a transcript has blanks in place of tabs
