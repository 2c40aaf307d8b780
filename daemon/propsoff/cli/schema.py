"""`propsoff schema`: the published forms."""

from __future__ import annotations

import click


@click.command()
@click.argument("form", type=click.Choice(["report"]))
def command(form: str) -> int:
    """Print a JSON Schema (2020-12): of the report."""
    from importlib.resources import files

    click.echo((files("propsoff.inspection") / f"{form}.schema.json").read_text(encoding="utf-8"), nl=False)
    return 0
