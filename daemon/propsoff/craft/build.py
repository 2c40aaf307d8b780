"""Putting a craft together, one stated fact at a time.

The builder never raises for what a board says: a value of the wrong type, an unknown choice or a contradiction becomes
a `Problem` with its line, and the fact stays unread.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields
from functools import cache
from typing import Any

from propsoff.craft.model import Craft, Problem
from propsoff.craft.names import FactSpec, facts, row_facts, row_types

_MAX_ROWS = 1024
_MAX_PROBLEMS = 200
_MAX_UNREAD = 2000
_MAX_TEXT = 400
_LARGEST = 1 << 63


class CraftBuilder:
    """Collects facts and problems; `craft()` gives the result."""

    def __init__(self) -> None:
        self._values: dict[str, Any] = {}
        self._lines: dict[str, tuple[int, ...]] = {}
        self._conflicts: set[str] = set()
        self._rows: dict[str, list[dict[str, Any]]] = {}
        self._problems: list[Problem] = []
        self._unread: list[tuple[int, str]] = []
        self._overfull: set[str] = set()
        self._partial: set[str] = set()

    def put(self, name: str, value: object, *, lines: Sequence[int], text: str = "") -> None:
        """State one fact (`overlay.columns`). `value` None says nothing. `lines` are transcript lines from 1.

        Raises KeyError when there is no such fact outside a repeated group: the caller's fault, not the board's.
        """
        spec = facts()[name]
        if spec.repeated:
            raise KeyError(name)
        if value is None or name in self._conflicts:
            return
        accepted = _takers()[name](value)
        if accepted is None:
            self._refuse(spec, value, lines, text)
            return
        if name in self._values and self._values[name] != accepted:
            before = self._values.pop(name)
            first = ", ".join(str(line) for line in self._lines.pop(name))
            self._conflicts.add(name)
            self.problem(
                f"stated twice with different values: {_shown(before)} on line {first} and {_shown(accepted)} here; "
                "taken as unread",
                lines=lines,
                text=text,
                fact=name,
            )
            return
        self._values[name] = accepted
        before_lines = self._lines.get(name)
        self._lines[name] = tuple(sorted({*before_lines, *lines})) if before_lines else tuple(lines)

    def begin_rows(self, group: str, *, lines: Sequence[int] = ()) -> None:
        """State that a repeated group was listed, so that none found means none there. `lines` say so.

        Raises KeyError for no such group.
        """
        row_types()[group]
        self._rows.setdefault(group, [])
        if lines:
            self._lines[group] = tuple(sorted({*self._lines.get(group, ()), *lines}))

    def add_row(
        self,
        group: str,
        values: Mapping[str, object],
        *,
        lines: Sequence[int],
        text: str = "",
        leaf_lines: Mapping[str, Sequence[int]] | None = None,
    ) -> None:
        """State one row of a repeated group; `values` by field name.

        `leaf_lines` says where a field stands in lines of its own. Raises KeyError for an unknown group or field.
        """
        takers = _row_takers(group)
        if not values.keys() <= takers.keys():
            raise KeyError(*(values.keys() - takers.keys()))
        rows = self._rows.setdefault(group, [])
        if len(rows) >= _MAX_ROWS:
            if group not in self._overfull:
                self._overfull.add(group)
                self.partial(group)
                self.problem(
                    f"more than {_MAX_ROWS} rows; the rest is left out", lines=lines, text=text, fact=group, gap=True
                )
            return
        row: dict[str, Any] = {}
        for name, value in values.items():
            if value is not None:
                taken = row[name] = takers[name](value)
                if taken is None:
                    self._refuse(row_facts(group)[name], value, lines, text, index=len(rows))
        at = f"{group}[{len(rows)}]"
        self._lines[at] = tuple(lines)
        for name, own in (leaf_lines or {}).items():
            self._lines[f"{at}.{name}"] = tuple(own)
        rows.append(row)

    def partial(self, group: str) -> None:
        """State that rows of a repeated group may be missing. Raises KeyError for no such group."""
        row_types()[group]
        self._partial.add(group)

    def problem(
        self, message: str, *, lines: Sequence[int] = (), text: str = "", fact: str | None = None, gap: bool = False
    ) -> None:
        """Record what could not be taken as a fact (at most 200 are kept); `gap`: something said is missing there."""
        if len(self._problems) < _MAX_PROBLEMS:
            self._problems.append(Problem(_short(message), lines[0] if lines else None, _short(text), fact, gap))

    def unread(self, line: int, text: str) -> None:
        """Record a line of a listing that nothing understood (at most 2000 are kept)."""
        if len(self._unread) < _MAX_UNREAD:
            self._unread.append((line, _short(text)))

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
            **top,
            provenance=dict(self._lines),
            problems=tuple(self._problems),
            unread=tuple(self._unread),
            partial=frozenset(self._partial),
        )

    def _refuse(self, spec: FactSpec, value: object, lines: Sequence[int], text: str, index: int | None = None) -> None:
        """Record that a value is none of this fact, or of this fact in the row `index`."""
        fact = spec.name if index is None else spec.name.replace("[]", f"[{index}]")
        self.problem(_why_not(spec, value), lines=lines, text=text, fact=fact)


def _why_not(spec: FactSpec, value: object) -> str:
    """Why the value is none of this fact."""
    if spec.many and not isinstance(value, (tuple, list)):
        return f"expected a list, found {_shown(value)}"
    items = value if spec.many and isinstance(value, (tuple, list)) else (value,)
    taker = _one_taker(spec)
    wrong = ", ".join(_shown(item) for item in items if taker(item) is None)
    wanted = f"one of {', '.join(spec.choices)}" if spec.choices else f"a value of type {spec.type.__name__}"
    return f"expected {wanted}, found {wrong}"


def _short(text: str) -> str:
    return text if len(text) <= _MAX_TEXT else text[: _MAX_TEXT - 1] + "…"


def _shown(value: object) -> str:
    try:
        text = repr(value)
    except ValueError:  # Python refuses to print integers of thousands of digits
        text = f"a value of type {type(value).__name__}"
    return text if len(text) <= 80 else text[:79] + "…"


Taker = Callable[[object], Any]
"""Gives the value in the type of a fact, or None when it is none of that fact. A listing has thousands of them."""


@cache
def _takers() -> Mapping[str, Taker]:
    return {name: _taker(spec) for name, spec in facts().items()}


@cache
def _row_takers(group: str) -> Mapping[str, Taker]:
    """By the fields' own names. Raises KeyError for no such group."""
    return {name: _taker(spec) for name, spec in row_facts(group).items()}


def _taker(spec: FactSpec) -> Taker:
    one = _one_taker(spec)
    if not spec.many:
        return one

    def all_of(value: object) -> Any:
        if not isinstance(value, (tuple, list)):
            return None
        items = tuple(map(one, value))
        return None if None in items else items

    return all_of


def _one_taker(spec: FactSpec) -> Taker:
    if spec.type is int:
        return _whole_number
    if spec.type is float:
        return _number
    wanted, choices = spec.type, spec.choices
    if choices:
        return lambda item: item if isinstance(item, str) and item in choices else None
    return lambda item: item if isinstance(item, wanted) else None


def _whole_number(item: object) -> int | None:
    return item if isinstance(item, int) and not isinstance(item, bool) and -_LARGEST <= item <= _LARGEST else None


def _number(item: object) -> float | None:
    if not isinstance(item, (int, float)) or isinstance(item, bool):
        return None
    try:
        return float(item) if math.isfinite(item) else None
    except OverflowError:
        return None
