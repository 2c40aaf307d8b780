"""Reports and captures as files: each appears whole or not at all, and never takes the place of another."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.outputs.escape import file_stem
from propsoff.safe_write import replace_file, write_new

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report


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
        return self._written(evidence.stem, report)

    def write(self, report: Report) -> None:
        """Write one report without its capture. Raises OSError."""
        self.write_report(report)

    def write_report(self, report: Report) -> Path:
        """Write one report without its capture; gives its path. Raises OSError."""
        return self._written(Path(file_name_only(report.capture.file or report.id)).stem, report)

    def _written(self, stem: str, report: Report) -> Path:
        """What is there already, such as by an attempt that was thought to have failed, is not written twice."""
        data = report.to_json().encode()
        return write_new(
            self.folder, stem, ".json", data, sync=self._sync, is_there=lambda path: _is_report(path, report.id)
        )


def _is_report(path: Path, name: str) -> bool:
    """Whether the report of this id is in a file."""
    from propsoff.inspection.report import Report

    try:
        return Report.from_json(path.read_bytes()).id == name
    except (OSError, ValueError):
        return False


def file_name_only(name: str) -> str:
    """The last part of a path, so that a report read from elsewhere cannot leave the folder."""
    return Path(name).name or "report"
