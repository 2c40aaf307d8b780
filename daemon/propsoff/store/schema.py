"""The tables of history, as the newest version has them. How older ones come to this is in `migrations.py`."""

from __future__ import annotations

from dataclasses import fields

import sqlalchemy as sa

from propsoff.store.model import KeptVisit

VERSION = 4
"""The version of the schema that this propsoff writes."""

# Ids and times sort by their octets everywhere, whatever language a server was set up for.
WORD = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")

METADATA = sa.MetaData()

META = sa.Table("meta", METADATA, sa.Column("name", WORD, primary_key=True), sa.Column("value", WORD, nullable=False))

VISITS = sa.Table(
    "visits",
    METADATA,
    sa.Column("seq", NUMBER, primary_key=True, autoincrement=True),
    sa.Column("id", WORD, nullable=False, unique=True),
    sa.Column("created", WORD, nullable=False),
    sa.Column("created_us", sa.BigInteger, nullable=False),
    sa.Column("bench", WORD),
    sa.Column("verdict", WORD, nullable=False),
    sa.Column("complete", sa.Boolean, nullable=False),
    sa.Column("board", WORD),
    sa.Column("board_serial", WORD),
    sa.Column("craft", WORD),
    sa.Column("firmware", WORD),
    sa.Column("sheet", WORD),
    sa.Column("dialect", WORD),
    sa.Column("socket", WORD),
    sa.Column("capture_sha256", WORD, nullable=False),
    sa.Column("replaces", WORD),
    sa.Column("entered", WORD, nullable=False),
    sa.Column("key", WORD, nullable=False),
    sa.Column("clock_back", sa.Boolean, nullable=False),
    sa.Column("rules", WORD),
    sa.Column("held", WORD),
    sa.Column("held_us", sa.BigInteger, nullable=False),
    # The same texts without regard to case, by Python's rules: those of the two databases differ.
    sa.Column("folded_bench", WORD),
    sa.Column("folded_board", WORD),
    sa.Column("folded_serial", WORD),
    sa.Column("folded_craft", WORD),
    sa.Column("folded_sheet", WORD),
    sa.Index("visits_created", "created_us", "id"),
    sa.Index("visits_held", "held_us", "created_us", "id"),
    sa.Index("visits_key", "key", "held_us", "created_us", "id"),
    sa.Index("visits_board", "folded_board", "created_us"),
    sa.Index("visits_sheet", "folded_sheet", "created_us"),
    sa.Index("visits_serial", "folded_serial"),
    sa.Index("visits_craft", "folded_craft"),
    sa.Index("visits_capture", "capture_sha256"),
)

BODIES = sa.Table(
    "bodies",
    METADATA,
    sa.Column("seq", NUMBER, sa.ForeignKey("visits.seq", ondelete="CASCADE"), primary_key=True, autoincrement=False),
    sa.Column("sha256", WORD, nullable=False),
    sa.Column("report", sa.LargeBinary, nullable=False),
    sa.Column("facts", sa.LargeBinary),
    sa.Column("causes", sa.LargeBinary),
)

CAPTURES = sa.Table(
    "captures",
    METADATA,
    sa.Column("sha256", WORD, primary_key=True),
    sa.Column("data", sa.LargeBinary, nullable=False),
)

LISTED = tuple(each.name for each in fields(KeptVisit))
"""The columns of a visit that are the fields of `KeptVisit`, in their order."""
