"""`propsoff watch`: the daemon."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import gathered, loaded_settings, screen
from propsoff.cli.main import EXIT_UNKNOWN

if TYPE_CHECKING:
    from propsoff.bench.events import Watcher


@click.command()
@click.option("--folder", type=click.Path(path_type=Path), help="Watch a folder of links; each link is a port.")
@click.option(
    "--port", "named", multiple=True, metavar="PATH", help="Watch a device path or URL; naming it is consent."
)
@click.option("--out", type=click.Path(file_okay=False, path_type=Path), help="Folder for reports and captures.")
@click.option("--listen", type=float, metavar="S", help="Seconds of listening before the first byte is sent.")
@click.option(
    "--source",
    type=click.Choice(["auto", "udev", "listing", "none"]),
    help="How ports are found; none: only named ones.",
)
@click.pass_context
def command(
    ctx: click.Context,
    folder: Path | None,
    named: tuple[str, ...],
    out: Path | None,
    listen: float | None,
    source: str | None,
) -> int:
    """Watch the ports: each board that is plugged in is inspected; Ctrl-C ends it. Propellers off first."""
    import structlog

    from propsoff.bench.setup import run_bench
    from propsoff.cli.rows import Rows

    loaded = loaded_settings(
        ctx, ports__folder=folder, ports__source=source, output__folder=out, timings__listen_s=listen
    )
    tools = gathered(loaded)
    watcher: Watcher = Rows(screen())
    click.echo(f"Watching. Propellers off. Reports go to {loaded.settings.output.folder}. Ctrl-C ends it.")
    lost = asyncio.run(run_bench(tools, watcher=watcher, log=structlog.get_logger(), named=named))
    click.echo("Stopped.")
    return EXIT_UNKNOWN if lost else 0
