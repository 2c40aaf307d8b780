"""Putting a craft together, one stated fact at a time.

The builder never raises for what a board says: a value of the wrong type, an unknown choice or a contradiction becomes a
`Problem` with its line, and the fact stays unread.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import fields
from typing import Any

from propsoff.craft.model import Craft, Problem
from propsoff.craft.names import FactSpec, facts, row_types

_MAX_ROWS = 1024
_MAX_PROBLEMS = 200


class CraftBuilder:
    """Collects facts and problems; `craft()` gives the result."""

    def __init__(self) -> None:
        self._values: dict[str, Any] = {}
        self._lines: dict[str, tuple[int, ...]] = {}
        self._conflicts: set[str] = set()
        self._rows: dict[str, list[dict[str, Any]]] = {}
        self._problems: list[Problem] = []
        self._unread: list[tuple[int, str]] = []

    def put(self, name: str, value: object, *, lines: Sequence[int], text: str = "") -> None:
        """State one fact (`overlay.columns`). `value` None says nothing. `lines` are transcript lines from 1.

        Raises KeyError when there is no such fact: that is a fault of the caller, not of the board.
        """
        spec = facts()[name]
        if value is None or name in self._conflicts:
            return
        accepted = self._accept(spec, value, lines, text)
        if accepted is None:
            return
        if name in self._values and self._values[name] != accepted:
            before = self._values.pop(name)
            first = ", ".join(str(line) for line in self._lines.pop(name))
            self._conflicts.add(name)
            self.problem(
                f"stated twice with different values: {before!r} on line {first} and {accepted!r} here; taken as unread",
                lines=lines,
                text=text,
                fact=name,
            )
            return
        self._values[name] = accepted
        self._lines[name] = tuple(sorted({*self._lines.get(name, ()), *lines}))

    def begin_rows(self, group: str) -> None:
        """State that a repeated group was listed, so that none found means none there. Raises KeyError for no such group."""
        row_types()[group]
        self._rows.setdefault(group, [])

    def add_row(self, group: str, values: Mapping[str, object], *, lines: Sequence[int], text: str = "") -> None:
        """State one row of a repeated group; `values` by field name. Raises KeyError for an unknown group or field."""
        specs = {name: facts()[f"{group}[].{name}"] for name in values}
        self.begin_rows(group)
        rows = self._rows[group]
        if len(rows) >= _MAX_ROWS:
            self.problem(f"more than {_MAX_ROWS} rows; the rest is left out", lines=lines, text=text, fact=group)
            return
        row: dict[str, Any] = {}
        for name, value in values.items():
            if value is not None:
                row[name] = self._accept(specs[name], value, lines, text, index=len(rows))
        self._lines[f"{group}[{len(rows)}]"] = tuple(lines)
        rows.append(row)

    def problem(self, message: str, *, lines: Sequence[int] = (), text: str = "", fact: str | None = None) -> None:
        """Record what could not be taken as a fact (at most 200 are kept)."""
        if len(self._problems) < _MAX_PROBLEMS:
            self._problems.append(Problem(message, lines[0] if lines else None, text, fact))

    def unread(self, line: int, text: str) -> None:
        """Record a line of a listing that nothing understood."""
        self._unread.append((line, text))

    def craft(self) -> Craft:
        """The craft as stated so far."""
        groups: dict[str, dict[str, Any]] = {}
        for name, value in self._values.items():
            group, _, leaf = name.partition(".")
            groups.setdefault(group, {})[leaf] = value
        top: dict[str, Any] = {}
        for group, rows in self._rows.items():
            kind = row_types()[group]
            built = tuple(kind(**row) for row in rows)
            head, _, leaf = group.partition(".")
            if leaf:
                groups.setdefault(head, {})[leaf] = built
            else:
                top[head] = built
        kinds: dict[str, Any] = {part.name: type(part.default) for part in fields(Craft)}
        for group, leaves in groups.items():
            top[group] = kinds[group](**leaves)
        return Craft(
            **top, provenance=dict(self._lines), problems=tuple(self._problems), unread=tuple(self._unread)
        )

    def _accept(
        self, spec: FactSpec, value: object, lines: Sequence[int], text: str, index: int | None = None
    ) -> Any:
        """The value in the type of the fact, or None with a problem recorded."""
        name = spec.name if index is None else spec.name.replace("[]", f"[{index}]")
        items = value if spec.many else (value,)
        if not isinstance(items, (tuple, list)):
            self.problem(f"expected a list, found {value!r}", lines=lines, text=text, fact=name)
            return None
        taken = [_typed(spec, item) for item in items]
        if any(item is None for item in taken):
            wrong = ", ".join(repr(item) for item, got in zip(items, taken, strict=True) if got is None)
            wanted = f"one of {', '.join(spec.choices)}" if spec.choices else f"a value of type {spec.type.__name__}"
            self.problem(f"expected {wanted}, found {wrong}", lines=lines, text=text, fact=name)
            return None
        return tuple(taken) if spec.many else taken[0]


def _typed(spec: FactSpec, item: object) -> str | int | float | bool | None:
    if spec.choices:
        return item if isinstance(item, str) and item in spec.choices else None
    if spec.type is float and isinstance(item, (int, float)) and not isinstance(item, bool):
        return float(item) if math.isfinite(item) else None
    if spec.type is int and isinstance(item, bool):
        return None
    return item if isinstance(item, spec.type) else None
