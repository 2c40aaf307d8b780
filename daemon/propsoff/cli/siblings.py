"""`propsoff siblings`: craft of one kind side by side."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, replace
from typing import TYPE_CHECKING, Any

import click

from propsoff.cli.common import complain, gathered, loaded_settings, screen
from propsoff.cli.keeping import anew_option, looked_at_again, not_empty, opened, what_is_here
from propsoff.cli.writing import print_json
from propsoff.exceptions import StoreError, TargetError

if TYPE_CHECKING:
    from rich.console import Console

    from propsoff.bench.again import Again
    from propsoff.inspection.report import Report
    from propsoff.library import Toolbox
    from propsoff.records.siblings import Fault, Odd, Sibling
    from propsoff.store.model import KeptVisit
    from propsoff.store.store import Store


@click.command()
@click.argument("model", required=False, callback=not_empty)
@click.option(
    "--recompute/--no-recompute",
    default=True,
    show_default=True,
    help="Look for today's faults in the kept conversations, or take what was found on the day of each visit.",
)
@anew_option
@click.option("--jobs", type=click.IntRange(1, 256), default=os.cpu_count() or 1, show_default=True, help="Processes.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON and nothing else.")
@click.pass_context
def command(ctx: click.Context, model: str | None, recompute: bool, anew: bool, jobs: int, as_json: bool) -> int:
    """Compare all craft of one MODEL (a build sheet or a board) by their newest visits; without MODEL each kind.

    Shows in which setting one stands against the others, and for each fault that one has which others have it, too:
    also those that left the bench before the check was there.
    """
    from propsoff.records.siblings import faults_of, odd_settings

    loaded = loaded_settings(ctx)
    tools = gathered(loaded) if recompute else None
    with opened(loaded.settings) as store:
        families = _families(store, model)
        if not families:
            raise TargetError(_nobody(model))
        found = [(name, *_siblings(store, visits, tools, anew, jobs)) for name, visits in families.items()]
    if as_json:
        shown = [
            {**_as_dict(name, ones, odd_settings(ones), faults_of(ones)), "looked_at_again": looked_at}
            for name, ones, looked_at, _ in found
        ]
        print_json(json.dumps(shown, indent=2))
        return 0
    for name, ones, looked_at, as_kept in found:
        _show(name, ones, odd_settings(ones), faults_of(ones), screen())
        if tools is not None:
            screen().print(looked_at_again(looked_at, as_kept))
    return 0


_ANY_CRAFT = "house-default"
"""The build sheet of whatever has none: those under it are no family."""
_NAMED = 4
"""So many craft are named that do not have a fault; the others are counted."""


def _nobody(model: str | None) -> str:
    hint = "inspect them first; what is there: propsoff history"
    if model is None:
        return f"history has no two craft under one build sheet, nor with one kind of board; {hint}"
    return f"{model}: history has no two craft under a build sheet or with a board of that name; {hint}"


def _families(store: Store, model: str | None) -> Mapping[str, Sequence[KeptVisit]]:
    """Craft by what they have in common: those of the model, or each build sheet's and each board's two and more."""
    from propsoff.store.model import Wanted

    if model is not None:
        for found in (store.latest(Wanted(sheet=model)), store.latest(Wanted(board=model))):
            if len(found) > 1:
                return {model: found}
        return {}
    by_sheet: dict[str, list[KeptVisit]] = {}
    by_board: dict[str, list[KeptVisit]] = {}
    for visit in store.latest(Wanted()):
        if visit.sheet and visit.sheet != _ANY_CRAFT:
            by_sheet.setdefault(visit.sheet, []).append(visit)
        if visit.board:
            by_board.setdefault(visit.board, []).append(visit)
    families: dict[str, list[KeptVisit]] = {}
    for name, visits in (*by_sheet.items(), *by_board.items()):
        if len(visits) > 1 and visits not in families.values():  # the same craft need be compared once only
            families.setdefault(name, visits)
    return families


def _siblings(
    store: Store, visits: Sequence[KeptVisit], tools: Toolbox | None, anew: bool, jobs: int
) -> tuple[tuple[Sibling, ...], int, int]:
    """Each craft with its findings, how many were looked at again, and how many need not be.

    One whose report cannot be read is said, and left out. Without `tools` none is looked at.
    """
    from propsoff.records.absent import judged_without, why_not_read

    labels, here = _labels(visits), None if tools is None else what_is_here(tools)
    without: tuple[str, ...]
    ones, looked_at, as_kept = [], 0, 0
    for again in _of_that_day(store, visits) if tools is None else _of_today(store, visits, tools, anew, jobs):
        visit, report, left, without = again.visit, again.new or again.old, again.why_not, ()
        if here is not None and again.old is not None and again.new is not None and again.looked_at:
            left = why_not_read(again.old, again.new, here)
            report = again.old if left else again.new
            without = () if left else judged_without(again.old, here)
        looked_at, as_kept = looked_at + again.looked_at, as_kept + again.as_kept
        label = labels[visit.id]
        if report is None or (tools is not None and left):
            complain(f"{label}: not looked at again: {left}" if report else f"{label}: left out: {left}")
        if report is not None:
            ones.append(replace(_sibling(label, visit, report, left), without=without))
    return tuple(ones), looked_at, as_kept


def _of_today(store: Store, visits: Sequence[KeptVisit], tools: Toolbox, anew: bool, jobs: int) -> Iterator[Again]:
    from propsoff.bench.again import inspected_again
    from propsoff.cli.pools import pools_of

    return inspected_again(store, visits, tools, pools_of(jobs), width=2 * jobs, anew=anew)


def _of_that_day(store: Store, visits: Sequence[KeptVisit]) -> Iterator[Again]:
    from propsoff.bench.again import Again

    by_id = {visit.id: visit for visit in visits}
    for name, report in store.reports(by_id):
        if isinstance(report, StoreError):
            yield Again(by_id[name], None, None, str(report))
        else:
            yield Again(by_id[name], report, None, "as found that day")


def _sibling(label: str, visit: KeptVisit, report: Report, left: str) -> Sibling:
    from propsoff.inspection.causes import root_causes
    from propsoff.inspection.finding import Outcome
    from propsoff.records.named import named
    from propsoff.records.siblings import Sibling

    # After a conversation that broke off every check is unsure for one and the same reason, which is no fault.
    nothing = {Outcome.PASS, Outcome.SKIPPED} | (set() if report.complete else {Outcome.UNKNOWN})
    told = [one for one in root_causes(report.findings) if one.outcome not in nothing]
    faults = {one.name: (one.outcome.value, one.summary) for one in told}
    found = frozenset(one.name for one in report.findings if one.outcome not in nothing)
    asked = frozenset(one.check for one in report.findings)
    unsure = frozenset(one.check for one in report.findings if one.outcome in (Outcome.UNKNOWN, Outcome.ERROR))
    ended = "" if report.complete else report.ended
    return Sibling(label, visit.id, visit.created, named(report), faults, left, found, asked, unsure, ended)


def _labels(visits: Sequence[KeptVisit]) -> dict[str, str]:
    """What each craft is called: by its own name, by the serial number besides where two have one name."""
    names = [visit.craft or visit.board_serial or visit.id for visit in visits]
    return {
        visit.id: name if names.count(name) == 1 else f"{name} ({visit.board_serial or visit.id})"
        for visit, name in zip(visits, names, strict=True)
    }


def _as_dict(name: str, ones: Sequence[Sibling], odd: Sequence[Odd], faults: Sequence[Fault]) -> dict[str, Any]:
    return {
        "model": name,
        "craft": [
            {
                "label": one.label,
                "report": one.report,
                "created": one.created,
                "old_findings": one.left or None,
                "judged_without": one.without,
            }
            for one in ones
        ],
        "odd": [{**asdict(one), "odd_ones": one.odd_ones} for one in odd],
        "faults": [{**asdict(one), "shared": one.shared} for one in faults],
    }


def _show(name: str, ones: Sequence[Sibling], odd: Sequence[Odd], faults: Sequence[Fault], console: Console) -> None:
    from propsoff.outputs.escape import visible
    from propsoff.outputs.tables import show_table
    from propsoff.records.absent import said_of

    console.print(f"\n{visible(name)}: {len(ones)} craft: {visible(', '.join(one.label for one in ones), 600)}")
    for one in ones:
        if one.left:
            console.print(f"  {visible(one.label)}: findings are old: {visible(one.left)}")
        if one.without:
            console.print(f"  {visible(one.label)}: {visible(said_of(one.without), 600)}")
        if one.ended:
            console.print(f"  {visible(one.label)}: {visible(one.ended, 600)}")
    if odd:
        console.print("\nsettings that are not the same on all:")
        settings = [(one.name, one.usual or "no value leads", _others(one)) for one in odd]
        show_table(console, ("setting", "usual", "others"), settings)
    else:
        console.print("  every setting that was read is the same on all")
    if not faults:
        console.print("  none of them has a fault that is known")
        return
    console.print("\nfaults:")
    rows = [
        (each.name, ", ".join(each.has), _some(each.has_not), _some(each.unknown), each.summary)
        for each in reversed(faults)
    ]
    show_table(console, ("finding", "on", "not on", "not known of", "what it says"), rows)
    for fault in faults:
        if fault.shared:
            on = visible(", ".join(fault.has), 600)
            console.print(f"shared by {len(fault.has)} of {len(ones)}: {fault.name}: {on}")


def _some(labels: Sequence[str]) -> str:
    more = len(labels) - _NAMED
    return ", ".join(labels[:_NAMED]) + (f" and {more} more" if more > 0 else "") or "-"


def _others(one: Odd) -> str:
    said = [f"{value}: {', '.join(labels)}" for value, labels in one.values if value != one.usual]
    if one.unreadable:
        said.append(f"not readable: {', '.join(one.unreadable)}")
    return "; ".join(said)
