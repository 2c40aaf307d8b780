"""From the words of a dialect file to what they mean."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from propsoff.craft.names import FactSpec, facts
from propsoff.dialects.build_bits import packed_of
from propsoff.dialects.build_decoders import Decoders
from propsoff.dialects.decode_bits import Packed
from propsoff.dialects.section import Section, dotted, nearest
from propsoff.dialects.words import Form, Part, Word
from propsoff.toml_scan import Path


class Words:
    """Makes words and parts, and sees to it that no two fields of one word, or of one row, state the same fact."""

    def __init__(self, decoders: Decoders, missing: Sequence[str]) -> None:
        self.decoders = decoders
        self._missing = frozenset(missing)
        self._stated: dict[str, Path] = {}

    def word(self, section: Section, key: str, group: str | None = None) -> Word:
        """The word at a key: a fact's name, or a table.

        Within a repeated `group`, facts are its fields. Raises DialectError.
        """
        value = section.raw(key)
        if isinstance(value, str):
            return Word({"": self._plain(section, key, value, group)})
        return self.from_table(section.section(key), group)

    def from_table(self, section: Section, group: str | None, known: Sequence[str] = ()) -> Word:
        """The word of a table; `known` are keys of it that somebody else takes. Raises DialectError."""
        for key in known:
            section.has(key)
        word = Word({"": self.part(section, group)}) if section.has("fact") else self.compound(section, group)
        section.finish()
        return word

    def part(self, section: Section, group: str | None) -> Part:
        """One fact with its decoder, from a table with the key `fact`. Raises DialectError."""
        spec = self.spec(section, "fact", section.text("fact"), group)
        missing = self.missing_in(section)
        measured = section.truth("measured", False)
        return Part(_own(spec.name, group), self.decoders.of(section, spec), missing, measured)

    def compound(self, section: Section, group: str | None, others: Sequence[str] = ()) -> Word:
        """A word that states several facts: `forms` (or `form`), `items` or `packed`, and `fields`.

        `others` are fields that somebody else takes. Raises DialectError.
        """
        forms = self._forms(section, group)
        items = section.texts("items", [])
        packed = packed_of(section) if section.has("packed") else None
        if sum(map(bool, (forms, items, packed))) != 1:
            section.fail("a word has 'fact', or 'forms' and 'fields', or 'items' and 'fields', or 'packed'")
        wanted = [name for form in forms for name in form.line.names] or list(packed.names if packed else items)
        fields = section.section("fields", required=packed is None)
        parts = {name: self._split_off(fields, name, group, packed) for name in dict.fromkeys(wanted)}
        for name in fields.names():
            if name not in wanted and name not in others:
                fields.fail("no form has this field", name, nearest(name, wanted))
        _different(fields, parts, forms)
        return Word(parts, forms, items, section.text_or("separator", ","), self.missing_in(section), packed)

    def _split_off(self, fields: Section, name: str, group: str | None, packed: Packed | None) -> Part:
        """A field of a compound word. One of a packed number may be a fact's own name; a yes or no is 1 or 0 there."""
        if packed is None:
            return self.field(fields, name, group)
        written = fields.raw(name)
        options = written if isinstance(written, dict) else {"fact": name if written is None else written}
        inner = Section(fields.document, (*fields.path, name), options)
        spec = self.spec(inner, "fact", inner.text("fact"), group)
        if spec.type is bool and "as" not in options:
            inner = Section(fields.document, inner.path, {"yes": "1", "no": "0", **options})
        part = self.part(inner, group)
        inner.finish()
        return part

    def missing_in(self, section: Section) -> frozenset[str]:
        """The texts that say nothing here: those of the section, or else those of the whole console."""
        return frozenset(section.texts("missing")) if section.has("missing") else self._missing

    def field(self, fields: Section, name: str, group: str | None) -> Part:
        """One field: a fact's name, or a table. Raises DialectError."""
        value = fields.raw(name)
        if value is None:
            fields.fail(f"field {name!r} has no fact", hint="give it one, or let its name begin with _")
        if isinstance(value, str):
            return self._plain(fields, name, value, group)
        inner = fields.section(name)
        part = self.part(inner, group)
        inner.finish()
        return part

    def spec(self, section: Section, key: str, name: str, group: str | None) -> FactSpec:
        """The specification of the fact named at a key.

        Raises DialectError for none such, or one that another field of the row states.
        """
        full = f"{group}[].{name}" if group else name
        found = facts().get(full)
        if found is None or (group is None and found.repeated):
            near = [known.removeprefix(f"{group}[].") for known in facts() if known.startswith(f"{group}[].")]
            plain = [known for known in facts() if "[]" not in known]
            section.fail(f"no such fact: {name!r}", key, nearest(name, near if group else plain))
        if group is not None:
            self.claim(section, key, full)
        return found

    def claim(self, section: Section, key: str, name: str) -> None:
        """Note that what stands at `key` is the only one of its name. Raises DialectError when there is another."""
        path = (*section.path, key)
        before = self._stated.setdefault(name, path)
        if before != path:
            section.fail(f"{name} is already stated by {dotted(before[:-1])}", key)

    def _plain(self, section: Section, key: str, name: str, group: str | None) -> Part:
        spec = self.spec(section, key, name, group)
        options = Section(section.document, (*section.path, key), {})
        return Part(_own(spec.name, group), self.decoders.of(options, spec), self._missing)

    def _forms(self, section: Section, group: str | None) -> tuple[Form, ...]:
        if section.has("form"):
            return (Form(section.template("form")),)
        found: list[Form] = []
        listed: Any = section.raw("forms") or []
        if not isinstance(listed, list):
            section.fail("expected a list of line templates", "forms")
        for index, item in enumerate(listed):
            holder = Section(section.document, (*section.path, "forms"), {})
            if isinstance(item, str) or (isinstance(item, dict) and "pattern" in item):
                found.append(Form(holder.compiled(index, item)))
                continue
            if not isinstance(item, dict):
                holder.fail("expected a line template, or a table with 'line' and 'means'", index)
            inner = Section(section.document, (*section.path, "forms", index), item)
            found.append(Form(inner.template("line"), self._means(inner.section("means"), group)))
            inner.finish()
        return tuple(found)

    def _means(self, section: Section, group: str | None) -> Mapping[str, object]:
        """Facts that hold whenever a form is written, by name."""
        meant: dict[str, object] = {}
        for name in section.names():
            full = f"{group}[].{name}" if group else name
            spec = facts().get(full)
            if spec is None:
                section.fail(f"no such fact: {name!r}", name)
            value = section.raw(name)
            values = tuple(value) if isinstance(value, list) else (value,)
            right = all(item in spec.choices if spec.choices else isinstance(item, spec.type) for item in values)
            if not right or spec.many != isinstance(value, list):
                section.fail(f"{full} cannot be {value!r}", name, nearest(str(value), spec.choices))
            meant[name] = values if spec.many else value
        return meant


def _different(fields: Section, parts: Mapping[str, Part], forms: Sequence[Form]) -> None:
    """Refuse two fields of one value that state the same fact. Raises DialectError."""
    for names in [form.line.names for form in forms] or [tuple(parts)]:
        stated: dict[str, str] = {}
        for name in names:
            before = stated.setdefault(parts[name].fact, name)
            if before != name:
                fields.fail(f"{parts[name].fact} is already stated by the field {before!r}", name)


def _own(name: str, group: str | None) -> str:
    return name.removeprefix(f"{group}[].") if group else name
