"""`propsoff sheets`: the build sheets that craft are compared with."""

from __future__ import annotations

import json

import click

from propsoff.cli.common import gathered, loaded_settings, screen, user_place
from propsoff.cli.writing import print_json


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_context
def command(ctx: click.Context, as_json: bool) -> int:
    """The build sheets: built in, of plug-ins, and the user's own."""
    from propsoff.library import user_folder
    from propsoff.outputs.tables import show_table

    tools = gathered(loaded_settings(ctx))
    if as_json:
        rows = [
            {
                "name": sheet.name,
                "title": sheet.title,
                "version": sheet.version,
                "abstract": sheet.abstract,
                "file": str(sheet.source),
            }
            for sheet in tools.sheets
        ]
        print_json(json.dumps(rows, indent=2))
    else:
        cells = [
            (sheet.name, sheet.title + (" (only to be built on)" if sheet.abstract else ""), str(sheet.source))
            for sheet in tools.sheets
        ]
        show_table(screen(), ("sheet", "title", "file"), cells, paths=("file",))
        click.echo(f"Your own: {user_place(user_folder() / 'sheets')}")
    return 2 if tools.sheet_errors else 0
