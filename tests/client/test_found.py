"""What a bench says of itself in its state folder, and what is not believed."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from propsoff.client import running_bench
from propsoff.client.found import must_run
from propsoff.exceptions import NoBenchError
from tests_support.asked_benches import service_json


def a_dead_pid() -> int:
    """The id of a process that has ended and was waited for."""
    with subprocess.Popen([sys.executable, "-c", ""]) as ended:
        ended.wait(30)
    return ended.pid


def test_a_bench_that_lives_is_found_with_where_it_can_be_asked(tmp_path: Path) -> None:
    service_json(tmp_path, pid=os.getpid(), bench="bench two", socket="/run/x/bench.sock", url="http://127.0.0.1:8423")
    found = running_bench(tmp_path)
    assert found is not None
    assert (found.bench, found.pid, found.url) == ("bench two", os.getpid(), "http://127.0.0.1:8423")
    assert found.socket == Path("/run/x/bench.sock")


def test_what_a_dead_process_left_behind_is_no_bench(tmp_path: Path) -> None:
    service_json(tmp_path, pid=a_dead_pid(), socket="/run/x/bench.sock")
    assert running_bench(tmp_path) is None
    with pytest.raises(NoBenchError, match="start one: propsoff watch"):
        must_run(tmp_path)


@pytest.mark.parametrize("told", [{"pid": 0}, {"pid": -1}, {"pid": 1 << 70}, {"format": 2}, {"socket": None}])
def test_what_cannot_be_a_bench_is_none(tmp_path: Path, told: dict[str, object]) -> None:
    service_json(tmp_path, **{"pid": os.getpid(), "socket": "/run/x/bench.sock", **told})
    assert running_bench(tmp_path) is None


@pytest.mark.parametrize("text", ["", "{", "[]", "7", '{"format": 1}', '{"format": 1, "pid": "x"}', "[" * 100_000])
def test_a_damaged_file_is_no_bench(tmp_path: Path, text: str) -> None:
    (tmp_path / "service.json").write_text(text)
    assert running_bench(tmp_path) is None


def test_without_a_state_folder_there_is_none(tmp_path: Path) -> None:
    assert running_bench(tmp_path / "absent") is None
