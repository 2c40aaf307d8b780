"""`propsoff checks`: what is examined, and what each check reads."""

from __future__ import annotations

import json

import click

from propsoff.cli.common import gathered, loaded_settings, screen


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
        click.echo(json.dumps(rows, indent=2))
        return 0
    _table([(owned.check.id, owned.check.title, owned.plugin) for owned in chosen])
    for owned in chosen if names else ():
        click.echo(f"\n{owned.check.id}\n  why      {owned.check.why}\n  reads    {', '.join(owned.check.reads)}")
        if owned.check.caution:
            click.echo(f"  caution  {owned.check.caution}")
        for source in owned.check.sources:
            click.echo(f"  source   {source}")
    return 0


def _table(rows: list[tuple[str, str, str]]) -> None:
    from propsoff.outputs.tables import show_table

    show_table(screen(), ("check", "what it examines", "from"), rows)
