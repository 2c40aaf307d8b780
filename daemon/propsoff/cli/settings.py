"""`propsoff settings`: the effective values, and where each came from."""

from __future__ import annotations

import json
import re
from typing import Any

import click

from propsoff.cli.common import loaded_settings, screen, user_place
from propsoff.cli.writing import print_json

_PASSWORD = re.compile(r"(://[^/@:]*):[^/@]*@")


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_context
def command(ctx: click.Context, as_json: bool) -> int:
    """The effective settings, where each came from and what it is for."""
    from propsoff.outputs.tables import show_table
    from propsoff.settings import Settings, known_keys
    from propsoff.settings_sources import settings_files

    loaded = loaded_settings(ctx)
    values = loaded.settings.model_dump(mode="json")
    rows: list[tuple[str, Any, str, str]] = []
    for key in known_keys():
        section, _, leaf = key.partition(".")
        kind: Any = Settings.model_fields[section].annotation
        value, doc = _without_password(values[section][leaf]), kind.model_fields[leaf].description or ""
        rows.append((key, value, loaded.origins[key], doc))
    if as_json:
        print_json(json.dumps({key: {"value": value, "from": origin} for key, value, origin, _ in rows}, indent=2))
    else:
        shown = [(key, json.dumps(value), origin, doc) for key, value, origin, doc in rows]
        console = screen()
        show_table(console, ("setting", "value", "from", "what it is"), shown, paths=("value", "from"))
        console.print("Files, of which a later one beats an earlier one:")
        for whose, path in zip(("the system's", "your own", "this folder's"), settings_files(), strict=True):
            console.print(f"  {whose:<13}  {user_place(path)}", soft_wrap=True)
    return 0


def _without_password(value: Any) -> Any:
    """A value as it may be shown: what is listed here ends up in terminals, logs and mails."""
    return _PASSWORD.sub(r"\1:***@", value) if isinstance(value, str) else value
