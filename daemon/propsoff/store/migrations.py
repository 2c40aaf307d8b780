"""How a database comes from one version of the schema to the next: one numbered function each, never changed again."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from typing import Any

import sqlalchemy as sa

from propsoff.store.packing import packed_causes, packed_facts, report_of, when_held
from propsoff.store.schema import NUMBER, WORD

_CHUNK = 500


def to_version_1(connection: sa.Connection) -> None:
    """Visits, the reports' bodies, captures. Written out here, so that later changes of the schema leave it alone."""
    metadata = sa.MetaData()
    sa.Table("meta", metadata, sa.Column("name", WORD, primary_key=True), sa.Column("value", WORD, nullable=False))
    must = ("id", "created", "verdict", "capture_sha256", "entered", "key")
    may = ("bench", "board", "board_serial", "craft", "firmware", "sheet", "dialect", "socket", "replaces")
    folded = ("folded_bench", "folded_board", "folded_serial", "folded_craft", "folded_sheet")
    sa.Table(
        "visits",
        metadata,
        sa.Column("seq", NUMBER, primary_key=True, autoincrement=True),
        *(sa.Column(name, WORD, nullable=False, unique=name == "id") for name in must),
        *(sa.Column(name, WORD) for name in (*may, *folded)),
        sa.Column("created_us", sa.BigInteger, nullable=False),
        sa.Column("complete", sa.Boolean, nullable=False),
        sa.Column("clock_back", sa.Boolean, nullable=False),
        sa.Index("visits_created", "created_us", "id"),
        sa.Index("visits_key", "key", "created_us", "id"),
        sa.Index("visits_board", "folded_board", "created_us"),
        sa.Index("visits_sheet", "folded_sheet", "created_us"),
        sa.Index("visits_serial", "folded_serial"),
        sa.Index("visits_craft", "folded_craft"),
        sa.Index("visits_capture", "capture_sha256"),
    )
    owner = sa.ForeignKey("visits.seq", ondelete="CASCADE")
    sa.Table(
        "bodies",
        metadata,
        sa.Column("seq", NUMBER, owner, primary_key=True, autoincrement=False),
        sa.Column("sha256", WORD, nullable=False),
        sa.Column("report", sa.LargeBinary, nullable=False),
    )
    sa.Table(
        "captures",
        metadata,
        sa.Column("sha256", WORD, primary_key=True),
        sa.Column("data", sa.LargeBinary, nullable=False),
    )
    metadata.create_all(connection, checkfirst=False)


def to_version_2(connection: sa.Connection) -> None:
    """Facts and causes apart from the whole report, for comparing many craft; filled in from the reports there are."""
    kind = sa.LargeBinary().compile(dialect=connection.dialect)
    for column in ("facts", "causes"):
        connection.execute(sa.text(f"ALTER TABLE bodies ADD COLUMN {column} {kind}"))
    bodies = sa.table("bodies", sa.column("seq"), sa.column("report"), sa.column("facts"), sa.column("causes"))
    last = -1
    while True:
        some = sa.select(bodies.c.seq, bodies.c.report).where(bodies.c.seq > last).order_by(bodies.c.seq)
        rows = connection.execute(some.limit(_CHUNK)).all()
        if not rows:
            return
        for seq, body in rows:
            last = seq
            try:
                report = report_of(body)
            except ValueError:  # one damaged report must not keep the others: it is named when it is asked for
                continue
            filled = {"facts": packed_facts(report), "causes": packed_causes(report)}
            connection.execute(sa.update(bodies).where(bodies.c.seq == seq).values(filled))


def to_version_3(connection: sa.Connection) -> None:
    """What each visit was inspected by; of those that are there nobody knows."""
    kind = WORD.compile(dialect=connection.dialect)
    connection.execute(sa.text(f"ALTER TABLE visits ADD COLUMN rules {kind}"))


def to_version_4(connection: sa.Connection) -> None:
    """When each conversation was held, by which visits are ordered from here on; told by the reports that are there."""
    kind = WORD.compile(dialect=connection.dialect)
    for change in (
        f"ALTER TABLE visits ADD COLUMN held {kind}",
        "ALTER TABLE visits ADD COLUMN held_us BIGINT NOT NULL DEFAULT 0",
        "UPDATE visits SET held_us = created_us",
    ):
        connection.execute(sa.text(change))
    visits = sa.table("visits", *map(sa.column, ("seq", "id", "key", "created_us", "held", "held_us", "replaces")))
    bodies = sa.table("bodies", sa.column("seq"), sa.column("report"))
    last = -1
    while True:
        some = sa.select(bodies.c.seq, bodies.c.report).where(bodies.c.seq > last).order_by(bodies.c.seq)
        rows = connection.execute(some.limit(_CHUNK)).all()
        if not rows:
            break
        for last, body in rows:
            try:
                held, held_us = when_held(report_of(body))
            except ValueError:  # its own time stays the only one that is known
                continue
            connection.execute(sa.update(visits).where(visits.c.seq == last).values(held=held, held_us=held_us))
    _chain_by_when_held(connection, visits)
    connection.execute(sa.text("DROP INDEX visits_key"))
    connection.execute(sa.text("CREATE INDEX visits_key ON visits (key, held_us, created_us, id)"))
    connection.execute(sa.text("CREATE INDEX visits_held ON visits (held_us, created_us, id)"))


def _chain_by_when_held(connection: sa.Connection, visits: sa.TableClause) -> None:
    """What a visit replaced by the time of the reports, it replaces by that of the conversations.

    One that names a visit which was pruned goes on to name it.
    """
    by_key: dict[str, list[Any]] = {}
    asked = sa.select(visits.c.id, visits.c.key, visits.c.created_us, visits.c.held_us, visits.c.replaces)
    for row in connection.execute(asked.where(visits.c.key != "")):
        by_key.setdefault(row.key, []).append(row)
    for rows in by_key.values():
        was = _each_before(sorted(rows, key=lambda row: (row.created_us, row.id)))
        now = _each_before(sorted(rows, key=lambda row: (row.held_us, row.created_us, row.id)))
        for row in rows:
            if was[row.id] != now[row.id] and row.replaces == was[row.id]:
                connection.execute(sa.update(visits).where(visits.c.id == row.id).values(replaces=now[row.id]))


def _each_before(rows: Sequence[Any]) -> Mapping[str, str | None]:
    return {row.id: before.id if before is not None else None for before, row in pairwise((None, *rows))}


MIGRATIONS: Mapping[int, Callable[[sa.Connection], None]] = {
    1: to_version_1,
    2: to_version_2,
    3: to_version_3,
    4: to_version_4,
}
"""What leads to each version from the one before it; 0 is an empty database."""
