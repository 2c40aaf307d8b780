"""`propsoff export`: all of history as JSON lines."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable
from pathlib import Path

import click

from propsoff.cli.common import complain, loaded_settings, many, must_be_new, note
from propsoff.cli.keeping import opened
from propsoff.cli.main import EXIT_NO_READER, EXIT_UNKNOWN
from propsoff.cli.writing import to_stdout
from propsoff.exceptions import TargetError


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.pass_context
def command(ctx: click.Context, file: Path) -> int:
    """Write every report and capture to FILE (new; - for standard output), one JSON document a line.

    `propsoff import` takes it into another history; nothing is lost on the way.
    """
    from propsoff.store.exchange import Counts, exported

    to_screen = str(file) == "-"
    if not to_screen:
        must_be_new(file)
    counts = Counts()
    with opened(loaded_settings(ctx).settings) as store:
        lines = exported(store, counts, complain)
        if to_screen:
            if not all(to_stdout(line.encode()) for line in lines):
                return EXIT_NO_READER
        else:
            _write_new(file, lines)
    note(f"exported: {many(counts.reports, 'report')} and {many(counts.captures, 'capture')}")
    return EXIT_UNKNOWN if counts.bad else 0


def _write_new(file: Path, lines: Iterable[str]) -> None:
    """The whole file or none. Raises TargetError."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=file.parent, prefix=".propsoff-", suffix=".part")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as out:
                out.writelines(lines)
                out.flush()
                os.fsync(out.fileno())
            Path(name).chmod(0o644)
            must_be_new(file)
            Path(name).replace(file)
        finally:
            Path(name).unlink(missing_ok=True)
    except OSError as error:
        raise TargetError(f"{file}: cannot be written: {error.strerror or error}") from None
