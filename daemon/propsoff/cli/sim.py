"""`propsoff sim`: simulated boards on pseudo-terminals."""

from __future__ import annotations

import asyncio
from pathlib import Path

import click


@click.command()
@click.argument("names", nargs=-1, metavar="NAME...")
@click.option(
    "--pace", type=click.IntRange(50, 10_000_000), metavar="BAUD", help="Send at this rate, 10 bits a character."
)
@click.option("--fault", "faults", multiple=True, metavar="KIND[:ARG]", help="A fault of the line; may be repeated.")
@click.option("--seed", type=int, default=0, show_default=True, help="Seed of what is random.")
@click.option(
    "--folder",
    type=click.Path(file_okay=False, path_type=Path),
    help="The folder of links; a temporary one if not given.",
)
@click.option("--list", "listed", is_flag=True, help="List the boards, strangers and faults.")
def command(
    names: tuple[str, ...], pace: int | None, faults: tuple[str, ...], seed: int, folder: Path | None, listed: bool
) -> int:
    """Run simulated boards: one line `NAME PATH` each, until the end of input or Ctrl-C."""
    from propsoff_sim.run import listing, run

    if listed:
        click.echo(listing(), nl=False)
        return 0
    return asyncio.run(run(names, pace, faults, seed, folder))
