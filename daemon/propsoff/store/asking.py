"""Questions to the table of visits."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import sqlalchemy as sa

from propsoff.store.model import KeptVisit, Wanted
from propsoff.store.packing import folded, microseconds
from propsoff.store.schema import LISTED, VISITS

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

_CHUNK = 500
_LEAST_OF_AN_ID = 8
"""Fewer characters of a report's id would be a year, and name half of history."""
_AFTER_ANY = "\x7f"
COLUMNS = [VISITS.c[name] for name in LISTED]
_NEWEST_FIRST = (VISITS.c.held_us.desc(), VISITS.c.created_us.desc(), VISITS.c.id.desc())
"""By when the conversation was held; what was made anew of one conversation by when it was made."""


def conditions(wanted: Wanted) -> list[sa.ColumnElement[bool]]:
    """What a visit must meet."""
    found: list[sa.ColumnElement[bool]] = []
    for text, column in (
        (wanted.bench, VISITS.c.folded_bench),
        (wanted.sheet, VISITS.c.folded_sheet),
        (wanted.board, VISITS.c.folded_board),
        (wanted.verdict, VISITS.c.verdict),
    ):
        if text is not None:
            found.append(column == _word(text))
    if wanted.since is not None:
        found.append(VISITS.c.created_us >= microseconds(wanted.since))
    if wanted.until is not None:
        found.append(VISITS.c.created_us <= microseconds(wanted.until))
    if wanted.craft is not None:
        found.append(_is_craft(wanted.craft))
    return found


def _is_craft(text: str) -> sa.ColumnElement[bool]:
    word = _word(text)
    ways = [VISITS.c.folded_serial == word, VISITS.c.folded_craft == word, VISITS.c.key == word]
    begins = text.strip()
    if len(begins) >= _LEAST_OF_AN_ID and begins.isascii() and begins[:_LEAST_OF_AN_ID].isdigit():
        begins = begins[:16].upper() + begins[16:].lower()  # as ids are written: the time in capitals, the rest not
        ways.append(sa.and_(VISITS.c.id >= begins, VISITS.c.id < begins + _AFTER_ANY))
    return sa.or_(*ways)


def _word(text: str) -> str:
    return folded(text).replace("\0", "\u2400").encode("utf-8", "backslashreplace").decode()


def visits(wanted: Wanted) -> sa.Select[Any]:
    """The newest first."""
    asked = sa.select(*COLUMNS).where(*conditions(wanted))
    return asked.order_by(*_NEWEST_FIRST).limit(wanted.limit)


def latest(wanted: Wanted) -> sa.Select[Any]:
    """Of each craft the newest of the visits that are wanted; one of nobody known stands alone."""
    place = sa.func.row_number().over(partition_by=VISITS.c.key, order_by=_NEWEST_FIRST).label("place")
    some = sa.select(VISITS.c.seq, VISITS.c.key, place).where(*conditions(wanted)).subquery()
    asked = sa.select(*COLUMNS).join(some, some.c.seq == VISITS.c.seq)
    return asked.where(sa.or_(some.c.place == 1, some.c.key == "")).order_by(*_NEWEST_FIRST).limit(wanted.limit)


def newest(keys: Sequence[str]) -> sa.Select[Any]:
    """Of each key the id of its newest visit, as (key, id)."""
    inner = VISITS.alias()
    best = sa.select(inner.c.seq).where(inner.c.key == VISITS.c.key)
    best = best.order_by(inner.c.held_us.desc(), inner.c.created_us.desc(), inner.c.id.desc()).limit(1)
    return sa.select(VISITS.c.key, VISITS.c.id).where(VISITS.c.key.in_(keys), VISITS.c.seq == best.scalar_subquery())


def kept(rows: Iterable[Any]) -> list[KeptVisit]:
    """The visits of rows of `COLUMNS`."""
    return [KeptVisit(*row) for row in rows]


def chunks(items: Iterable[str]) -> Iterator[list[str]]:
    """As many at a time as one question may name."""
    several = list(dict.fromkeys(items))
    for start in range(0, len(several), _CHUNK):
        yield several[start : start + _CHUNK]
