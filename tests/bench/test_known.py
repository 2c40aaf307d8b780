"""The memory of boards: nothing that is in the file, or at the same time, costs more than a listening window."""

from __future__ import annotations

import json
import threading
from pathlib import Path

import pytest

from propsoff.bench.known import KnownBoards
from propsoff.ports.facts import Port, UsbIdentity


def board(serial: str) -> Port:
    return Port("/dev/ttyACM0", UsbIdentity(0x1209, 0x0001, serial))


DAMAGE = ["", "{", "[]", "null", '{"boards": 3}', '{"boards": []}', '{"format": 1}', "[" * 200_000, "\udcff"]


@pytest.mark.parametrize("text", DAMAGE, ids=lambda text: repr(text[:12]))
def test_a_damaged_memory_is_put_aside_whole_and_begun_anew(tmp_path: Path, text: str) -> None:
    path = tmp_path / "known.json"
    data = text.encode("utf-8", "surrogateescape")
    path.write_bytes(data)
    known = KnownBoards(path)
    assert known.dialect_of(board("A")) is None
    assert (tmp_path / "known.json.damaged").read_bytes() == data
    assert not path.exists()
    known.remember(board("A"), "ossel")
    assert KnownBoards(path).dialect_of(board("A")) == "ossel"


def test_a_memory_that_is_not_there_or_sound_is_not_put_aside(tmp_path: Path) -> None:
    KnownBoards(tmp_path / "known.json").remember(board("A"), "ossel")
    assert KnownBoards(tmp_path / "known.json").dialect_of(board("A")) == "ossel"
    assert [path.name for path in tmp_path.iterdir()] == ["known.json"]


def test_boards_remembered_at_the_same_time_are_all_kept(tmp_path: Path) -> None:
    known = KnownBoards(tmp_path / "known.json")
    for number in range(2000):
        known._dialects[f"x/{number}"] = "ossel"
    start = threading.Barrier(6)
    errors: list[BaseException] = []

    def work(name: int) -> None:
        for number in range(12):
            start.wait(20)
            try:
                known.remember(board(f"{name}-{number}"), "ossel")
            except RuntimeError as error:
                errors.append(error)

    workers = [threading.Thread(target=work, args=(name,)) for name in range(6)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join(60)
    assert not errors
    assert len(json.loads((tmp_path / "known.json").read_bytes())["boards"]) == 2000 + 6 * 12
