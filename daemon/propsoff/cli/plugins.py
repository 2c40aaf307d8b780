"""`propsoff plugins`: what is loaded, from where, and what failed."""

from __future__ import annotations

import click

from propsoff.cli.common import gathered, loaded_settings, screen


@click.command()
@click.pass_context
def command(ctx: click.Context) -> int:
    """The plug-ins: what each implements, and what is wrong with those that failed."""
    from propsoff.outputs.tables import show_table

    tools = gathered(loaded_settings(ctx))
    faults = {failure.plugin: failure.problem for failure in tools.failures}
    rows = [
        (
            info.name,
            info.version,
            info.origin,
            ", ".join(info.hooks) or "-",
            info.problem or faults.get(info.name, "loaded"),
        )
        for info in tools.infos
    ]
    show_table(screen(), ("plug-in", "version", "from", "hooks", "state"), rows)
    return 2 if faults else 0
