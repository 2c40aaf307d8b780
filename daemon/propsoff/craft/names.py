"""The canonical fact names, derived from the model: what there is, of which type, in which unit.

`FACTS` maps each leaf name, with `[]` for repeated groups (`ports[].baud`), to its `FactSpec`.
"""

from __future__ import annotations

import re
import types
from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from propsoff.craft import model
from propsoff.craft.model import NOT_FACTS, Craft

_PART = re.compile(r"([a-z_]+)(?:\[(\d+)\])?\Z")


@dataclass(frozen=True, slots=True)
class FactSpec:
    """One canonical fact. `choices` is empty when any value of `type` will do; `many` is true for a list of values."""

    name: str
    doc: str
    unit: str | None
    type: type[str] | type[int] | type[float] | type[bool]
    choices: tuple[str, ...]
    many: bool

    @property
    def repeated(self) -> str | None:
        """The repeated group that this fact belongs to (`ports`, `switches`, `overlay.elements`), or None."""
        group, marker, _ = self.name.partition("[]")
        return group if marker else None


def _without_none(hint: Any) -> Any:
    if get_origin(hint) in {types.UnionType, Union}:
        return next(arm for arm in get_args(hint) if arm is not type(None))
    return hint


def _spec(name: str, hint: Any, metadata: Mapping[str, Any]) -> FactSpec:
    many = get_origin(hint) is tuple
    leaf = get_args(hint)[0] if many else hint
    choices: tuple[str, ...] = ()
    if get_origin(leaf) is Literal:
        choices, leaf = get_args(leaf), str
    return FactSpec(name, metadata["doc"], metadata["unit"], leaf, choices, many)


def _walk(name: str, kind: Any) -> dict[str, FactSpec]:
    hints = get_type_hints(kind)
    found: dict[str, FactSpec] = {}
    for leaf in fields(kind):
        hint = _without_none(hints[leaf.name])
        row = get_args(hint)[0] if get_origin(hint) is tuple else None
        if row is not None and hasattr(row, "__dataclass_fields__"):
            found |= _walk(f"{name}.{leaf.name}[]", row)
        else:
            found[f"{name}.{leaf.name}"] = _spec(f"{name}.{leaf.name}", hint, leaf.metadata)
    return found


@cache
def facts() -> Mapping[str, FactSpec]:
    """Every canonical fact, by name, in the order of the model."""
    found: dict[str, FactSpec] = {}
    hints = get_type_hints(Craft)
    for group in fields(Craft):
        if group.name in NOT_FACTS:
            continue
        hint = _without_none(hints[group.name])
        if get_origin(hint) is tuple:
            found |= _walk(f"{group.name}[]", get_args(hint)[0])
        else:
            found |= _walk(group.name, hint)
    return found


CALLED_BY: Mapping[str, str] = {"ports": "id", "switches": "function", "overlay.elements": "name"}
"""The field that tells a row of each group from the others."""


@cache
def row_types() -> Mapping[str, type]:
    """The repeated groups and the class of a row of each."""
    return {"switches": model.Switch, "ports": model.Uart, "overlay.elements": model.OverlayElement}


@cache
def row_facts(group: str) -> Mapping[str, FactSpec]:
    """The facts of a repeated group by their own names (`ports`: id, roles, baud). Raises KeyError for no group."""
    row_types()[group]
    lead = f"{group}[]."
    return {name.removeprefix(lead): spec for name, spec in facts().items() if name.startswith(lead)}


def resolve(craft: Craft, name: str) -> Any:
    """The value at a dotted name, None when unread. Raises KeyError when there is no such fact name.

    Of the facts `hand.ID` there are as many as there are questions: one that nobody answered is None.
    """
    if name.startswith(model.HAND):
        note = craft.hand.get(name.removeprefix(model.HAND))
        return None if note is None else note.value
    here: Any = craft
    for part in name.split("."):
        match = _PART.match(part)
        if match is None or match[1] in NOT_FACTS:
            raise KeyError(name)
        if here is None:
            return None
        if not hasattr(here, match[1]):
            raise KeyError(name)
        here = getattr(here, match[1])
        if match[2] is not None and here is not None:
            rows = here
            here = rows[int(match[2])] if int(match[2]) < len(rows) else None
    return here
