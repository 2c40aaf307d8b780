"""A bench and its history: the file of a report comes first, and whatever history does holds up nobody."""

from __future__ import annotations

import asyncio
import sqlite3
import threading
import time
from pathlib import Path
from typing import Any

import pytest

from propsoff.bench.aside import Aside
from propsoff.bench.delivery import Deliveries, Parcel
from propsoff.bench.events import Event, Kept
from propsoff.console.capture import Capture
from propsoff.inspection.report import Report
from propsoff.outputs.files import ReportFiles
from propsoff.store.model import Wanted
from propsoff.store.store import open_store
from propsoff_sim.bench import SimBench
from tests_support.benches import watched
from tests_support.reports import a_report


class After:
    """An output that wants the capture; it looks at what is there when a report comes."""

    name = "after"

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.came: list[tuple[str, bool, Capture]] = []
        self.threads: set[int] = set()
        self.held = threading.Event()
        self.held.set()

    def keep(self, report: Report, capture: Capture) -> None:
        self.threads.add(threading.get_ident())
        assert self.held.wait(20)
        name = Path(report.capture.file or "").stem
        self.came.append((name, (self.folder / f"{name}.json").exists(), capture))

    def write(self, report: Report) -> None:
        raise AssertionError("the capture was left out")


def deliveries(after: After, watcher: Any, files: Path) -> Deliveries:
    return Deliveries(
        [],
        ours=[ReportFiles(files)],
        aside=Aside(files.parent / "state" / "unwritten"),
        retry_s=0.01,
        keep=100,
        deadline_s=5.0,
        say=lambda *_, **__: None,
        watcher=watcher,
        after=after,
    )


async def until(condition: Any) -> None:
    async with asyncio.timeout(20):
        while not condition():
            await asyncio.sleep(0.005)


@pytest.fixture(autouse=True)
def temporary(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The temporary folder of this test's own."""
    place = tmp_path / "temporary"
    place.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(place))
    return place


async def test_history_gets_a_report_once_its_file_is_there_and_only_the_file_counts_as_kept(tmp_path: Path) -> None:
    folder = tmp_path / "reports"
    folder.write_text("a file stands where the folder should be")
    after, seen = After(folder), list[Event]()
    out = deliveries(after, seen.append, folder)
    report, capture = a_report("first")
    out.put(Parcel(report, capture))
    await until(lambda: seen)
    assert after.came == [], "the file is not written yet"
    folder.unlink()
    await until(lambda: after.came)
    assert after.came == [("first", True, capture)]
    await out.close(5)
    assert [type(event) for event in seen].count(Kept) == 1
    assert threading.get_ident() not in after.threads


async def test_a_report_whose_file_had_to_be_put_aside_still_comes_to_history(tmp_path: Path) -> None:
    (tmp_path / "reports").write_text("a file stands where the folder should be")
    after = After(tmp_path / "state" / "unwritten")
    out = deliveries(after, lambda _: None, tmp_path / "reports")
    out.put(Parcel(*a_report("first")))
    await out.close(5)
    assert [(name, there) for name, there, _ in after.came] == [("first", True)]
    assert out.lost == 0


async def test_a_history_that_hangs_holds_up_neither_files_nor_the_event_loop(tmp_path: Path) -> None:
    after = After(tmp_path / "reports")
    after.held.clear()
    out = deliveries(after, lambda _: None, tmp_path / "reports")
    longest = 0.0
    for number in range(10):
        before = time.perf_counter()
        out.put(Parcel(*a_report(f"board {number}")))
        longest = max(longest, time.perf_counter() - before)
    await until(lambda: len(list((tmp_path / "reports").glob("*.json"))) == 10)
    assert after.came == []
    assert longest < 0.5
    after.held.set()
    await out.close(10)
    assert len(after.came) == 10


def settings(tmp_path: Path) -> dict[str, object]:
    return {"url": f"sqlite:///{tmp_path}/history.sqlite", "waiting": str(tmp_path / "waiting"), "lock_s": 0.2}


async def test_a_bench_enters_each_visit_with_its_capture(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path, store=settings(tmp_path)) as bench:
        for number in (1, 2):
            sockets.plug("ossel-hd53", "socket")
            await bench.report(number)
            sockets.unplug("socket")
        await bench.files(2)
    assert not bench.troubles
    with open_store(f"sqlite:///{tmp_path}/history.sqlite") as store:
        new, old = await asyncio.to_thread(store.visits, Wanted())
        assert new.replaces == old.id
        assert new.dialect == "ossel"
        assert new.rules is not None
        assert {new.rules, old.rules} == {bench.tools.rules_of(report) for report in bench.reports}
        for report in bench.reports:
            assert store.report(report.id) == report
            evidence = tmp_path / "reports" / str(report.capture.file)
            assert store.capture(report.capture.sha256) == evidence.read_bytes()


async def test_a_bench_whose_history_is_damaged_says_so_at_once_and_its_reports_wait(tmp_path: Path) -> None:
    (tmp_path / "history.sqlite").write_text("a letter, and no database at all")
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path, store=settings(tmp_path)) as bench:
        await bench.until(lambda: any("damaged" in text for text in bench.troubles))
        sockets.plug("ossel-hd53", "socket")
        report = await bench.report()
        await bench.files(1)
        await bench.until(lambda: any(report.id in text for text in bench.troubles))
    assert [path.stem for path in (tmp_path / "waiting").iterdir()] == [report.id]
    assert (tmp_path / "history.sqlite").read_text().startswith("a letter")
    assert bench.lost == 0


async def test_a_history_that_another_process_holds_never_delays_a_board(tmp_path: Path) -> None:
    open_store(f"sqlite:///{tmp_path}/history.sqlite").close()
    raw = sqlite3.connect(tmp_path / "history.sqlite", isolation_level=None)
    raw.execute("BEGIN EXCLUSIVE")
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path, store=settings(tmp_path)) as bench:
        for number in (1, 2, 3):
            sockets.plug("ossel-hd53", "socket")
            await bench.report(number)
            sockets.unplug("socket")
        await bench.files(3)
        await bench.until(lambda: sum("waits in" in text for text in bench.troubles) == 3)
    raw.close()
    assert len(list((tmp_path / "waiting").iterdir())) == 3


async def test_a_bench_without_history_leaves_it_alone(tmp_path: Path) -> None:
    off = {**settings(tmp_path), "enabled": False}
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path, store=off) as bench:
        sockets.plug("ossel-hd53", "socket")
        await bench.report()
        await bench.files(1)
    assert not (tmp_path / "history.sqlite").exists()
