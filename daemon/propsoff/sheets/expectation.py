"""What may stand in the place of an expected value: how it is written, and what it means."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Literal, get_args

from propsoff.craft.names import FactSpec
from propsoff.sheets.expect import Allowed, Anything, Expected, Pattern, Range, Value
from propsoff.sheets.form import (
    Constant,
    Fault,
    Flag,
    Number,
    Path,
    Schema,
    Shape,
    Table,
    Text,
    Words,
    described,
    quoted,
)
from propsoff.versions import compare_versions

Kind = Literal["whole", "number", "flag", "yes-no", "text", "name", "version", "order", "choice"]
"""What kind of value a fact has. A `name` is a text that might be the word `any` itself."""

_ORDER = r"^\s*(?=.*[Aa])(?=.*[Ee])(?=.*[Tt])(?=.*[Rr])[AETRaetr]{4}(\s+[1-9][0-9]?)*\s*$"
_VERSION = r"^\s*[vV]?[0-9]"
_NAMES = frozenset({"board.name", "board.serial", "craft.name", "firmware.name"})
_LONGEST = 400


@dataclass(frozen=True, slots=True)
class Literally:
    """A text as it is, empty or not."""

    doc: str = ""

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """As in `Shape`."""
        if not isinstance(value, str):
            yield Fault(path, f"{quoted(value)} is not a text", self.doc or None)
        elif len(value) > _LONGEST:
            yield Fault(path, f"must be a text of at most {_LONGEST} characters")

    def schema(self) -> Schema:
        """As in `Shape`."""
        return described({"type": "string", "maxLength": _LONGEST}, self.doc)


@dataclass(frozen=True, slots=True)
class YesNo:
    """A yes or a no, in words or as true and false."""

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """As in `Shape`."""
        if not isinstance(value, bool) and value not in ("yes", "no"):
            yield Fault(path, f"{quoted(value)} is neither yes nor no", 'write "yes" or "no"')

    def schema(self) -> Schema:
        """As in `Shape`."""
        return {"enum": [True, False, "yes", "no"]}


@dataclass(frozen=True, slots=True)
class Expectation:
    """What a fact of one kind may be: a value, a range, a pattern, anything, or a list of these."""

    kind: Kind
    doc: str = ""
    choices: tuple[str, ...] = ()

    @classmethod
    def of(cls, spec: FactSpec) -> Expectation:
        """What may be expected of a fact."""
        doc = f"{spec.doc} ({spec.unit})" if spec.unit else spec.doc
        return cls(_kind(spec), doc, spec.choices)

    @property
    def literal(self) -> Shape:
        """The shape of one plain value."""
        match self.kind:
            case "whole" | "number":
                return Number(whole=self.kind == "whole", doc=self.doc)
            case "flag":
                return Flag(self.doc)
            case "yes-no":
                return YesNo()
            case "choice":
                return Words(self.choices, "among its values", self.doc)
            case "order":
                return Text(self.doc, pattern=_ORDER, what="an order of A, E, T and R", hint='"AETR", or "AETR 2 1"')
            case _:
                return Literally(self.doc)

    @property
    def _numeric(self) -> bool:
        return self.kind in ("whole", "number")

    @property
    def _tables(self) -> Sequence[Table]:
        """The tables that may stand for a value of this kind."""
        forms = [Table({"any": Constant(True)}, required=("any",))]
        if self._numeric:
            bound: Shape = self.literal
            off = Number(least=0, doc="how far off it may be, in the fact's own unit")
            forms.append(Table({"value": self.literal, "tolerance": off}, required=("value",)))
        else:
            bound = Text(pattern=_VERSION, what="a version", hint='for example "4.2.0"')
            forms.append(Table({"value": self.literal}, required=("value",)))
        if self._numeric or self.kind == "version":
            sides = ("a range needs from, to, or both", "{ from = ..., to = ... }")
            forms.append(Table({"from": bound, "to": bound}, least=1, empty=sides))
        if self.kind in ("text", "name", "version"):
            forms.append(Table({"pattern": Text("a shell-style pattern: *, ?, [ab]")}, required=("pattern",)))
        return forms

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """As in `Shape`."""
        if isinstance(value, list):
            if not value:
                yield Fault(path, "an empty list allows nothing", "leave the key out when anything will do")
            for at, item in enumerate(value):
                yield from self._item_faults(item, (*path, at))
        else:
            yield from self._item_faults(value, path)

    def _item_faults(self, item: Any, path: Path) -> Iterator[Fault]:
        if isinstance(item, list):
            yield Fault(path, "must be a value, or a list of values of which any will do")
        elif isinstance(item, dict):
            yield from self._table_faults(item, path)
        elif item == "any" and isinstance(item, str):
            if self.kind == "name" or "any" in self.choices:
                hint = '{ any = true } when any will do, { value = "any" } for the word itself'
                yield Fault(path, "this could be the word any itself", hint)
        else:
            yield from self.literal.faults(item, path)

    def _table_faults(self, item: dict[str, Any], path: Path) -> Iterator[Fault]:
        fits = max(self._tables, key=lambda table: sum(key in table.keys for key in item))
        if not any(key in fits.keys for key in item):
            yield Fault(path, "is not a form that an expected value of this fact has", f"this can be {self._said()}")
        elif any(key in table.keys for key in item.keys() - fits.keys.keys() for table in self._tables):
            yield Fault(path, f"{' and '.join(map(str, item))} do not go together", f"this can be {self._said()}")
        else:
            yield from fits.faults(item, path)

    def _said(self) -> str:
        return " or ".join(f"{{ {', '.join(f'{key} = ...' for key in table.keys)} }}" for table in self._tables)

    def schema(self) -> Schema:
        """As in `Shape`; kinds without choices refer to `definitions`."""
        form: dict[str, Any] = {"$ref": f"#/$defs/{self.kind}"}
        if self.kind == "choice":
            form = {"anyOf": [self._item(), {"type": "array", "items": self._item(), "minItems": 1}]}
        return described(form, self.doc)

    def _item(self) -> dict[str, Any]:
        plain = self.literal.schema()
        assert isinstance(plain, dict)
        plain = {key: part for key, part in plain.items() if key != "description"}
        if self.kind == "name" or "any" in self.choices:
            plain = {**plain, "not": {"const": "any"}}
            return {"anyOf": [plain, *(table.schema() for table in self._bare)]}
        return {"anyOf": [plain, {"const": "any"}, *(table.schema() for table in self._bare)]}

    @property
    def _bare(self) -> Sequence[Table]:
        """The tables without saying over and over again what the fact is."""
        return Expectation(self.kind, choices=self.choices)._tables

    def read(self, value: Any, source: str, tolerance: float | None = None) -> Expected:
        """What a well-formed value means. `tolerance` is for plain numbers that name none of their own."""
        items = value if isinstance(value, list) else [value]
        offs = {_own(item, tolerance) for item in items if self._is_plain(item)}
        if len(offs) == 1 and self._numeric:
            return Expected(tuple(self._meaning(item) for item in items), offs.pop() or 0.0, source)
        return Expected(tuple(self._near(item, _own(item, tolerance)) for item in items), 0.0, source)

    def _is_plain(self, item: Any) -> bool:
        return "value" in item if isinstance(item, dict) else self._numeric and item != "any"

    def _near(self, item: Any, off: float | None) -> Allowed:
        """One of several numbers with tolerances of their own: from so much below it to so much above."""
        meant = self._meaning(item)
        if off and self._is_plain(item) and isinstance(meant, int | float):
            centre, by = Decimal(str(meant)), Decimal(str(off))
            return Range(float(centre - by), float(centre + by))
        return meant

    def _meaning(self, item: Any) -> Allowed:
        if isinstance(item, dict):
            if "any" in item:
                return Anything()
            if "pattern" in item:
                return Pattern(item["pattern"])
            if "value" in item:
                return self._value(item["value"])
            return Range(*(None if side is None else self._value(side) for side in (item.get("from"), item.get("to"))))
        return Anything() if item == "any" and isinstance(item, str) else self._value(item)

    def _value(self, item: Any) -> Value:
        if self.kind == "yes-no":
            return item if isinstance(item, bool) else item == "yes"
        if self.kind == "order":
            letters, *numbers = item.upper().split()
            return " ".join((letters, *numbers))
        if self._numeric:
            return int(item) if self.kind == "whole" else float(item)
        plain: Value = item
        return plain

    def contradictions(self, value: Any, path: Path) -> Iterator[Fault]:
        """What a well-formed value says that cannot be."""
        for at, item in enumerate(value if isinstance(value, list) else [value]):
            where = (*path, at) if isinstance(value, list) else path
            if isinstance(item, dict) and "from" in item and "to" in item and _above(item["from"], item["to"]):
                problem = f"nothing is from {item['from']} to {item['to']}: the lower end is above the upper one"
                yield Fault(where, problem, "exchange the two")
            if self.kind == "order" and item != "any" and not (isinstance(item, dict) and "any" in item):
                order = item["value"] if isinstance(item, dict) else item
                if not _counted_out(order.split()[1:]):
                    problem = f"{order!r} is not an order of A, E, T and R with each further channel once"
                    yield Fault(where, problem, 'for example "AETR", or "AETR 2 1"')


def definitions() -> dict[str, Any]:
    """The schemas that those of expectations refer to, by kind: an item, or a list of items."""
    found: dict[str, Any] = {}
    for kind in get_args(Kind):
        if kind != "choice":
            found[f"{kind}-item"] = Expectation(kind)._item()
            item = {"$ref": f"#/$defs/{kind}-item"}
            found[kind] = {"anyOf": [item, {"type": "array", "items": item, "minItems": 1}]}
    return found


def _kind(spec: FactSpec) -> Kind:
    if spec.name == "channels.order":
        return "order"
    if spec.name == "firmware.version":
        return "version"
    if spec.choices:
        return "choice"
    if spec.type is str:
        return "name" if spec.name in _NAMES else "text"
    return {bool: "flag", int: "whole", float: "number"}[spec.type]  # type: ignore[return-value]  # these three


def _own(item: Any, tolerance: float | None) -> float | None:
    off = item.get("tolerance") if isinstance(item, dict) else None
    return tolerance if off is None else float(off)


def _above(low: Any, high: Any) -> bool:
    if isinstance(low, str):
        return compare_versions(low, high) == 1
    return bool(low > high)


def _counted_out(numbers: Sequence[str]) -> bool:
    return sorted(map(int, numbers)) == list(range(1, len(numbers) + 1)) and all(
        re.fullmatch("[0-9]+", n) for n in numbers
    )
