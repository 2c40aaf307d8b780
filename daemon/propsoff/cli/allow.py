"""`propsoff allow`: the consent of the operator."""

from __future__ import annotations

import click

from propsoff.cli.consenting import SCOPES, consent


@click.command()
@click.argument("port", required=False)
@click.option(
    "--scope",
    type=click.Choice(SCOPES),
    help="board: this one, by its serial number. kind: all with its vid:pid and product text. socket: whatever is "
    "plugged in there. The default is the first that the port has of socket, board, kind.",
)
@click.option("--note", default="", help="Why, for whoever reads the list later.")
@click.pass_context
def command(ctx: click.Context, port: str | None, scope: str | None, note: str) -> int:
    """Let a port be opened from now on; without PORT, list what was allowed and denied."""
    return consent(ctx, "allow", port, scope, note)
