"""The recipe in contrib/many-benches/postgres on a real PostgreSQL 15, over TLS: its SQL, its rules, its rights."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import psycopg
import pytest

from propsoff.exceptions import StoreError
from propsoff.settings_sources import load_settings
from propsoff.store.model import Wanted
from propsoff.store.store import Store, open_store
from tests_support.postgres import Postgres
from tests_support.visits import a_visit

ROOT = Path(__file__).parent.parent.parent
RECIPE = ROOT / "contrib" / "many-benches" / "postgres"
UNIT = ROOT / "contrib" / "systemd" / "propsoff.service"
BENCHES = ("bench_1", "bench_2")


def block(kind: str) -> str:
    """The one example of a kind in the README."""
    [found] = re.findall(rf"```{kind}\n(.*?)```", (RECIPE / "README.md").read_text(), re.DOTALL)
    assert isinstance(found, str)
    return found


@dataclass
class Server:
    """A server set up by the recipe, with the tables not made yet."""

    postgres: Postgres
    ca: Path

    def url(self, role: str, database: str = "propsoff") -> str:
        """As the README writes it."""
        store: str = tomllib.loads(block("toml"))["store"]["url"]
        here = store.replace("bench_2@db.example/propsoff", f"{role}@localhost:{self.postgres.port}/{database}")
        assert here != store
        return here.replace("/etc/propsoff/ca.pem", str(self.ca))

    def psql(self, *words: str) -> None:
        """Run psql as the superuser of the test's own server."""
        where = ["-h", "127.0.0.1", "-p", str(self.postgres.port), "-U", "bench", "-d", "postgres"]
        command = ["psql", "-X", "-q", "-v", "ON_ERROR_STOP=1", *where, *words]
        done = subprocess.run(
            command, capture_output=True, text=True, check=False, timeout=50, stdin=subprocess.DEVNULL
        )
        assert done.returncode == 0, done.stderr

    def as_superuser(self) -> psycopg.Connection[tuple[object, ...]]:
        return psycopg.connect(self.postgres.url("postgres"), autocommit=True)

    def as_bench(self, role: str) -> psycopg.Connection[tuple[object, ...]]:
        return psycopg.connect(self.url(role), autocommit=True)


@pytest.fixture
def server(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Server]:
    postgres = Postgres()
    try:
        server = Server(postgres, tmp_path / "ca.pem")
        server.psql("-f", str(RECIPE / "database.sql"))
        for role in BENCHES:
            server.psql("-v", f"bench={role}", "-f", str(RECIPE / "bench.sql"))
        passwords = tmp_path / "pgpass"
        passwords.write_text("".join(server_line(postgres, role) for role in (*BENCHES, "propsoff_keeper")))
        passwords.chmod(0o600)
        monkeypatch.setenv("PGPASSFILE", str(passwords))
        behind_tls(server)
        yield server
    finally:
        postgres.remove()


def server_line(postgres: Postgres, role: str) -> str:
    """The README's line of .pgpass for a role."""
    line = block("pgpass").replace("db.example:5432", f"localhost:{postgres.port}").replace("bench_2", role)
    return line.replace("THE-PASSWORD", f"secret of {role}")


def behind_tls(server: Server) -> None:
    """The recipe's rules, for 127.0.0.1; the superuser of the test keeps its own way in."""
    postgres, data = server.postgres, server.postgres.data
    key, certificate = data / "server.key", data / "server.crt"
    subject = ["-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost"]
    made = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", *subject]
    subprocess.run([*made, "-keyout", key, "-out", certificate], check=True, capture_output=True, timeout=50)
    shutil.copy(certificate, server.ca)
    key.chmod(0o600)
    if os.geteuid() == 0:
        shutil.chown(key, "postgres")
        shutil.chown(certificate, "postgres")
    rules = re.sub(r"192\.0\.2\.\d+/\d+", "127.0.0.1/32", block("hba"))
    assert rules.count("127.0.0.1/32") == 2
    (data / "pg_hba.conf").write_text(f"host all bench 127.0.0.1/32 trust\n{rules}")
    with server.as_superuser() as connection:
        for role in (*BENCHES, "propsoff_keeper"):
            connection.execute(f"ALTER ROLE {role} PASSWORD 'secret of {role}'")
        connection.execute("ALTER SYSTEM SET ssl = on")
    postgres.stop()
    postgres.start()
    with server.as_superuser() as connection:
        faults = "SELECT line_number, error FROM pg_hba_file_rules WHERE error IS NOT NULL"
        assert connection.execute(faults).fetchall() == []


@pytest.fixture
def ready(server: Server) -> Server:
    """The same with its tables made by the keeper, and rights given."""
    with open_store(server.url("propsoff_keeper")):
        pass
    rights(server)
    return server


def rights(server: Server) -> None:
    done = subprocess.run(
        ["psql", "-X", "-q", "-v", "ON_ERROR_STOP=1", server.url("propsoff_keeper"), "-f", RECIPE / "rights.sql"],
        capture_output=True,
        text=True,
        check=False,
        timeout=50,
    )
    assert (done.returncode, done.stderr) == (0, "")


