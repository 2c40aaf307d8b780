"""Sheets that are built on other sheets: which, in which order, and what comes of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from propsoff.exceptions import SheetError
from propsoff.sheets.form import Fault, near
from propsoff.sheets.grammar import OWN_KEYS
from propsoff.sheets.written import LISTED, Stated, Written, key_of

DEEPEST = 100
"""How many sheets may be built on one another."""


def resolved(sheet: Written, shelf: Mapping[str, Written]) -> tuple[Stated, tuple[Written, ...]]:
    """The sheet with everything that it is built on taken in, and the sheets that it is built on, the nearest first.

    `shelf` are all sheets there are, by `key_of` their names. Each base serves once, however many ways lead to it, and
    before everything that is built on it. Raises SheetError for a base that there is not, and for a circle.
    """
    line = order_of(sheet, shelf)
    whole = _heirloom(line[0].root) if len(line) > 1 else line[0].root
    for at, one in enumerate(line[1:], start=1):
        over = one.root if at == len(line) - 1 else _heirloom(one.root)
        whole = laid_over(whole, over)
    return whole, tuple(reversed(line[:-1]))


def order_of(sheet: Written, shelf: Mapping[str, Written]) -> list[Written]:
    """The sheet and all that it is built on, in the order in which they are laid over each other, itself last.

    Raises SheetError as `resolved` does.
    """
    done: dict[str, Written] = {}
    _visit(sheet, shelf, [], done)
    return list(done.values())


def _visit(sheet: Written, shelf: Mapping[str, Written], trail: list[Written], done: dict[str, Written]) -> None:
    keys = [one.key for one in trail]
    if sheet.key in keys:
        raise _circle(trail[keys.index(sheet.key) :])
    if sheet.key in done:
        return
    if len(trail) >= DEEPEST:
        problem = f"is built on more than {DEEPEST} sheets, one on the other"
        raise trail[0].root.error(Fault(("extends",), problem, "join some of them"))
    trail.append(sheet)
    for name in sheet.extends:
        base = shelf.get(key_of(name))
        if base is None:
            others = [one.name for key, one in shelf.items() if key != sheet.key]
            raise sheet.root.error(Fault(("extends",), f"there is no build sheet {name!r}", near(name, others)))
        _visit(base, shelf, trail, done)
    trail.pop()
    done[sheet.key] = sheet


def _circle(members: Sequence[Written]) -> SheetError:
    """One error for a circle, wherever it was entered."""
    first = min(range(len(members)), key=lambda at: members[at].key)
    ring = [*members[first:], *members[:first], members[first]]
    shown = " extends ".join(one.name for one in ring)
    return ring[0].root.error(Fault(("extends",), f"extends in a circle: {shown}", "take one of these extends away"))


def _heirloom(root: Stated) -> Stated:
    """What others take over of a sheet: not its own name and what else speaks of it alone."""
    kept = {key: item for key, item in root.value.items() if key not in OWN_KEYS}
    return Stated(kept, root.source, root.lines, root.path)


def laid_over(base: Stated, over: Stated) -> Stated:
    """Tables merge key by key, lists of waivers and questions add up, and everything else is replaced."""
    if isinstance(base.value, dict) and isinstance(over.value, dict) and _deep(base.value) and _deep(over.value):
        merged = dict(base.value)
        for key, item in over.value.items():
            merged[key] = laid_over(merged[key], item) if key in merged else item
        return Stated(merged, over.source, over.lines, over.path)
    if len(over.path) == 1 and over.path[0] in LISTED:
        entries: dict[str, Stated] = {}
        told_by = LISTED[str(over.path[0])]
        for entry in (*base.value, *over.value):
            entries[entry.value[told_by]] = entry  # one of the same name takes the place of the first
        return Stated(list(entries.values()), over.source, over.lines, over.path)
    return over


def _deep(table: Mapping[str, object]) -> bool:
    return all(isinstance(item, Stated) for item in table.values())


def shelf_of(sheets: Iterable[Written]) -> dict[str, Written]:
    """Sheets by the key of their names."""
    return {sheet.key: sheet for sheet in sheets}
