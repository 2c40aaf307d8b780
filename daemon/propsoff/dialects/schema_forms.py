"""The shapes of what may stand in a dialect file, as JSON Schema (2020-12): the one place for the published form.

Each table of the file is a list of keys with what each may hold; `schema` puts them together. A test holds that these
are the keys that the reader of the file asks for.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from propsoff.dialects.build_grammars import GRAMMARS
from propsoff.dialects.decode_bits import WIDEST
from propsoff.dialects.patterns import LONGEST_PATTERN
from propsoff.dialects.units import known_units

Schema = dict[str, Any]
Keys = Mapping[str, Schema]


def text(doc: str = "", *, least: int = 1, most: int | None = None) -> Schema:
    """A text of at least (and at most) so many characters."""
    return _told({"type": "string", "minLength": least, **({} if most is None else {"maxLength": most})}, doc)


def whole(least: int, most: int, doc: str = "") -> Schema:
    """A whole number in a range."""
    return _told({"type": "integer", "minimum": least, "maximum": most}, doc)


def seconds(most: float, doc: str) -> Schema:
    """A number of seconds from 0."""
    return _told({"type": "number", "minimum": 0, "maximum": most}, doc)


def truth(doc: str) -> Schema:
    """True or false."""
    return _told({"type": "boolean"}, doc)


def one_of(words: Iterable[str], doc: str = "") -> Schema:
    """One of these words."""
    return _told({"enum": list(words)}, doc)


def texts(doc: str) -> Schema:
    """A text, or a list of them."""
    any_text = text(least=0)
    return _told({"anyOf": [any_text, {"type": "array", "items": any_text}]}, doc)


def named(item: Schema, doc: str = "") -> Schema:
    """A table of names that the author chooses."""
    return _told({"type": "object", "additionalProperties": item}, doc)


def listed(item: Schema, doc: str = "") -> Schema:
    """A list of tables."""
    return _told({"type": "array", "items": item}, doc)


def ref(name: str, doc: str = "") -> Schema:
    """A definition by its name."""
    return _told({"$ref": f"#/$defs/{name}"}, doc)


def table(keys: Keys, required: Sequence[str] = (), rules: Sequence[Schema] = (), doc: str = "") -> Schema:
    """A table of these keys and no others."""
    made: Schema = {"type": "object", "properties": dict(keys), "additionalProperties": False}
    if required:
        made["required"] = list(required)
    if rules:
        made["allOf"] = list(rules)
    return _told(made, doc)


def narrowed(key: str, by_value: Mapping[str, Iterable[str]], keys: Iterable[str]) -> list[Schema]:
    """Rules: where `key` has a value, only `keys` and those of the value may stand."""
    return [
        {
            "if": {"properties": {key: {"const": value}}, "required": [key]},
            "then": {"propertyNames": {"enum": [*keys, *own]}},
        }
        for value, own in by_value.items()
    ]


def _told(schema: Schema, doc: str) -> Schema:
    return {**schema, "description": doc} if doc else schema


_PATTERN = table({"pattern": text("a free pattern, RE2 syntax", most=LONGEST_PATTERN)}, ["pattern"])
TEMPLATE = {"anyOf": [text("a line template"), _PATTERN]}
TEMPLATES = {"anyOf": [ref("template"), {"type": "array", "items": ref("template"), "minItems": 1}]}

_BASE = whole(2, 36, "in which base the number is written; 10 when it is not given")
_PREFIX = text("what stands before the digits, such as 0x", least=0)
_OTHERS = one_of(["problem", "keep"], "what becomes of a word or bit that is not listed")
_BETWEEN = text("what stands between the parts", least=0)
_REST = whole(0, 32, "how many further channels the console must be told")
_SCALAR = {"type": ["string", "number", "boolean"]}

OPTIONS: Keys = {
    "lower": truth("fold to lower case"),
    "before": text("what the fact has in front of the text", least=0),
    "suffix": text("text written against the number", least=0),
    "unit": one_of(known_units(), "what the number counts"),
    "factor": {"type": "number", "exclusiveMinimum": 0, "description": "what the number is multiplied by"},
    "comma": truth("a comma where others have a point"),
    "decimals": whole(0, 9, "how many decimals are said at least"),
    "whole": truth("the console takes whole numbers only"),
    "base": _BASE,
    "prefix": _PREFIX,
    "yes": texts("the words for yes; the first is said"),
    "no": texts("the words for no; the first is said"),
    "words": named(text(least=0), "the console's words and their meanings"),
    "others": _OTHERS,
    "letters": named(text(), "the console's letters for A, E, T and R"),
    "names": named(text(), "names of axes, or names of bits by their numbers"),
    "separator": _BETWEEN,
    "rest": _REST,
    "each": {"anyOf": [text("a decoder"), ref("options")], "description": "how each item is written"},
    "empty": texts("what an empty list means"),
    "empty_said": text("how an empty list is said", least=0),
    "behind": text("text that stands once behind the whole list", least=0),
    "bit": whole(0, WIDEST - 1, "which bit, from 0"),
    "inverted": truth("yes when the bit is not set"),
    "of": {"type": "array", "items": _SCALAR, "minItems": 1, "description": "what the positions stand for"},
    "from": whole(0, 1 << 31, "the number of the first position"),
}
"""The options of all decoders."""

OWN_OPTIONS: Mapping[str, tuple[str, ...]] = {
    "text": ("lower", "before"),
    "integer": ("base", "prefix"),
    "number": ("suffix", "unit", "factor", "comma", "decimals", "whole"),
    "yes-no": ("yes", "no"),
    "choice": ("words", "others"),
    "letters": ("letters", "separator", "rest"),
    "axes": ("names", "separator", "rest"),
    "list": ("each", "separator", "empty", "empty_said", "behind"),
    "bits": ("names", "base", "prefix", "others", "empty"),
    "bit": ("bit", "base", "prefix", "inverted"),
    "index": ("of", "from", "base", "prefix"),
}
"""Which of them each decoder has."""

_AS = text("a decoder, or one of the file's own")
_MISSING = texts("texts that say nothing here")
_PLACES: Keys = {
    "key": {**TEMPLATES, "description": "templates of keys; grammars pairs and sections"},
    "line": {**TEMPLATES, "description": "templates of lines; grammar lines"},
    "table": text("the table's name; grammar table"),
    "path": text("the path of a list of objects; grammar json"),
    "index": text("the field that must count 1, 2, 3"),
    "none_when_absent": truth("a whole listing without such a line says that there are none"),
}
_SLOT = table(
    {"shift": whole(0, WIDEST - 1, "the lowest bit"), "bits": whole(1, 32, "how many bits")}, ["shift", "bits"]
)
_COMPOUND: Keys = {
    "form": ref("template", "how the value is split"),
    "forms": listed(ref("form"), "how the value is split: the first that matches"),
    "packed": named(_SLOT, "the fields of a whole number, by their bits"),
    "base": _BASE,
    "prefix": _PREFIX,
}


def decoder() -> Schema:
    """The options of every decoder: those of others than the one that `as` names must not stand."""
    rules = [
        {
            "if": {"properties": {"as": {"const": name}}, "required": ["as"]},
            "then": {"properties": {key: False for key in OPTIONS if key not in own}},
        }
        for name, own in OWN_OPTIONS.items()
    ]
    return {"properties": {"as": _AS, **OPTIONS}, "allOf": rules}


def decoder_options(keys: Keys, required: Sequence[str] = ()) -> Schema:
    """A table with these keys, and the options of the decoder that its `as` names."""
    made: Schema = {
        "type": "object",
        "properties": dict(keys),
        "allOf": [ref("decoder")],
        "unevaluatedProperties": False,
    }
    return {**made, "required": list(required)} if required else made


def field(facts: str) -> Schema:
    """One field of a value: the name of a fact, of those that `facts` defines, or a table."""
    return {"anyOf": [ref(facts), decoder_options(_stating(facts))]}


def word(facts: str, fields: str, own_keys: Keys) -> Schema:
    """A word, or a cell of a row: the name of a fact, or a table; `fields` defines its fields."""
    part = decoder_options({**_stating(facts), **own_keys}, ["fact"])
    split: Keys = {
        **_COMPOUND,
        "fields": named(ref(fields), "what each field states"),
        "items": {"type": "array", "items": text(), "description": "the names of the items of a list, by position"},
        "separator": _BETWEEN,
        "missing": _MISSING,
        **own_keys,
    }
    whys = [{"required": [key]} for key in ("form", "forms", "items", "packed")]
    return {"anyOf": [ref(facts), part, {**table(split), "anyOf": whys}]}


def _stating(facts: str) -> Keys:
    return {"fact": ref(facts, "the fact"), "measured": truth("it is never said"), "missing": _MISSING}


def rows(group: str, cell: str) -> Schema:
    """A repeated group; `cell` defines its cells."""
    keys: Keys = {
        "group": {"const": group},
        **_PLACES,
        **_COMPOUND,
        "fields": named(ref(cell), "what each field of key and value, column or member states"),
        "named_by": text("the field by which a row is named when it is set"),
        "missing": _MISSING,
    }
    return table(keys, ["group"])


def gathered(lists: Sequence[str]) -> Schema:
    """A list whose items stand one by one."""
    keys = {**_PLACES, "fact": one_of(lists, "the list"), "field": text("the field that holds the item")}
    keys["below"] = {**TEMPLATES, "description": "the line under which the items stand; grammar lines"}
    return decoder_options({**keys, "missing": _MISSING}, ["fact"])


def joined(facts: str) -> Schema:
    """One fact from several words."""
    keys = {
        "fact": ref(facts, "the fact"),
        "missing": _MISSING,
        "join": text("the text, with the words' names in braces"),
    }
    return decoder_options(keys, ["fact", "join"])


def _ways(doc: str) -> Schema:
    line = text(least=1, most=16)
    return {"anyOf": [line, {**listed(line), "maxItems": 4}], "description": doc}


MEANING: Keys = {
    "grammar": one_of(GRAMMARS, "how the reply is laid out"),
    "words": named(ref("word"), "what each word means"),
    "rows": listed(ref("rows"), "repeated groups"),
    "lists": listed(ref("list"), "lists whose items stand one by one"),
    "joined": listed(ref("joined"), "facts that several words state together"),
    "ignore": {"anyOf": [ref("template"), listed(ref("template"))], "description": "words that state no fact"},
}
"""How a reply, or a part of one, is laid out, and what it means."""

QUERY: Keys = {
    "command": text("what is sent"),
    "deadline_s": {"type": "number", "exclusiveMinimum": 0, "maximum": 600, "description": "longest wait, in seconds"},
    "opens": ref("template", "the first line of the reply"),
    "ends": ref("template", "the last line of the reply"),
    "counted": ref("template", "which lines are counted"),
    "before": _ways("what is typed to open the menu in which the command is known"),
    "after": _ways("what is typed to leave the menu that the command opened"),
    "cap_bytes": whole(1024, 16 << 20, "the largest size of the reply"),
    "required": truth("whether the board cannot be judged without it"),
    **MEANING,
    "parts": listed(ref("part"), "further parts of the reply, of the lines that are left"),
}
"""The keys of every command."""

LAYOUT: Keys = {
    "line": {**TEMPLATES, "description": "lines of key and value: the first that fits"},
    "lines": {"anyOf": [ref("template"), listed(ref("template"))], "description": "lines whose fields are words"},
    "typed": truth("its lines may be typed as they stand, to set what they state"),
    "headings": {**TEMPLATES, "description": "lines that open a section"},
    "items": text("the mark before the first line of each item of a list in blocks", most=2),
    "indented": truth("sections are the lines that are indented deeper"),
    "title": ref("template", "the line before a table; without it the reply is the table of its command"),
    "rule": text("the character of the line under the header", least=0, most=1),
    "by_header": truth("tables without titles, parted by blank lines, each named by its first heading"),
    "row_count": ref("template", "the line after the last row"),
    "separator": {**text("what stands between the cells, no blanks and no tab", least=0, most=3), "pattern": r"^\S*$"},
    "per_line": truth("each line is a document, and all of them are one list"),
    "named_by": text("the member that names the objects of lists: their paths have that name, not a number"),
    "told_by": text(
        "the member that tells kinds of objects in one list apart: their paths have the kind, not a number"
    ),
}
OWN_LAYOUT: Mapping[str, tuple[str, ...]] = {
    "pairs": ("line",),
    "sections": ("headings", "line", "indented", "items"),
    "lines": ("lines", "typed"),
    "table": ("title", "by_header", "rule", "row_count", "separator"),
    "json": ("named_by", "told_by", "per_line"),
}
"""Which keys each grammar has."""

CONSOLE: Keys = {
    "line_end": one_of(["\r", "\n", "\r\n"], "what ends a command"),
    "wake": text("what makes the console show its prompt", most=16),
    "wake_before_s": seconds(5, "quiet before the wake"),
    "wake_after_s": seconds(5, "quiet after the wake"),
    "typing_s": seconds(0.1, "pause between typed characters"),
    "echo": truth("whether it sends back what it is sent"),
    "prompt": ref("template", "the whole last line when it waits for a command"),
    "pager": ref("template", "the line at which a long reply stops"),
    "pager_key": text("what is sent to go on", most=4),
    "error": ref("template", "how it answers a command that it does not know"),
    "comments": {"anyOf": [ref("template"), listed(ref("template"))], "description": "lines that say nothing"},
    "missing": texts("texts that say nothing in place of any value"),
}
