"""The service manager is told by datagrams as sd_notify(3) of systemd 252 describes."""

from __future__ import annotations

import os
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest

from propsoff.bench.notify import announced, notify, watchdog_s


@pytest.fixture
def manager(tmp_path: Path) -> Iterator[socket.socket]:
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as receiver:
        receiver.bind(str(tmp_path / "notify"))
        receiver.settimeout(10)
        yield receiver


async def test_ready_alive_and_stopping_are_said(manager: socket.socket) -> None:
    environment = {"NOTIFY_SOCKET": manager.getsockname(), "WATCHDOG_USEC": "100000"}
    said: list[bytes] = []
    async with announced(environment):
        import asyncio

        while len(said) < 4:
            said.append(await asyncio.to_thread(manager.recv, 100))
    while not said[-1].startswith(b"STOPPING"):
        said.append(manager.recv(100))
    assert said[0] == b"READY=1\nSTATUS=watching"
    assert said[1:4] == [b"WATCHDOG=1"] * 3
    assert said[-1] == b"STOPPING=1"


def test_an_abstract_socket_is_reached() -> None:
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as receiver:
        receiver.bind(f"\0propsoff-test-{os.getpid()}")
        receiver.settimeout(10)
        assert notify("READY=1", {"NOTIFY_SOCKET": f"@propsoff-test-{os.getpid()}"})
        assert receiver.recv(100) == b"READY=1"


@pytest.mark.parametrize("address", ["", "relative", "/no/such/socket"])
def test_no_manager_is_no_error(address: str) -> None:
    assert not notify("READY=1", {"NOTIFY_SOCKET": address})


@pytest.mark.parametrize(
    ("environment", "period_s"),
    [
        ({}, None),
        ({"WATCHDOG_USEC": "30000000"}, 30.0),
        ({"WATCHDOG_USEC": "30000000", "WATCHDOG_PID": str(os.getpid())}, 30.0),
        ({"WATCHDOG_USEC": "30000000", "WATCHDOG_PID": "1"}, None),
        ({"WATCHDOG_USEC": "0"}, None),
        ({"WATCHDOG_USEC": "soon"}, None),
    ],
)
def test_the_watchdog_is_heeded_only_by_the_process_that_it_watches(
    environment: dict[str, str], period_s: float | None
) -> None:
    assert watchdog_s(environment) == period_s
