"""What the commands that inspect, and those that look back, share of history."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from propsoff.cli.common import complain

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from propsoff.inspection.report import Report
    from propsoff.library import Toolbox
    from propsoff.records.absent import Here
    from propsoff.settings import Settings
    from propsoff.store.packing import Prepared
    from propsoff.store.store import Store

no_history = click.option("--no-history", is_flag=True, help="Leave history as it is (as with store.enabled=false).")


anew_option = click.option(
    "--anew", is_flag=True, help="Look again also at what was inspected by exactly today's checks, sheets and dialects."
)


def not_empty(ctx: click.Context, param: click.Parameter, value: str | None) -> str | None:
    """A name as it was given, or None. Raises click.BadParameter for an empty one: it names nobody."""
    if value is not None and not value.strip():
        raise click.BadParameter("it is empty; leave it out to mean all", ctx, param)
    return value


def looked_at_again(looked_at: int, as_kept: int) -> str:
    """One line: how many kept conversations were inspected again, and how many need not be."""
    return f"looked at again: {looked_at}; need not be, as they were inspected by the same rules: {as_kept}"


def enabled(no_history: bool) -> bool | None:
    """The setting `store.enabled` as this command line has it; None: as set elsewhere."""
    return False if no_history else None


def into_history(
    settings: Settings, items: Iterable[tuple[Report, bytes | None]], rules: Callable[[Report], str | None]
) -> bool:
    """Enter reports with the captures that they were read from; what history cannot take waits on disk, and is said.

    `rules` gives the fingerprint of what each was inspected by. False when a report could neither be entered nor wait:
    that is said too.
    """
    if not settings.store.enabled:
        return True
    from propsoff.store.output import with_capture

    enter = entering(settings)
    return enter([with_capture(report, data, rules(report)) for report, data in items])


def entering(settings: Settings) -> Callable[[Sequence[Prepared]], bool]:
    """What enters several reports at a time, as `into_history` does."""
    from propsoff.store.output import HistoryOutput

    store = settings.store
    output = HistoryOutput(store.url, store.waiting, lock_s=store.lock_s, say=complain)

    def enter(several: Sequence[Prepared]) -> bool:
        try:
            output.enter(several)
        except OSError as error:
            complain(f"{store.waiting}: a report cannot wait for history there: {error.strerror or error}")
            return False
        return True

    return enter


def place_among_visits(settings: Settings, report: str) -> tuple[str | None, str | None]:
    """The report that one in history replaces, and the newest of its craft where it is an old one itself.

    One that was made while the clock of a bench was wrong is not called old by its date. History that cannot be read
    is said, and knows neither.
    """
    from propsoff.exceptions import StoreError
    from propsoff.store.model import Wanted

    if not settings.store.enabled:
        return None, None
    try:
        with opened(settings) as store:
            found = store.visits(Wanted(craft=report, limit=1))
            if not found or found[0].id != report:
                return None, None
            newest = store.newest({found[0].key}).get(found[0].key)
            old = newest not in (None, report) and not found[0].clock_back
            return found[0].replaces, newest if old else None
    except StoreError as error:
        complain(str(error))
        return None, None


def opened(settings: Settings) -> Store:
    """The history of these settings, all that waited for it entered. Raises StoreError."""
    from propsoff.store.store import open_store
    from propsoff.store.waiting import enter_waiting

    store = open_store(settings.store.url, lock_s=settings.store.lock_s)
    try:
        enter_waiting(settings.store.waiting, store, complain)
    except BaseException:  # also when it is stopped
        store.close()
        raise
    return store


def what_is_here(tools: Toolbox) -> Here:
    """What an inspection can be made with today."""
    from propsoff.records.absent import Here

    return Here(
        frozenset(one.id for one in tools.dialects),
        frozenset(one.name for one in tools.sheets),
        frozenset(owned.check.id for owned in (*tools.checks, *tools.left_out)),
    )
