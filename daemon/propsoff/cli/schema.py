"""`propsoff schema`: the published forms."""

from __future__ import annotations

import click

FORMS = {
    "report": "the report of one inspection (JSON)",
    "sheet": "a build sheet (TOML), for editors",
    "dialect": "a dialect file (TOML), for editors",
}
_HOMES = {"report": "propsoff.inspection", "sheet": "propsoff.sheets", "dialect": "propsoff.dialects"}


@click.command()
@click.argument("form", type=click.Choice(sorted(FORMS)), required=False)
def command(form: str | None) -> int:
    """Print the JSON Schema (2020-12) of a form; without FORM, list the forms."""
    from importlib.resources import files

    if form is None:
        for name, what in FORMS.items():
            click.echo(f"{name}  {what}")
        click.echo("Print one with: propsoff schema report")
        return 0
    click.echo((files(_HOMES[form]) / f"{form}.schema.json").read_text(encoding="utf-8"), nl=False)
    return 0
