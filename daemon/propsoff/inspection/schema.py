"""The published form of a report: JSON Schema 2020-12.

The file beside this module is what is published; a test holds that it equals what the model says. To renew it::

    python -m propsoff.inspection.schema > daemon/propsoff/inspection/report.schema.json
"""

from __future__ import annotations

import json
import sys
from importlib import resources
from typing import Any, cast

from propsoff.inspection.report import SCHEMA_ID, Report

_DRAFT = "https://json-schema.org/draft/2020-12/schema"


def report_schema() -> dict[str, Any]:
    """The schema of a report, generated from the model. A report always has every key, so every key is required."""
    schema = Report.model_json_schema(mode="serialization")
    for form in (schema, *schema["$defs"].values()):
        if "properties" in form:
            form["required"] = list(form["properties"])
    return {"$schema": _DRAFT, "$id": SCHEMA_ID, **schema}


def schema_text() -> str:
    """The schema as the text of its file."""
    return json.dumps(report_schema(), indent=2, ensure_ascii=False) + "\n"


def published_schema() -> dict[str, Any]:
    """The schema file that ships with this version."""
    file = resources.files("propsoff.inspection") / "report.schema.json"
    return cast("dict[str, Any]", json.loads(file.read_text("utf-8")))


if __name__ == "__main__":
    sys.stdout.write(schema_text())
