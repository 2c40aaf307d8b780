"""`propsoff allow`: the consent of the operator."""

from __future__ import annotations

from pathlib import Path

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
@click.option("--folder", type=click.Path(path_type=Path), help="Also look for PORT in this folder of links.")
@click.option("--note", default="", help="Why, for whoever reads the list later.")
@click.pass_context
def command(ctx: click.Context, port: str | None, scope: str | None, folder: Path | None, note: str) -> int:
    """Let whatever is plugged in at PORT be opened from now on; without PORT, list what was allowed and denied.

    PORT is a path, or a socket, as `propsoff ports` shows them. It must be plugged in, so that its identity is known.
    """
    return consent(ctx, "allow", port, scope, note, folder)
