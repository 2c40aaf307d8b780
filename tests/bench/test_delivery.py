"""A report that cannot leave is kept, tried again, said aloud, and never lost in silence."""

from __future__ import annotations

import asyncio
import json
import os
import stat
import tempfile
import threading
from pathlib import Path
from typing import Any

import pytest

from propsoff.bench.aside import Aside
from propsoff.bench.delivery import Deliveries, Parcel
from propsoff.bench.events import Event, Kept, NotKept
from propsoff.console.capture import Capture
from propsoff.inspection.report import Report
from propsoff.outputs.files import ReportFiles
from tests_support.reports import a_report


class Log:
    """Keeps what was said."""

    def __init__(self) -> None:
        self.said: list[tuple[str, dict[str, Any]]] = []
        self.seen: list[Event] = []

    def __call__(self, what: str, **values: Any) -> None:
        self.said.append((what, values))

    def watch(self, event: Event) -> None:
        self.seen.append(event)

    def kept(self) -> list[Kept]:
        return [event for event in self.seen if isinstance(event, Kept)]

    def heard(self, words: str) -> list[dict[str, Any]]:
        return [values for what, values in self.said if words in what]


def parcel(name: str) -> Parcel:
    return Parcel(*a_report(name))


def deliveries(*outputs: Any, log: Log, keep: int = 100, retry_s: float = 0.01, **more: Any) -> Deliveries:
    """The outputs of a bench whose state folder is beside the temporary one."""
    given = {"deadline_s": 5.0, "aside": Aside(Path(tempfile.gettempdir()).parent / "state" / "unwritten"), **more}
    return Deliveries(outputs, retry_s=retry_s, keep=keep, say=log, watcher=log.watch, **given)


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


@pytest.fixture
def fallback(tmp_path: Path) -> Path:
    """Where unwritten reports are put aside."""
    return tmp_path / "state" / "unwritten"


async def test_an_unwritable_folder_loses_nothing_and_is_said_and_recovers(tmp_path: Path) -> None:
    folder, log = tmp_path / "reports", Log()
    folder.write_text("a file stands where the folder should be")
    out = deliveries(ReportFiles(folder), log=log)
    for name in ("first", "second"):
        out.put(parcel(name))
    await until(lambda: len(log.heard("could not be written")) >= 3)
    assert not log.kept()
    said = log.heard("could not be written")[0]
    assert said["output"] == "files"
    assert "reports" in said["problem"]
    folder.unlink()
    await until(lambda: len(log.kept()) == 2)
    assert log.heard("can be written again")
    assert sorted(path.name for path in folder.iterdir()) == ["first.cast", "first.json", "second.cast", "second.json"]
    await out.close(1)
    assert out.lost == 0


async def test_a_watcher_is_told_once_of_each_report_that_waits_and_where_it_is_in_the_end(tmp_path: Path) -> None:
    folder, log = tmp_path / "reports", Log()
    folder.write_text("a file stands where the folder should be")
    out = deliveries(ReportFiles(folder), log=log)
    early, late = parcel("early"), parcel("late")
    out.put(early)
    await until(lambda: len(log.heard("could not be written")) >= 3)
    out.put(late)
    assert [event.report for event in log.seen if isinstance(event, NotKept)] == [early.report, late.report]
    folder.unlink()
    await until(lambda: len(log.kept()) == 2)
    assert [(event.report, event.path) for event in log.kept()] == [
        (early.report, folder / "early.json"),
        (late.report, folder / "late.json"),
    ]
    assert len(log.seen) == 4
    await out.close(1)


async def test_what_is_unwritten_at_the_end_is_put_aside(tmp_path: Path, fallback: Path) -> None:
    (tmp_path / "reports").write_text("")
    log = Log()
    out = deliveries(ReportFiles(tmp_path / "reports"), log=log, retry_s=60)
    out.put(parcel("kept"))
    await until(lambda: log.heard("could not be written"))
    await out.close(0.1)
    assert (fallback / "kept.json").exists()
    assert (fallback / "kept.cast").exists()
    assert log.heard("put aside")[0]["file"] == str(fallback / "kept.json")
    last = log.seen[-1]
    assert isinstance(last, Kept)
    assert last.path == fallback / "kept.json"
    assert out.lost == 0


