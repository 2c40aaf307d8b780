"""A history of each earlier version is brought to this one, with all that is in it.

`version-1.sql`, `version-2.sql` and `version-3.sql` are dumps (sqlite3's `iterdump`) of one history, as a propsoff of
each version of the schema left it; they stay as they are for ever. The fourth visit's report is damaged. From version 3
on a craft has three visits more: two live ones, and then an old conversation that was inspected last.
"""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
import sqlalchemy as sa

from propsoff.exceptions import StoreError
from propsoff.store import migrations
from propsoff.store.model import Wanted
from propsoff.store.schema import METADATA, VERSION
from propsoff.store.store import Store, open_store
from tests_support.postgres import Postgres

EARLIER = tuple(range(1, VERSION))


def sqlite_of(version: int, file: Path) -> str:
    raw = sqlite3.connect(file)
    raw.executescript((Path(__file__).parent / f"version-{version}.sql").read_text(encoding="utf-8"))
    raw.close()
    return f"sqlite:///{file}"


def postgres_of(version: int, server: Postgres, file: Path, name: str = "version") -> str:
    """The same rows, in tables that the migrations up to this version make there."""
    sqlite_of(version, file)
    raw = sqlite3.connect(file)
    raw.row_factory = sqlite3.Row
    url = server.new_database(f"{name}_{version}")
    engine = sa.create_engine(url.replace("postgresql://", "postgresql+psycopg://"))
    with engine.begin() as connection:
        for number in range(1, version + 1):
            migrations.MIGRATIONS[number](connection)
        for table in ("meta", "visits", "bodies", "captures"):
            for row in raw.execute(f"SELECT * FROM {table} ORDER BY 1"):
                values = dict(zip(row.keys(), row, strict=True))
                values |= {name: bool(row[name]) for name in ("complete", "clock_back") if name in values}
                if table == "visits":
                    values.pop("seq")
                places = ", ".join(f":{name}" for name in values)
                connection.execute(sa.text(f"INSERT INTO {table} ({', '.join(values)}) VALUES ({places})"), values)
    engine.dispose()
    raw.close()
    return url


def holds_all(store: Store) -> None:
    visits = [visit for visit in store.in_order_of_entry() if visit.craft != "Elder"]
    assert [visit.craft for visit in visits] == ["Alder", "Alder", "Birch", "Dämmer 'x'"]
    assert [visit.replaces for visit in visits] == [None, visits[0].id, None, None]
    assert [visit.rules for visit in visits] == [None] * 4, "by what they were inspected nobody knows"
    held = ["2027-01-15T08:00:00.000Z"] * 3
    assert [visit.held for visit in visits] == [*held, None], "of a damaged report nobody knows it"
    ids = [visit.id for visit in visits]
    assert dict(store.facts(ids)).keys() == set(ids[:3])
    assert dict(store.facts(ids))[ids[0]]["battery.volts"] == 16.25
    assert dict(store.causes(ids))[ids[1]] == [("failsafe/drop", "fail", "of Alder1")]
    assert [store.capture(visit.capture_sha256) is None for visit in visits] == [False, False, True, False]
    assert store.report(ids[2]).id == ids[2]
    with pytest.raises(StoreError, match=ids[3]):
        store.report(ids[3])


def is_ordered_by_when_conversations_were_held(store: Store) -> None:
    first, live, of_old = (each for each in store.in_order_of_entry() if each.craft == "Elder")
    assert of_old.created > live.created > str(of_old.held)
    assert store.newest(["serial:88"]) == {"serial:88": live.id}
    assert [each.id for each in store.visits(Wanted(craft="88"))] == [live.id, of_old.id, first.id]
    assert (first.replaces, of_old.replaces, live.replaces) == (None, first.id, of_old.id)


@pytest.mark.parametrize("version", EARLIER)
def test_an_earlier_version_in_sqlite(tmp_path: Path, version: int) -> None:
    url = sqlite_of(version, tmp_path / "history.sqlite")
    with open_store(url) as store:
        holds_all(store)
    with sqlite3.connect(tmp_path / "history.sqlite") as raw:
        filled = raw.execute("SELECT facts IS NOT NULL, causes IS NOT NULL FROM bodies WHERE seq < 5 ORDER BY seq")
        assert filled.fetchall() == [(1, 1)] * 3 + [(0, 0)]
        assert raw.execute("SELECT value FROM meta").fetchall() == [(str(VERSION),)]
    raw.close()
    with open_store(url) as again:
        holds_all(again)


@pytest.mark.parametrize("version", EARLIER)
def test_an_earlier_version_in_postgresql(postgres: Postgres, tmp_path: Path, version: int) -> None:
    url = postgres_of(version, postgres, tmp_path / "history.sqlite")
    with open_store(url) as store:
        holds_all(store)


def test_an_old_conversation_that_was_inspected_last_is_no_newest_visit_any_more(
    postgres: Postgres, tmp_path: Path
) -> None:
    for url in (sqlite_of(3, tmp_path / "a.sqlite"), postgres_of(3, postgres, tmp_path / "b.sqlite", "elder")):
        with open_store(url) as store:
            is_ordered_by_when_conversations_were_held(store)


def test_a_migration_that_breaks_off_changes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    url = sqlite_of(1, tmp_path / "history.sqlite")
    with sqlite3.connect(tmp_path / "history.sqlite") as raw:
        before = list(raw.iterdump())

        def broken(connection: sa.Connection) -> None:
            migrations.to_version_2(connection)
            connection.execute(sa.text("SELECT nothing"))

        monkeypatch.setattr("propsoff.store.database.MIGRATIONS", {**migrations.MIGRATIONS, 2: broken})
        with pytest.raises(StoreError, match="brought to this version"):
            open_store(url)
        assert list(raw.iterdump()) == before
    raw.close()


def test_the_migrations_come_to_the_schema_that_is_written_down(tmp_path: Path) -> None:
    with open_store(f"sqlite:///{tmp_path}/a.sqlite") as store:
        assert store.visits(Wanted()) == []
    migrated = sa.create_engine(f"sqlite:///{tmp_path}/a.sqlite")
    stated = sa.create_engine(f"sqlite:///{tmp_path}/b.sqlite")
    METADATA.create_all(stated)
    assert shape(migrated) == shape(stated)
    assert max(migrations.MIGRATIONS) == VERSION
    migrated.dispose()
    stated.dispose()


def shape(engine: sa.Engine) -> dict[str, object]:
    seen = sa.inspect(engine)
    return {
        table: (
            sorted((column["name"], str(column["type"]), column["nullable"]) for column in seen.get_columns(table)),
            sorted((str(index["name"]), tuple(index["column_names"])) for index in seen.get_indexes(table)),
            seen.get_pk_constraint(table)["constrained_columns"],
        )
        for table in seen.get_table_names()
    }
