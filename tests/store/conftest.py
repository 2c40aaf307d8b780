"""Histories to test with: in SQLite, and in a real PostgreSQL."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from propsoff.store.store import Store, open_store
from tests_support.postgres import Postgres

_NUMBERS = itertools.count(1)


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    """A PostgreSQL 15 of this run's own. Without one the tests fail: a history that many benches share is promised."""
    server = Postgres()
    try:
        yield server
    finally:
        server.remove()


@pytest.fixture(params=["sqlite", "postgresql"])
def new_url(request: pytest.FixtureRequest, tmp_path: Path) -> Callable[[], str]:
    """Gives the URL of an empty database, each time another."""
    if request.param == "sqlite":
        return lambda: f"sqlite:///{tmp_path}/history-{next(_NUMBERS)}.sqlite"
    server: Postgres = request.getfixturevalue("postgres")
    return lambda: server.new_database(f"history_{next(_NUMBERS)}")


@pytest.fixture
def url(new_url: Callable[[], str]) -> str:
    return new_url()


@pytest.fixture
def store(url: str) -> Iterator[Store]:
    """An empty history whose clock stands still."""
    with open_store(url, lock_s=1.0, clock=lambda: 1_800_000_100.0) as opened:
        yield opened