async def test_where_the_state_folder_cannot_be_written_the_place_aside_is_a_new_one_for_this_user_alone(
    tmp_path: Path, temporary: Path
) -> None:
    (tmp_path / "reports").write_text("")
    (tmp_path / "state").write_text("not a folder either")
    for _ in range(2):  # the second bench does not trust what stands there under a name that anybody can know
        log = Log()
        out = deliveries(ReportFiles(tmp_path / "reports"), log=log, retry_s=60)
        out.put(parcel("one"))
        out.put(parcel("two"))
        await out.close(0.1)
        assert [path.name for path in sorted(log.kept()[0].path.parent.glob("*.json"))] == ["one.json", "two.json"]
    folders = list(temporary.iterdir())
    assert len(folders) == 2
    assert {stat.S_IMODE(folder.stat().st_mode) for folder in folders} == {0o700}


async def test_the_place_aside_is_for_this_user_alone(tmp_path: Path, fallback: Path, temporary: Path) -> None:
    (tmp_path / "reports").write_text("")
    out = deliveries(ReportFiles(tmp_path / "reports"), log=Log(), retry_s=60)
    out.put(parcel("kept"))
    await out.close(0.1)
    assert (fallback / "kept.json").exists()
    assert stat.S_IMODE(fallback.stat().st_mode) == 0o700
    assert list(temporary.iterdir()) == []


async def test_what_can_be_written_nowhere_stands_whole_in_the_log(tmp_path: Path, temporary: Path) -> None:
    (tmp_path / "reports").write_text("")
    (tmp_path / "state").write_text("")
    temporary.rmdir()
    log = Log()
    out = deliveries(ReportFiles(tmp_path / "reports"), log=log, retry_s=60)
    sent = parcel("lost")
    out.put(sent)
    await until(lambda: log.heard("could not be written"))
    await out.close(0.1)
    whole = log.heard("could not be written anywhere")[0]["report_json"]
    assert Report.from_json(whole) == sent.report
    assert json.loads(whole)["id"] == sent.report.id
    assert out.lost == 1
    last = log.seen[-1]
    assert isinstance(last, NotKept)
    assert last.problem.endswith("it stands in the log only")


class Sticky:
    """An output that hangs, raises or answers as told; async."""

    name = "sticky"

    def __init__(self, *deeds: str) -> None:
        self.deeds = list(deeds)
        self.got: list[str] = []

    async def write(self, report: Report) -> None:
        deed = self.deeds.pop(0) if self.deeds else "take"
        if deed == "hang":
            await asyncio.Event().wait()
        if deed == "raise":
            raise LookupError("by design")
        self.got.append(report.id)


async def test_an_output_that_hangs_or_raises_is_tried_again_and_holds_up_no_other(tmp_path: Path) -> None:
    log, sticky = Log(), Sticky("hang", "raise")
    out = deliveries(sticky, ReportFiles(tmp_path), log=log, deadline_s=0.2)
    sent = parcel("one")
    out.put(sent)
    await until((tmp_path / "one.json").exists)
    await until(lambda: sticky.got)
    problems = [said["problem"] for said in log.heard("could not be written")]
    assert problems == ["did not come back within 0.2 s", "LookupError: by design"]
    await out.close(1)
    assert sticky.got == [sent.report.id]


async def test_the_oldest_goes_aside_when_too_many_wait(tmp_path: Path, fallback: Path) -> None:
    (tmp_path / "reports").write_text("")
    log = Log()
    out = deliveries(ReportFiles(tmp_path / "reports"), log=log, keep=2, retry_s=60)
    for name in ("one", "two", "three"):
        out.put(parcel(name))
    await until(log.kept)
    assert [path.name for path in fallback.glob("*.json")] == ["one.json"]
    await out.close(0.1)
    assert sorted(path.name for path in fallback.glob("*.json")) == ["one.json", "three.json", "two.json"]


async def test_writing_never_runs_on_the_event_loop() -> None:
    class Where:
        name = "where"
        thread: int | None = None

        def write(self, report: Report) -> None:
            self.thread = threading.get_ident()

    where = Where()
    out = deliveries(where, log=Log())
    out.put(parcel("x"))
    await out.close(5)
    assert where.thread not in (None, threading.get_ident())


async def test_putting_aside_never_runs_on_the_event_loop_while_the_bench_works(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "reports").write_text("")
    log, synced, sync = Log(), set[int](), os.fsync

    def watched_sync(handle: int) -> None:
        synced.add(threading.get_ident())
        sync(handle)

    monkeypatch.setattr(os, "fsync", watched_sync)
    out = deliveries(ReportFiles(tmp_path / "reports"), log=log, keep=1, retry_s=60)
    for name in ("one", "two", "three"):
        out.put(parcel(name))
    await out.close(1)
    assert [event.path.name for event in log.kept()] == ["one.json", "two.json", "three.json"]
    assert synced
    assert threading.get_ident() not in synced


