"""`propsoff settings`: the effective values, and where each came from."""

from __future__ import annotations

import json
from typing import Any

import click

from propsoff.cli.common import loaded_settings, screen


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_context
def command(ctx: click.Context, as_json: bool) -> int:
    """The effective settings, where each came from and what it is for."""
    from propsoff.outputs.tables import show_table
    from propsoff.settings import Settings, known_keys

    loaded = loaded_settings(ctx)
    values = loaded.settings.model_dump(mode="json")
    rows: list[tuple[str, Any, str, str]] = []
    for key in known_keys():
        section, _, leaf = key.partition(".")
        kind: Any = Settings.model_fields[section].annotation
        rows.append((key, values[section][leaf], loaded.origins[key], kind.model_fields[leaf].description or ""))
    if as_json:
        click.echo(json.dumps({key: {"value": value, "from": origin} for key, value, origin, _ in rows}, indent=2))
    else:
        shown = [(key, json.dumps(value), origin, doc) for key, value, origin, doc in rows]
        show_table(screen(), ("setting", "value", "from", "what it is"), shown)
    return 0
