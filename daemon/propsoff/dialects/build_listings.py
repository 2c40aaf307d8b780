"""From a read command of a dialect file to its listing: grammar, words, groups, lists and joined facts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from propsoff.craft.names import FactSpec, facts, row_types
from propsoff.dialects.build_grammars import GRAMMARS, GrammarBuilder
from propsoff.dialects.build_words import Words
from propsoff.dialects.joined import Joined, is_plain, places_of
from propsoff.dialects.listing import Listing
from propsoff.dialects.patterns import FreePattern, Template
from propsoff.dialects.repeated import MEMBER, VALUE, Gathered, Repeated, Rows
from propsoff.dialects.section import Section, nearest
from propsoff.dialects.words import Part, Word

_WORD_KEYS = ("also",)


def build_listings(section: Section, words: Words, phrases: tuple[str, str]) -> list[Listing]:
    """The listing of one read command, and those of the further parts of its reply; `phrases` are how words are set.

    Raises DialectError.
    """
    found = [build_listing(section, words, phrases)]
    for inner in section.sections("parts"):
        part = inner.given("command", section.text("command"))
        found.append(build_listing(part, words, phrases))
        part.finish()
    return found


def build_listing(section: Section, words: Words, phrases: tuple[str, str]) -> Listing:
    """The listing of one read command; `phrases` are how words and cells of rows are set. Raises DialectError."""
    name = section.text("grammar")
    grammar = GRAMMARS.get(name)
    if grammar is None:
        section.fail(f"no such grammar: {name!r}", "grammar", nearest(name, list(GRAMMARS)))
    known, aliases = _words(section.section("words", required=False), words)
    rows = [_rows(inner, grammar, words) for inner in section.sections("rows")]
    lists = [_gathered(inner, grammar, words) for inner in section.sections("lists")]
    joined = tuple(_joined(inner, known, aliases, words) for inner in section.sections("joined"))
    repeated: tuple[Repeated, ...] = (*rows, *lists)
    exact, templates = _ignored(section)
    made = grammar.build(section, known | {name: known[word] for name, word in aliases.items()}, repeated)
    typed = section.templates("lines", []) if name == "lines" and section.truth("typed", False) else None
    return Listing(section.text("command"), made, known, aliases, repeated, exact, templates, *phrases, joined, typed)


def _joined(section: Section, known: dict[str, Word], aliases: Mapping[str, str], words: Words) -> Joined:
    """A fact that several words state together; what they are called goes into `known`."""
    spec = words.spec(section, "fact", section.text("fact"), None)
    source = section.text("join")
    if not is_plain(source) or not places_of(source):
        section.fail("the names of words in braces, such as {ver.major}.{ver.minor}", "join")
    joined = Joined(source, Part(spec.name, words.decoders.of(section, spec), words.missing_in(section)))
    for name in joined.names:
        if name in aliases:
            section.fail(f"{name!r} is a further name of {aliases[name]!r}; name that", "join")
        known[name] = replace(known.get(name) or Word({}, missing=words.missing_in(section)), key=name)
    section.finish()
    return joined


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


def _ignored(section: Section) -> tuple[frozenset[str], tuple[Template, ...]]:
    written = section.raw("ignore") if section.has("ignore") else []
    listed = written if isinstance(written, list) else [written]
    plain = [isinstance(item, str) and "{" not in item for item in listed]
    holder = section.within("ignore")
    templates = [holder.compiled(at, item) for at, item in enumerate(listed) if not plain[at]]
    return frozenset(item for at, item in enumerate(listed) if plain[at]), tuple(templates)


def _place(section: Section, grammar: GrammarBuilder, *, rows: bool) -> tuple[str, tuple[Template, ...]]:
    if not grammar.templated:
        return section.text(grammar.place), ()
    templates = section.templates(grammar.place)
    for template in templates:
        told = isinstance(template, FreePattern) or template.head or template.told_by_end
        if grammar.place == "key" and not told:
            section.fail("a key begins with literal text, so that it is found at once", "key")
        if grammar.place == "key" and MEMBER in template.names and not rows:
            section.fail("the field 'member' names a cell of a row; a list has none", "key")
    if 0 < sum(MEMBER in template.names for template in templates) < len(templates):
        section.fail("either every key of a group has the field 'member' or none has", grammar.place)
    return "", templates


def _names(templates: tuple[Template, ...]) -> tuple[str, ...]:
    """The fields of all these templates, each once."""
    return tuple(dict.fromkeys(name for template in templates for name in template.names))


def _rows(section: Section, grammar: GrammarBuilder, words: Words) -> Rows:
    group = section.text("group")
    if group not in row_types():
        section.fail(f"no such group: {group!r}", "group", nearest(group, list(row_types())))
    words.claim(section, "group", group)
    source, templates = _place(section, grammar, rows=True)
    names = _names(templates)
    if grammar.place != "key":
        cells = _cells(section, group, words)
    elif MEMBER in names:
        cells = _member_cells(section, group, names, words)
    else:
        cells = _key_cells(section, group, names, words)
    if grammar.place == "line":
        _within(section, "fields", cells, names)
    index, named_by = _index(section, templates), section.text_or("named_by", "") or None
    if named_by is not None and named_by != index and named_by not in cells:
        section.fail(f"no field {named_by!r}", "named_by", nearest(named_by, [name for name in cells if name]))
    rows = Rows(group, cells, source, templates, index, named_by, section.truth("none_when_absent", False))
    section.finish()
    return rows


def _cells(section: Section, group: str, words: Words) -> dict[str, Word]:
    fields = section.section("fields")
    return {name: words.word(fields, name, group) for name in fields.names()}


def _member_cells(section: Section, group: str, names: tuple[str, ...], words: Words) -> dict[str, Word]:
    """Of rows whose cells stand on lines of their own: the other fields of the key, and a cell for each member."""
    fields = section.section("fields")
    cells = {name: words.word(fields, name, group) for name in fields.names()}
    if MEMBER in cells:
        fields.fail("'member' is the place of the cells' names; it states no fact", MEMBER)
    if not any(name not in names for name in cells):
        section.fail("no field is named as a member is, so that no cell is taken", "fields")
    return cells


def _key_cells(section: Section, group: str, names: tuple[str, ...], words: Words) -> dict[str, Word]:
    """Of a group by `key`: the fields of the key, and the value, simple (the field `value`) or compound."""
    fields = section.section("fields", required=not section.has("packed"))
    cells = {name: Word({"": words.field(fields, name, group)}) for name in names if fields.has(name)}
    if any(section.has(key) for key in ("form", "forms", "packed")):
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


def _index(section: Section, templates: tuple[Template, ...]) -> str | None:
    index = section.text_or("index", "") or None
    for template in templates if index is not None else ():
        if index not in template.names:
            section.fail(f"no field {index!r} in {template.source!r}", "index", nearest(index or "", template.names))
    return index


def _gathered(section: Section, grammar: GrammarBuilder, words: Words) -> Gathered:
    full = words.spec(section, "fact", section.text("fact"), None)
    if not full.many:
        section.fail(f"{full.name} is no list", "fact", _many())
    words.claim(section, "fact", f"{full.name} as a list")
    source, templates = _place(section, grammar, rows=False)
    cell = VALUE if grammar.place == "key" else section.text("field")
    item = FactSpec(full.name, full.doc, full.unit, full.type, full.choices, many=False)
    missing = frozenset(section.texts("missing", []))
    part = Part(full.name, words.decoders.of(section, item), missing)
    absent = section.truth("none_when_absent", False)
    below = section.templates("below", []) if grammar.place == "line" else ()
    gathered = Gathered(full.name, part, cell, source, templates, _index(section, templates), absent, below)
    section.finish()
    return gathered


def _many() -> str:
    return "lists: " + ", ".join(name for name, spec in facts().items() if spec.many and "[]" not in name)
