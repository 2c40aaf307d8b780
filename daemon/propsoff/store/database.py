"""Opening the database of history: what it is, whether it is ours, which version it has; every fault in words."""

from __future__ import annotations

import contextlib
import os
import sqlite3
from pathlib import Path
from typing import TYPE_CHECKING, Any

import sqlalchemy as sa
from sqlalchemy.exc import ArgumentError, DBAPIError, SQLAlchemyError
from sqlalchemy.exc import TimeoutError as NoneFreeError

from propsoff.exceptions import StoreError
from propsoff.store.migrations import MIGRATIONS
from propsoff.store.schema import BODIES, CAPTURES, META, METADATA, VERSION, VISITS

if TYPE_CHECKING:
    from collections.abc import Iterator

_LOCK = 0x70726F70736F6666 >> 1
"""The number by which benches that share a PostgreSQL wait for one another; any number that nobody else takes."""
_ASIDE = "Put it aside, or name another with store.url"
_DAMAGED = ("malformed", "no such", "could not decode")
"""Words of SQLite, in lower case, for a file in which something stands that it never wrote."""
_HINT = "write it as sqlite:////folder/history.sqlite or postgresql://user@host/database"


class Database:
    """A checked database of the newest version. `name` is its URL without the password."""

    def __init__(self, url: str, lock_s: float) -> None:
        self.lock_s = lock_s
        where = _url_of(url)
        self.name = where.render_as_string(hide_password=True)
        self.file = where.database if where.get_backend_name() == "sqlite" else None
        if self.file is not None:
            _make_ready(Path(self.file))
        with self.words("be opened"):
            self.engine = _engine(where, lock_s)
        try:
            self._check()
        except BaseException:  # also when it is stopped
            self.engine.dispose()
            raise

    @contextlib.contextmanager
    def reading(self, doing: str = "be read") -> Iterator[sa.Connection]:
        """One consistent look. Raises StoreError."""
        with self.words(doing), self.engine.connect() as connection:
            yield connection

    @contextlib.contextmanager
    def writing(self, doing: str = "be written") -> Iterator[sa.Connection]:
        """One transaction, which no other process's comes between. Raises StoreError, leaving all as it was."""
        engine = self.engine.execution_options(propsoff_writes=True)
        with self.words(doing), engine.begin() as connection:
            if connection.dialect.name == "postgresql":
                connection.execute(sa.select(sa.func.pg_advisory_xact_lock(_LOCK)))
            yield connection

    @contextlib.contextmanager
    def words(self, doing: str) -> Iterator[None]:
        """Whatever the database raises, as a StoreError that says what to do."""
        try:
            yield
        except DBAPIError as error:
            raise StoreError(f"history {self.name} cannot {doing}: {self._reason(error)}") from error
        except (NoneFreeError, UnicodeError, OverflowError) as error:
            raise StoreError(f"history {self.name} cannot {doing}: {_short(error)}") from error
        except ModuleNotFoundError as error:
            hint = "PostgreSQL needs psycopg; install propsoff with its extra `postgres`"
            raise StoreError(f"history {self.name} cannot {doing}: {hint}") from error

    def _reason(self, error: DBAPIError) -> str:
        text = _short(error.orig or error)
        low = text.lower()
        if self.file is None:
            return f"{text}; is the server running, and is `store.url` right?"
        if "locked" in low or "busy" in low:
            return f"another process holds it, and did not let go of it within {self.lock_s:g} s; try again"
        if "full" in low:
            return f"{text}; make room on its disk"
        if "disk i/o" in low:
            return f"{text}; make room on its disk, or see whether that fails, or the file was moved"
        if "not a database" in low:
            return f"it is damaged, or is no SQLite database; nothing was changed. {_ASIDE}"
        if any(word in low for word in _DAMAGED):
            return f"it is damaged ({text}); nothing was changed. {_ASIDE}"
        if "unable to open" in low or "readonly" in low:
            return f"{text}; propsoff must be allowed to write this file and its folder"
        return text

    def _check(self) -> None:
        with self.reading("be opened") as connection:
            version = self._version(connection)
        if version < VERSION:
            self._migrate()
        with self.reading("be opened") as connection:
            for table in (VISITS, BODIES, CAPTURES):
                connection.execute(sa.select(table).limit(0))
        if self.file is not None:
            _set_wal(self.engine)

    def _version(self, connection: sa.Connection) -> int:
        """0 for an empty database. Raises StoreError for a newer one, and for one that is not ours."""
        tables = set(sa.inspect(connection).get_table_names())
        ours = set(METADATA.tables)
        if META.name not in tables:
            if tables if self.file is not None else tables & ours:
                raise StoreError(
                    f"{self.name} is no history of propsoff: other tables are in it; name another database"
                )
            return 0
        found = connection.execute(sa.select(META.c.value).where(META.c.name == "propsoff-history")).scalar()
        if found is None or not found.isascii() or not found.isdigit() or int(found) < 1 or not ours <= tables:
            raise StoreError(f"{self.name} is no history of propsoff, or is damaged; nothing was changed")
        if int(found) > VERSION:
            newer = f"history {self.name} was written by a newer propsoff (version {found}, this one knows {VERSION})"
            raise StoreError(f"{newer}; nothing was changed. Use that propsoff, or name another with store.url")
        return int(found)

    def _migrate(self) -> None:
        with self.writing("be brought to this version") as connection:
            for number in range(self._version(connection) + 1, VERSION + 1):
                MIGRATIONS[number](connection)
            connection.execute(sa.delete(META).where(META.c.name == "propsoff-history"))
            connection.execute(sa.insert(META).values(name="propsoff-history", value=str(VERSION)))


