"""The grammars of a dialect file, each with the keys that are its own.

`GRAMMARS` is where a further grammar is added: its name and the class that knows its keys.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Protocol

from propsoff.dialects.document import Document, prefixes_of
from propsoff.dialects.heads import Heads
from propsoff.dialects.keyed import Keyed, PairLines
from propsoff.dialects.lines import Lines, Sentence
from propsoff.dialects.listing import Grammar
from propsoff.dialects.pairs import Pairs
from propsoff.dialects.patterns import FREE
from propsoff.dialects.repeated import Gathered, Repeated, Rows
from propsoff.dialects.section import Section, nearest
from propsoff.dialects.sections import Sections
from propsoff.dialects.table import Tables
from propsoff.dialects.words import Word


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
        return Pairs(_pair_lines(section), Keyed.of(repeated))


class _SectionsBuilder:
    place, templated = "key", True

    def build(self, section: Section, words: Mapping[str, Word], repeated: tuple[Repeated, ...]) -> Grammar:
        headings = section.templates("headings")
        for heading in headings:
            if heading.names != ("section",):
                section.fail("a heading has the one field {section:word} or {section:words}", "headings")
        lines = _pair_lines(section)
        indented, items = section.truth("indented", False), section.text_or("items", "")
        if items and (not indented or len(items) > 2 or not items.strip()):
            section.fail("a mark of one or two characters before each item, with 'indented = true'", "items")
        return Sections(headings, lines, Keyed.of(repeated), _shared(words), indented, items)


def _shared(words: Mapping[str, Word]) -> frozenset[str]:
    """The last names of words that several words have."""
    last = Counter(key.rpartition(".")[2] for key in words)
    return frozenset(key for key, count in last.items() if count > 1)


def _pair_lines(section: Section) -> PairLines:
    """The templates of a line of key and value, of the grammars that have such lines."""
    templates = section.templates("line")
    for template in templates:
        if set(template.names) != {"key", "value"}:
            section.fail("the template of a line has the fields key and value", "line")
    return PairLines(templates)


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
        below = tuple(spec for spec in repeated if isinstance(spec, Gathered) and spec.below)
        anywhere = (spec for spec in repeated if spec not in below)
        sentences += [(template.head, (template, spec)) for spec in anywhere for template in spec.templates]
        if not sentences and not below:
            section.fail("'lines' is missing: at least one line template is needed")
        return Lines(Heads.of(sentences), below)


class _TableBuilder:
    place, templated = "table", False

    def build(self, section: Section, words: Mapping[str, Word], repeated: tuple[Repeated, ...]) -> Grammar:
        title, count = section.template_or_none("title"), section.template_or_none("row_count")
        by_header = section.truth("by_header", False)
        if by_header and title is not None:
            section.fail("either 'title' or 'by_header', not both", "by_header")
        if title is None and not by_header:
            _named_by_command(section, words, repeated)
        elif title is not None and title.names != ("table",):
            section.fail("the title has the one field {table:words} or {table:word}", "title")
        if count is not None and (count.names != ("count",) or count.kind_of("count") not in ("int", FREE)):
            section.fail("the line after the rows has the one field {count:int}", "row_count")
        rule = section.text_or("rule", "")
        if len(rule) > 1:
            section.fail("one character, of which the line under the header consists", "rule")
        separator = section.text_or("separator", "")
        if "\t" in separator:
            hint = "leave 'separator' out: the cells stand under their headers"
            section.fail("tabs are blanks by the time that a reply is read, so none stands there", "separator", hint)
        if not separator.isprintable() or " " in separator or len(separator) > 3:
            section.fail("1 to 3 characters that stand between the cells, no blanks", "separator")
        if separator and rule and rule in separator:
            section.fail("the rule and the separator are different characters", "rule")
        return Tables(title, rule, count, separator, by_header)


def _named_by_command(section: Section, words: Mapping[str, Word], repeated: tuple[Repeated, ...]) -> None:
    """A table without a title has the name of its command."""
    command = section.text("command")
    for wrong in (spec for spec in repeated if spec.source != command):
        where = "rows" if isinstance(wrong, Rows) else "lists"
        section.fail(f"a table without 'title' has the name of its command, {command!r}, not {wrong.source!r}", where)
    word = next((key for key in words if not key.startswith(f"{command}.")), None)
    if word is not None:
        section.fail(f"a table without 'title' has the name of its command: {command!r}.ITEM, not {word!r}", "words")


class _JsonBuilder:
    place, templated = "path", False

    def build(self, section: Section, words: Mapping[str, Word], repeated: tuple[Repeated, ...]) -> Grammar:
        paths = frozenset([*words, *(spec.source for spec in repeated)])
        shared = _shared(words)
        named_by, told_by = section.text_or("named_by", ""), section.text_or("told_by", "")
        return Document(prefixes_of(paths), named_by, section.truth("per_line", False), told_by, shared)


GRAMMARS: Mapping[str, GrammarBuilder] = {
    "pairs": _PairsBuilder(),
    "sections": _SectionsBuilder(),
    "lines": _LinesBuilder(),
    "table": _TableBuilder(),
    "json": _JsonBuilder(),
}
