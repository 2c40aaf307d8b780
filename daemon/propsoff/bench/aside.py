"""Where reports go that could not be written where they belong: a folder that nobody else can put anything into."""

from __future__ import annotations

import contextlib
import tempfile
import threading
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.outputs.files import ReportFiles

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report


class Aside:
    """Keeps reports in `folder`, or where that cannot be written in a new folder below the system's temporary one.

    Either is for this user alone. Usable from any thread.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder
        self._temporary: Path | None = None
        self._turn = threading.Lock()

    def keep(self, report: Report, capture: Capture) -> Path:
        """Write a report and its capture; gives the report's path. Raises OSError when neither can be written."""
        with self._turn:
            if self._folder is not None:
                with contextlib.suppress(OSError):
                    self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
                    return ReportFiles(self._folder).keep(report, capture)
            if self._temporary is None:
                # Not a name that is known beforehand: whoever made it first could read, or turn away, what comes.
                self._temporary = Path(tempfile.mkdtemp(prefix="propsoff-unwritten-"))
            return ReportFiles(self._temporary).keep(report, capture)
