"""The shapes of what may stand in a build sheet. Each tells the faults of a value, and its own JSON Schema (2020-12).

One description serves the parser and the editors, so that they cannot disagree.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Protocol

from propsoff.tomlfile import nearest

Path = tuple[str | int, ...]
Schema = dict[str, Any] | bool

LARGEST = 1 << 53
"""No number in a sheet is larger: above it, not every whole number has a place in binary arithmetic."""
_LONGEST = 200
_KNOWN_AT_MOST = 12


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong, at which key, and what to do."""

    path: Path
    problem: str
    hint: str | None = None


class Shape(Protocol):
    """What a value has to look like."""

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """What is wrong with a value at this path; nothing when it is well formed."""

    def schema(self) -> Schema:
        """The same as JSON Schema."""


def near(word: object, known: Iterable[str]) -> str:
    """The hint for a word that is not known: the nearest that is, or what there is."""
    listed = list(known)
    like = nearest(word, listed) if isinstance(word, str) else None
    if like:
        return f"did you mean {like}?"
    more = f" and {len(listed) - _KNOWN_AT_MOST} more" if len(listed) > _KNOWN_AT_MOST else ""
    return f"known here: {', '.join(listed[:_KNOWN_AT_MOST])}{more}"


def quoted(value: object) -> str:
    """A value as a message shows it: whole, or cut."""
    try:
        text = repr(value)
    except ValueError:  # Python refuses to print integers of thousands of digits
        text = "a number of thousands of digits"
    return text if len(text) <= 80 else f"{text[:79]}…"


def described(schema: dict[str, Any], doc: str) -> dict[str, Any]:
    """The schema with a description, where there is one."""
    return {**schema, "description": doc} if doc else schema


@dataclass(frozen=True, slots=True)
class Text:
    """A text of 1 to `longest` characters, not all blank; `pattern` (searched) narrows it, and `what` names that.

    A pattern must not match an empty text.
    """

    doc: str = ""
    longest: int = _LONGEST
    pattern: str = r"\S"
    what: str = ""
    hint: str | None = None

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """As in `Shape`."""
        if isinstance(value, str) and len(value) <= self.longest and re.search(self.pattern, value):
            return
        if self.what:
            yield Fault(path, f"{quoted(value)} is not {self.what}", self.hint)
        else:
            yield Fault(path, f"must be a text of 1 to {self.longest} characters", self.hint)

    def schema(self) -> Schema:
        """As in `Shape`."""
        form = {"type": "string", "minLength": 1, "maxLength": self.longest, "pattern": self.pattern}
        return described(form, self.doc)


@dataclass(frozen=True, slots=True)
class Words:
    """One of the words that there are."""

    known: tuple[str, ...]
    what: str
    doc: str = ""

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """As in `Shape`."""
        if not isinstance(value, str) or value not in self.known:
            yield Fault(path, f"{quoted(value)} is not {self.what}", near(value, self.known))

    def schema(self) -> Schema:
        """As in `Shape`."""
        return described({"enum": list(self.known)}, self.doc)


@dataclass(frozen=True, slots=True)
class Number:
    """A number from `least` to `most`; of a whole one 5.0 will do for 5."""

    whole: bool = False
    least: float = -LARGEST
    most: float = LARGEST
    doc: str = ""

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """As in `Shape`."""
        if not self.takes(value):
            kind = "a whole number" if self.whole else "a number"
            limits = f" from {self.least:g} to {self.most:g}" if self.least > -LARGEST else ""
            yield Fault(path, f"{quoted(value)} is not {kind}{limits}", self.doc or None)

    def takes(self, value: Any) -> bool:
        """Whether it is such a number."""
        # The limits keep infinity out, and what is not a number is not between them.
        if not isinstance(value, int | float) or isinstance(value, bool) or not self.least <= value <= self.most:
            return False
        return not (self.whole and value % 1)

    def schema(self) -> Schema:
        """As in `Shape`."""
        form = {"type": "integer" if self.whole else "number", "minimum": self.least, "maximum": self.most}
        return described(form, self.doc)


@dataclass(frozen=True, slots=True)
class Constant:
    """This one value and no other."""

    value: int | bool
    doc: str = ""

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """As in `Shape`."""
        if isinstance(value, bool) is not isinstance(self.value, bool) or value != self.value:
            yield Fault(path, f"{quoted(value)} is not {str(self.value).lower()}", self.doc or None)

    def schema(self) -> Schema:
        """As in `Shape`."""
        return described({"const": self.value}, self.doc)


