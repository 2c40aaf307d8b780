"""Documents whose lists hold objects of several kinds: `{"type": "port", "name": "P1"}` beside `{"type": "radio"}`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from propsoff.dialects.json_scan import Node
from propsoff.learning.thesaurus import named, read_name

_TELLING = (
    "type", "kind", "t", "what", "msg", "message", "class", "record", "rec", "group", "section", "topic", "about", "of",
    "event", "category", "cat", "tag", "block", "page", "part", "area", "subject", "object", "node", "module",
)  # fmt: skip
_ROWS = frozenset(["port", "switch", "element", "overlay"])
"""Concepts of kinds of which each object may be a row, even where there is one alone."""
_FEWEST = 2


def telling(node: Node) -> str:
    """The member that tells kinds of objects apart, in some list of a document; empty where no list needs one."""
    for item in (node, *below(node)):
        if item.items and (found := _telling_in(item.items)):
            return found
    return ""


def below(node: Node) -> Iterator[Node]:
    """All nodes below one."""
    for inner in (*(item for _, item in node.members or ()), *(node.items or ())):
        yield inner
        yield from below(inner)


def _telling_in(items: Sequence[Node]) -> str:
    if len(items) < _FEWEST or any(item.members is None for item in items):
        return ""
    members = [{name: inner.scalar for name, inner in item.members or ()} for item in items]
    if any(len(item.members or ()) != len(one) for item, one in zip(items, members, strict=True)):
        return ""
    shared = [name for name in members[0] if all(isinstance(one.get(name), str) for one in members)]
    first = next(iter(members[0]), "")
    known = [name for name in _TELLING for one in shared if one.casefold() == name]
    for name in (*known, *([first] if shared == [first] else [])):
        written = next(one for one in shared if one.casefold() == name.casefold())
        if _tells(members, written):
            return written
    return ""


def _tells(members: Sequence[Mapping[str, object]], name: str) -> bool:
    """Whether the objects of one kind are alike, and those of different kinds are not."""
    shapes: dict[object, set[str]] = {}
    for one in members:
        shapes.setdefault(one[name], set()).update(set(one) - {name})
    kinds = list(shapes.values())
    if len(kinds) < _FEWEST:
        return False
    return not set.intersection(*kinds) or len({frozenset(kind) for kind in kinds}) > len(kinds) / 2 > 1


def of_kinds(items: Sequence[Node], told_by: str) -> dict[str, list[Node]]:
    """The objects of each kind, without the member that tells it; empty where one does not say its kind."""
    found: dict[str, list[Node]] = {}
    for item in items:
        kinds = [inner.scalar for name, inner in item.members or () if name == told_by]
        if len(kinds) != 1 or not isinstance(kinds[0], str) or not kinds[0]:
            return {}
        others = [(name, inner) for name, inner in item.members or () if name != told_by]
        found.setdefault(kinds[0], []).append(replace(item, members=others))
    return found


def are_rows(kind: str, items: Sequence[Node]) -> bool:
    """Whether objects of one kind repeat, and are no parts of one thing: these have no member in common."""
    members = [{name for name, _ in item.members or ()} for item in items]
    if len(items) == 1:
        return bool(named(read_name(kind)) & _ROWS)
    return any(one & other for at, one in enumerate(members) for other in members[at + 1 :])


def are_parts(items: Sequence[Node]) -> bool:
    """Whether they may be parts of one thing: no member stands in two of them."""
    members = [name for item in items for name, _ in item.members or ()]
    return len(set(members)) == len(members)
