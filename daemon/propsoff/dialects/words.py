"""Words: what one setting of a console means, as one canonical fact or several."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from propsoff.dialects.decode import Decoder, Fault, Raw, shown, word_of
from propsoff.dialects.decode_bits import Packed
from propsoff.dialects.patterns import FreePattern, Template

Values = Mapping[str, object]
"""Canonical values by fact name: dotted for words, the field's own name within a repeated group."""


@dataclass(frozen=True, slots=True)
class Part:
    """One fact and how it is written. `missing` are texts that say nothing; a `measured` fact cannot be set."""

    fact: str
    decoder: Decoder
    missing: frozenset[str] = frozenset()
    measured: bool = False

    @property
    def reader(self) -> Callable[[Raw], object]:
        """What reads a text as `read` does, by the shortest way."""
        return self.read if self.missing else self.decoder.read

    def read(self, raw: Raw) -> object:
        """The canonical value, None when nothing is said, or a `Fault`."""
        if raw is None or (self.missing and word_of(raw) in self.missing):
            return None
        return self.decoder.read(raw)


@dataclass(frozen=True, slots=True)
class Form:
    """One way to write a value: its line, and facts that hold whenever it is written so."""

    line: Template
    means: Values = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Word:
    """One setting. A simple one has a single part named "". A compound one is split: text by the first of `forms` that
    matches, a list by position into `items` (said with `separator` between), a number by its bits as `packed` says.

    `key` is its name where a joined fact is put together from what it says, else empty.
    """

    parts: Mapping[str, Part]
    forms: tuple[Form, ...] = ()
    items: tuple[str, ...] = ()
    separator: str = ","
    missing: frozenset[str] = frozenset()
    packed: Packed | None = None
    key: str = ""
    only: Part | None = field(init=False, repr=False)
    """The one part of a simple word, None of a compound one."""
    _plans: tuple[tuple[Form, tuple[tuple[str, Callable[[Raw], object]], ...]], ...] = field(
        init=False, repr=False, compare=False
    )
    """Each form with the fact and the reader of each of its fields, in order."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "only", None if self._compound else self.parts.get(""))
        plans = [
            (form, tuple((self.parts[name].fact, _reader(form, self.parts[name])) for name in form.line.names))
            for form in self.forms
        ]
        object.__setattr__(self, "_plans", tuple(plans))

    @property
    def _compound(self) -> bool:
        return bool(self.forms or self.items or self.packed)

    @property
    def reader(self) -> Callable[[Raw], object]:
        """What reads a text: to the value of a simple word, or as `read`."""
        return self.read if self.only is None else self.only.reader

    @property
    def facts(self) -> tuple[str, ...]:
        """The facts that it can state."""
        meant = [fact for form in self.forms for fact in form.means]
        return tuple(dict.fromkeys([*(part.fact for part in self.parts.values()), *meant]))

    def read(self, raw: Raw) -> Values:
        """Fact names to values; a value is a `Fault` where it could not be taken. Empty when nothing is said."""
        if self.only is not None:
            return {self.only.fact: self.only.read(raw)}
        if raw is None or (isinstance(raw, str) and raw in self.missing):
            return {}
        if self.packed is not None:
            return self._read_packed(self.packed, raw)
        return self._read_items(raw) if self.items else self._read_forms(raw)

    def _read_packed(self, packed: Packed, raw: Raw) -> Values:
        found = packed.split(raw)
        if isinstance(found, Fault):
            return dict.fromkeys(self.facts, found)
        return {self.parts[name].fact: self.parts[name].read(found[name]) for name in packed.names}

    def _read_items(self, raw: Raw) -> Values:
        if not isinstance(raw, list) or len(raw) != len(self.items):
            return dict.fromkeys(self.facts, Fault(f"expected a list of {len(self.items)}, found {shown(raw)}"))
        return {self.parts[name].fact: self.parts[name].read(item) for name, item in zip(self.items, raw, strict=True)}

    def _read_forms(self, raw: Raw) -> Values:
        if isinstance(raw, str):
            for form, plan in self._plans:
                found = form.line.groups(raw)
                if found is not None:
                    stated = {fact: read(text) for (fact, read), text in zip(plan, found, strict=True)}
                    return {**stated, **form.means} if form.means else stated
        wanted = " or ".join(repr(form.line.source) for form in self.forms)
        return dict.fromkeys(self.facts, Fault(f"expected {wanted}, found {shown(raw)}"))

    def say(self, values: Values, fact: str) -> str | None:
        """The board's text that states `fact`, with whatever else stands in it; None when it cannot be said."""
        if any(part.measured for part in self.parts.values() if part.fact == fact):
            return None
        if self.packed is not None:
            texts = {name: self._part(name, values) for name in self.packed.names}
            return self.packed.join({name: text for name, text in texts.items() if text is not None})
        if self.items:
            said = [self._part(name, values) for name in self.items]
            return None if None in said else self.separator.join(text for text in said if text is not None)
        if not self.forms:
            return self._part("", values)
        return next((text for form in self.forms if (text := self._form(form, values, fact)) is not None), None)

    def _form(self, form: Form, values: Values, fact: str) -> str | None:
        if any(values.get(name) != meant for name, meant in form.means.items()):
            return None
        names = form.line.names
        if fact not in form.means and fact not in {self.parts[name].fact for name in names}:
            return None
        said = {name: self._part(name, values) for name in names}
        return (
            None
            if None in said.values()
            else form.line.fill({name: text for name, text in said.items() if text is not None})
        )

    def _part(self, name: str, values: Values) -> str | None:
        part = self.parts[name]
        text = part.decoder.say(values[part.fact]) if values.get(part.fact) is not None else None
        # A text that means "nothing said" would not be taken as the value when it is read back.
        return None if text is None or text in part.missing or (not self.forms and text in self.missing) else text


def _reader(form: Form, part: Part) -> Callable[[Raw], object]:
    """What reads a field: a group of a free pattern may take no part, and then says nothing."""
    return part.read if isinstance(form.line, FreePattern) else part.reader
