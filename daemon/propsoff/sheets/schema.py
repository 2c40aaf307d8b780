"""The published form of a build sheet, for editors: JSON Schema 2020-12.

The file beside this module is what is published; a test holds that it equals what the parser's own tables say. To renew
it::

    python -m propsoff.sheets.schema > daemon/propsoff/sheets/sheet.schema.json
"""

from __future__ import annotations

import json
import sys
from importlib import resources
from typing import Any, cast

from propsoff.sheets.expectation import definitions
from propsoff.sheets.grammar import FORMAT, sheet_shape

SCHEMA_ID = f"urn:propsoff:sheet:{FORMAT}"
_DRAFT = "https://json-schema.org/draft/2020-12/schema"


def sheet_schema() -> dict[str, Any]:
    """The schema of a sheet. It judges the form alone: what contradicts itself, only `propsoff sheet check` tells."""
    form = sheet_shape().schema()
    assert isinstance(form, dict)
    return {"$schema": _DRAFT, "$id": SCHEMA_ID, "title": "Build sheet", **form, "$defs": definitions()}


def schema_text() -> str:
    """The schema as the text of its file."""
    return json.dumps(sheet_schema(), indent=2, ensure_ascii=False) + "\n"


def published_schema() -> dict[str, Any]:
    """The schema file that ships with this version."""
    file = resources.files("propsoff.sheets") / "sheet.schema.json"
    return cast("dict[str, Any]", json.loads(file.read_text("utf-8")))


if __name__ == "__main__":
    sys.stdout.write(schema_text())
