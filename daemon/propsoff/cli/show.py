"""`propsoff show`: a report that was made before, as it was shown then, and as documents to hand on."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import complain, exit_code, gathered, loaded_settings
from propsoff.cli.keeping import opened, place_among_visits
from propsoff.cli.looked_up import is_file, must_be_as_in_history, report_in_history, written_report
from propsoff.cli.main import EXIT_USAGE
from propsoff.cli.writing import Writing, document_options, print_json
from propsoff.exceptions import CaptureError, StoreError

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report
    from propsoff.settings import Settings


@click.command()
@click.argument("name")
@click.option("--json", "as_json", is_flag=True, help="Print JSON and nothing else.")
@click.option("--strict", is_flag=True, help="A warning counts as a failure.")
@document_options
@click.pass_context
def command(ctx: click.Context, name: str, as_json: bool, strict: bool) -> int:
    """Show a report once more; nothing is inspected. An old one is marked as old.

    NAME is a report file (.json), a report's id in history or its beginning, a board's serial number, or a craft's
    name: its newest visit, or with ~1 behind it (NAME~1) the visit before.

    The exit code is that of the inspection.
    """
    from propsoff.outputs.document import Told
    from propsoff.outputs.terminal import show_report

    loaded = loaded_settings(ctx)
    tools, file = gathered(loaded), Path(name) if is_file(name) else None
    writing = Writing.of(ctx, tools, several=False, inputs=[] if file is None else [file], as_json=as_json)
    report = _report(name, file, loaded.settings)
    before, after = place_among_visits(loaded.settings, report.id)
    if as_json:
        print_json(report.to_json())
    else:
        screen = writing.screen()
        if after is not None:
            screen.print(f"OLD: this craft was inspected again, report {after}")
        show_report(report, screen, file=None if file is None else report.capture.file)
    told = Told(name, report, load=lambda: _capture(report, file, loaded.settings), replaces=before, replaced_by=after)
    stem = Path(report.capture.file or report.id).stem
    written = writing.write(lambda: [(stem, told)], count=1, strict=strict, kept=lambda path: False)
    return exit_code([report], strict=strict) or (0 if written else EXIT_USAGE)


def _report(name: str, file: Path | None, settings: Settings) -> Report:
    """Raises TargetError, StoreError."""
    if file is not None:
        report = written_report(file)
        must_be_as_in_history(file, report, settings)
        return report
    with opened(settings) as store:
        found = report_in_history(name, store)
    for text in found.remarks:
        complain(text)
    return found.report


def _capture(report: Report, file: Path | None, settings: Settings) -> Capture | None:
    """The conversation of a report: beside its file, else in history; None where it is not at hand."""
    from propsoff.console.capture import load_capture, parse_cast, pasted
    from propsoff.outputs.files import file_name_only

    if file is not None and report.capture.file:
        try:
            beside = load_capture(file.with_name(file_name_only(report.capture.file)))
        except CaptureError:
            pass
        else:
            if beside.sha256 == report.capture.sha256:
                return beside
    if not settings.store.enabled:
        return None
    try:
        with opened(settings) as store:
            data = store.capture(report.capture.sha256)
        if data is None:
            return None
        return pasted(data) if report.capture.origin == "pasted" else parse_cast(data, report.id)
    except (StoreError, CaptureError):
        return None
