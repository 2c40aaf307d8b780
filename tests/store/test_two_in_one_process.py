"""Several connections of one process to one history, beside other processes.

SQLite, "How To Corrupt An SQLite Database File", 2.2: a process that closes a file in any way gives up all its locks on
it, and then others delete the log of a database that they believe to be nobody's.
"""

from __future__ import annotations

import contextlib
import sqlite3
import subprocess
import sys
from pathlib import Path

from propsoff.store.model import Wanted
from propsoff.store.store import open_store
from tests_support.visits import a_visit

OPENED_AND_CLOSED = """
import sys
from propsoff.store.model import Wanted
from propsoff.store.store import open_store
with open_store(sys.argv[1]) as store:
    print(len(store.visits(Wanted())))
"""


def elsewhere(url: str) -> int:
    """How many visits another process sees, which opens history and closes it."""
    done = subprocess.run([sys.executable, "-c", OPENED_AND_CLOSED, url], capture_output=True, text=True, check=True)
    return int(done.stdout)


def is_locked(file: Path) -> bool:
    """Whether some process holds a POSIX lock on a database; asked by another one, for its own locks hinder nobody."""
    script = f"import fcntl; fcntl.lockf(open({str(file)!r}, 'r+b'), fcntl.LOCK_EX | fcntl.LOCK_NB)"
    return subprocess.run([sys.executable, "-c", script], capture_output=True, check=False).returncode != 0


def test_a_second_connection_that_closes_takes_no_lock_from_the_first(tmp_path: Path) -> None:
    file = tmp_path / "history.sqlite"
    url = f"sqlite:///{file}"
    with open_store(url) as bench:
        bench.enter(*a_visit("Merrow", serial="1"))
        assert is_locked(file)
        with open_store(url) as page:
            assert len(page.visits(Wanted())) == 1
        assert is_locked(file)


def test_no_visit_is_lost_when_page_and_other_processes_open_and_close_history(tmp_path: Path) -> None:
    file = tmp_path / "history.sqlite"
    url = f"sqlite:///{file}"
    with open_store(url) as bench:
        for number in range(1, 5):
            bench.enter(*a_visit(f"craft {number}", serial=str(number)))
            with open_store(url) as page:
                assert len(page.visits(Wanted())) == number
            assert elsewhere(url) == number
        copied = tmp_path / "as after a power cut"
        copied.mkdir()
        for each in tmp_path.glob("history.sqlite*"):
            (copied / each.name).write_bytes(each.read_bytes())
    with contextlib.closing(sqlite3.connect(copied / "history.sqlite")) as raw:
        assert raw.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert raw.execute("SELECT count(*) FROM visits").fetchone() == (4,)