def test_every_bench_adds_its_visits_and_reads_all_of_them(ready: Server) -> None:
    rights(ready)  # the second time, as after an upgrade
    early, early_capture = a_visit("Merrow", serial="00A1", at_s=0, bench="bench one")
    late, late_capture = a_visit("Merrow again", serial="00A1", at_s=600, bench="bench two")
    other, capture = a_visit("Alder", serial="00B2", at_s=60, bench="bench two")
    with open_store(ready.url("bench_2")) as two, open_store(ready.url("bench_1")) as one:
        assert two.enter(late, late_capture) == "new"
        assert two.enter(other, capture) == "new"
        assert one.enter(early, early_capture, late=True) == "new", "it waited on the disk of bench one"
        for store in (one, two):
            assert ids(store) == [late.id, other.id, early.id]
            assert store.visits(Wanted(craft="00A1"))[0].replaces == early.id
            assert ids(store, bench="bench two") == [late.id, other.id]
            assert store.report(other.id) == other
            assert store.capture(other.capture.sha256) == capture
        assert one.enter(other, capture) == "known"
        assert one.enter(other.model_copy(update={"ended": "changed by another bench"}), capture) == "differs"
        assert two.report(other.id) == other


def ids(store: Store, **wanted: str) -> list[str]:
    return [visit.id for visit in store.visits(Wanted(**wanted))]  # type: ignore[arg-type]  # texts, as the tests give them


FORBIDDEN = [
    "DELETE FROM visits",
    "DELETE FROM bodies",
    "DELETE FROM captures",
    "TRUNCATE visits CASCADE",
    "DROP TABLE bodies",
    "ALTER TABLE visits ADD COLUMN x text",
    "ALTER TABLE visits DISABLE TRIGGER ALL",
    "UPDATE visits SET verdict = 'pass'",
    "UPDATE visits SET bench = 'x', replaces = NULL",
    "UPDATE bodies SET report = ''",
    "UPDATE captures SET data = ''",
    "UPDATE meta SET value = '99'",
    "INSERT INTO meta VALUES ('x', 'y')",
    "CREATE TABLE mine (x int)",
    "CREATE TEMPORARY TABLE mine (x int)",
    "SELECT setval('visits_seq_seq', 1)",
    "CREATE ROLE mine",
    "SET ROLE propsoff_keeper",
    "DROP DATABASE propsoff",
]


def test_no_bench_can_take_away_or_change_what_is_there(ready: Server) -> None:
    report, capture = a_visit("Merrow", serial="00A1")
    with open_store(ready.url("bench_1")) as store:
        store.enter(report, capture)
        with ready.as_bench("bench_2") as other, ready.as_bench("bench_1") as same:
            for connection in (other, same):
                for statement in FORBIDDEN:
                    with pytest.raises(psycopg.errors.InsufficientPrivilege):
                        connection.execute(statement)
        with pytest.raises(StoreError, match="permission denied"):
            store.remove([report.id])
        assert store.report(report.id) == report
        assert store.capture(report.capture.sha256) == capture
    with open_store(ready.url("propsoff_keeper")) as keeper:
        assert keeper.remove([report.id]) == 1


def test_a_bench_whose_tables_are_not_made_says_so_and_makes_none(server: Server) -> None:
    with pytest.raises(StoreError, match="permission denied"):
        open_store(server.url("bench_1"))


def test_without_tls_or_password_or_with_another_server_nobody_comes_in(
    ready: Server, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    url = ready.url("bench_1")
    with pytest.raises(StoreError, match="rejects connection"):
        open_store(url.replace("verify-full", "disable"))
    with pytest.raises(StoreError, match="certificate"):
        open_store(url.replace("@localhost", "@127.0.0.1"))  # a name that the certificate does not have
    monkeypatch.setenv("PGPASSFILE", str(tmp_path / "none"))
    with pytest.raises(StoreError, match="no password supplied"):
        open_store(url)


def test_the_settings_of_the_readme_are_settings(tmp_path: Path) -> None:
    (tmp_path / "propsoff.toml").write_text(block("toml"))
    settings = load_settings({}, folder=tmp_path).settings
    assert settings.bench.name == "bench two"
    assert settings.store.url.startswith("postgresql://bench_2@db.example/propsoff?")


def test_the_readme_names_every_file_and_each_is_there() -> None:
    text = (RECIPE / "README.md").read_text()
    files = {path.name for path in RECIPE.iterdir()} - {"README.md"}
    assert files == {name for name in files if name in text}
    for link in re.findall(r"\]\(([^)]+)\)", text):
        assert (RECIPE / link).exists(), link


@pytest.mark.integration
@pytest.mark.parametrize("wrong", [False, True])
def test_systemd_knows_every_word_of_the_drop_in(tmp_path: Path, wrong: bool) -> None:
    """Judged by systemd 252; `verify` ends with 0 on unknown words, so any complaint fails."""
    (tmp_path / UNIT.name).write_text(UNIT.read_text().replace("/opt/propsoff/bin/propsoff", sys.executable))
    drop_in = tmp_path / "propsoff.service.d" / "history.conf"
    drop_in.parent.mkdir()
    drop_in.write_text((RECIPE / "propsoff-history.conf").read_text() + ("RemoveEverything=yes\n" if wrong else ""))
    done = subprocess.run(
        ["systemd-analyze", "verify", "--man=no", tmp_path / UNIT.name],
        capture_output=True,
        text=True,
        timeout=50,
        check=False,
    )
    assert ("RemoveEverything" in done.stderr) == wrong, done.stderr
    assert wrong or (done.returncode, done.stderr) == (0, "")
