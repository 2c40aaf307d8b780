"""Answers that are one JSON document."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from propsoff.console.manner import Line
from propsoff.dialects.decode import word_of
from propsoff.dialects.document import KEY, LIST, member_path, scan_each
from propsoff.dialects.json_scan import Node, scan
from propsoff.learning.layouts.kinds import are_parts, are_rows, below, of_kinds, telling
from propsoff.learning.layouts.parting import parted_lists, parted_numbers
from propsoff.learning.layouts.paths import path_of
from propsoff.learning.model import Cell, Layout, RowSet, Statement


def as_document(command: str, lines: tuple[Line, ...]) -> Layout | None:
    """The values of the document by their paths; lists of objects are rows. None when it is no whole document."""
    return _document(command, lines, kinds=False)


def as_kinds(command: str, lines: tuple[Line, ...]) -> Layout | None:
    """As `as_document`, where the objects of a list are of several kinds; None when they are not."""
    return _document(command, lines, kinds=True)


def _document(command: str, lines: tuple[Line, ...], *, kinds: bool) -> Layout | None:
    first = next((at for at, line in enumerate(lines) if line.text.lstrip()[:1] in ("{", "[")), None)
    if first is None:
        return None
    root, broken = scan(lines[first:])
    per_line = broken is not None and _each_is_one(lines[first:])
    if per_line:
        root, broken = scan_each(lines[first:])
    if root is None or broken is not None or not root.closed:
        return None
    told_by = telling(root) if kinds else ""
    if kinds and not told_by:
        return None
    statements: list[Statement] = []
    rows: list[RowSet] = []
    named_by = _naming_of_kinds(root) if kinds else _naming(root)
    for found in _walk(command, root, "", (), _Named(named_by, told_by)):
        (rows if isinstance(found, RowSet) else statements).append(found)  # type: ignore[arg-type]  # told apart above
    understood = frozenset(line.number for line in lines[first:] if root.line <= line.number <= root.end)
    options: dict[str, Any] = {"named_by": named_by} if named_by else {}
    options |= {"told_by": told_by} if told_by else {}
    options |= {"per_line": True} if per_line else {}
    return Layout(command, "json", options, tuple(statements), tuple(rows), understood=understood)


def _each_is_one(lines: Sequence[Line]) -> bool:
    """Whether every line, and there are two, is an object or a list of its own."""
    telling = [line for line in lines if line.text.strip()]
    whole = [line for line in telling if (found := scan([line]))[1] is None and found[0] is not None]
    return len(whole) == len(telling) > 1


_NAMING = ("name", "key", "id", "param", "parameter", "setting", "item", "word", "field", "what", "label", "path")
_VALUE = ("value", "val", "v", "is", "now", "current", "set", "data", "reading")
_STATES = (*_VALUE, "state", "status", "result", "health", "ok", "present", "found")
_UNIT = ("unit", "units", "u")


@dataclass(frozen=True, slots=True)
class _Named:
    """The members by which objects of lists are named, and by which their kinds are told apart; empty without one."""

    name: str
    kind: str


def _naming(node: Node) -> str:
    """The member by which the settings of a list are named, where a list holds settings: a name and a value each."""
    for item in node.items or ():
        members = {name.casefold(): name for name, _ in item.members or ()}
        named = next((members[name] for name in _NAMING if name in members), "")
        if named and _value_in(members) and _is_named_by(node, named):
            return named
        if found := _naming(item):
            return found
    return next((found for _, inner in node.members or () if (found := _naming(inner))), "")


def _value_in(members: Collection[str], valued_by: Sequence[str] = _VALUE) -> str:
    """The member that has the value: where an object has nothing but that and its name, it may also be a state."""
    return next((name for name in (_STATES if len(members) == _FEWEST else valued_by) if name in members), "")


def _is_named_by(node: Node, named_by: str) -> bool:
    """Whether every item of a list has a name of its own in that member."""
    names = [
        inner.scalar for item in node.items or () for name, inner in item.members or () if name == named_by
    ]  # fmt: skip
    texts = {name for name in names if isinstance(name, str)}
    return len(texts) == len(node.items or ()) > 0


def _walk(command: str, node: Node, path: str, names: tuple[str, ...], by: _Named) -> Iterator[Statement | RowSet]:
    if node.members is not None and path and (measured := _measured(node)):
        value, unit = measured
        text = word_of(value[1].scalar)
        if text is not None:
            yield Statement(command, member_path(path, value[0]), names, text, node.line, _kind(value[1]), unit)
    elif node.members is not None:
        if path and (rows := _named_rows(command, node, path, names)) is not None:
            yield rows
        for name, inner in node.members:
            yield from _walk(command, inner, member_path(path, name), (*names, name), by)
    elif node.items is not None:
        yield from _list(command, node, node.items, path, names, by)
    elif (text := word_of(node.scalar)) is not None and path:
        yield Statement(command, path, names, text, node.line, _kind(node))


def _named_rows(command: str, node: Node, path: str, names: tuple[str, ...]) -> RowSet | None:
    """An object of objects that have members in common, as rows: each is called by its name."""
    inner = [(name, item) for name, item in node.members or () if item.members is not None]
    if len(inner) < _FEWEST or len(inner) != len(node.members or ()):
        return None
    shared = set.intersection(*({name for name, _ in item.members or ()} for _, item in inner))
    if not shared or KEY in shared:
        return None
    columns = tuple(dict.fromkeys(name for _, item in inner for name, _ in item.members or ()))
    rows = tuple(
        {KEY: Cell(name, item.line)} | {column: _cell(cell) for column, cell in item.members or ()}
        for name, item in inner
    )
    return parted_lists(parted_numbers(RowSet(command, {"path": path}, names, (KEY, *columns), rows)))


_FEWEST = 2


def _measured(node: Node) -> tuple[tuple[str, Node], str] | None:
    """(the member that has the value, the unit) of an object that is a value with its unit; None when it is none."""
    members = {name.casefold(): (name, inner) for name, inner in node.members or ()}
    value = next((members[name] for name in _VALUE if name in members), None)
    unit = next((members[name][1].scalar for name in _UNIT if name in members), None)
    return (value, unit) if value and isinstance(unit, str) and len(members) == 2 else None


def _settings(
    command: str, items: list[Node], path: str, names: tuple[str, ...], named_by: str, valued_by: Sequence[str] = _VALUE
) -> list[Statement]:
    """The settings of a list in which each object names one: empty when it is no such list."""
    found: list[Statement] = []
    for item in items:
        members = {name.casefold(): inner for name, inner in item.members or ()}
        value = _value_in(members, valued_by)
        name = members[named_by.casefold()].scalar if named_by.casefold() in members else None
        if not value or not isinstance(name, str):
            return []
        node = members[value]
        text = word_of(node.scalar) if node.items is None else ", ".join(map(_text, node.items))
        if text is None or node.members is not None:
            continue
        written = next(written for written, _ in item.members or () if written.casefold() == value)
        word = member_path(member_path(path, name), written)
        unit = next((_text(members[unit]) for unit in _UNIT if unit in members), "")
        kind = "list" if node.items is not None else _kind(node)
        found.append(Statement(command, word, (*names, *path_of(name)), text, node.line, kind, unit))
    return found


def _list(
    command: str, node: Node, items: list[Node], path: str, names: tuple[str, ...], by: _Named
) -> Iterator[Statement | RowSet]:
    if by.kind and (found := of_kinds(items, by.kind)):
        for kind, objects in found.items():
            yield from _of_kind(command, objects, member_path(path, kind), (*names, kind), by)
        return
    named = bool(by.name) and _is_named_by(node, by.name)
    settings = _settings(command, items, path, names, by.name) if named else []
    if settings:
        yield from settings
    elif items and all(item.members is not None for item in items):
        yield _as_rows(command, items, path or LIST, names or (command,))
    elif all(item.members is None and item.items is None for item in items) and path:
        yield Statement(command, path, names, ", ".join(map(_text, items)), node.line, "list")
    else:
        for index, item in enumerate(items):
            yield from _walk(command, item, f"{path}[{index}]", names, by)


def _as_rows(command: str, items: Sequence[Node], path: str, names: tuple[str, ...]) -> RowSet:
    columns = tuple(dict.fromkeys(name for item in items for name, _ in item.members or ()))
    rows = tuple({name: _cell(inner) for name, inner in item.members or ()} for item in items)
    return parted_lists(parted_numbers(RowSet(command, {"path": path}, names, columns, rows)))


def _of_kind(
    command: str, objects: list[Node], path: str, names: tuple[str, ...], by: _Named
) -> Iterator[Statement | RowSet]:
    """What the objects of one kind state: as rows, by their names, and as parts of one thing."""
    if are_rows(names[-1], objects):
        yield _as_rows(command, objects, path, names)
    together = Node(objects[0].line, objects[-1].end, items=objects)
    if by.name and len(objects) > 1 and _is_named_by(together, by.name):
        yield from _settings(command, objects, path, names, by.name, _STATES)
    elif are_parts(objects):
        for item in objects:
            yield from _walk(command, item, path, names, by)


def _naming_of_kinds(root: Node) -> str:
    """The member by which objects of one kind are named, each by its own, where all they say besides is a value."""
    for node in (root, *below(root)):
        for objects in of_kinds(node.items or (), telling(root)).values():
            together = Node(node.line, node.end, items=objects)
            members = {name.casefold(): name for name, _ in objects[0].members or ()}
            named = next((members[name] for name in _NAMING if name in members), "")
            valued = all(any(name.casefold() in _STATES for name, _ in one.members or ()) for one in objects)
            if named and valued and len(objects) > 1 and _is_named_by(together, named):
                return named
    return ""


def _cell(node: Node) -> Cell:
    if node.items is not None:
        return Cell(", ".join(map(_text, node.items)), node.line, "list")
    return Cell(_text(node), node.line, _kind(node))


def _text(node: Node) -> str:
    return word_of(node.scalar) or ""


def _kind(node: Node) -> str:
    if isinstance(node.scalar, bool):
        return "truth"
    return "text" if isinstance(node.scalar, str) else "number"
