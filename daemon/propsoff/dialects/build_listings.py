"""From a read command of a dialect file to its listing: grammar, words, repeated groups and gathered lists.

`GRAMMARS` is where a further grammar is added: its name and the class that knows its keys.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from propsoff.craft.names import FactSpec, facts, row_types
from propsoff.dialects.build_words import Words
from propsoff.dialects.document import Document, prefixes_of
from propsoff.dialects.heads import Heads
from propsoff.dialects.lines import Lines, Sentence
from propsoff.dialects.listing import Grammar, Listing
from propsoff.dialects.pairs import Pairs
from propsoff.dialects.repeated import VALUE, Gathered, Repeated, Rows
from propsoff.dialects.section import Section, nearest
from propsoff.dialects.table import Tables
from propsoff.dialects.templates import LineTemplate
from propsoff.dialects.words import Part, Word

_WORD_KEYS = ("also",)


class GrammarBuilder(Protocol):
    """What a grammar adds to a dialect file."""

    place: str
    """The key of a group or list that says where it stands: `key`, `line`, `table` or `path`."""
    templated: bool
    """Whether that key holds a line template."""

    def build(self, section: Section, words: Mapping[str, Word], repeated: tuple[Repeated, ...]) -> Grammar:
        """The grammar from its own keys of the section. Raises DialectError."""


class _PairsBuilder:
    place, templated = "key", True

    def build(self, section: Section, words: Mapping[str, Word], repeated: tuple[Repeated, ...]) -> Grammar:
        line = section.template("line")
        if set(line.names) != {"key", "value"}:
            section.fail("the template of grammar 'pairs' has the fields key and value", "line")
        return Pairs(line, Heads.of((spec.template.head, spec) for spec in repeated if spec.template))


class _LinesBuilder:
    place, templated = "line", True

    def build(self, section: Section, words: Mapping[str, Word], repeated: tuple[Repeated, ...]) -> Grammar:
        sentences: list[tuple[str, Sentence]] = []
        templates = section.templates("lines", [])
        for template in templates:
            for name in template.names:
                if name not in words:
                    section.fail(
                        f"field {name!r} of {template.source!r} is no word", "lines", nearest(name, list(words))
                    )
            sentences.append((template.head, (template, None)))
        named = {name for template in templates for name in template.names}
        lost = next((name for name in words if name not in named), None)
        if lost is not None:
            section.fail(f"no line has a field {lost!r}", "lines", nearest(lost, sorted(named)))
        sentences += [(spec.template.head, (spec.template, spec)) for spec in repeated if spec.template]
        if not sentences:
            section.fail("'lines' is missing: at least one line template is needed")
        return Lines(Heads.of(sentences))


class _TableBuilder:
    place, templated = "table", False

    def build(self, section: Section, words: Mapping[str, Word], repeated: tuple[Repeated, ...]) -> Grammar:
        title, count = section.template("title"), section.template_or_none("row_count")
        if title.names != ("table",):
            section.fail("the title has the one field {table:words} or {table:word}", "title")
        if count is not None and (count.names != ("count",) or count.kind_of("count") != "int"):
            section.fail("the line after the rows has the one field {count:int}", "row_count")
        rule = section.text_or("rule", "")
        if len(rule) > 1:
            section.fail("one character, of which the line under the header consists", "rule")
        return Tables(title, rule, count)


class _JsonBuilder:
    place, templated = "path", False

    def build(self, section: Section, words: Mapping[str, Word], repeated: tuple[Repeated, ...]) -> Grammar:
        return Document(prefixes_of(frozenset([*words, *(spec.source for spec in repeated)])))


GRAMMARS: Mapping[str, GrammarBuilder] = {
    "pairs": _PairsBuilder(),
    "lines": _LinesBuilder(),
    "table": _TableBuilder(),
    "json": _JsonBuilder(),
}


def build_listing(section: Section, words: Words, phrases: tuple[str, str]) -> Listing:
    """The listing of one read command; `phrases` are how words and cells of rows are set. Raises DialectError."""
    name = section.text("grammar")
    grammar = GRAMMARS.get(name)
    if grammar is None:
        section.fail(f"no such grammar: {name!r}", "grammar", nearest(name, list(GRAMMARS)))
    known, aliases = _words(section.section("words", required=False), words)
    rows = [_rows(inner, grammar, words) for inner in section.sections("rows")]
    lists = [_gathered(inner, grammar, words) for inner in section.sections("lists")]
    repeated: tuple[Repeated, ...] = (*rows, *lists)
    exact, templates = _ignored(section)
    made = grammar.build(section, known | {name: known[word] for name, word in aliases.items()}, repeated)
    return Listing(
        section.text("command"), made, known, aliases, repeated, exact, templates, set=phrases[0], set_row=phrases[1]
    )


def _words(section: Section, words: Words) -> tuple[dict[str, Word], dict[str, str]]:
    known: dict[str, Word] = {}
    aliases: dict[str, str] = {}
    for key in section.names():
        if isinstance(section.raw(key), str):
            known[key] = words.word(section, key)
            continue
        inner = section.section(key)
        for other in inner.texts("also", []):
            if other in section.names() or other in aliases:
                inner.fail(f"{other!r} is a word already", "also")
            aliases[other] = key
        known[key] = words.from_table(inner, None, _WORD_KEYS)
    return known, aliases


def _ignored(section: Section) -> tuple[frozenset[str], tuple[LineTemplate, ...]]:
    listed = section.texts("ignore", [])
    exact = frozenset(text for text in listed if "{" not in text)
    return exact, tuple(section.compiled("ignore", text) for text in listed if text not in exact)


def _place(section: Section, grammar: GrammarBuilder) -> tuple[str, LineTemplate | None]:
    if not grammar.templated:
        return section.text(grammar.place), None
    template = section.template(grammar.place)
    if grammar.place == "key" and not template.head:
        section.fail("a key begins with literal text, so that it is found at once", "key")
    return "", template


def _rows(section: Section, grammar: GrammarBuilder, words: Words) -> Rows:
    group = section.text("group")
    if group not in row_types():
        section.fail(f"no such group: {group!r}", "group", nearest(group, list(row_types())))
    words.claim(section, "group", group)
    source, template = _place(section, grammar)
    cells = _key_cells(section, group, template, words) if grammar.place == "key" else _cells(section, group, words)
    if grammar.place == "line" and template is not None:
        _within(section, "fields", cells, template.names)
    index, named_by = _index(section, template), section.text_or("named_by", "") or None
    if named_by is not None and named_by != index and named_by not in cells:
        section.fail(f"no field {named_by!r}", "named_by", nearest(named_by, [name for name in cells if name]))
    rows = Rows(group, cells, source, template, index, named_by, section.truth("none_when_absent", False))
    section.finish()
    return rows


def _cells(section: Section, group: str, words: Words) -> dict[str, Word]:
    fields = section.section("fields")
    return {name: words.word(fields, name, group) for name in fields.names()}


def _key_cells(section: Section, group: str, template: LineTemplate | None, words: Words) -> dict[str, Word]:
    """Of grammar `pairs`: the fields of the key, and the value, simple (the field `value`) or compound."""
    names = template.names if template else ()
    fields = section.section("fields")
    cells = {name: Word({"": words.field(fields, name, group)}) for name in names if fields.has(name)}
    if section.has("form") or section.has("forms"):
        cells[VALUE] = words.compound(section, group, names)
        return cells
    if fields.has("value"):
        cells[VALUE] = words.word(fields, "value", group)
    _within(section, "fields", fields.names(), (*names, "value"))
    return cells


def _within(section: Section, key: str, names: object, known: tuple[str, ...]) -> None:
    fields = section.section(key)
    for name in fields.names():
        if name not in known:
            fields.fail("no such field in the template", name, nearest(name, known))


def _index(section: Section, template: LineTemplate | None) -> str | None:
    index = section.text_or("index", "") or None
    if index is not None and template is not None and index not in template.names:
        section.fail(f"no field {index!r} in {template.source!r}", "index", nearest(index, template.names))
    return index


def _gathered(section: Section, grammar: GrammarBuilder, words: Words) -> Gathered:
    full = words.spec(section, "fact", section.text("fact"), None)
    if not full.many:
        section.fail(f"{full.name} is no list", "fact", _many())
    source, template = _place(section, grammar)
    cell = VALUE if grammar.place == "key" else section.text("field")
    item = FactSpec(full.name, full.doc, full.unit, full.type, full.choices, many=False)
    missing = frozenset(section.texts("missing", []))
    part = Part(full.name, words.decoders.of(section, item), missing)
    absent = section.truth("none_when_absent", False)
    gathered = Gathered(full.name, part, cell, source, template, _index(section, template), absent)
    section.finish()
    return gathered


def _many() -> str:
    return "lists: " + ", ".join(name for name, spec in facts().items() if spec.many and "[]" not in name)
