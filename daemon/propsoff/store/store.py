"""The history itself: reports and their captures in; visits, reports, facts and causes out."""

from __future__ import annotations

import hashlib
import time
from typing import TYPE_CHECKING, Any, Self

import sqlalchemy as sa

from propsoff.exceptions import StoreError
from propsoff.inspection.report import instant
from propsoff.store import asking
from propsoff.store.database import Database
from propsoff.store.entering import Before, Entered, enter, keep_capture
from propsoff.store.packing import (
    Prepared,
    causes_of,
    facts_of,
    packed,
    packed_causes,
    packed_facts,
    prepared,
    report_of,
    unpacked,
)
from propsoff.store.schema import BODIES, CAPTURES, VISITS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from propsoff.inspection.report import Report
    from propsoff.store.model import KeptVisit, Wanted

_AT_ONCE = 200
"""Reports in one transaction when many are entered."""


def default_url() -> str:
    """SQLite in the user's data folder."""
    import platformdirs

    file = platformdirs.user_data_path("propsoff") / "history.sqlite"
    return sa.URL.create("sqlite", database=str(file)).render_as_string()


def open_store(url: str, *, lock_s: float = 5.0, clock: Callable[[], float] = time.time) -> Store:
    """Open history, made or brought to this version where need be; close it, or use it in `with`.

    `lock_s` is how long another process is waited for, `clock` gives Unix time in seconds.

    Raises StoreError for a database that cannot be reached, is damaged, newer, or none of ours; nothing is changed.
    """
    return Store(Database(url or default_url(), lock_s), clock)


