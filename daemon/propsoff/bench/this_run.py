"""The reports of one run, as history would list them: for a bench that keeps no history."""

from __future__ import annotations

from collections import deque
from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from propsoff.store.model import KeptVisit, Wanted, craft_key

if TYPE_CHECKING:
    from propsoff.inspection.report import Report

MOST_VISITS = 2000
_LEAST_OF_AN_ID = 8


class RunVisits:
    """The newest reports of this run, without their bodies."""

    def __init__(self) -> None:
        self._visits: deque[KeptVisit] = deque(maxlen=MOST_VISITS)

    def take(self, report: Report) -> None:
        """Note a report."""
        visit = visit_of(report)
        same = (each for each in self._visits if visit.key and each.key == visit.key and each.order < visit.order)
        earlier = max(same, key=lambda each: each.order, default=None)
        self._visits.append(visit if earlier is None else replace(visit, replaces=earlier.id))

    def get(self, report: str) -> KeptVisit | None:
        """The visit of that report; None when it is none of this run."""
        return next((each for each in reversed(self._visits) if each.id == report), None)

    def find(self, wanted: Wanted) -> list[KeptVisit]:
        """The newest first; what is wanted means what it means in history."""
        found = [each for each in self._visits if _is(each, wanted)]
        found.sort(key=lambda each: each.order, reverse=True)
        return found[: wanted.limit]


def visit_of(report: Report) -> KeptVisit:
    """A report as history would list it, of a craft that was not here before."""
    return KeptVisit(
        id=report.id,
        created=report.created,
        bench=report.bench,
        verdict=report.verdict.value,
        complete=report.complete,
        board=report.board,
        board_serial=report.board_serial,
        craft=report.craft,
        firmware=report.firmware,
        sheet=None if report.sheet is None else report.sheet.name,
        dialect=None if report.dialect is None else report.dialect.id,
        socket=None if report.port is None else report.port.path,
        capture_sha256=report.capture.sha256,
        replaces=None,
        entered=report.created,
        key=craft_key(report),
        held=report.capture.started,
    )


def _is(visit: KeptVisit, wanted: Wanted) -> bool:
    texts = (
        (wanted.verdict, visit.verdict),
        (wanted.bench, visit.bench),
        (wanted.sheet, visit.sheet),
        (wanted.board, visit.board),
    )
    if any(asked is not None and _folded(asked) != _folded(has) for asked, has in texts):
        return False
    created = _instant(datetime.fromisoformat(visit.created))
    if wanted.since is not None and created < _instant(wanted.since):
        return False
    if wanted.until is not None and created > _instant(wanted.until):
        return False
    return wanted.craft is None or _is_craft(visit, wanted.craft)


def _is_craft(visit: KeptVisit, text: str) -> bool:
    word = _folded(text)
    begins = len(text.strip()) >= _LEAST_OF_AN_ID and visit.id.casefold().startswith(word or " ")
    return begins or word in (_folded(visit.board_serial), _folded(visit.craft), visit.key)


def _folded(text: str | None) -> str | None:
    return None if text is None else text.strip().casefold()


def _instant(when: datetime) -> datetime:
    return when if when.tzinfo else when.replace(tzinfo=UTC)
