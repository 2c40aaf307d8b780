"""The published form of a dialect: it is a schema, takes every dialect there is, and knows the keys of the reader.

Judged by jsonschema, the reference implementation for Python, against the meta-schema of JSON Schema 2020-12.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner

from dialects import (
    test_bits,
    test_grammars,
    test_joined,
    test_load,
    test_member_rows,
    test_patterns,
    test_plain_tables,
    test_sections,
)
from dialects.toys import HEAD
from propsoff.cli.schema import command
from propsoff.dialects.build_decoders import DECODERS
from propsoff.dialects.build_grammars import GRAMMARS
from propsoff.dialects.load import parse_dialect
from propsoff.dialects.schema import dialect_schema, published_schema, schema_text
from propsoff.dialects.schema_forms import OPTIONS, OWN_LAYOUT, OWN_OPTIONS
from propsoff.dialects.section import Section
from propsoff.exceptions import DialectError

ROOT = Path(__file__).parents[2]
VALIDATOR = jsonschema.Draft202012Validator(published_schema())
READS = [
    test_bits.MASKS, test_grammars.JSON, test_grammars.LINES, test_grammars.PAIRS, test_grammars.PLACES,
    test_grammars.TABLE, test_joined.JOINED, test_joined.TWICE, test_member_rows.COUNTED, test_member_rows.MIXED,
    test_member_rows.PORTS, test_patterns.READ, test_plain_tables.MARKED, test_plain_tables.SWITCHES,
    test_plain_tables.WORDS, test_plain_tables.BY_HEADER, test_sections.FLAT, test_sections.NESTED,
]  # fmt: skip
OPTIONS_OF_ALL = (
    HEAD
    + """
