"""Answers that are one JSON document."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from propsoff.console.manner import Line
from propsoff.dialects.decode import word_of
from propsoff.dialects.document import KEY, LIST, member_path, scan_each
from propsoff.dialects.json_scan import Node, scan
from propsoff.learning.layouts.paths import path_of
from propsoff.learning.model import Cell, Layout, RowSet, Statement


def as_document(command: str, lines: tuple[Line, ...]) -> Layout | None:
    """The values of the document by their paths; lists of objects are rows. None when it is no whole document."""
    first = next((at for at, line in enumerate(lines) if line.text.lstrip()[:1] in ("{", "[")), None)
    if first is None:
        return None
    root, broken = scan(lines[first:])
    per_line = broken is not None and _each_is_one(lines[first:])
    if per_line:
        root, broken = scan_each(lines[first:])
    if root is None or broken is not None or not root.closed:
        return None
    statements: list[Statement] = []
    rows: list[RowSet] = []
    named_by = _naming(root)
    for found in _walk(command, root, "", (), named_by):
        (rows if isinstance(found, RowSet) else statements).append(found)  # type: ignore[arg-type]  # told apart above
    understood = frozenset(line.number for line in lines[first:] if root.line <= line.number <= root.end)
    options: dict[str, Any] = {"named_by": named_by} if named_by else {}
    options |= {"per_line": True} if per_line else {}
    return Layout(command, "json", options, tuple(statements), tuple(rows), understood=understood)


def _each_is_one(lines: Sequence[Line]) -> bool:
    """Whether every line, and there are two, is an object or a list of its own."""
    telling = [line for line in lines if line.text.strip()]
    whole = [line for line in telling if (found := scan([line]))[1] is None and found[0] is not None]
    return len(whole) == len(telling) > 1


_NAMING = ("name", "key", "id", "param", "parameter", "setting", "item", "word", "field", "what", "label", "path")
_VALUE = ("value", "val", "v", "is", "now", "current", "set", "data", "reading")
_UNIT = ("unit", "units", "u")


def _naming(node: Node) -> str:
    """The member by which the settings of a list are named, where a list holds settings: a name and a value each."""
    for item in node.items or ():
        members = {name.casefold(): name for name, _ in item.members or ()}
        named = next((members[name] for name in _NAMING if name in members), "")
        if named and any(name in members for name in _VALUE) and _is_named_by(node, named):
            return named
        if found := _naming(item):
            return found
    return next((found for _, inner in node.members or () if (found := _naming(inner))), "")


def _is_named_by(node: Node, named_by: str) -> bool:
    """Whether every item of a list has a name of its own in that member."""
    names = [
        inner.scalar for item in node.items or () for name, inner in item.members or () if name == named_by
    ]  # fmt: skip
    texts = {name for name in names if isinstance(name, str)}
    return len(texts) == len(node.items or ()) > 0


def _walk(command: str, node: Node, path: str, names: tuple[str, ...], named_by: str) -> Iterator[Statement | RowSet]:
    if node.members is not None and path and (measured := _measured(node)):
        value, unit = measured
        text = word_of(value[1].scalar)
        if text is not None:
            yield Statement(command, member_path(path, value[0]), names, text, node.line, _kind(value[1]), unit)
    elif node.members is not None:
        if path and (rows := _named_rows(command, node, path, names)) is not None:
            yield rows
        for name, inner in node.members:
            yield from _walk(command, inner, member_path(path, name), (*names, name), named_by)
    elif node.items is not None:
        yield from _list(command, node, node.items, path, names, named_by)
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
    return RowSet(command, {"path": path}, names, (KEY, *columns), rows)


_FEWEST = 2


def _measured(node: Node) -> tuple[tuple[str, Node], str] | None:
    """(the member that has the value, the unit) of an object that is a value with its unit; None when it is none."""
    members = {name.casefold(): (name, inner) for name, inner in node.members or ()}
    value = next((members[name] for name in _VALUE if name in members), None)
    unit = next((members[name][1].scalar for name in _UNIT if name in members), None)
    return (value, unit) if value and isinstance(unit, str) and len(members) == 2 else None


def _settings(command: str, items: list[Node], path: str, names: tuple[str, ...], named_by: str) -> list[Statement]:
    """The settings of a list in which each object names one: empty when it is no such list."""
    found: list[Statement] = []
    for item in items:
        members = {name.casefold(): inner for name, inner in item.members or ()}
        value = next((name for name in _VALUE if name in members), "")
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
    command: str, node: Node, items: list[Node], path: str, names: tuple[str, ...], named_by: str
) -> Iterator[Statement | RowSet]:
    settings = _settings(command, items, path, names, named_by) if named_by and _is_named_by(node, named_by) else []
    if settings:
        yield from settings
    elif items and all(item.members is not None for item in items):
        columns = tuple(dict.fromkeys(name for item in items for name, _ in item.members or ()))
        rows = tuple({name: _cell(inner) for name, inner in item.members or ()} for item in items)
        yield RowSet(command, {"path": path or LIST}, names or (command,), columns, rows)
    elif all(item.members is None and item.items is None for item in items) and path:
        yield Statement(command, path, names, ", ".join(map(_text, items)), node.line, "list")
    else:
        for index, item in enumerate(items):
            yield from _walk(command, item, f"{path}[{index}]", names, named_by)


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
