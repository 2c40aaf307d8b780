"""`propsoff batch`: every capture in a folder tree."""

from __future__ import annotations

import json
import os
import sys
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
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
)
from propsoff.cli.keeping import enabled, entering
from propsoff.cli.keeping import no_history as no_history_option
from propsoff.cli.main import EXIT_USAGE
from propsoff.cli.pools import pool_of
from propsoff.cli.writing import Writing, document_options
from propsoff.exceptions import TargetError

if TYPE_CHECKING:
    from rich.console import Console

    from propsoff.bench.batch import Row
    from propsoff.settings import Settings
    from propsoff.store.packing import Prepared

_SHOWN = 40
_AT_ONCE = 200
"""Reports that are entered into history at a time."""


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), required=True, help="Folder for the reports, outside FOLDER.")
@click.option(
    "--notes", type=click.Path(path_type=Path), help="Hand notes for all, in place of NAME.notes.toml beside NAME.cast."
)
@click.option("--jobs", type=click.IntRange(1, 256), default=os.cpu_count() or 1, show_default=True, help="Processes.")
@click.option("--strict", is_flag=True, help="A warning counts as a failure.")
@click.option("--sync/--no-sync", default=False, show_default=True, help="Force each report to the disk.")
@document_options
@no_history_option
@click.pass_context
def command(
    ctx: click.Context,
    folder: Path,
    out: Path,
    notes: Path | None,
    jobs: int,
    strict: bool,
    sync: bool,
    no_history: bool,
) -> int:
    """Inspect every capture (.cast, .txt) in FOLDER; one report each, and summary.json."""
    from propsoff.bench.batch import Job, find_captures, run_batch
    from propsoff.safe_write import replace_file

    loaded = loaded_settings(ctx, store__enabled=enabled(no_history))
    tools = gathered(loaded)  # says now, once, what every worker would trip over
    if notes is not None:
        tools.notes_of(notes)
    folder, out = _places(folder, out)
    writing = Writing.of(ctx, tools, several=True, inputs=[folder, *([notes] if notes else [])])
    paths = find_captures(folder)
    if not paths:
        raise TargetError(f"{folder}: no capture (.cast or .txt) is in there")
    make_output_folder(out)
    by_hand = str(notes.absolute()) if notes else None
    job = Job(str(folder), str(out), loaded.settings.model_dump_json(), sync, by_hand, loaded.settings.store.enabled)
    started = time.time()
    kept = _History(loaded.settings)
    rows = _inspected(run_batch(pool_of(jobs, len(paths)), job, paths, width=2 * jobs), kept, len(paths))
    summary = _summary(rows, folder, time.time() - started)
    _show(rows, writing.screen())
    told = [row.verdict for row in rows if not row.unwritten]
    code = exit_code_of(told, strict=strict) if told else 0
    written = _written(writing, rows, folder, out, strict=strict)
    try:
        replace_file(out / "summary.json", (json.dumps(summary, indent=1) + "\n").encode())
    except OSError as error:
        complain(f"{out / 'summary.json'}: could not be written: {error.strerror or error}")
        return code or EXIT_USAGE
    return code or (EXIT_USAGE if kept.lost or not written or any(row.unwritten for row in rows) else 0)


def _inspected(coming: Iterable[Row], kept: _History, total: int) -> list[Row]:
    """The rows as they come, with a bar. Of a batch that somebody stops, what is done is kept."""
    rows: list[Row] = []
    try:
        with _progress(total) as advance:
            for row in coming:
                rows.append(kept.taken(row))
                advance()
    finally:
        kept.enter()
    return rows


def _summary(rows: list[Row], folder: Path, seconds: float) -> dict[str, object]:
    """What `summary.json` says."""
    from propsoff import __version__

    return {
        "tool": {"name": "propsoff", "version": __version__},
        "folder": str(folder),
        "captures": len(rows),
        "seconds": round(seconds, 3),
        "verdicts": _counted(rows),
        "rows": [row.as_dict() for row in rows],
    }


def _written(writing: Writing, rows: Sequence[Row], folder: Path, out: Path, *, strict: bool) -> bool:
    """Write the documents that were asked for, of the reports as they are in `out`; False when one could not be."""
    from propsoff.bench.batch import told_of

    return writing.write(
        lambda: ((row.file, told_of(row, folder, out)) for row in rows),
        count=len(rows),
        strict=strict,
        kept=lambda path: path.suffix == ".json" and out in path.parents,
    )


class _History:
    """Enters what the workers made ready, some hundreds at a time, while they work on."""

    def __init__(self, settings: Settings) -> None:
        self._settings = settings
        self._ready: list[Prepared] = []
        self._enter: Callable[[Sequence[Prepared]], bool] | None = None
        self.lost = False

    def taken(self, row: Row) -> Row:
        """The row without what is for history."""
        if row.history is None:
            return row
        self._ready.append(row.history)
        if len(self._ready) >= _AT_ONCE:
            self.enter()
        return replace(row, history=None)

    def enter(self) -> None:
        """Enter what is ready."""
        if self._ready:
            self._enter = self._enter or entering(self._settings)
            self.lost |= not self._enter(self._ready)
            self._ready.clear()


def _places(folder: Path, out: Path) -> tuple[Path, Path]:
    """Both folders as they are on the disk. Raises TargetError where they cannot be what they should."""
    other = f"is no folder; for one capture: propsoff inspect {folder}"
    must_be_folder(folder, absent="there is no such folder", other=other)
    folder, out = folder.resolve(), out.resolve()
    if out == folder or folder in out.parents:
        hint = f"name a folder beside it, such as {folder.parent / (folder.name + '-reports')}"
        raise TargetError(f"--out {out}: lies in the tree that is read, which stays as it is; {hint}")
    return folder, out


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


def _show(rows: list[Row], console: Console) -> None:
    """The table: what needs a person last, what passed only counted."""
    from propsoff.inspection.finding import Verdict
    from propsoff.outputs.shared_causes import Cause, shared_causes, show_shared
    from propsoff.outputs.tables import show_table
    from propsoff.outputs.terminal import word

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
    console.print(f"{len(rows)} capture{'s' * (len(rows) != 1)}: {counts}")
