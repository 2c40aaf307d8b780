"""Reports and captures by id: those of this run from memory and files, those of earlier runs from history."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Literal

from propsoff.bench.this_run import visit_of
from propsoff.exceptions import NothingThereError, StoreError
from propsoff.inspection.report import Report
from propsoff.outputs.files import file_name_only
from propsoff.page.history import History
from propsoff.store.model import KeptVisit, Wanted, craft_key
from propsoff.threads import in_thread

if TYPE_CHECKING:
    from propsoff.bench.control import Control
    from propsoff.bench.scene import PlaceNow
    from propsoff.store.store import Store

REPORT_ID = r"^[0-9]{8}T[0-9]{6}Z-[a-z0-9-]{1,32}-[0-9a-f]{12}$"
_REPORT_ID = re.compile(REPORT_ID.rstrip("$") + r"\Z")
_MOST_BYTES = 32 << 20
_MOST_OF_ONE_VISIT = 100
"""So many times may the questions of one visit be answered before the visit before it is out of sight."""
Source = Literal["history", "this run"]


@dataclass(frozen=True, slots=True)
class Kept:
    """A report, and its JSON as it was written."""

    report: Report
    data: bytes


class Shelf:
    """Everything raises NothingThereError for what is not there, StoreError when history fails or takes too long."""

    def __init__(self, control: Control, store_s: float) -> None:
        self._control, self._scene, self._settings = control, control.scene, control.tools.settings
        self._history = History(self._settings.store, store_s)

    async def report(self, name: str) -> Kept:
        """The report of an id."""
        shown = next((one for one in map(self._shown, self._scene.places) if one and one.id == name), None)
        if shown is not None:
            return await in_thread(lambda: Kept(shown, shown.to_json().encode()), "page")
        found = await in_thread(lambda: self._of_this_run(name), "page")
        if found is None and self._settings.store.enabled:
            report = await self._history.ask(lambda store: _report_in(store, name))
            if report is not None:
                found = Kept(report, report.to_json().encode())
        if found is None:
            raise NothingThereError(f"there is no report {name[:80]!r} of this run or in history")
        return found

    async def capture(self, report: Report) -> bytes:
        """The capture that a report was read from."""
        data = await in_thread(lambda: self._capture_file(report), "page")
        if data is None and self._settings.store.enabled:
            data = await self._history.ask(lambda store: store.capture(report.capture.sha256))
        if data is None:
            raise NothingThereError(f"the capture of report {report.id} is not kept (any more), or not written yet")
        return data

    async def visits(self, wanted: Wanted) -> tuple[list[KeptVisit], Source]:
        """Visits, newest first; the id of a report as `craft` means every visit of its craft."""
        if not self._settings.store.enabled:
            visits = self._scene.visits
            if wanted.craft and _REPORT_ID.match(wanted.craft):
                known = visits.get(wanted.craft)
                wanted = _of_craft(wanted, known.key if known else "")
            return visits.find(wanted), "this run"
        return await self._history.ask(lambda store: store.visits(_with_craft(store, wanted))), "history"

    async def before(self, report: Report) -> str | None:
        """The id of the craft's last visit before that of a report; one with new answers is the same visit."""
        key = craft_key(report)
        if not key:
            return None
        until, order = datetime.fromisoformat(report.created), visit_of(report).order
        visits, _ = await self.visits(Wanted(craft=key, until=until, limit=_MOST_OF_ONE_VISIT))
        earlier = (
            each
            for each in visits
            if each.key == key and each.capture_sha256 != report.capture.sha256 and each.order < order
        )
        return next((each.id for each in earlier), None)

    async def newer(self, report: Report) -> str | None:
        """The id of the newest report of the craft, where that is another; of this run where history cannot be read."""
        key = craft_key(report)
        if not key:
            return None
        wanted = Wanted(craft=key, limit=1)
        try:
            visits, _ = await self.visits(wanted)
        except StoreError:
            visits = self._scene.visits.find(wanted)
        newest = next((each for each in visits if each.key == key), None)
        if newest is None or newest.order <= visit_of(report).order:
            return None
        return newest.id

    def close(self) -> None:
        """Let go of history."""
        self._history.close()

    def _shown(self, now: PlaceNow) -> Report | None:
        """The report of a place: it is there before its file is."""
        return self._scene.report(now.place)

    def _of_this_run(self, name: str) -> Kept | None:
        """From its file; None where there is none, or what stands there is not that report (any more)."""
        path = self._scene.file_of(name)
        if path is None:
            return None
        try:
            if path.stat().st_size > _MOST_BYTES:
                return None
            data = path.read_bytes()
            report = Report.from_json(data)
        except (OSError, ValueError):
            return None
        return Kept(report, data) if report.id == name else None

    def _capture_file(self, report: Report) -> bytes | None:
        path = self._scene.file_of(report.id)
        if path is None or report.capture.file is None:
            return None
        try:
            data = (path.parent / file_name_only(report.capture.file)).read_bytes()
        except OSError:
            return None
        return data if hashlib.sha256(data).hexdigest() == report.capture.sha256 else None


def _report_in(store: Store, name: str) -> Report | None:
    """Raises StoreError when it is damaged."""
    for _, found in store.reports([name]):
        if isinstance(found, StoreError):
            raise found
        return found
    return None


def _with_craft(store: Store, wanted: Wanted) -> Wanted:
    """The id of a report as `craft` becomes the craft of that report."""
    if not wanted.craft or not _REPORT_ID.match(wanted.craft):
        return wanted
    known = store.visits(Wanted(craft=wanted.craft, limit=1))
    return _of_craft(wanted, known[0].key if known else "")


def _of_craft(wanted: Wanted, key: str) -> Wanted:
    """One of nobody known has no other visits: then its own id stays."""
    return replace(wanted, craft=key) if key else wanted
