"""`propsoff batch`: every capture in a folder tree."""

from __future__ import annotations

import json
import os
import sys
import time
from collections.abc import Callable
from concurrent.futures import Executor
from pathlib import Path
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import (
    complain,
    exit_code_of,
    gathered,
    loaded_settings,
    make_output_folder,
    must_be_folder,
    screen,
)
from propsoff.cli.main import EXIT_USAGE
from propsoff.exceptions import TargetError

if TYPE_CHECKING:
    from propsoff.bench.batch import Row

_SHOWN = 40


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), required=True, help="Folder for the reports, outside FOLDER.")
@click.option(
    "--notes", type=click.Path(path_type=Path), help="Hand notes for all, in place of NAME.notes.toml beside NAME.cast."
)
@click.option("--jobs", type=click.IntRange(1, 256), default=os.cpu_count() or 1, show_default=True, help="Processes.")
@click.option("--strict", is_flag=True, help="A warning counts as a failure.")
@click.option("--sync/--no-sync", default=False, show_default=True, help="Force each report to the disk.")
@click.pass_context
def command(
    ctx: click.Context, folder: Path, out: Path, notes: Path | None, jobs: int, strict: bool, sync: bool
) -> int:
    """Inspect every capture (.cast, .txt) in FOLDER; one report each, and summary.json."""
    from propsoff import __version__
    from propsoff.bench.batch import Job, find_captures, run_batch
    from propsoff.safe_write import replace_file

    loaded = loaded_settings(ctx)
    tools = gathered(loaded)  # says now, once, what every worker would trip over
    if notes is not None:
        tools.notes_of(notes)
    folder, out = _places(folder, out)
    paths = find_captures(folder)
    if not paths:
        raise TargetError(f"{folder}: no capture (.cast or .txt) is in there")
    make_output_folder(out)
    job = Job(str(folder), str(out), loaded.settings.model_dump_json(), sync, str(notes.absolute()) if notes else None)
    started = time.time()
    rows: list[Row] = []
    with _progress(len(paths)) as advance:
        for row in run_batch(_pool(jobs, len(paths)), job, paths, width=2 * jobs):
            rows.append(row)
            advance()
    summary = {
        "tool": {"name": "propsoff", "version": __version__},
        "folder": str(folder),
        "captures": len(rows),
        "seconds": round(time.time() - started, 3),
        "verdicts": _counted(rows),
        "rows": [row.as_dict() for row in rows],
    }
    _show(rows)
    code = exit_code_of((row.verdict for row in rows), strict=strict)
    try:
        replace_file(out / "summary.json", (json.dumps(summary, indent=1) + "\n").encode())
    except OSError as error:
        complain(f"{out / 'summary.json'}: could not be written: {error.strerror or error}")
        return code or EXIT_USAGE
    return code


def _places(folder: Path, out: Path) -> tuple[Path, Path]:
    """Both folders as they are on the disk. Raises TargetError where they cannot be what they should."""
    other = f"is no folder; for one capture: propsoff inspect {folder}"
    must_be_folder(folder, absent="there is no such folder", other=other)
    folder, out = folder.resolve(), out.resolve()
    if out == folder or folder in out.parents:
        hint = f"name a folder beside it, such as {folder.parent / (folder.name + '-reports')}"
        raise TargetError(f"--out {out}: lies in the tree that is read, which stays as it is; {hint}")
    return folder, out


def _pool(jobs: int, captures: int) -> Callable[[], Executor]:
    from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
    from multiprocessing import get_context

    from propsoff.bench.batch import CHUNK

    if jobs == 1 or captures <= CHUNK:
        return lambda: ThreadPoolExecutor(1)  # starting processes would cost more than it saves
    return lambda: ProcessPoolExecutor(jobs, mp_context=get_context("spawn"))


class _progress:  # noqa: N801  reads as a phrase where it is used
    """A progress bar on standard error, only where that is a terminal."""

    def __init__(self, total: int) -> None:
        from rich.console import Console
        from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

        columns = (TextColumn("inspecting"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
        self._bar = Progress(*columns, console=Console(stderr=True), transient=True, disable=not sys.stderr.isatty())
        self._task = self._bar.add_task("captures", total=total)

    def __enter__(self) -> Callable[[], None]:
        self._bar.start()
        return lambda: self._bar.advance(self._task)

    def __exit__(self, *_: object) -> None:
        self._bar.stop()


def _counted(rows: list[Row]) -> dict[str, int]:
    from propsoff.bench.batch import counted

    return counted(rows)


def _show(rows: list[Row]) -> None:
    """The table: what needs a person last, what passed only counted."""
    from propsoff.inspection.finding import Verdict
    from propsoff.outputs.shared_causes import Cause, shared_causes, show_shared
    from propsoff.outputs.tables import show_table
    from propsoff.outputs.terminal import word

    console = screen()
    order = [verdict.value for verdict in Verdict]
    wanting = sorted((row for row in rows if row.verdict != "pass"), key=lambda row: order.index(row.verdict))
    if wanting:
        shown = wanting[-_SHOWN:]
        if len(shown) < len(wanting):
            console.print(f"{len(wanting) - len(shown)} more are in summary.json")
        show_table(
            console,
            ("verdict", "capture", "craft", "what to look at first"),
            [(word(Verdict(row.verdict), console), row.file, row.craft or "-", row.first) for row in shown],
            paths=("capture",),
        )
    show_shared(
        shared_causes((row.file, [Cause(name, summary) for name, summary in row.causes]) for row in rows), console
    )
    counts = ", ".join(f"{number} {verdict}" for verdict, number in _counted(rows).items())
    console.print(f"{len(rows)} captures: {counts}")
