"""Naming the processes that hold a device: real processes, real pseudo-terminals."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from propsoff.ports.holders import holders_of

HOLD = """
import os, sys
held = [os.open(sys.argv[1], os.O_RDWR | os.O_NOCTTY) for _ in range(3)]
print("held", flush=True)
sys.stdin.readline()
"""


@pytest.fixture
def terminal() -> Iterator[str]:
    """The path of a pseudo-terminal that this process does not hold at that end."""
    master, slave = os.openpty()
    path = os.ttyname(slave)
    os.close(slave)
    try:
        yield path
    finally:
        os.close(master)


def held_by_child(path: str) -> subprocess.Popen[str]:
    child = subprocess.Popen(
        [sys.executable, "-c", HOLD, path], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert child.stdout is not None
    assert child.stdout.readline() == "held\n"
    return child


def test_a_process_that_holds_the_port_is_named_once(terminal: str) -> None:
    child = held_by_child(terminal)
    try:
        name = Path(f"/proc/{child.pid}/comm").read_text(encoding="utf-8").strip()
        assert holders_of(terminal) == [f"{name} (pid {child.pid})"]
    finally:
        child.communicate("\n", timeout=10)
    assert holders_of(terminal) == []


def test_a_link_to_the_port_finds_the_same_holder(terminal: str, tmp_path: Path) -> None:
    (tmp_path / "socket-1").symlink_to(terminal)
    child = held_by_child(terminal)
    try:
        assert holders_of(tmp_path / "socket-1") == holders_of(terminal) != []
    finally:
        child.communicate("\n", timeout=10)


def test_another_terminal_is_not_confused_with_it(terminal: str) -> None:
    master, slave = os.openpty()
    try:
        assert any(f"(pid {os.getpid()})" in holder for holder in holders_of(os.ttyname(slave)))
        assert holders_of(terminal) == []
    finally:
        os.close(master)
        os.close(slave)


def test_the_number_of_names_is_bounded(terminal: str) -> None:
    children = [held_by_child(terminal) for _ in range(3)]
    try:
        assert len(holders_of(terminal)) == 3
        assert len(holders_of(terminal, most=2)) == 2
    finally:
        for child in children:
            child.communicate("\n", timeout=10)


def test_the_search_ends_at_its_deadline(terminal: str) -> None:
    child = held_by_child(terminal)
    ticks = iter([0.0, *[5.0] * 10_000])
    try:
        assert holders_of(terminal, clock=lambda: next(ticks)) == []
    finally:
        child.communicate("\n", timeout=10)


def test_what_is_no_device_has_no_holders(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with (tmp_path / "file").open(encoding="utf-8"):
        assert holders_of(tmp_path / "file") == []
    assert holders_of(tmp_path / "missing") == []
    assert holders_of("socket://bench:2000") == []


def test_without_proc_nobody_is_named(terminal: str, tmp_path: Path) -> None:
    assert holders_of(terminal, proc=tmp_path / "no-proc") == []
