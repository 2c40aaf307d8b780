"""`propsoff revoke`: taking back a consent or a refusal."""

from __future__ import annotations

import click

from propsoff.cli.common import loaded_settings


@click.command()
@click.argument("consent_id", metavar="ID")
@click.pass_context
def command(ctx: click.Context, consent_id: str) -> int:
    """Take back what was allowed or denied; `propsoff allow` lists the ids."""
    from propsoff.bench.setup import consent_store

    gone = consent_store(loaded_settings(ctx).settings).revoke(consent_id)
    click.echo(f"taken back: {gone}")
    return 0
