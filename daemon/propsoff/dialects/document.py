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
from propsoff.dialects.words import Word

_MAY_BE_OTHERS = "lines of the document are missing: this may belong to another entry or object"
_PLAIN = re.compile(r"[^.\[\]\"]+")


@dataclass(frozen=True)
class Document:
    """`prefixes` are the paths above the known words: null there says nothing, and is no surprise.

    `named_by` is the member that names the objects of lists: their paths have that name in the place of the number.
    `told_by` is the member that tells the kinds of objects apart that stand in one list: all objects of a kind have its
    path. One that has a name of its own besides, by `named_by`, has it where a word wants it there.
    `per_line`: each line is a document of its own, and all of them are the items of a list whose path is ``[]``.
    `shared` are last members, as paths have them, that several words have.
    """

    prefixes: frozenset[str]
    named_by: str = ""
    per_line: bool = False
    told_by: str = ""
    shared: frozenset[str] = frozenset()

    def read(self, listing: Listing, reply: Reply, harvest: Harvest) -> None:
        """Take each value of the document by its path."""
        if self.per_line:
            self._read_each(listing, reply, harvest)
            return
        first = next((at for at, line in enumerate(reply.lines) if line.text.lstrip()[:1] in ("{", "[")), None)
        for line in reply.lines[: first or 0] if first is not None else reply.lines:
            reply.aside(line)
        if first is None:
            return
        lines = reply.lines[first:]
        root, broken = scan(lines)
        if broken is not None:
            harvest.problem(broken.why, broken.line.number, broken.line.text, gap=True)
            for line in lines:
                if line.number > broken.line.number:
                    reply.aside(line)
        self._take(root, lines, listing, reply, harvest)

    def _read_each(self, listing: Listing, reply: Reply, harvest: Harvest) -> None:
        """Take each line that is a whole document; any other that says something is missing among them."""
        lines = [line for line in reply.lines if not reply.quiet(line)]
        root, breaks = _scan_lines(lines)
        for broken in breaks:
            line = broken.line
            if not _begins(line):
                reply.aside(line)
            if reply.refused(line):
                continue
            for spec in listing.repeated:
                harvest.broken(spec, broken.why, Place(line.number, line.text))
            if not listing.repeated:
                harvest.problem(broken.why, line.number, line.text, gap=True)
        self._take(root, lines, listing, reply, harvest)

    def _take(self, root: Node | None, lines: Sequence[Line], listing: Listing, reply: Reply, harvest: Harvest) -> None:
        if root is not None:
            by_number = {line.number: line for line in lines}
            may_join = reply.torn and not self.per_line
            _Walk(self, listing, reply, harvest, by_number, may_join).node(root, "")


LIST = "[]"
"""The path of the list that the documents of a reply are, one a line."""


def scan_each(lines: Sequence[Line]) -> tuple[Node | None, Break | None]:
    """The documents of lines as the items of one list; the second value says where the first of them breaks off.

    Blank lines are none.
    """
    root, breaks = _scan_lines([line for line in lines if line.text.strip()])
    return root, breaks[0] if breaks else None


def _scan_lines(lines: Sequence[Line]) -> tuple[Node | None, list[Break]]:
    """As `scan_each`, with every break; a line that is no document has an empty place in the list. None without any."""
    items: list[Node] = []
    breaks: list[Break] = []
    for line in lines:
        item, broken = scan([line]) if _begins(line) else (None, Break(_NO_DOCUMENT, line))
        items.append(item or Node(line.number, line.number, closed=False))
        if broken is not None:
            breaks.append(broken)
    if len(breaks) == len(lines) and all(not _begins(broken.line) for broken in breaks):
        return None, breaks
    return Node(lines[0].number, lines[-1].number, items=items), breaks


def _begins(line: Line) -> bool:
    """Whether an object or a list begins the line."""
    return line.text.lstrip()[:1] in ("{", "[")


_NO_DOCUMENT = "no document begins on this line, and each line of the reply is one"


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
    """The path of an item of a list: by its number, or by the one name that its member `named_by` gives."""
    name = _name_of(item, named_by)
    return f"{path}[{index}]" if name is None else member_path(path, name)


def _name_of(item: Node, named_by: str) -> str | None:
    """The one text that an object has in this member; None where it has none, or no member is asked for."""
    if not named_by:
        return None
    names = {inner.scalar for name, inner in item.members or () if name == named_by}
    name = names.pop() if len(names) == 1 else None
    return name if isinstance(name, str) else None


