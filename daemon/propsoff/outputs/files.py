"""Reports and captures as files: each appears whole or not at all, and never takes the place of another."""

from __future__ import annotations

import contextlib
import errno
import os
import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.outputs.escape import file_stem

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report

_NO_LINKS = frozenset({errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EMLINK, errno.ENOSYS})


def write_new(folder: Path, stem: str, suffix: str, data: bytes, *, sync: bool = True) -> Path:
    """Write a new file `stem + suffix` into `folder` (made if need be), atomically; `-2`... when the name is taken.

    With `sync` it is on the disk before it has its name. Raises OSError, leaving nothing behind.
    """
    folder.mkdir(parents=True, exist_ok=True)
    with _temporary(folder, data, sync=sync) as temporary:
        for number in range(1, 10_000):
            target = folder / f"{stem}{f'-{number}' if number > 1 else ''}{suffix}"
            if _named(temporary, target):
                return target
    raise FileExistsError(errno.EEXIST, "too many files of this name", str(folder / f"{stem}{suffix}"))


def replace_file(path: Path, data: bytes, *, sync: bool = True) -> None:
    """Write a file, atomically taking the place of the one that is there. Raises OSError, leaving the old one."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with _temporary(path.parent, data, sync=sync) as temporary:
        temporary.replace(path)


@contextlib.contextmanager
def _temporary(folder: Path, data: bytes, *, sync: bool) -> Iterator[Path]:
    handle, name = tempfile.mkstemp(dir=folder, prefix=".propsoff-", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            if sync:
                file.flush()
                os.fsync(file.fileno())
        Path(name).chmod(0o644)
        yield Path(name)
    finally:
        Path(name).unlink(missing_ok=True)


def _named(temporary: Path, target: Path) -> bool:
    """Give the finished file its name; False when the name is taken."""
    try:
        os.link(temporary, target)
    except FileExistsError:
        return False
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        if target.exists():  # a file system without links, such as that of a USB stick
            return False
        temporary.replace(target)
    return True


def visit_stem(started: datetime, *names: str | None) -> str:
    """The common part of the file names of one visit: time to the millisecond in UTC, then whatever names are known."""
    known = [file_stem(name) for name in names if name]
    return "_".join([started.astimezone(UTC).strftime("%Y%m%dT%H%M%S%f")[:-3] + "Z", *known])


class ReportFiles:
    """The output that writes each report as `STEM.json` into a folder, and its capture `STEM.cast` beside it."""

    name = "files"

    def __init__(self, folder: Path, *, sync: bool = True) -> None:
        self.folder, self._sync = folder, sync

    def keep(self, report: Report, capture: Capture) -> Path:
        """Write the evidence first, then the report; gives the report's path. Raises OSError."""
        evidence = self.folder / file_name_only(report.capture.file or f"{report.id}.cast")
        data = capture.to_bytes()
        # A second attempt finds the capture of the first: its name holds its hash, so it is the same.
        if not (evidence.exists() and evidence.stat().st_size == len(data)):
            replace_file(evidence, data, sync=self._sync)
        return write_new(self.folder, evidence.stem, ".json", report.to_json().encode(), sync=self._sync)

    def write(self, report: Report) -> None:
        """Write one report without its capture. Raises OSError."""
        self.write_report(report)

    def write_report(self, report: Report) -> Path:
        """Write one report without its capture; gives its path. Raises OSError."""
        stem = Path(file_name_only(report.capture.file or report.id)).stem
        return write_new(self.folder, stem, ".json", report.to_json().encode(), sync=self._sync)


def file_name_only(name: str) -> str:
    """The last part of a path, so that a report read from elsewhere cannot leave the folder."""
    return Path(name).name or "report"
