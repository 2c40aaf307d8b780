"""`propsoff recheck`: today's checks and sheets over every kept capture."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import complain, gathered, loaded_settings, screen
from propsoff.cli.keeping import anew_option, into_history, looked_at_again, not_empty, opened, what_is_here
from propsoff.cli.main import EXIT_FAILED, EXIT_UNKNOWN, EXIT_USAGE
from propsoff.cli.writing import print_json
from propsoff.exceptions import TargetError

if TYPE_CHECKING:
    from rich.console import Console

    from propsoff.inspection.report import Report
    from propsoff.library import Toolbox
    from propsoff.records.rejudged import Rejudged
    from propsoff.store.model import Wanted


@click.command()
@click.argument("craft", required=False, callback=not_empty)
@click.option("--sheet", help="Only visits compared with this build sheet.")
@click.option("--board", help="Only this model of board.")
@click.option("--all-visits", is_flag=True, help="Old visits too, not only the newest of each craft.")
@click.option("--write", is_flag=True, help="Enter new reports of what changes into history, as further visits.")
@anew_option
@click.option("--jobs", type=click.IntRange(1, 256), default=os.cpu_count() or 1, show_default=True, help="Processes.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON and nothing else.")
@click.pass_context
def command(
    ctx: click.Context,
    craft: str | None,
    sheet: str | None,
    board: str | None,
    all_visits: bool,
    write: bool,
    anew: bool,
    jobs: int,
    as_json: bool,
) -> int:
    """Inspect kept conversations again with today's checks and sheets, and show what changes.

    Writes nothing without --write; no report that is there is ever changed. A new report takes the place of its craft's
    newest visit: of old visits none is entered.

    Exit code 0: nothing changes. 1: something does. 2: a new report could not be entered, or no visit is there
    to look at. 3: nothing changes, but something could not be looked at again.
    """
    from propsoff.store.model import Wanted

    loaded = loaded_settings(ctx)
    tools = gathered(loaded)  # says now, once, what every worker would trip over
    asked = Wanted(craft=craft, sheet=sheet, board=board)
    found, reports = _again(tools, asked, all_visits, write, anew, jobs)
    changed = [one for one in found if one.changed]
    if as_json:
        print_json(json.dumps([{**asdict(one), "changed": one.changed} for one in found], indent=2))
    else:
        _show(found, changed, screen())
    if write and changed:
        alone = [(one, None) for one, _ in reports]  # history has the captures already
        if not into_history(loaded.settings, alone, _as_told(reports)):
            return EXIT_USAGE
        left = len(changed) - len(reports)
        complain(
            f"new in history: {len(reports)}" + (f"; not entered, since they are of old visits: {left}" if left else "")
        )
    lost = any(one.after is None for one in found)
    return EXIT_FAILED if changed else EXIT_UNKNOWN if lost else 0


def _again(
    tools: Toolbox, wanted: Wanted, all_visits: bool, write: bool, anew: bool, jobs: int
) -> tuple[list[Rejudged], list[tuple[Report, str | None]]]:
    """(what became of each visit, the new reports with their rules where they replace a craft's newest visit).

    With `write`, of those that come out the same word for word it is noted by which rules.
    """
    from propsoff.bench.again import inspected_again
    from propsoff.cli.pools import pools_of
    from propsoff.craft.model import name_of_craft
    from propsoff.records.absent import judged_without, why_not_read
    from propsoff.records.rejudged import not_rejudged, rejudged, word_for_word

    found: list[Rejudged] = []
    reports: list[tuple[Report, str | None]] = []
    same: dict[str, str] = {}
    here = what_is_here(tools)
    with opened(tools.settings) as store:
        visits = store.visits(wanted) if all_visits else store.latest(wanted)
        if not visits:  # a name that is mistyped must not look like one of which nothing changes
            raise TargetError("no such visit is in history, so nothing was looked at again; see propsoff history")
        newest = store.newest({visit.key for visit in visits})
        for again in inspected_again(store, visits, tools, pools_of(jobs), width=2 * jobs, anew=anew):
            visit = again.visit
            if again.old is None or again.new is None:
                label = name_of_craft(visit.craft, visit.board, visit.board_serial) if visit.key else visit.id
                found.append(not_rejudged(visit.id, label, visit.verdict, again.why_not))
                continue
            if why := why_not_read(again.old, again.new, here):
                found.append(not_rejudged(visit.id, again.old.called, visit.verdict, why))
                continue
            without = judged_without(again.old, here) if again.looked_at else ()
            one = rejudged(again.old, again.new, looked_at=again.looked_at, without=without)
            found.append(one)
            if one.changed and newest.get(visit.key, visit.id) == visit.id:
                reports.append((again.new, again.rules))
            elif write and again.looked_at and again.rules is not None and word_for_word(again.old, again.new):
                same[visit.id] = again.rules
        if same:
            store.note_rules(same)
    return found, reports


def _as_told(reports: Sequence[tuple[Report, str | None]]) -> Callable[[Report], str | None]:
    rules = {report.id: text for report, text in reports}
    return lambda report: rules.get(report.id)


def _show(found: Sequence[Rejudged], changed: Sequence[Rejudged], console: Console) -> None:
    from propsoff.outputs.escape import visible
    from propsoff.outputs.tables import show_table
    from propsoff.records.absent import said_of
    from propsoff.records.rejudged import by_finding

    for one in changed:
        verdict = one.before if one.before == one.after else f"{one.before}, now {one.after}"
        console.print(f"{visible(one.label)}  {verdict}  {one.report}")
        if one.without:
            console.print(f"  {visible(said_of(one.without), 600)}")
        for each in one.findings:
            what = f"{each.name}: {each.a or 'not found'}, now {each.b or 'not found'}: {each.summary}"
            console.print(f"  {visible(what, 600)}")
    lost = [one for one in found if one.after is None]
    for one in lost:
        console.print(f"{visible(one.label)}  {one.report}  cannot be looked at again: {visible(one.why_not, 600)}")
    counts = by_finding(changed)
    if counts:
        rows = [(name, str(came), str(went), str(other)) for name, (came, went, other) in counts.items()]
        show_table(console, ("finding", "came", "went", "other outcome"), rows)
    count = f"{len(found)} visit{'s' * (len(found) != 1)}"
    change = f"{len(changed)} change{'s' * (len(changed) == 1)}"
    console.print(f"{count}: {change}, {len(lost)} cannot be looked at again")
    looked_at = sum(one.looked_at_again for one in found)
    console.print(looked_at_again(looked_at, len(found) - len(lost) - looked_at))