grammar = "pairs"
line = "{key:word}={value:rest}"
[reads.words]
a = { fact = "channels.order", as = "axes", rest = 1, names = { r = "A", p = "E", t = "T", y = "R" }, separator = "," }
b = { fact = "channels.live", as = "list", each = { as = "integer", base = 16 }, separator = " ", measured = true }
c = { fact = "motors.reversed", as = "yes-no", yes = ["1"], no = "0", missing = "-" }
d = { fact = "battery.scale", factor = 0.1, decimals = 1 }
e = { fact = "craft.name", as = "text", lower = true }
[[reads]]
command = "more"
grammar = "lines"
typed = true
lines = ["poles {poles:int}"]
words.poles = "motors.poles"
"""
)


def dialects() -> Iterator[tuple[str, str]]:
    """Every dialect in the repository, its guide and these tests: where it stands, and its text."""
    for file in sorted((ROOT / "daemon").rglob("builtin/*.toml")):
        if file.parent.parent.name == "dialects":
            yield file.name, file.read_text(encoding="utf-8")
    guide = (ROOT / "contrib" / "guide" / "dialects.md").read_text(encoding="utf-8")
    for number, block in enumerate(re.findall(r"^```toml\n(.*?)^```$", guide, re.MULTILINE | re.DOTALL)):
        yield f"guide {number}", block if number == 0 else HEAD.replace('command = "all"\n', "") + block
    yield "load", test_load.GOOD
    yield "options", OPTIONS_OF_ALL
    for number, read in enumerate(READS):
        yield f"read {number}", HEAD + read


DIALECTS = dict(dialects())


def kind_of(path: tuple[str | int, ...]) -> str:
    """What a table of the file is, by where it stands."""
    if not path:
        return "top"
    if path[-1] == "identity" or (path[0] == "reads" and len(path) == 2):
        return "command"
    if isinstance(path[-1], int):
        return str(path[-2])
    above = str(path[-2]) if len(path) > 1 else ""
    return {"words": "word", "fields": "word", "packed": "slot", "decoders": "options"}.get(above, str(path[-1]))


def keys_of(shape: dict[str, Any]) -> set[str]:
    """The keys that a table of this shape may have, in any of its forms."""
    found = set(shape.get("properties", {}))
    for part in [*shape.get("anyOf", ()), *shape.get("allOf", ())]:
        inner = published_schema()["$defs"][part["$ref"].rpartition("/")[2]] if "$ref" in part else part
        found |= keys_of(inner)
    return found


def test_the_published_schema_is_a_schema_and_the_one_that_the_forms_say() -> None:
    file = ROOT / "daemon" / "propsoff" / "dialects" / "dialect.schema.json"
    assert file.read_text(encoding="utf-8") == schema_text()
    assert published_schema() == dialect_schema()
    jsonschema.Draft202012Validator.check_schema(published_schema())
    assert published_schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_it_names_every_decoder_and_grammar() -> None:
    assert OWN_OPTIONS.keys() == DECODERS.keys()
    assert OWN_LAYOUT.keys() == GRAMMARS.keys()
    assert {key for own in OWN_OPTIONS.values() for key in own} == OPTIONS.keys()


@pytest.mark.parametrize("name", list(DIALECTS))
def test_it_takes_every_dialect(name: str) -> None:
    parse_dialect(DIALECTS[name], name)
    jsonschema.validate(tomllib.loads(DIALECTS[name]), published_schema(), cls=jsonschema.Draft202012Validator)


def test_its_keys_are_those_that_the_reader_of_the_file_asks_for(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: dict[str, set[str]] = {}
    finish = Section.finish

    def noting(section: Section) -> None:
        asked.setdefault(kind_of(section.path), set()).update(section._asked)
        finish(section)

    monkeypatch.setattr(Section, "finish", noting)
    for name, written in DIALECTS.items():
        parse_dialect(written, name)
    top, defined = published_schema(), published_schema()["$defs"]
    known = {
        "top": top,
        "usb": top["properties"]["usb"]["items"],
        "console": top["properties"]["console"],
        "command": {"anyOf": [top["properties"]["identity"], top["properties"]["reads"]["items"]]},
        "say": top["properties"]["say"],
        "rows": defined["rows"],
        "word": defined["word"],
        "lists": defined["list"],
        "joined": defined["joined"],
        "options": defined["options"],
        "each": defined["options"],
    }
    idle = {"rows": {"items", "separator"}}  # asked for in every compound value, of use in that of a document alone
    for kind, shape in known.items():
        unknown = asked[kind] - keys_of(shape) - idle.get(kind, set())
        assert unknown == set(), (kind, unknown)
        # What the dialects above make no use of cannot be compared: few of them have all options of all decoders.
        idle_here = OPTIONS.keys() | {"as"} if kind in ("options", "each", "lists", "joined") else set()
        never = keys_of(shape) - asked[kind] - idle_here
        assert never == set(), (kind, never)
    assert asked["slot"] == {"shift", "bits"}
    assert asked["forms"] == {"line", "means", "pattern"}
    assert asked["line"] == asked["form"] == {"pattern"}


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("echo = true", "eco = true"),
        ("echo = true", ""),
        ("echo = true", "echo = true\ntyping_s = 1"),
        ("vid = 0x1209", "vid = 0x12090"),
        ('fact = "channels.low"', 'fact = "channels.lo"'),
        ('suffix = "us"', 'sufix = "us"'),
        ('as = "yes-no", yes = "y"', 'as = "text", yes = "y"'),
        ('band = "video.band"', 'band = "video.bend"'),
        ('form = "{band:letter}{n:int}", ', ""),
        ('group = "ports"', 'group = "port"'),
        ('fields.baud = "baud"', 'fields.baud = "channel"'),
        ('fact = "arming.blocks"', 'fact = "craft.name"'),
        ('ends = "end {count:int}"', "ends = { patern = 'x' }"),
        ('counted = "{_:word}: {_:rest}"', 'headings = "x"'),
    ],
)
def test_what_the_reader_refuses_for_its_form_the_schema_refuses_too(old: str, new: str) -> None:
    assert test_load.GOOD.count(old) == 1
    changed = test_load.GOOD.replace(old, new)
    with pytest.raises(DialectError):
        parse_dialect(changed, "toy.toml")
    assert not VALIDATOR.is_valid(tomllib.loads(changed))


@pytest.mark.parametrize("separator", ["\\t", " ", "| "])
def test_a_separator_that_the_reader_of_the_file_refuses_the_schema_refuses_too(separator: str) -> None:
    written = HEAD + test_plain_tables.MARKED
    assert written.count('separator = "|"') == 1
    changed = written.replace('separator = "|"', f'separator = "{separator}"')
    with pytest.raises(DialectError):
        parse_dialect(changed, "toy.toml")
    assert not VALIDATOR.is_valid(tomllib.loads(changed))


def test_the_command_prints_it() -> None:
    done = CliRunner().invoke(command, ["dialect"])
    assert (done.exit_code, done.stdout) == (0, schema_text())
    assert "dialect  a dialect file (TOML), for editors" in CliRunner().invoke(command, []).stdout
