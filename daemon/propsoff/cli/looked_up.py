"""Reports that a person names: by a file, a report's id, a craft, or a craft some visits ago."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.cli.history import said_of_clocks, said_of_shared, shared_serials
from propsoff.cli.keeping import opened
from propsoff.exceptions import StoreError, TargetError
from propsoff.store.packing import folded

if TYPE_CHECKING:
    from propsoff.inspection.report import Report
    from propsoff.library import Toolbox
    from propsoff.settings import Settings
    from propsoff.store.model import KeptVisit
    from propsoff.store.store import Store

_MOST = 1000
"""Visits that are looked through for whether a name is that of one craft."""
_SHOWN = 6
_AGO = re.compile(r"(.+)~([0-9]{1,4})")


@dataclass(frozen=True, slots=True)
class Named:
    """A report and what it is called; `old_since` is the id of the craft's newest visit where this one is old.

    `remarks` are sentences for whoever named it.
    """

    report: Report
    label: str
    old_since: str | None = None
    remarks: tuple[str, ...] = ()


def report_of_file(path: Path, tools: Toolbox) -> Named:
    """A report file as it is, a capture inspected now.

    Raises TargetError when it is neither, and for a report file that history has otherwise.
    """
    from propsoff.bench.batch import readable

    if path.suffix.lower() != ".json":
        return Named(tools.inspect(readable(path), file=path.name, hand=tools.notes_beside(path)), path.name)
    report = written_report(path)
    must_be_as_in_history(path, report, tools.settings)
    return Named(report, path.name)


def written_report(path: Path) -> Report:
    """The report of a report file. Raises TargetError when it is none."""
    from propsoff.store.sound import sound_report

    if path.suffix.lower() in (".cast", ".txt"):
        raise TargetError(f"{path}: is a conversation, not a report; for a report of it: propsoff inspect {path}")
    try:
        return sound_report(path.read_bytes())
    except OSError as error:
        raise TargetError(f"{path}: {error.strerror or error}") from None
    except ValueError as error:
        raise TargetError(f"{path}: is no report that propsoff wrote, or was edited by hand: {error}") from None


def must_be_as_in_history(file: Path, report: Report, settings: Settings) -> None:
    """Raises TargetError when history has the report of this id with another content."""
    if not settings.store.enabled:
        return
    try:
        with opened(settings) as store:
            kept = store.report(report.id)
    except StoreError:  # history has none of this id; one that cannot be read is said of elsewhere
        return
    if kept != report:
        raise TargetError(
            f"{file}: was changed after it was written: history has report {report.id} otherwise. "
            f"The one that was made: propsoff show {report.id}"
        )


def report_in_history(name: str, store: Store) -> Named:
    """The newest visit of that name, or with `NAME~1` the one before. Raises TargetError when there is none, or several
    craft answer to it."""
    from propsoff.store.model import Wanted

    if not name.strip():
        raise TargetError("an empty name is no report: name a file, a report's id, a serial number or a craft")
    match = _AGO.fullmatch(name)
    craft, ago = (match[1], int(match[2])) if match else (name, 0)
    found = store.visits(Wanted(craft=craft, limit=_MOST))
    if not found and _is_folder(name):
        raise TargetError(f"{name}: is a folder; name a report file (.json) in it, or a visit in history")
    if not found:
        raise TargetError(
            f"{name}: no file of that name, and no visit in history by that serial number, craft's name or report id "
            "(at least 8 characters of it); see propsoff history"
        )
    _must_be_one(name, craft, found)
    remarks: tuple[str, ...] = ()
    newest = store.newest({found[0].key}).get(found[0].key)
    if _is_id(craft, found):
        if ago:
            raise TargetError(f"{name}: ~{ago} goes behind a craft's name or serial number, not behind a report's id")
    elif found[0].key:  # all visits of the craft, also those from before it got this name
        found = store.visits(Wanted(craft=found[0].key, limit=_MOST))
        remarks = tuple(said_of_shared(shared_serials(found)))
        if remarks:  # under the serial number alone one craft would be taken for the other
            found = [visit for visit in found if folded(visit.craft or "") == folded(craft)] or found
        newest = found[0].id
    if len(found) <= ago and len(found) == 1:
        raise TargetError(f"{name}: there is only one visit of {craft} in history, and none before it")
    if len(found) <= ago:
        raise TargetError(f"{name}: in history the oldest visit of it is {craft}~{len(found) - 1}")
    visit = found[ago]
    remarks += tuple(said_of_clocks(found[:_SHOWN]))
    old = newest not in (None, visit.id) and not visit.clock_back
    return Named(store.report(visit.id), visit.id, newest if old else None, remarks)


def _is_id(craft: str, found: Sequence[KeptVisit]) -> bool:
    return all(visit.id.casefold().startswith(craft.strip().casefold()) for visit in found)


def _must_be_one(name: str, craft: str, found: Sequence[KeptVisit]) -> None:
    """Raises TargetError when a report id's beginning, or a craft's name, is that of several."""
    if _is_id(craft, found):
        several = [visit.id for visit in found]
        what = "reports begin so"
    else:
        several = [visit.board_serial or visit.id for visit in {one.key or one.id: one for one in found}.values()]
        what = "craft are called so; name one by its board's serial number"
    if len(several) > 1:
        more = f" and {len(several) - _SHOWN} more" if len(several) > _SHOWN else ""
        raise TargetError(f"{name}: {len(several)} {what}: {', '.join(several[:_SHOWN])}{more}")


def is_file(name: str) -> bool:
    """Whether a name is that of a file that is there."""
    try:
        return Path(name).is_file()
    except (OSError, ValueError):
        return False


def _is_folder(name: str) -> bool:
    try:
        return Path(name).is_dir()
    except (OSError, ValueError):
        return False
