"""`propsoff import`: exported JSON lines into history."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from propsoff.cli.common import complain, loaded_settings, many
from propsoff.cli.keeping import opened
from propsoff.cli.main import EXIT_UNKNOWN
from propsoff.exceptions import TargetError


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.pass_context
def command(ctx: click.Context, file: Path) -> int:
    """Enter what `propsoff export` wrote to FILE (- for standard input). Nothing that history has is overwritten."""
    from propsoff.store.exchange import imported

    settings = loaded_settings(ctx).settings
    try:
        if str(file) == "-":
            with opened(settings) as store:
                counts = imported(store, sys.stdin.buffer, complain)
        else:
            with file.open("rb") as lines, opened(settings) as store:
                counts = imported(store, lines, complain)
    except OSError as error:
        raise TargetError(f"{file}: {error.strerror or error}") from None
    click.echo(
        f"entered: {many(counts.reports, 'report')} and {many(counts.captures, 'capture')}; "
        f"there already: {many(counts.known, 'report')} and {many(counts.known_captures, 'capture')}; "
        f"could not be taken: {many(counts.bad, 'part')}"
    )
    return EXIT_UNKNOWN if counts.bad else 0
