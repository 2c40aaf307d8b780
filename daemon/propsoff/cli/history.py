"""`propsoff history`: the visits that are kept."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import complain, loaded_settings, screen
from propsoff.cli.keeping import not_empty, opened
from propsoff.cli.writing import print_json, to_stdout

if TYPE_CHECKING:
    from propsoff.store.model import KeptVisit, Wanted

_VERDICTS = ("pass", "warn", "unknown", "error", "fail", "incomplete")
_MAX_NAME = 40
"""A longer name would leave no room beside it in the list; --json and --csv have it whole."""
_AGO = re.compile(r"~[0-9]+$")


def _moment(ctx: click.Context, param: click.Parameter, value: str | None) -> datetime | None:
    """A day or a time; without a zone in that of this machine. Raises click.BadParameter."""
    if value is None:
        return None
    try:
        return datetime.fromisoformat(value).astimezone(UTC)
    except (ValueError, OverflowError):
        hint = "write it as 2026-03-31 or 2026-03-31T14:00"
        raise click.BadParameter(f"{value!r} is no day or time; {hint}", ctx, param) from None


@click.command()
@click.argument("craft", required=False, callback=not_empty)
@click.option("--since", callback=_moment, metavar="WHEN", help="Reports made from this day or time on.")
@click.option("--until", callback=_moment, metavar="WHEN", help="Reports made up to this day's start, or this time.")
@click.option("--verdict", type=click.Choice(_VERDICTS), help="Only with this verdict.")
@click.option("--bench", help="Only of this bench.")
@click.option("--sheet", help="Only compared with this build sheet.")
@click.option("--board", help="Only with this model of board.")
@click.option("--limit", type=click.IntRange(0), default=50, show_default=True, help="At most so many; 0: all.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON and nothing else.")
@click.option("--csv", "as_csv", is_flag=True, help="Print CSV (RFC 4180) and nothing else.")
@click.pass_context
def command(
    ctx: click.Context,
    craft: str | None,
    since: datetime | None,
    until: datetime | None,
    verdict: str | None,
    bench: str | None,
    sheet: str | None,
    board: str | None,
    limit: int,
    as_json: bool,
    as_csv: bool,
) -> int:
    """List visits, newest first: all, or those of CRAFT (a board's serial number, a craft's name, or a report's id).

    A visit is as old as its conversation: what was inspected from an old capture stands where that was held, and makes
    no newer visit old.
    """
    from propsoff.store.model import Wanted

    if as_json and as_csv:
        raise click.UsageError("Name one of --json and --csv.", ctx)
    most = limit + 1 if limit else None
    wanted = Wanted(craft, since, until, verdict, bench, sheet, board, most)
    with opened(loaded_settings(ctx).settings) as store:
        found = store.visits(wanted)
        newest = store.newest({visit.key for visit in found})
    more = bool(limit) and len(found) > limit
    found = found[:limit] if more else found
    if as_json:
        print_json(json.dumps([_with_old(visit, newest) for visit in found], indent=2))
    elif as_csv:
        _print_csv([_with_old(visit, newest) for visit in found])
    else:
        _show(found, newest, wanted)
    if more:
        complain(f"only the newest {limit} are shown; --limit 0 shows all")
    return 0


def old_since(visit: KeptVisit, newest: dict[str, str]) -> str | None:
    """The id of the craft's newest visit where this one is old, else None."""
    latest = newest.get(visit.key)
    return None if latest == visit.id else latest


def _with_old(visit: KeptVisit, newest: dict[str, str]) -> dict[str, object]:
    return {**visit.as_dict(), "old_since": old_since(visit, newest)}


def _print_csv(rows: Sequence[dict[str, object]]) -> None:
    """A cell that a spreadsheet would take for a formula begins with an apostrophe, and none holds a control code."""
    from propsoff.store.model import KeptVisit

    head = [*KeptVisit.__dataclass_fields__, "old_since"]
    file = io.StringIO(newline="")
    out = csv.writer(file, lineterminator="\r\n")
    out.writerow(head)
    out.writerows([_cell(row[name]) for name in head] for row in rows)
    to_stdout(file.getvalue().encode())


def _cell(value: object) -> str:
    from propsoff.outputs.csv_rows import cell
    from propsoff.outputs.escape import visible

    if value is None or isinstance(value, bool):
        return {None: "", True: "true", False: "false"}[value]
    return cell(visible(str(value)))


def _show(found: Sequence[KeptVisit], newest: dict[str, str], wanted: Wanted) -> None:
    from propsoff.inspection.finding import Verdict
    from propsoff.outputs.escape import visible
    from propsoff.outputs.tables import show_table
    from propsoff.outputs.terminal import word

    console = screen()
    if not found:
        console.print(_nothing(wanted), soft_wrap=True)
        return
    of_old = [visit.when.astimezone().date() != _made(visit).date() for visit in found]
    rows = [
        (
            f"{visit.when.astimezone():%Y-%m-%d %H:%M}",
            *((f"{_made(visit):%Y-%m-%d %H:%M}" if another else "-",) if any(of_old) else ()),
            word(Verdict(visit.verdict), console),
            visible(visit.craft or visit.board or "-", _MAX_NAME),
            visible(visit.board_serial or "-", _MAX_NAME),
            visible(visit.bench or "-", _MAX_NAME),
            _standing(visit, newest),
            visit.id,
        )
        for visit, another in zip(found, of_old, strict=True)
    ]
    head = ("when", *(("report made",) if any(of_old) else ()), "verdict", "craft", "serial number", "bench", "is")
    show_table(console, (*head, "report"), rows, paths=("report",))
    for at, text in enumerate(remarks(found, newest)):
        console.print("\n" * (at == 0) + text, soft_wrap=True, markup=False, highlight=False)


def _made(visit: KeptVisit) -> datetime:
    """When its report was made, in the zone of this machine."""
    return datetime.fromisoformat(visit.created).astimezone()


def _standing(visit: KeptVisit, newest: dict[str, str]) -> str:
    if not visit.key:
        return "-"
    if old_since(visit, newest) is None:
        return "newest"
    return "unsure" if visit.clock_back else "old"


def _nothing(wanted: Wanted) -> str:
    """Why the list is empty, and what to do."""
    filters = (wanted.since, wanted.until, wanted.verdict, wanted.bench, wanted.sheet, wanted.board)
    if wanted.craft is None and not any(filters):
        return "No visit is in history yet: `propsoff inspect` and `propsoff watch` enter what they inspect."
    if wanted.craft is not None and _AGO.search(wanted.craft):
        return "No such visit is in history. This lists all visits of a craft: leave ~ and the number out."
    if wanted.craft is not None:
        return (
            "No such visit is in history. Names are looked for whole, capitals do not matter; "
            "`propsoff history` without them lists what is there."
        )
    return "No visit in history meets all of these options; `propsoff history` without them lists what is there."


def remarks(found: Sequence[KeptVisit], newest: dict[str, str]) -> list[str]:
    """What a person should know of these visits: old ones whose newer one is not among them, serial numbers that two
    share, clocks that jumped."""
    from propsoff.craft.model import name_of_craft
    from propsoff.outputs.escape import visible

    listed = {visit.id for visit in found}
    old = {visit.key: visit for visit in reversed(found) if (old_since(visit, newest) or visit.id) not in listed}
    said = [
        f"old: {visible(name_of_craft(one.craft, one.board, one.board_serial))} was inspected again, report "
        f"{newest[key]}, which is not in this list"
        for key, one in old.items()
    ]
    said += said_of_shared(shared_serials(found))
    return said + said_of_clocks(found)


def said_of_clocks(visits: Sequence[KeptVisit]) -> list[str]:
    """One sentence for each visit that was made after one of a later date."""
    return [
        f"clock: report {visit.id} says {visit.created}, but history had a visit of this craft with a later date by "
        "then: one of the two dates is wrong, and which visit is the newer cannot be told by them. Set the clock of "
        "the bench, and inspect the craft again"
        for visit in visits
        if visit.clock_back
    ]


def said_of_shared(shared: dict[str, list[str]]) -> list[str]:
    """One sentence for each of `shared_serials`."""
    from propsoff.outputs.escape import visible

    return [
        f"one serial number, several craft: {visible(serial)} is stated by {', '.join(map(visible, names))}; their "
        "visits cannot be told apart by it. Look at the boards"
        for serial, names in shared.items()
    ]


def shared_serials(found: Sequence[KeptVisit]) -> dict[str, list[str]]:
    """Serial numbers that more than one craft states, with what these are called.

    Boards of two models are two craft. Of one model they are when their names take turns: a craft that was only
    renamed does not get its old name back.
    """
    by_serial: dict[str, list[KeptVisit]] = {}
    for visit in found:
        if visit.key.startswith("serial:"):
            by_serial.setdefault(visit.key, []).append(visit)
    shared = {}
    for visits in by_serial.values():
        boards = list(dict.fromkeys(visit.board for visit in visits if visit.board))
        crafts = [visit.craft for visit in visits if visit.craft]
        turns = [name for at, name in enumerate(crafts) if at == 0 or name != crafts[at - 1]]
        if len(boards) > 1:
            shared[visits[0].board_serial or ""] = boards
        elif len(turns) > len(set(turns)):
            shared[visits[0].board_serial or ""] = list(dict.fromkeys(crafts))
    return shared
