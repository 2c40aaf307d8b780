"""Answers that are one JSON document."""

from __future__ import annotations

from collections.abc import Iterator

from propsoff.console.manner import Line
from propsoff.dialects.decode import word_of
from propsoff.dialects.document import member_path
from propsoff.dialects.json_scan import Node, scan
from propsoff.learning.model import Cell, Layout, RowSet, Statement


def as_document(command: str, lines: tuple[Line, ...]) -> Layout | None:
    """The values of the document by their paths; lists of objects are rows. None when it is no whole document."""
    first = next((at for at, line in enumerate(lines) if line.text.lstrip()[:1] in ("{", "[")), None)
    if first is None:
        return None
    root, broken = scan(lines[first:])
    if root is None or broken is not None or not root.closed:
        return None
    statements: list[Statement] = []
    rows: list[RowSet] = []
    for found in _walk(command, root, "", ()):
        (rows if isinstance(found, RowSet) else statements).append(found)  # type: ignore[arg-type]  # told apart above
    understood = frozenset(line.number for line in lines[first:] if root.line <= line.number <= root.end)
    return Layout(command, "json", {}, tuple(statements), tuple(rows), understood=understood)


def _walk(command: str, node: Node, path: str, names: tuple[str, ...]) -> Iterator[Statement | RowSet]:
    if node.members is not None:
        for name, inner in node.members:
            yield from _walk(command, inner, member_path(path, name), (*names, name))
    elif node.items is not None:
        yield from _list(command, node, node.items, path, names)
    elif (text := word_of(node.scalar)) is not None and path:
        yield Statement(command, path, names, text, node.line, _kind(node))


def _list(
    command: str, node: Node, items: list[Node], path: str, names: tuple[str, ...]
) -> Iterator[Statement | RowSet]:
    if items and all(item.members is not None for item in items):
        columns = tuple(dict.fromkeys(name for item in items for name, _ in item.members or ()))
        rows = tuple({name: _cell(inner) for name, inner in item.members or ()} for item in items)
        yield RowSet(command, {"path": path}, names, columns, rows)
    elif all(item.members is None and item.items is None for item in items) and path:
        yield Statement(command, path, names, ", ".join(map(_text, items)), node.line, "list")
    else:
        for index, item in enumerate(items):
            yield from _walk(command, item, f"{path}[{index}]", names)


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
