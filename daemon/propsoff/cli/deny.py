"""`propsoff deny`: the refusal of the operator, which beats every consent."""

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
    """Never open a port, whatever else allows it; without PORT, list what was allowed and denied."""
    return consent(ctx, "deny", port, scope, note)
