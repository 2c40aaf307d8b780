"""A report that cannot leave is kept, tried again, said aloud, and never lost in silence."""

from __future__ import annotations

import asyncio
import json
import threading
from pathlib import Path
from typing import Any

import pytest

from propsoff.bench.delivery import Deliveries, Parcel
from propsoff.bench.events import Event, Kept, NotKept
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


def deliveries(*outputs: Any, log: Log, keep: int = 100, retry_s: float = 0.01, deadline_s: float = 5.0) -> Deliveries:
    return Deliveries(outputs, retry_s=retry_s, keep=keep, deadline_s=deadline_s, say=log, watcher=log.watch)


async def until(condition: Any) -> None:
    async with asyncio.timeout(20):
        while not condition():
            await asyncio.sleep(0.005)


@pytest.fixture(autouse=True)
def fallback(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The temporary folder of this test's own."""
    place = tmp_path / "temporary"
    place.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(place))
    return place / "propsoff-unwritten"


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


async def test_what_can_be_written_nowhere_stands_whole_in_the_log(tmp_path: Path, fallback: Path) -> None:
    (tmp_path / "reports").write_text("")
    fallback.write_text("not a folder either")
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
    assert [path.name for path in fallback.glob("*.json")] == ["one.json"]
    assert len(log.kept()) == 1
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