def _without(item: Node, member: str) -> Node:
    """An object without one of its members."""
    others = [(name, inner) for name, inner in item.members or () if name != member]
    return Node(item.line, item.end, members=others, closed=item.closed)


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
    """One way through a document.

    `may_join`: lines are missing that may have stood between members which now seem to be of one object.
    """

    grammar: Document
    listing: Listing
    reply: Reply
    harvest: Harvest
    lines: Mapping[int, Line]
    may_join: bool

    def node(self, node: Node, path: str, adrift: bool = False) -> None:
        """Take what stands at and below a path. `adrift`: in which entry of a list it stands is not known."""
        prefixes = self.grammar.prefixes
        word = self.listing.word(path)
        spec = self.listing.at(path or LIST) if path or node.items is not None else None
        if word is not None:
            joined = self.may_join and path.rpartition(".")[2] in self.grammar.shared
            self._word(word, node, adrift or joined)
        elif spec is not None:
            self._repeated(spec, node)
        elif self.listing.ignores(path):
            return
        elif node.members is not None and (path in prefixes or not path):
            for name, inner in node.members:
                self.node(inner, member_path(path, name), adrift)
        elif node.items is not None and (path in prefixes or not path):
            self._items(node.items, path, adrift)
        elif node.scalar is not None or node.members is not None or node.items is not None or path not in prefixes:
            self._aside(node)

    def _items(self, items: Sequence[Node], path: str, adrift: bool) -> None:
        """Take the items of a list, each by its number or its name; the member that names it is read with that."""
        named_by = self.grammar.named_by
        kinds = self._kinds(items, path)
        for index, item in enumerate(items):
            if (kind := _name_of(item, self.grammar.told_by)) is not None:
                self._told(kinds, kind, _without(item, self.grammar.told_by), path, adrift)
                continue
            by_number = f"{path}[{index}]"
            at = item_path(path, index, item, named_by)
            lost = adrift or self.may_join or (self.reply.torn and at == by_number)
            naming = member_path(at, named_by) if at != by_number else ""
            wanted = at in self.grammar.prefixes or self.listing.at(at) is not None
            if naming and wanted and self.listing.word(naming) is None:
                others = [(name, inner) for name, inner in item.members or () if name != named_by]
                item = Node(item.line, item.end, members=others, closed=item.closed) if others else item
            if path or not self.grammar.per_line or not item.bare:  # a line that is no document states nothing
                self.node(item, at, lost)

    def _kinds(self, items: Sequence[Node], path: str) -> dict[str, list[Node]]:
        """Of the kinds of objects that are a group or a list, the objects."""
        found: dict[str, list[Node]] = {}
        for item in items if self.grammar.told_by else ():
            kind = _name_of(item, self.grammar.told_by)
            if kind is not None and self.listing.at(member_path(path, kind)) is not None:
                found.setdefault(kind, []).append(_without(item, self.grammar.told_by))
        return found

    def _told(self, kinds: dict[str, list[Node]], kind: str, item: Node, path: str, adrift: bool) -> None:
        """Take an object of a kind; where the kind is a group or a list, all of its objects with the first."""
        at = member_path(path, kind)
        spec = self.listing.at(at)
        if spec is None:
            name = _name_of(item, self.grammar.named_by)
            if name is not None and member_path(at, name) in self.grammar.prefixes:
                at, item = member_path(at, name), _without(item, self.grammar.named_by)
            self.node(item, at, adrift or self.may_join)
        elif together := kinds.pop(kind, None):
            self._repeated(spec, Node(together[0].line, together[-1].end, items=together))

    def _word(self, word: Word, node: Node, adrift: bool) -> None:
        if adrift:
            for fact in word.facts:
                self.harvest.problem(_MAY_BE_OTHERS, node.line, self._text(node.line), fact, gap=True)
        elif self._closed(node, next(iter(word.facts), None)):
            self.harvest.word(word, node.plain(), self._place(node))

    def _closed(self, node: Node, fact: str | None) -> bool:
        """Whether nothing of the value is missing."""
        why = None
        if not node.closed and node.bare:
            why = "the document breaks off after this value: its end may be lost"
        elif not node.closed:
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
            if not item.closed or self.may_join:
                continue
            if item.members is None:
                self.harvest.broken(spec, "expected an object in the list", self._place(item))
            else:
                self._row(spec, item, wanted)
        if not node.closed:
            self.harvest.broken(spec, "the document breaks off inside this list", self._place(node))
        elif self.reply.torn:
            why = "none of its entries is taken" if self.may_join else "entries may be, too"
            self.harvest.broken(spec, f"lines of the document are missing: {why}", self._place(node))

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
