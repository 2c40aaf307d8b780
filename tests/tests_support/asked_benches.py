"""A bench that can be asked: the real daemon with its real doors, in a thread of its own."""

from __future__ import annotations

import asyncio
import json
import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TypeVar

from propsoff.bench.running import run_bench
from propsoff.client import BenchClient
from propsoff.client.found import Service, running_bench
from propsoff.page.service import service
from tests_support.benches import QuietLog, tools_for

T = TypeVar("T")
WAIT_S = 40.0
TOKEN = "a-token-of-this-test-0123456789"
SHEET = """\
format = 1
name = "ours"
extends = "house-default"

[match]
craft = "*"

[[questions]]
id = "propellers-off"
ask = "Are all propellers off?"
kind = "yes-no"
expected = "yes"

[[questions]]
id = "battery-connector"
ask = "Which connector does the battery have?"
kind = "choice"
choices = ["3", "1"]
"""
"""Two questions; the words of the choices are numbers that are not theirs."""


class AskedBench:
    """A running bench; `state` is its state folder, `service` what it says of itself."""

    def __init__(self, folder: Path, sockets: Path, **options: dict[str, object]) -> None:
        history = {"url": f"sqlite:///{folder}/history.sqlite", "waiting": str(folder / "waiting")}
        ports = {"source": "none", "folder": str(sockets)}
        sections: dict[str, dict[str, object]] = {"store": dict(history), "ports": dict(ports), **options}
        self.tools = tools_for(folder, extra=(), **sections)
        self.state = self.tools.settings.bench.state
        self.reports = self.tools.settings.output.folder
        self._loop = asyncio.new_event_loop()
        self._stopping: asyncio.Event | None = None
        self._thread = threading.Thread(target=self._run, name="asked bench", daemon=True)

    def _run(self) -> None:
        asyncio.set_event_loop(self._loop)
        self._stopping = asyncio.Event()
        log = QuietLog()
        serve = [service(self.tools.settings, log.info)]
        running = run_bench(self.tools, watcher=lambda _: None, log=log, stopping=self._stopping, serve=serve)
        try:
            self._loop.run_until_complete(running)
        finally:
            self._loop.run_until_complete(self._loop.shutdown_default_executor())
            self._loop.close()

    @property
    def service(self) -> Service:
        found = running_bench(self.state)
        assert found is not None
        return found

    @property
    def socket(self) -> Path:
        socket = self.service.socket
        assert socket is not None
        return socket

    def start(self) -> None:
        self._thread.start()
        waited = threading.Event()
        for _ in range(round(WAIT_S / 0.02)):
            if running_bench(self.state) is not None:
                return
            waited.wait(0.02)
        raise AssertionError("the bench was never served")

    def until(self, condition: Callable[[BenchClient], T | None]) -> T:
        """What the condition gives as soon as it gives anything."""
        until, pause = time.monotonic() + WAIT_S, threading.Event()
        with BenchClient.find(self.state) as client:
            while time.monotonic() < until:
                if found := condition(client):
                    return found
                pause.wait(0.05)  # history is entered without an event that tells of it
        raise AssertionError("it never came about")

    def report_on(self, place: str) -> str:
        """The id of the report of what is plugged in there, waited for."""
        return self.until(lambda client: next((now.report for now in client.places() if now.place == place), None))

    def stop(self) -> None:
        """End it; returns when it has ended."""
        if self._thread.is_alive() and self._stopping is not None:
            self._loop.call_soon_threadsafe(self._stopping.set)
        self._thread.join(WAIT_S)
        assert not self._thread.is_alive()


@contextmanager
def asked_bench(folder: Path, sockets: Path, **options: dict[str, object]) -> Iterator[AskedBench]:
    """A bench that runs until the end of the block, or until it is stopped."""
    bench = AskedBench(folder, sockets, **options)
    bench.start()
    try:
        yield bench
    finally:
        bench.stop()


def with_questions(folder: Path) -> dict[str, object]:
    """The section `checks` of a bench whose sheet asks questions."""
    path = folder / "ours.toml"
    path.write_text(SHEET)
    return {"sheets": [str(path)]}


def service_json(state: Path, **told: object) -> Path:
    """A `service.json` that says so."""
    state.mkdir(parents=True, exist_ok=True)
    path = state / "service.json"
    path.write_text(json.dumps({"format": 1, "pid": 1, "bench": "x", "socket": None, "url": None, **told}))
    return path


@contextmanager
def stranger(*answers: bytes) -> Iterator[str]:
    """A server that is no bench; each connection gets the next answer (the last one again) and is closed. Its URL."""
    with socket.create_server(("127.0.0.1", 0)) as listener:

        def serve() -> None:
            for number in range(1000):
                try:
                    connection, _ = listener.accept()
                except OSError:
                    return
                with connection:
                    connection.recv(65536)
                    connection.sendall(answers[min(number, len(answers) - 1)])

        serving = threading.Thread(target=serve, daemon=True)
        serving.start()
        yield f"http://127.0.0.1:{listener.getsockname()[1]}"
        listener.shutdown(socket.SHUT_RDWR)
        serving.join(WAIT_S)
