"""`propsoff wait`: the next report on a place of a bench that runs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from propsoff.cli.benches import asked_bench, bench_options, capture_of
from propsoff.cli.common import complain, exit_code, gathered, loaded_settings
from propsoff.cli.main import EXIT_UNKNOWN, EXIT_USAGE
from propsoff.cli.writing import Writing, document_options, print_json

if TYPE_CHECKING:
    from propsoff.bench.scene import PlaceNow
    from propsoff.client.blocking import BenchClient
    from propsoff.inspection.report import Report

_STATES = {"shut": "what is plugged in stays shut", "reading": "it is still being read"}


@click.command()
@click.argument("place", metavar="PLACE")
@click.option(
    "--timeout", "timeout_s", type=click.FloatRange(min=0), default=60.0, metavar="S", help="Seconds to wait; 60."
)
@click.option("--after", metavar="ID", help="The report that is known already: wait for a newer one.")
@click.option("--json", "as_json", is_flag=True, help="Print the report as JSON and nothing else.")
@click.option("--strict", is_flag=True, help="A warning counts as a failure.")
@bench_options
@document_options
@click.pass_context
def command(
    ctx: click.Context,
    place: str,
    timeout_s: float,
    after: str | None,
    as_json: bool,
    strict: bool,
    url: str | None,
    token_file: Path | None,
) -> int:
    """Wait for the report on PLACE of a running bench: its id, its name, or the device path that is plugged in.

    Without --after it is the report of what is plugged in now, or of what is next. Exit codes are those of `inspect`; 3
    also when no report came in time.
    """
    from propsoff.outputs.terminal import show_report

    loaded = loaded_settings(ctx)
    writing = Writing.of(ctx, gathered(loaded), several=False, as_json=as_json)
    with asked_bench(loaded.settings, url, token_file) as bench:
        where = bench.find_place(place)
        report = bench.wait(where.place, after=after, timeout_s=timeout_s)
        if report is None:
            complain(_none_came(bench.place(where.place), timeout_s))
            return EXIT_UNKNOWN
        if as_json:
            print_json(report.to_json())
        else:
            show_report(report, writing.screen())
        written = _written(writing, bench, report, place, strict=strict)
    return exit_code([report], strict=strict) or (0 if written else EXIT_USAGE)


def _none_came(place: PlaceNow, timeout_s: float) -> str:
    why = _STATES.get(place.state, "no newer one was made" if place.plugged else "nothing is plugged in there")
    note = f": {place.note}" if place.note else ""
    return f"{place.name}: no report came within {timeout_s:g} s; {why}{note}"


def _written(writing: Writing, bench: BenchClient, report: Report, place: str, *, strict: bool) -> bool:
    """Write the documents that were asked for; False when one could not be."""
    from propsoff.outputs.document import Told

    named = [(report.id, Told(place, report, load=lambda: capture_of(bench, report)))]
    return writing.write(lambda: named, count=1, strict=strict, kept=lambda _: False)
