"""`propsoff plugins`: what is loaded, from where, and what failed."""

from __future__ import annotations

import json

import click

from propsoff.cli.common import gathered, loaded_settings, screen


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_context
def command(ctx: click.Context, as_json: bool) -> int:
    """The plug-ins: what each implements, and what is wrong with those that failed."""
    from propsoff.outputs.tables import show_table

    tools = gathered(loaded_settings(ctx))
    faults = {failure.plugin: failure.problem for failure in tools.failures}
    rows = [
        {
            "name": info.name,
            "version": info.version,
            "from": info.origin,
            "hooks": info.hooks,
            "problem": info.problem or faults.get(info.name),
        }
        for info in tools.infos
    ]
    if as_json:
        click.echo(json.dumps(rows, indent=2))
    else:
        cells = [
            (info.name, info.version, info.origin, ", ".join(info.hooks) or "-", str(row["problem"] or "loaded"))
            for info, row in zip(tools.infos, rows, strict=True)
        ]
        show_table(screen(), ("plug-in", "version", "from", "hooks", "state"), cells)
    return 2 if faults else 0
