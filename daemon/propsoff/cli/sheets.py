"""`propsoff sheets`: the build sheets that craft are compared with."""

from __future__ import annotations

import click

from propsoff.cli.common import gathered, loaded_settings, screen


@click.command()
@click.pass_context
def command(ctx: click.Context) -> int:
    """The build sheets: built in, of plug-ins, and the user's own."""
    from propsoff.outputs.tables import show_table

    tools = gathered(loaded_settings(ctx))
    show_table(
        screen(),
        ("sheet", "title", "file"),
        [(sheet.name, sheet.title, str(sheet.source)) for sheet in tools.sheets],
    )
    return 2 if tools.sheet_errors else 0
