"""`propsoff dialects`: which consoles can be read, and where each description comes from."""

from __future__ import annotations

import click

from propsoff.cli.common import complain, gathered, loaded_settings, screen


@click.command()
@click.pass_context
def command(ctx: click.Context) -> int:
    """The dialects: built in, of plug-ins, and the user's own."""
    from propsoff.outputs.tables import show_table

    tools = gathered(loaded_settings(ctx))
    rows = []
    for dialect in tools.dialects:
        hints = ", ".join(f"{hint.vid:04x}:{hint.pid:04x} {hint.product or '(no product)'}" for hint in dialect.hints)
        rows.append((dialect.id, dialect.title, dialect.version, hints or "none", dialect.file))
    show_table(screen(), ("dialect", "console", "version", "opened by itself for", "file"), rows)
    for note in tools.notes:
        complain(note)
    return 2 if tools.dialect_errors else 0