def _url_of(url: str) -> sa.URL:
    try:
        where = sa.make_url(url)
        kind = where.get_backend_name()
    except (ArgumentError, ValueError):
        raise StoreError(f"store.url is no URL of a database; {_HINT}") from None
    if kind == "postgresql":
        return where.set(drivername="postgresql+psycopg")
    if kind != "sqlite":
        raise StoreError(f"store.url: history is kept in SQLite or PostgreSQL, not in {kind}; {_HINT}")
    if not where.database or where.database == ":memory:":
        raise StoreError(f"store.url names no file; {_HINT}")
    try:
        file = Path(where.database).expanduser()
    except RuntimeError:
        raise StoreError(
            f"store.url: the home folder that {where.database!r} means is not known; write the whole path"
        ) from None
    return sa.URL.create("sqlite", database=os.path.abspath(file))  # noqa: PTH100  no links followed


def _make_ready(file: Path) -> None:
    """Make the folder, and see that nothing else stands where the database should be. Raises StoreError.

    The file itself is opened by SQLite alone: whoever closes it otherwise takes away the locks of every connection that
    this process has to it (https://www.sqlite.org/howtocorrupt.html, 2.2), and other processes then delete its log.
    """
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        if file.exists() and not file.is_file():
            raise StoreError(f"history {file} is not a file; name another with store.url")
    except OSError as error:
        raise StoreError(f"history {file} cannot be opened: {error.strerror or error}") from error


def _engine(where: sa.URL, lock_s: float) -> sa.Engine:
    arguments: dict[str, Any]
    if where.get_backend_name() == "sqlite":
        arguments = {"timeout": lock_s, "check_same_thread": False, "isolation_level": None}
    else:
        wait_ms = max(1, round(lock_s * 1000))
        arguments = {
            "connect_timeout": max(2, round(lock_s)),
            "tcp_user_timeout": wait_ms + 1000,
            "options": f"-c lock_timeout={wait_ms} -c client_encoding=UTF8",
            "application_name": "propsoff",
        }
    engine = sa.create_engine(where, connect_args=arguments, pool_pre_ping=where.get_backend_name() != "sqlite")
    if engine.dialect.name == "sqlite":
        sa.event.listen(engine, "connect", _prepared)
        sa.event.listen(engine, "begin", _begun)
    return engine


def _prepared(raw: Any, _: object) -> None:
    raw.execute("PRAGMA foreign_keys = ON")
    raw.execute("PRAGMA synchronous = FULL")


def _begun(connection: sa.Connection) -> None:
    # A transaction that reads first and writes later cannot wait for another writer: it has to say so at once.
    writes = connection.get_execution_options().get("propsoff_writes")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _set_wal(engine: sa.Engine) -> None:
    """Readers then never wait for a writer. Where it cannot be set now, all works, only less side by side."""
    with contextlib.suppress(SQLAlchemyError):
        raw = engine.raw_connection()
        try:
            cursor = raw.cursor()
            with contextlib.suppress(sqlite3.Error):
                cursor.execute("PRAGMA journal_mode = WAL")
            cursor.close()
        finally:
            raw.close()


def _short(error: BaseException) -> str:
    return " ".join(str(error).split())[:300]
