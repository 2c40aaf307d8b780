"""An MQTT broker of a test's own: Debian's package mosquitto, on loopback, in a temporary folder."""

from __future__ import annotations

import asyncio
import contextlib
import os
import signal
import socket
import subprocess
import time
from collections.abc import AsyncIterator, Sequence
from pathlib import Path

import aiomqtt

_PROGRAM = Path("/usr/sbin/mosquitto")
_START_S = 20.0


class Mosquitto:
    """One broker; `options` are lines of its configuration. What is retained outlives `stop` and `start`."""

    def __init__(self, folder: Path, *options: str, anonymous: bool = True) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.folder = folder
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port: int = free.getsockname()[1]
        lines = [
            f"listener {self.port} 127.0.0.1",
            f"allow_anonymous {str(anonymous).lower()}",
            "persistence true",
            f"persistence_location {folder}/",
            f"log_dest file {folder}/log",
            *(["user root"] if os.geteuid() == 0 else []),
            *options,
        ]
        (folder / "mosquitto.conf").write_text("\n".join(lines) + "\n")
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start it, and wait until it listens."""
        assert _PROGRAM.exists(), f"{_PROGRAM} is missing: install mosquitto"
        self._process = subprocess.Popen([_PROGRAM, "-c", self.folder / "mosquitto.conf"], stderr=subprocess.DEVNULL)
        end = time.monotonic() + _START_S
        while True:
            try:
                socket.create_connection(("127.0.0.1", self.port), 1).close()
            except OSError:
                assert self._process.poll() is None, (self.folder / "log").read_text()
                assert time.monotonic() < end, "mosquitto did not begin to listen"
            else:
                return

    def stop(self, how: signal.Signals = signal.SIGTERM) -> None:
        """Stop it."""
        if self._process is not None:
            self._process.send_signal(how)
            self._process.wait(20)
            self._process = None

    def reload(self) -> None:
        """Have it read its password and access files again."""
        assert self._process is not None
        self._process.send_signal(signal.SIGHUP)

    def passwords(self, file: Path, **users: str) -> None:
        """Write a password file."""
        file.write_text("")
        file.chmod(0o600)
        for user, password in users.items():
            subprocess.run(["mosquitto_passwd", "-b", str(file), user, password], check=True, timeout=20)


@contextlib.asynccontextmanager
async def mosquitto(folder: Path, *options: str, anonymous: bool = True) -> AsyncIterator[Mosquitto]:
    """A broker that runs until the end of the block."""
    broker = Mosquitto(folder, *options, anonymous=anonymous)
    await asyncio.to_thread(broker.start)
    try:
        yield broker
    finally:
        await asyncio.to_thread(broker.stop)


class Seen:
    """What a subscriber saw: every message in order, and the newest payload of each topic."""

    def __init__(self) -> None:
        self.all: list[tuple[str, bytes, bool]] = []
        self.now: dict[str, bytes] = {}

    def of(self, topic: str) -> list[bytes]:
        """The payloads of a topic, in order."""
        return [payload for each, payload, _ in self.all if each == topic]

    def places(self) -> dict[str, bytes]:
        """The topics of places that are not cleared."""
        return {topic: payload for topic, payload in self.now.items() if "/place/" in topic and payload}


@contextlib.asynccontextmanager
async def subscriber(
    broker: Mosquitto, topics: Sequence[str] = ("#",), *, username: str | None = None, password: str | None = None
) -> AsyncIterator[Seen]:
    """A subscriber until the end of the block."""
    seen = Seen()

    async def take(client: aiomqtt.Client) -> None:
        async for message in client.messages:
            assert isinstance(message.payload, bytes)
            seen.all.append((str(message.topic), message.payload, message.retain))
            seen.now[str(message.topic)] = message.payload

    async with aiomqtt.Client("127.0.0.1", broker.port, username=username, password=password) as client:
        task = asyncio.create_task(take(client))
        for topic in topics:
            await client.subscribe(topic, qos=1)
        try:
            yield seen
        finally:
            task.cancel()
            await asyncio.gather(task, return_exceptions=True)