async def test_what_is_put_after_the_end_is_put_aside_and_told(tmp_path: Path, fallback: Path) -> None:
    log = Log()
    out = deliveries(ReportFiles(tmp_path / "reports"), log=log)
    out.put(parcel("in time"))
    await out.close(5)
    late = parcel("late")
    out.put(late)
    assert [(event.report, event.path) for event in log.kept()[1:]] == [(late.report, fallback / "late.json")]
    assert log.heard("put aside")[0]["reason"] == "the bench has stopped"
    assert out.lost == 0


async def test_what_is_put_after_the_end_and_can_be_written_nowhere_counts(tmp_path: Path, temporary: Path) -> None:
    (tmp_path / "state").write_text("")
    temporary.rmdir()
    log = Log()
    out = deliveries(ReportFiles(tmp_path / "reports"), log=log)
    await out.close(5)
    late = parcel("late")
    out.put(late)
    assert out.lost == 1
    assert Report.from_json(log.heard("could not be written anywhere")[0]["report_json"]) == late.report


class Slow:
    """The report files on a disk that is slow: each writing waits until it is let go on."""

    name = "files"

    def __init__(self, folder: Path) -> None:
        self._files, self.go_on, self.attempts = ReportFiles(folder), threading.Event(), 0

    def keep(self, report: Report, capture: Capture) -> Path:
        self.attempts += 1
        assert self.go_on.wait(20)
        return self._files.keep(report, capture)

    def write(self, report: Report) -> None:
        raise AssertionError("the capture was left out")


async def test_a_slow_disk_is_said_and_waited_for_and_makes_one_file_of_a_report(tmp_path: Path) -> None:
    log, slow = Log(), Slow(tmp_path / "reports")
    out = deliveries(ours=[slow], log=log, deadline_s=0.02)
    sent = parcel("one")
    out.put(sent)
    await until(lambda: log.heard("not written yet"))
    assert [type(event) for event in log.seen] == [NotKept]
    slow.go_on.set()
    await until(log.kept)
    await out.close(5)
    assert sorted(path.name for path in (tmp_path / "reports").iterdir()) == ["one.cast", "one.json"]
    assert (slow.attempts, len(log.kept()), len(log.heard("can be written again"))) == (1, 1, 1)


async def test_a_stop_waits_for_a_slow_disk_within_its_grace(tmp_path: Path, fallback: Path) -> None:
    log, slow = Log(), Slow(tmp_path / "reports")
    out = deliveries(ours=[slow], log=log, deadline_s=0.02)
    out.put(parcel("one"))
    await until(lambda: log.heard("not written yet"))
    closing = asyncio.create_task(out.close(20))
    await asyncio.sleep(0)
    slow.go_on.set()
    await closing
    assert [event.path for event in log.kept()] == [tmp_path / "reports" / "one.json"]
    assert not fallback.exists()


async def test_a_disk_that_hangs_at_the_stop_costs_no_report(tmp_path: Path, fallback: Path) -> None:
    log, slow = Log(), Slow(tmp_path / "reports")
    out = deliveries(ours=[slow], log=log, deadline_s=0.02)
    out.put(parcel("one"))
    await until(lambda: log.heard("not written yet"))
    await out.close(0.05)
    slow.go_on.set()
    assert [event.path for event in log.kept()] == [fallback / "one.json"]


async def test_a_report_whose_first_attempt_was_given_up_too_early_is_not_written_twice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sync, slow = os.fsync, threading.Event()

    def slow_sync(handle: int) -> None:
        slow.wait(0.5)
        sync(handle)

    monkeypatch.setattr(os, "fsync", slow_sync)
    log = Log()
    # As an output of a plug-in, so that its attempts are left behind and made again.
    out = deliveries(ReportFiles(tmp_path / "reports"), log=log, deadline_s=0.1)
    out.put(parcel("one"))
    await until(lambda: len(log.heard("could not be written")) >= 6)
    slow.set()
    await until(log.kept)
    await out.close(5)
    assert sorted(path.name for path in (tmp_path / "reports").glob("[!.]*")) == ["one.cast", "one.json"]
