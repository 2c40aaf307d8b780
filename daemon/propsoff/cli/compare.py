"""`propsoff compare`: two inspections side by side."""

from __future__ import annotations

import json
from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from propsoff.cli.common import complain, gathered, loaded_settings, many, screen
from propsoff.cli.keeping import opened
from propsoff.cli.looked_up import is_file, report_in_history, report_of_file
from propsoff.cli.main import EXIT_FAILED, EXIT_UNKNOWN
from propsoff.cli.writing import print_json
from propsoff.exceptions import TargetError

_SUCH_AS = "NAME~1 (the visit before) and NAME"

if TYPE_CHECKING:
    from rich.console import Console

    from propsoff.cli.looked_up import Named
    from propsoff.records.compare import Changed, Comparison, Difference
    from propsoff.settings_sources import Loaded


@click.command()
@click.argument("a")
@click.argument("b")
@click.option("--json", "as_json", is_flag=True, help="Print JSON and nothing else.")
@click.pass_context
def command(ctx: click.Context, a: str, b: str, as_json: bool) -> int:
    """Compare A with B: which settings differ, which only one has, which findings came and went.

    Each is a report file (.json), a saved capture (inspected now), the id of a report in history or its beginning, a
    board's serial number, or a craft's name: its newest visit, or with ~1 behind it (NAME~1) the visit before.

    Exit code 0: the same. 1: something differs. 3: nothing is known to differ, but something could not be read.
    """
    from propsoff.records.compare import compare

    left, right = _both(loaded_settings(ctx), a, b)
    found = compare(left.report, right.report)
    if as_json:
        print_json(json.dumps(_as_dict(left, right, found), indent=2))
    else:
        _show(left, right, found, screen())
    return EXIT_FAILED if found.different else 0 if found.same else EXIT_UNKNOWN


def _both(loaded: Loaded, a: str, b: str) -> tuple[Named, Named]:
    """Both reports; history is opened only where one of them is looked for there, or may be there otherwise."""
    found: list[Named] = []
    tools = gathered(loaded) if is_file(a) or is_file(b) else None
    with ExitStack() as stack:
        store = None
        for name in (a, b):
            if tools is not None and is_file(name):
                found.append(report_of_file(Path(name), tools))
                continue
            store = store or stack.enter_context(opened(loaded.settings))
            found.append(report_in_history(name, store))
    left, right = found
    for text in dict.fromkeys((*left.remarks, *right.remarks)):
        complain(text)
    if left.report.id == right.report.id and not (_is_capture(a) or _is_capture(b)):
        if left.report != right.report:
            raise TargetError(
                f"{a} and {b} both say that they are report {left.report.id}, but do not say the same: "
                "one of them was changed after it was written"
            )
        raise TargetError(
            f"{a} and {b} are one and the same report, {left.report.id}: there is nothing to compare. Name two visits, "
            f"such as {_SUCH_AS}; see propsoff history"
        )
    return left, right


def _is_capture(name: str) -> bool:
    return is_file(name) and Path(name).suffix.lower() != ".json"


def _as_dict(left: Named, right: Named, found: Comparison) -> dict[str, Any]:
    sides = {
        side: {
            "label": one.label,
            "report": one.report.id,
            "craft": one.report.craft,
            "board_serial": one.report.board_serial,
            "verdict": one.report.verdict.value,
            "created": one.report.created,
            "old_since": one.old_since,
        }
        for side, one in (("a", left), ("b", right))
    }
    return {**sides, "same": found.same, **asdict(found)}


def _show(left: Named, right: Named, found: Comparison, console: Console) -> None:
    from propsoff.outputs.escape import visible
    from propsoff.outputs.tables import show_table
    from propsoff.outputs.terminal import headline, word

    for side, one in (("A", left), ("B", right)):
        console.print(
            f"{side}  ", word(one.report.verdict, console), f"  {headline(one.report)}  {one.report.id}", sep=""
        )
        if one.old_since:
            console.print(f"   old: this craft was inspected again, report {visible(one.old_since)}")
        if not one.report.complete:
            console.print(f"   {visible(one.report.ended, 600)}")
    parts: Sequence[tuple[str, Sequence[Difference]]] = (
        ("who they are", found.identity),
        ("readings of the moment, not settings", found.readings),
        ("not read on one of them at least: perhaps the same, perhaps not", found.unreadable),
        ("only A states", found.only_a),
        ("only B states", found.only_b),
        ("differs", found.differs),
    )
    for title, differences in parts:
        if differences:
            console.print(f"\n{title}:")
            show_table(console, ("setting", "A", "B"), [_row(one) for one in differences])
    if found.findings:
        console.print("\nfindings that came, went or changed:")
        show_table(console, ("finding", "A", "B", "what it says"), _findings(found.findings))
    if found.findings_unknown:
        console.print("\nnot known on one of them at least: its check did not run, or could not tell:")
        show_table(console, ("finding", "A", "B", "what it says"), _findings(found.findings_unknown))
    console.print(f"\n{_summary(found)}")


def _findings(changed: Sequence[Changed]) -> list[tuple[str, str, str, str]]:
    return [(one.name, one.a or "-", one.b or "-", one.summary) for one in changed]


def _row(one: Difference) -> tuple[str, str, str]:
    from propsoff.records.siblings import text_of

    a, b = ("-" if value is None else text_of(value, one.unit) for value in (one.a, one.b))
    return one.name, a, b


def _summary(found: Comparison) -> str:
    differ = len(found.differs) + len(found.only_a) + len(found.only_b)
    said = [f"{found.equal} settings are the same", f"{differ} differ{'s' if differ == 1 else ''}"]
    if found.unreadable:
        said.append(f"{len(found.unreadable)} could not be read")
    if found.findings:
        said.append(f"{many(len(found.findings), 'finding')} changed")
    if found.findings_unknown:
        said.append(f"{many(len(found.findings_unknown), 'finding')} not known on both")
    return ", ".join(said)
