"""A PostgreSQL server of a test run's own, in a temporary folder; it never touches the system's."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import tempfile
from pathlib import Path

BINARIES = Path("/usr/lib/postgresql/15/bin")


class Postgres:
    """One cluster. As root its programs run as the user `postgres`: the server refuses to run as root."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="propsoff-pg-"))
        self.folder.chmod(0o755)
        self.data = self.folder / "data"
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port: int = free.getsockname()[1]
        if os.geteuid() == 0:
            shutil.chown(self.folder, "postgres")
        self._run("initdb", "-D", str(self.data), "-U", "bench", "-A", "trust", "-E", "UTF8", "--no-sync")
        self.start()

    def start(self) -> None:
        """Start it, and wait until it answers."""
        options = f"-c listen_addresses=127.0.0.1 -c port={self.port} -c unix_socket_directories= -c fsync=off"
        self._run("pg_ctl", "-D", str(self.data), "-l", str(self.folder / "log"), "-w", "-o", options, "start")

    def stop(self) -> None:
        """Stop it at once; what is committed stays."""
        self._run("pg_ctl", "-D", str(self.data), "-w", "-m", "immediate", "stop")

    def url(self, database: str) -> str:
        """The URL of a database."""
        return f"postgresql://bench@127.0.0.1:{self.port}/{database}"

    def new_database(self, name: str) -> str:
        """Make an empty database; its URL."""
        self._run("createdb", "-h", "127.0.0.1", "-p", str(self.port), "-U", "bench", name)
        return self.url(name)

    def remove(self) -> None:
        """Stop it and take its folder away."""
        self._run("pg_ctl", "-D", str(self.data), "-w", "-m", "immediate", "stop", check=False)
        shutil.rmtree(self.folder, ignore_errors=True)

    def _run(self, program: str, *words: str, check: bool = True) -> None:
        assert (BINARIES / program).exists(), f"{BINARIES / program} is missing: install postgresql-15"
        who = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
        done = subprocess.run(
            [*who, str(BINARIES / program), *words],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            stdin=subprocess.DEVNULL,
            cwd=self.folder,
            check=False,
            timeout=50,
        )
        assert not check or done.returncode == 0, done.stderr.decode()
