"""The published form of a dialect file, for editors: JSON Schema 2020-12.

The file beside this module is what is published; a test holds that it equals what `schema_forms` says. To renew it::

    python -m propsoff.dialects.schema > daemon/propsoff/dialects/dialect.schema.json
"""

from __future__ import annotations

import json
import sys
from importlib import resources
from typing import Any, cast

from propsoff.craft.names import facts, row_facts, row_types
from propsoff.dialects import schema_forms as forms
from propsoff.dialects.load import FORMAT
from propsoff.dialects.schema_forms import Schema

SCHEMA_ID = f"urn:propsoff:dialect:{FORMAT}"
_DRAFT = "https://json-schema.org/draft/2020-12/schema"
_VALUE = {"type": ["string", "number", "boolean", "array"]}


def dialect_schema() -> dict[str, Any]:
    """The schema of a dialect. It judges the form alone: what contradicts itself, only `propsoff dialects` tells."""
    keys: forms.Keys = {
        "format": {"const": FORMAT},
        "id": {"type": "string", "pattern": r"^[a-z0-9][a-z0-9-]*$", "description": "the dialect's name"},
        "title": forms.text("what people call the firmware", least=0),
        "version": forms.text("the revision of this file", least=0),
        "usb": forms.listed(_usb(), "which ports may be opened without asking"),
        "console": forms.table(forms.CONSOLE, ["line_end", "echo", "prompt"]),
        "identity": _command({"known_by": forms.ref("template", "what one line of the reply must match")}),
        "reads": forms.listed(_command({}), "the commands that list settings"),
        "decoders": forms.named(forms.ref("options"), "decoders with names of their own"),
        "say": _say(),
        "since": forms.named(forms.text(least=0), "from which version on a capability exists"),
    }
    form = forms.table(keys, ["format", "id", "title", "console", "identity"])
    return {"$schema": _DRAFT, "$id": SCHEMA_ID, "title": "Dialect", **form, "$defs": _definitions()}


def _definitions() -> Schema:
    plain = [name for name, spec in facts().items() if not spec.repeated]
    lists = [name for name in plain if facts()[name].many]
    means = {"line": forms.ref("template"), "means": forms.named(_VALUE, "facts that hold when it is written so")}
    made = {
        "template": forms.TEMPLATE,
        "form": {"anyOf": [forms.ref("template"), forms.table(means, ["line", "means"])]},
        "decoder": forms.decoder(),
        "options": forms.decoder_options({}),
        "fact": forms.one_of(plain),
        "field": forms.field("fact"),
        "word": forms.word("fact", "field", {"also": forms.texts("further names of the same word")}),
        "rows": {"anyOf": [forms.ref(f"rows of {group}") for group in row_types()]},
        "list": forms.gathered(lists),
        "joined": forms.joined("fact"),
    }
    made["part"] = forms.table(
        {**forms.MEANING, **forms.LAYOUT}, ["grammar"], forms.narrowed("grammar", forms.OWN_LAYOUT, forms.MEANING)
    )
    for group in row_types():
        fact, field, cell = (f"{what} of {group}" for what in ("fact", "field", "cell"))
        made |= {fact: forms.one_of(row_facts(group)), field: forms.field(fact), cell: forms.word(fact, field, {})}
        made[f"rows of {group}"] = forms.rows(group, cell)
    return made


def _usb() -> Schema:
    code = forms.whole(0, 0xFFFF)
    return forms.table({"vid": code, "pid": code, "product": forms.text("a pattern", least=0)}, ["vid", "pid"])


def _command(more: forms.Keys) -> Schema:
    """A command: what every one has, and what its grammar has."""
    common = {**forms.QUERY, **more}
    rules = forms.narrowed("grammar", forms.OWN_LAYOUT, common)
    return forms.table({**common, **forms.LAYOUT}, ["command", "grammar", *more], rules)


def _say() -> Schema:
    keys = {
        "set": forms.text("how a word is set", least=0),
        "set_row": forms.text("how a cell of a row is set", least=0),
        "closing": forms.texts("the lines that store and restart"),
        "longest": forms.whole(0, 1 << 31, "the longest line that the console reads, in bytes"),
    }
    return forms.table(keys)


def schema_text() -> str:
    """The schema as the text of its file."""
    return json.dumps(dialect_schema(), indent=2, ensure_ascii=False) + "\n"


def published_schema() -> dict[str, Any]:
    """The schema file that ships with this version."""
    file = resources.files("propsoff.dialects") / "dialect.schema.json"
    return cast("dict[str, Any]", json.loads(file.read_text("utf-8")))


if __name__ == "__main__":
    sys.stdout.write(schema_text())
