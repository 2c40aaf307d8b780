"""Many captures: what is no file, and a pool whose workers die, cost a row at the most."""

from __future__ import annotations

import os
import threading
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from typing import Any

import pytest

from propsoff.bench import batch
from propsoff.bench.batch import Job, Row, find_captures, readable, run_batch


def answered(path: Path) -> Any:
    """What `readable` gives, or None when it does not come back."""
    answer: Future[Any] = Future()
    threading.Thread(target=lambda: answer.set_result(readable(path)), daemon=True).start()
    return answer.result(timeout=10)


@pytest.mark.parametrize("kind", ["pipe", "link to a pipe", "link to a device", "folder"])
def test_what_is_no_file_is_not_read_and_is_told(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "x.txt"
    if kind == "pipe":
        os.mkfifo(path)
    elif kind == "folder":
        path.mkdir()
    else:
        os.mkfifo(tmp_path / "pipe")
        path.symlink_to("/dev/tty" if kind.endswith("device") else tmp_path / "pipe")
    capture = answered(path)
    assert capture.ending == f"the capture cannot be read: {path}: not a file; name a saved capture"
    if kind != "folder":
        assert path in find_captures(tmp_path)


class Fragile(Executor):
    """Workers that die as soon as they have done `lasts` tasks: what is handed over afterwards is refused."""

    def __init__(self, lasts: int) -> None:
        self._lasts = lasts
        self._pool = ThreadPoolExecutor(1)

    def submit(self, call: Any, /, *args: Any, **kwargs: Any) -> Future[Any]:
        if self._lasts == 0:
            raise BrokenProcessPool("a worker died")
        self._lasts -= 1
        return self._pool.submit(call, *args, **kwargs)

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        self._pool.shutdown(wait=wait, cancel_futures=cancel_futures)


@pytest.mark.parametrize("lasts", [1, 2, 3, 5])
def test_a_pool_that_refuses_the_next_task_loses_no_capture(monkeypatch: pytest.MonkeyPatch, lasts: int) -> None:
    def inspected(job: Job, paths: list[str]) -> list[Row]:
        return [Row(Path(path).name, "pass") for path in paths]

    monkeypatch.setattr(batch, "inspect_chunk", inspected)
    monkeypatch.setattr(batch, "CHUNK", 3)
    paths = [Path(f"/x/{number}") for number in range(40)]
    rows = list(run_batch(lambda: Fragile(lasts), Job("/x", "/o", "{}", sync=False), paths, width=2))
    assert [row.file for row in rows] == [path.name for path in paths]
    assert {row.verdict for row in rows} == {"pass"}
