"""`propsoff prune`: old visits leave history."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import complain, loaded_settings, screen
from propsoff.cli.keeping import opened

if TYPE_CHECKING:
    from collections.abc import Iterable

    from propsoff.store.model import KeptVisit

_SHOWN = 20
_MAX_NAME = 40


def _days(ctx: click.Context, param: click.Parameter, value: str | None) -> float | None:
    """Raises click.BadParameter for what is no number of days."""
    if value is None:
        return None
    try:
        days = float(value)
    except ValueError:
        days = math.nan
    if not (math.isfinite(days) and days >= 0):
        raise click.BadParameter(f"{value!r} is no number of days; write it as 365", ctx, param)
    return days


@click.command()
@click.option("--older-than", callback=_days, metavar="DAYS", help="Visits older than so many days.")
@click.option("--keep", type=click.IntRange(1), metavar="N", help="Visits beyond the newest N of their craft.")
@click.option("--bench", help="Only of this bench.")
@click.option("--all", "whole", is_flag=True, help="All visits of the bench, also the newest of a craft.")
@click.option("--dry-run", is_flag=True, help="Only say what would go; so it is without --yes.")
@click.option("--yes", is_flag=True, help="Take them out for good.")
@click.pass_context
def command(
    ctx: click.Context,
    older_than: float | None,
    keep: int | None,
    bench: str | None,
    whole: bool,
    dry_run: bool,
    yes: bool,
) -> int:
    """Take visits out of history, with captures that no other visit needs. Files of reports stay where they are.

    A visit is as old as its conversation; where nobody knows when that was held, as its report.
    With both --older-than and --keep, those that meet both. The newest visit of a craft stays whatever its age;
    only --bench BENCH --all takes out what a whole bench left, such as the demo.
    """
    from propsoff.store.model import Wanted

    if whole and (bench is None or older_than is not None or keep is not None):
        raise click.UsageError("--all goes with --bench BENCH, and with neither --older-than nor --keep.", ctx)
    if older_than is None and keep is None and not whole:
        raise click.UsageError("Say which: --older-than DAYS, --keep N, or both; or --bench BENCH --all.", ctx)
    try:
        until = None if older_than is None else datetime.now(UTC) - timedelta(days=older_than)
    except OverflowError:
        raise click.BadParameter("that is before all time", ctx, param_hint="--older-than") from None
    with opened(loaded_settings(ctx).settings) as store:
        visits = store.visits(Wanted(bench=bench))
        going = list(visits) if whole else to_go(visits, until, keep or 1)
        _show(going)
        if (unsure := sum(visit.clock_back for visit in visits)) and not whole:
            complain(
                f"made while the clock of a bench was wrong, so that their age cannot be told, and kept: {unsure}; "
                "propsoff history names them"
            )
        if not going or dry_run or not yes:
            click.echo(f"{_count(going)} would go." + ("" if dry_run or not going else " With --yes they do."))
            return 0
        click.echo(f"{_count(going[: store.remove(visit.id for visit in going)])} went.")
    return 0


def to_go(newest_first: Iterable[KeptVisit], until: datetime | None, keep: int) -> list[KeptVisit]:
    """Those held before `until` (any, when None) that are not among the newest `keep` of their craft.

    What belongs to no craft that is known goes by its age alone. What was made while the clock of a bench was wrong
    stays: by its date nobody can tell that it is old.
    """
    seen: dict[str, int] = {}
    going = []
    for visit in newest_first:
        seen[visit.key] = seen.get(visit.key, 0) + 1
        old = until is None or visit.when < until
        beyond = seen[visit.key] > keep if visit.key else until is not None
        if old and beyond and not visit.clock_back:
            going.append(visit)
    return going


def _count(visits: list[KeptVisit]) -> str:
    return f"{len(visits)} visit{'' if len(visits) == 1 else 's'}"


def _show(going: list[KeptVisit]) -> None:
    from propsoff.inspection.report import instant
    from propsoff.outputs.escape import visible
    from propsoff.outputs.tables import show_table

    if not going:
        return
    console = screen()
    shown = going[:_SHOWN]
    rows = [(instant(one.when.timestamp()), visible(one.craft or one.board or "-", _MAX_NAME), one.id) for one in shown]
    show_table(console, ("when", "craft", "report"), rows, paths=("report",))
    if more := len(going) - len(rows):
        console.print(f"and {more} more")
