"""`propsoff plugins`: what is loaded, from where, and what failed."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import complain, gathered, loaded_settings, screen
from propsoff.cli.writing import print_json

if TYPE_CHECKING:
    from propsoff.documents import OwnedDocument
    from propsoff.library import Toolbox


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_context
def command(ctx: click.Context, as_json: bool) -> int:
    """The plug-ins: what each implements, and what is wrong with those that failed."""
    from propsoff.outputs.tables import show_table

    tools = gathered(loaded_settings(ctx))
    brought = _documents(tools)
    faults = {failure.plugin: failure.problem for failure in tools.failures}
    rows = [
        {
            "name": info.name,
            "version": info.version,
            "from": info.origin,
            "hooks": info.hooks,
            "documents": [kind.name for kind in brought if kind.plugin == info.name],
            "problem": info.problem or faults.get(info.name),
        }
        for info in tools.infos
    ]
    if as_json:
        print_json(json.dumps(rows, indent=2))
    else:
        cells = [
            (info.name, info.version, info.origin, ", ".join(info.hooks) or "-", str(row["problem"] or "loaded"))
            for info, row in zip(tools.infos, rows, strict=True)
        ]
        show_table(screen(), ("plug-in", "version", "from", "hooks", "state"), cells)
        click.echo()
        kinds = [(kind.name, f"FILE{kind.suffix}", kind.plugin) for kind in brought]
        show_table(screen(), ("--output KIND", "usual name", "from plug-in"), kinds)
    return 2 if faults else 0


def _documents(tools: Toolbox) -> list[OwnedDocument]:
    """The kinds of document that there are; what is wrong with others is among the toolbox's failures afterwards."""
    from propsoff.documents import gather_documents

    before = len(tools.plugins.bench_failures)
    kinds = gather_documents(tools.plugins, tools.settings.plugins.deadline_s)
    for failure in tools.plugins.bench_failures[before:]:
        complain(str(failure))
    return list(kinds.values())
