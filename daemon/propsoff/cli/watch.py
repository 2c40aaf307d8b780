"""`propsoff watch`: the daemon."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import gathered, loaded_settings, make_output_folder, must_be_folder, screen
from propsoff.cli.keeping import enabled
from propsoff.cli.keeping import no_history as no_history_option
from propsoff.cli.main import EXIT_UNKNOWN
from propsoff.exceptions import TargetError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from propsoff.bench.events import Watcher
    from propsoff.library import Toolbox


@click.command()
@click.option("--folder", type=click.Path(path_type=Path), help="Watch a folder of links; each link is a port.")
@click.option(
    "--port", "named", multiple=True, metavar="PATH", help="Watch a device path or URL; naming it is consent."
)
@click.option("--out", type=click.Path(path_type=Path), help="Folder for reports and captures.")
@click.option("--listen", type=float, metavar="S", help="Seconds of listening before the first byte is sent.")
@click.option(
    "--source",
    type=click.Choice(["auto", "udev", "listing", "none"]),
    help="How ports are found; none: only named ones.",
)
@click.option("--page/--no-page", default=None, help="Serve the page, and the interface for rigs, on this machine.")
@click.option("--ask", is_flag=True, help="Ask here what the build sheets want to know of each craft.")
@no_history_option
@click.pass_context
def command(
    ctx: click.Context,
    folder: Path | None,
    named: tuple[str, ...],
    out: Path | None,
    listen: float | None,
    source: str | None,
    page: bool | None,
    ask: bool,
    no_history: bool,
) -> int:
    """Watch the ports: each board that is plugged in is inspected; Ctrl-C ends it. Propellers off first."""
    loaded = loaded_settings(
        ctx,
        ports__folder=folder,
        ports__source=source,
        output__folder=out,
        timings__listen_s=listen,
        page__enabled=page,
        store__enabled=enabled(no_history),
    )
    settings = loaded.settings
    must_be_folder(settings.ports.folder)
    tools = gathered(loaded)
    if settings.ports.source == "none" and not (named or settings.ports.folder or _brings_ports(tools)):
        raise TargetError("with --source none there is no port to watch; give --port PATH or --folder FOLDER")
    make_output_folder(settings.output.folder)
    click.echo(f"Watching. Propellers off. Reports go to {settings.output.folder}. Ctrl-C ends it.")
    lost = _watch(tools, named, ask=ask)
    click.echo("Stopped.")
    return EXIT_UNKNOWN if lost else 0


def _watch(tools: Toolbox, named: Sequence[str], *, ask: bool) -> int:
    import structlog

    from propsoff.bench.running import run_bench
    from propsoff.cli.rows import Rows
    from propsoff.cli.served import leaving, served

    log = structlog.get_logger()
    rows = Rows(screen())
    watcher: Watcher = rows
    serve = served(tools.settings, log)
    if ask:
        from propsoff.cli.watch_asking import AtTerminal

        asking = AtTerminal.of(rows)
        watcher, serve = asking, [*serve, asking.serve]
    leaves = leaving(tools.settings, log)
    return asyncio.run(run_bench(tools, watcher=watcher, log=log, named=named, serve=serve, leaving=leaves))


def _brings_ports(tools: Toolbox) -> bool:
    """Whether a plug-in has a source of ports of its own."""
    return bool(list(tools.plugins.calls("propsoff_port_sources")))