@dataclass(frozen=True, slots=True)
class Flag:
    """true or false."""

    doc: str = ""

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """As in `Shape`."""
        if not isinstance(value, bool):
            yield Fault(path, f"{quoted(value)} is not true or false", self.doc or None)

    def schema(self) -> Schema:
        """As in `Shape`."""
        return described({"type": "boolean"}, self.doc)


@dataclass(frozen=True, slots=True)
class Day:
    """A date: TOML's own, or the same as a text."""

    doc: str = ""

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """As in `Shape`."""
        if day_of(value) is None:
            yield Fault(path, f"{quoted(value)} is not a date", "for example 2026-12-31")

    def schema(self) -> Schema:
        """As in `Shape`: a date of TOML is a text to JSON."""
        return described({"type": "string", "format": "date"}, self.doc)


def day_of(value: Any) -> date | None:
    """The date that TOML or a text means; None when it means none."""
    if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
        try:
            return date.fromisoformat(value)
        except ValueError:
            return None
    return value if isinstance(value, date) and not isinstance(value, datetime) else None


@dataclass(frozen=True, slots=True)
class Listing:
    """A list of so many items at least; with `lone` an item may stand by itself in its place."""

    item: Shape
    least: int = 0
    most: int | None = None
    lone: bool = False
    what: str = "a list"
    doc: str = ""

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """As in `Shape`."""
        if self.lone and not isinstance(value, list):
            yield from self.item.faults(value, path)
        elif not isinstance(value, list):
            yield Fault(path, f"must be {self.what}", None)
        elif len(value) < self.least or (self.most is not None and len(value) > self.most):
            limits = f"at least {self.least}" if self.most is None else f"{self.least} to {self.most}"
            yield Fault(path, f"must hold {limits}", "leave the key out instead" if not value else None)
        else:
            for at, item in enumerate(value):
                yield from self.item.faults(item, (*path, at))

    def schema(self) -> Schema:
        """As in `Shape`."""
        many: dict[str, Any] = {"type": "array", "items": self.item.schema(), "minItems": self.least}
        if self.most is not None:
            many["maxItems"] = self.most
        return described({"anyOf": [self.item.schema(), many]} if self.lone else many, self.doc)


@dataclass(frozen=True, slots=True)
class Refused:
    """A key that people look for and that is said in another way."""

    problem: str
    hint: str

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """As in `Shape`: always one."""
        yield Fault(path, self.problem, self.hint)

    def schema(self) -> Schema:
        """As in `Shape`."""
        return False


@dataclass(frozen=True, slots=True)
class Table:
    """Keys and what each holds; `others` is the shape of keys of any further name, None: there are no others."""

    keys: Mapping[str, Shape] = field(default_factory=dict)
    required: Sequence[str] = ()
    others: Shape | None = None
    least: int = 0
    empty: tuple[str, str] = ("must not be empty", "leave it out instead")
    unknown: str = "there is no such key in a build sheet of format 1"
    doc: str = ""

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """As in `Shape`."""
        if not isinstance(value, dict):
            name = ".".join(part for part in path if isinstance(part, str))
            yield Fault(path, "must be a table", f"write it under a line [{name}]")
            return
        if len(value) < self.least:
            yield Fault(path, *self.empty)
        for key in self.required:
            if key not in value:
                yield Fault((*path, key), "missing", _doc_of(self.keys[key]))
        for key, item in value.items():
            shape = self.keys.get(key, self.others)
            if shape is None:
                yield Fault((*path, key), self.unknown, near(key, self._known()))
            else:
                yield from shape.faults(item, (*path, key))

    def _known(self) -> list[str]:
        return [name for name, shape in self.keys.items() if not isinstance(shape, Refused)]

    def schema(self) -> Schema:
        """As in `Shape`."""
        form: dict[str, Any] = {
            "type": "object",
            "properties": {name: shape.schema() for name, shape in self.keys.items()},
            "additionalProperties": self.others.schema() if self.others else False,
        }
        if self.required:
            form["required"] = list(self.required)
        if self.least:
            form["minProperties"] = self.least
        return described(form, self.doc)


def _doc_of(shape: Shape) -> str | None:
    return getattr(shape, "doc", None) or None
