"""Taking a report into history, inside a transaction that is open."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import sqlalchemy as sa

from propsoff.store.schema import BODIES, CAPTURES, VISITS

if TYPE_CHECKING:
    from propsoff.store.packing import Prepared

_MINUTE = 60_000_000
"""In microseconds. Captures that are inspected side by side may be entered in another order; clocks jump further."""
Entered = Literal["new", "known", "differs"]


@dataclass(frozen=True, slots=True)
class Before:
    """What another history knew of a visit: when it took it in, what it replaced, whether a clock had jumped."""

    entered: str
    replaces: str | None = None
    clock_back: bool = False


def enter(connection: sa.Connection, one: Prepared, *, now: str, late: bool, before: Before | None) -> Entered:
    """`now` is when; `late`: it waited, so that later reports before it say nothing of a clock."""
    found = (
        sa.select(BODIES.c.sha256).join(VISITS, VISITS.c.seq == BODIES.c.seq).where(VISITS.c.id == one.columns["id"])
    )
    there = connection.execute(found).scalar()
    if there is not None and there != one.sha256:
        return "differs"
    if one.capture is not None:
        keep_capture(connection, one.columns["capture_sha256"], one.capture)
    if there is not None:
        return "known"
    earlier, later = _neighbours(connection, one)
    if before is None:
        jumped = _last_made_us(connection, one) - one.columns["created_us"] > _MINUTE
        before = Before(now, clock_back=jumped and not late)
    row = {
        **one.columns,
        "replaces": earlier if before.replaces is None else before.replaces,
        "entered": before.entered,
        "clock_back": before.clock_back,
    }
    seq = connection.execute(sa.insert(VISITS).values(row).returning(VISITS.c.seq)).scalar_one()
    connection.execute(sa.insert(BODIES).values({**one.body, "seq": seq, "sha256": one.sha256}))
    if later is not None:
        # Where the later visit names one that was pruned, that stays true.
        next_one = sa.and_(VISITS.c.id == later, VISITS.c.replaces.is_not_distinct_from(earlier))
        connection.execute(sa.update(VISITS).where(next_one).values(replaces=one.columns["id"]))
    return "new"


def keep_capture(connection: sa.Connection, sha256: str, data: bytes) -> bool:
    """Keep a compressed capture once; False when it is there."""
    if connection.execute(sa.select(sa.literal(1)).where(CAPTURES.c.sha256 == sha256)).scalar() is not None:
        return False
    connection.execute(sa.insert(CAPTURES).values(sha256=sha256, data=data))
    return True


def _neighbours(connection: sa.Connection, one: Prepared) -> tuple[str | None, str | None]:
    """The ids of the same craft's visits just before and just after this one."""
    if not one.columns["key"]:
        return None, None
    parts = (VISITS.c.held_us, VISITS.c.created_us, VISITS.c.id)
    place, here = sa.tuple_(*parts), sa.tuple_(*(sa.literal(one.columns[part.name]) for part in parts))
    same = sa.select(VISITS.c.id).where(VISITS.c.key == one.columns["key"])
    before = same.where(place < here).order_by(*(part.desc() for part in parts)).limit(1)
    after = same.where(place > here).order_by(*parts).limit(1)
    return connection.execute(before).scalar(), connection.execute(after).scalar()


def _last_made_us(connection: sa.Connection, one: Prepared) -> int:
    """When the latest report of the same craft was made, in microseconds since 1970; 0 where there is none."""
    if not one.columns["key"]:
        return 0
    last = sa.select(sa.func.max(VISITS.c.created_us)).where(VISITS.c.key == one.columns["key"])
    return connection.execute(last).scalar() or 0