class Store:
    """An open history. Every method raises StoreError, in words, when the database fails.

    It may be used from any thread, from one at a time.
    """

    def __init__(self, database: Database, clock: Callable[[], float] = time.time) -> None:
        self._database, self._clock = database, clock

    @property
    def name(self) -> str:
        """The database's URL, without its password."""
        return self._database.name

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the database."""
        self._database.engine.dispose()

    def enter(
        self,
        report: Report,
        capture: bytes | None,
        *,
        late: bool = False,
        before: Before | None = None,
        rules: str | None = None,
    ) -> Entered:
        """Take a report in, with its capture where there is one.

        `new`; `known` when it is there already; `differs` when another report has its id: nothing is overwritten then.
        `late`: it waited on disk. `before`: what another history knew of it. `rules`: the
        fingerprint of what it was inspected by.

        Raises StoreError also when the capture is not the one that the report was read from.
        """
        [(_, came)] = self.enter_many([(prepared(report, capture, rules), before)], late=late)
        return came

    def enter_many(
        self, items: Iterable[tuple[Prepared, Before | None]], *, late: bool = False
    ) -> Iterator[tuple[str, Entered]]:
        """As `enter`, many in one transaction; (id, what came of it) of each, once it is kept for good."""
        several: list[tuple[Prepared, Before | None]] = []
        for each in items:
            several.append(each)
            if len(several) >= _AT_ONCE:
                yield from self._enter_some(several, late=late)
                several.clear()
        yield from self._enter_some(several, late=late)

    def _enter_some(
        self, several: Sequence[tuple[Prepared, Before | None]], *, late: bool
    ) -> list[tuple[str, Entered]]:
        if not several:
            return []
        now = instant(self._clock())
        with self._database.writing() as connection:
            return [
                (one.columns["id"], enter(connection, one, now=now, late=late, before=before))
                for one, before in several
            ]

    def keep_capture(self, data: bytes) -> bool:
        """Keep a capture that no report is entered with; False when it is there."""
        with self._database.writing() as connection:
            return keep_capture(connection, hashlib.sha256(data).hexdigest(), packed(data))

    def visits(self, wanted: Wanted) -> list[KeptVisit]:
        """The newest first, by time and then id."""
        with self._database.reading() as connection:
            return asking.kept(connection.execute(asking.visits(wanted)))

    def latest(self, wanted: Wanted) -> list[KeptVisit]:
        """Of each craft the newest of the visits that are wanted, newest first; one of nobody known stands alone."""
        with self._database.reading() as connection:
            return asking.kept(connection.execute(asking.latest(wanted)))

    def newest(self, keys: Iterable[str]) -> dict[str, str]:
        """Of each key the id of its newest visit in all of history: another visit of that key is old."""
        found: dict[str, str] = {}
        with self._database.reading() as connection:
            for some in asking.chunks(key for key in keys if key):
                found.update((key, name) for key, name in connection.execute(asking.newest(some)))
        return found

    def report(self, id: str) -> Report:  # noqa: A002  what it is
        """The report of an id. Raises StoreError when it is absent or damaged."""
        for _, found in self.reports([id]):
            if isinstance(found, StoreError):
                raise found
            return found
        raise StoreError(f"report {id} is not in history {self.name}")

    def reports(self, ids: Iterable[str]) -> Iterator[tuple[str, Report | StoreError]]:
        """Each report that is there, or why it cannot be read; absent ones are left out."""
        for name, body in self._bodies(ids, BODIES.c.report):
            try:
                yield name, report_of(body)
            except ValueError as error:
                yield name, StoreError(f"report {name} in history {self.name} is damaged: {_first_line(error)}")

    def capture(self, sha256: str) -> bytes | None:
        """The capture of this hash; None when it is not kept (any more). Raises StoreError when it is damaged."""
        with self._database.reading() as connection:
            data = connection.execute(sa.select(CAPTURES.c.data).where(CAPTURES.c.sha256 == sha256)).scalar()
        if data is None:
            return None
        try:
            whole = unpacked(data)
        except ValueError as error:
            raise StoreError(f"capture {sha256} in history {self.name} is {error}") from None
        if hashlib.sha256(whole).hexdigest() != sha256:
            raise StoreError(f"capture {sha256} in history {self.name} is damaged: its SHA-256 differs")
        return whole

    def has_capture(self, sha256: str) -> bool:
        """Whether the capture of this hash is kept."""
        with self._database.reading() as connection:
            asked = sa.select(sa.literal(1)).where(CAPTURES.c.sha256 == sha256)
            return connection.execute(asked).scalar() is not None

    def captures(self) -> Iterator[str]:
        """The SHA-256 of every capture that is kept."""
        with self._database.reading() as connection:
            found = connection.execute(sa.select(CAPTURES.c.sha256).order_by(CAPTURES.c.sha256)).scalars().all()
        yield from found

    def facts(self, ids: Iterable[str]) -> Iterator[tuple[str, dict[str, Any]]]:
        """Dotted fact name to value of each report; several are a tuple. Damaged and absent ones are left out."""
        for name, data, body in self._bodies(ids, BODIES.c.facts, BODIES.c.report):
            try:
                yield name, facts_of(data if data is not None else packed_facts(report_of(body)))
            except ValueError:  # `report` says of it what is wrong
                continue

    def causes(self, ids: Iterable[str]) -> Iterator[tuple[str, list[tuple[str, str, str]]]]:
        """(CHECK/CODE, outcome counted, summary) of what wants doing, of each report; damaged ones are left out."""
        for name, data, body in self._bodies(ids, BODIES.c.causes, BODIES.c.report):
            try:
                yield name, causes_of(data if data is not None else packed_causes(report_of(body)))
            except ValueError:
                continue

    def in_order_of_entry(self) -> Iterator[KeptVisit]:
        """Every visit, the first that was entered first."""
        last = 0
        while True:
            asked = sa.select(VISITS.c.seq, *asking.COLUMNS).where(VISITS.c.seq > last).order_by(VISITS.c.seq)
            with self._database.reading() as connection:
                rows = connection.execute(asked.limit(_AT_ONCE)).all()
            if not rows:
                return
            last = rows[-1][0]
            yield from asking.kept(row[1:] for row in rows)

    def note_rules(self, rules: Mapping[str, str]) -> None:
        """Of visits, by their ids, that what has this fingerprint would inspect them to the same reports."""
        with self._database.writing() as connection:
            for name, text in rules.items():
                connection.execute(sa.update(VISITS).where(VISITS.c.id == name).values(rules=text))

    def remove(self, ids: Iterable[str]) -> int:
        """Take visits out, and the captures that no visit names any more; how many visits went."""
        gone = 0
        with self._database.writing() as connection:
            for some in asking.chunks(ids):
                seqs = sa.select(VISITS.c.seq).where(VISITS.c.id.in_(some))
                connection.execute(sa.delete(BODIES).where(BODIES.c.seq.in_(seqs)))
                gone += connection.execute(sa.delete(VISITS).where(VISITS.c.id.in_(some))).rowcount
            named = sa.select(VISITS.c.seq).where(VISITS.c.capture_sha256 == CAPTURES.c.sha256)
            connection.execute(sa.delete(CAPTURES).where(~named.exists()))
        return gone

    def _bodies(self, ids: Iterable[str], *columns: Any) -> Iterator[Any]:
        """(id, columns...) of each body that is there, in the order of the ids."""
        for some in asking.chunks(ids):
            asked = sa.select(VISITS.c.id, *columns).join(BODIES, BODIES.c.seq == VISITS.c.seq)
            with self._database.reading() as connection:
                found = {row[0]: row for row in connection.execute(asked.where(VISITS.c.id.in_(some)))}
            yield from (found[name] for name in some if name in found)


def _first_line(error: Exception) -> str:
    return str(error).partition("\n")[0]
