"""The grammar `json`: one JSON document; words are paths into it, such as ``pack.cells`` or ``esc[0].kind``."""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from propsoff.console.manner import Line
from propsoff.dialects.decode import Raw
from propsoff.dialects.harvest import Harvest, Place
from propsoff.dialects.json_scan import Break, Node, scan
from propsoff.dialects.listing import Listing, Reply
from propsoff.dialects.repeated import Repeated, Rows

_PLAIN = re.compile(r"[^.\[\]\"]+")


@dataclass(frozen=True)
class Document:
    """`prefixes` are the paths above the known words: null there says nothing, and is no surprise.

    `named_by` is the member that names the objects of lists: their paths have that name in the place of the number.
    `per_line`: each line is a document of its own, and all of them are the items of a list whose path is ``[]``.
    """

    prefixes: frozenset[str]
    named_by: str = ""
    per_line: bool = False

    def read(self, listing: Listing, reply: Reply, harvest: Harvest) -> None:
        """Take each value of the document by its path."""
        first = next((at for at, line in enumerate(reply.lines) if line.text.lstrip()[:1] in ("{", "[")), None)
        for line in reply.lines[: first or 0] if first is not None else reply.lines:
            reply.aside(line)
        if first is None:
            return
        lines = reply.lines[first:]
        root, broken = scan_each(lines) if self.per_line else scan(lines)
        if broken is not None:
            harvest.problem(broken.why, broken.line.number, broken.line.text, gap=True)
            for line in lines:
                if line.number > broken.line.number:
                    reply.aside(line)
        if root is not None:
            by_number = {line.number: line for line in lines}
            _Walk(listing, reply, harvest, self.prefixes, self.named_by, broken, by_number).node(root, "")


LIST = "[]"
"""The path of the list that the documents of a reply are, one a line."""


def scan_each(lines: Sequence[Line]) -> tuple[Node | None, Break | None]:
    """The documents of lines as the items of one list; the second value says where the first of them breaks off."""
    root = Node(lines[0].number, lines[-1].number, items=[]) if lines else None
    broken: Break | None = None
    for line in lines:
        if root is None or root.items is None or line.text.lstrip()[:1] not in ("{", "["):
            continue
        item, wrong = scan([line])
        broken = broken or wrong
        if item is not None:
            root.items.append(item)
    return root, broken


def prefixes_of(paths: frozenset[str]) -> frozenset[str]:
    """All paths above these."""
    found: set[str] = set()
    for path in paths:
        for match in re.finditer(r"[.\[]", path):
            found.add(path[: match.start()])
    return frozenset(found)


def member_path(path: str, name: str) -> str:
    """The path of a member; names with a dot, bracket or quote in them are written as JSON writes them."""
    shown = name if _PLAIN.fullmatch(name) else json.dumps(name)
    return f"{path}.{shown}" if path else shown


def item_path(path: str, index: int, item: Node, named_by: str) -> str:
    """The path of an item of a list: by its number, or by the name that its member `named_by` gives."""
    for name, inner in item.members or ():
        if named_by and name == named_by and isinstance(inner.scalar, str):
            return member_path(path, inner.scalar)
    return f"{path}[{index}]"


def _named_items(node: Node) -> Iterator[Node]:
    """The members of an object as the items of a list: each has its name as a further member `key`."""
    for name, inner in node.members or ():
        if inner.members is None or any(known == KEY for known, _ in inner.members):
            yield inner
        else:
            named = (KEY, Node(inner.line, inner.line, name))
            yield Node(inner.line, inner.end, members=[named, *inner.members], closed=inner.closed)


KEY = "key"
"""The field that has the name of each, where a group is an object of objects."""


@dataclass(frozen=True, slots=True)
class _Walk:
    """One way through a document."""

    listing: Listing
    reply: Reply
    harvest: Harvest
    prefixes: frozenset[str]
    named_by: str
    broken: Break | None
    lines: Mapping[int, Line]

    def node(self, node: Node, path: str) -> None:
        """Take what stands at and below a path."""
        word = self.listing.word(path)
        spec = self.listing.at(path or LIST) if path or node.items is not None else None
        if word is not None:
            self._word(node, path)
        elif spec is not None:
            self._repeated(spec, node)
        elif self.listing.ignores(path):
            return
        elif node.members is not None and (path in self.prefixes or not path):
            for name, inner in node.members:
                self.node(inner, member_path(path, name))
        elif node.items is not None and (path in self.prefixes or not path):
            for index, inner in enumerate(node.items):
                self.node(inner, item_path(path, index, inner, self.named_by))
        elif node.scalar is not None or node.members is not None or node.items is not None or path not in self.prefixes:
            self._aside(node)

    def _word(self, node: Node, path: str) -> None:
        word = self.listing.word(path)
        if word is None or not self._closed(node, next(iter(word.facts), None)):
            return
        self.harvest.word(word, node.plain(), self._place(node))

    def _closed(self, node: Node, fact: str | None) -> bool:
        """Whether nothing of the value is missing."""
        why = None
        if not node.closed:
            why = "the document breaks off inside this value"
        elif node.items and node.end > node.line and self.reply.torn:
            why = "lines of the document are missing: entries of this list may be, too"
        if why is not None:
            self.harvest.problem(why, node.line, self._text(node.line), fact, gap=True)
        return why is None

    def _repeated(self, spec: Repeated, node: Node) -> None:
        if node.items is None and node.members is None:
            if node.scalar is not None:
                self.harvest.broken(spec, "expected a list", self._place(node))
            return
        self.harvest.open(spec, (node.line,))
        wanted = {*spec.cells} if isinstance(spec, Rows) else {spec.cell}
        if spec.index:
            wanted.add(spec.index)
        for item in node.items if node.items is not None else _named_items(node):
            if item.members is None:
                self.harvest.broken(spec, "expected an object in the list", self._place(item))
            elif item.closed:
                self._row(spec, item, wanted)
        if not node.closed:
            self.harvest.broken(spec, "the document breaks off inside this list", self._place(node))
        elif self.reply.torn:
            self.harvest.broken(spec, "lines of the document are missing: entries may be, too", self._place(node))

    def _row(self, spec: Repeated, item: Node, wanted: Collection[str]) -> None:
        cells: dict[str, Raw] = {}
        places: dict[str, Place] = {}
        for name, node in item.members or ():
            if name not in wanted:
                if not self.listing.ignores(f"{spec.source}[].{name}"):
                    self._aside(node)
            elif name in cells and cells[name] != node.plain():
                why = f"{name!r} stands twice with different values; taken as unread"
                self.harvest.problem(why, node.line, self._text(node.line), spec.name)
                cells[name] = None
            else:
                cells[name], places[name] = node.plain(), self._place(node)
        if isinstance(spec, Rows):
            self.harvest.row(spec, cells, self._place(item), cells=places)
        else:
            self.harvest.item(spec, cells, places.get(spec.cell, self._place(item)))

    def _place(self, node: Node) -> Place:
        return Place(node.line, "", [item.line for item in node.items] if node.items else (), self.lines)

    def _aside(self, node: Node) -> None:
        for number in range(node.line, node.end + 1):
            if number in self.lines:
                self.reply.aside(self.lines[number])

    def _text(self, number: int) -> str:
        line = self.lines.get(number)
        return line.text if line else ""
