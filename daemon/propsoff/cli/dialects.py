"""`propsoff dialects`: which consoles can be read, and where each description comes from."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import complain, gathered, loaded_settings, screen, user_place
from propsoff.cli.writing import print_json

if TYPE_CHECKING:
    from propsoff.dialects.model import Dialect


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_context
def command(ctx: click.Context, as_json: bool) -> int:
    """The dialects: built in, of plug-ins, and the user's own."""
    from propsoff.library import user_folder
    from propsoff.outputs.tables import show_table

    tools = gathered(loaded_settings(ctx))
    if as_json:
        print_json(json.dumps([_row(dialect) for dialect in tools.dialects], indent=2))
    else:
        rows = [
            (dialect.id, dialect.title, dialect.version, _hints(dialect) or "none", dialect.file)
            for dialect in tools.dialects
        ]
        show_table(screen(), ("dialect", "console", "version", "opened by itself for", "file"), rows, paths=("file",))
        click.echo(f"Your own: {user_place(user_folder() / 'dialects')}")
    for note in tools.notes:
        complain(note)
    return 2 if tools.dialect_errors else 0


def _hints(dialect: Dialect) -> str:
    return ", ".join(f"{hint.vid:04x}:{hint.pid:04x} {hint.product or '(no product)'}" for hint in dialect.hints)


def _row(dialect: Dialect) -> dict[str, object]:
    hints = [{"vid": f"{hint.vid:04x}", "pid": f"{hint.pid:04x}", "product": hint.product} for hint in dialect.hints]
    return {
        "id": dialect.id,
        "title": dialect.title,
        "version": dialect.version,
        "usb": hints,
        "file": str(dialect.file),
    }
