"""`propsoff checks`: what is examined, and what each check reads."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import gathered, loaded_settings, screen
from propsoff.cli.main import EXIT_USAGE
from propsoff.cli.writing import print_json

if TYPE_CHECKING:
    from propsoff.plugins import OwnedCheck


@click.command()
@click.argument("names", nargs=-1, metavar="[CHECK]...")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_context
def command(ctx: click.Context, names: tuple[str, ...], as_json: bool) -> int:
    """The checks; name one for why it matters, what it reads and where its facts come from."""
    tools = gathered(loaded_settings(ctx))
    known = {owned.check.id: owned for owned in tools.checks}
    if unknown := [name for name in names if name not in known]:
        from propsoff.tomlfile import nearest

        like = nearest(unknown[0], known)
        raise click.UsageError(f"There is no check {unknown[0]!r}." + (f" Did you mean {like}?" if like else ""))
    chosen = [known[name] for name in names] if names else list(known.values())
    if as_json:
        rows = [
            {
                "id": owned.check.id,
                "title": owned.check.title,
                "why": owned.check.why,
                "reads": owned.check.reads,
                "sources": owned.check.sources,
                "caution": owned.check.caution,
                "plugin": owned.plugin,
            }
            for owned in chosen
        ]
        print_json(json.dumps(rows, indent=2))
    else:
        _show(chosen, in_full=bool(names))
    return EXIT_USAGE if tools.failures else 0


def _show(chosen: Sequence[OwnedCheck], *, in_full: bool) -> None:
    from propsoff.outputs.tables import show_pairs, show_table

    console = screen()
    rows = [(owned.check.id, owned.check.title, owned.plugin) for owned in chosen]
    show_table(console, ("check", "what it examines", "from"), rows)
    for owned in chosen if in_full else ():
        check = owned.check
        console.print(f"\n{check.id}")
        pairs = [("why", check.why), ("reads", ", ".join(check.reads))]
        pairs += [("caution", check.caution)] if check.caution else []
        show_pairs(console, [*pairs, *(("source", source) for source in check.sources)], left=2)
