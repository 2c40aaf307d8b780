"""What history knows of a visit without opening its report, and how visits are asked for."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from propsoff.inspection.report import Report


@dataclass(frozen=True, slots=True)
class KeptVisit:
    """One visit as history lists it: the report without its body.

    `created` and `entered` are RFC 3339 in UTC: when the report was made, and when history took it in. `key` says who
    the craft is: `serial:...`, or without a board serial number `name:BOARD/CRAFT`, or empty when it states neither;
    visits with an empty key are of nobody known, and none replaces another. `replaces` is the id of the newest earlier
    visit of the same key. `clock_back`: when it was entered, history already had a later report of this craft, so the
    clock of a bench had jumped. `rules` is the fingerprint of what it was inspected by; None: not known. `held` is when
    the conversation began that it was read from; None: not known. Visits are ordered by it where it is known: what is
    inspected from an old capture is an old visit.
    """

    id: str
    created: str
    bench: str | None
    verdict: str
    complete: bool
    board: str | None
    board_serial: str | None
    craft: str | None
    firmware: str | None
    sheet: str | None
    dialect: str | None
    socket: str | None
    capture_sha256: str
    replaces: str | None
    entered: str
    key: str
    clock_back: bool = False
    rules: str | None = None
    held: str | None = None

    @property
    def when(self) -> datetime:
        """When it was: when its conversation was held where that is known, and never after its report was made."""
        made = datetime.fromisoformat(self.created)
        return made if self.held is None else min(made, datetime.fromisoformat(self.held))

    @property
    def order(self) -> tuple[datetime, datetime, str]:
        """Of two visits the one with the greater order is the newer one."""
        return self.when, datetime.fromisoformat(self.created), self.id

    def as_dict(self) -> dict[str, str | bool | None]:
        """For JSON and tables, in the order of the fields."""
        return {each.name: getattr(self, each.name) for each in fields(self)}


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which visits. Texts match whole, without regard to case.

    `craft` is a board serial number, a craft's name, a key, or the beginning of a report's id (at least 8 characters).
    `since` and `until` bound the time of the report, both included; a time without a zone is in UTC. `limit` is the
    greatest number of visits.
    """

    craft: str | None = None
    since: datetime | None = None
    until: datetime | None = None
    verdict: str | None = None
    bench: str | None = None
    sheet: str | None = None
    board: str | None = None
    limit: int | None = None


def craft_key(report: Report) -> str:
    """Who the craft of a report is: the `key` of its visit."""
    if report.board_serial and report.board_serial.strip():
        return f"serial:{report.board_serial.strip().casefold()}"
    if report.board or report.craft:
        return f"name:{report.board or ''}/{report.craft or ''}".casefold()
    return ""
