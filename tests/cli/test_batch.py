"""`propsoff batch`: every capture of a tree, one report each, whatever is among them."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from propsoff.bench.batch import Job, Row, find_captures, first_of, inspect_chunk, run_batch
from propsoff.settings import Settings
from tests_support.findings import CAUSE, EFFECT, LET_BE, report_of
from tests_support.processes import Run


@pytest.fixture
def tree(tmp_path: Path, sim_text: Callable[..., str]) -> Path:
    """Captures good, faulty, broken and hidden."""
    folder = tmp_path / "captures"
    (folder / "monday").mkdir(parents=True)
    (folder / ".hidden").mkdir()
    (folder / "good.txt").write_text(sim_text("ossel-hd53"))
    (folder / "monday" / "taer.txt").write_text(sim_text("brindle-hd53+order-taer"))
    (folder / "monday" / "cut.txt").write_text(sim_text("ossel-hd53")[:900])
    (folder / "broken.cast").write_text("[1, 2")
    (folder / "binary.txt").write_bytes(bytes(range(256)) * 40)
    (folder / "readme.md").write_text("no capture")
    (folder / ".hidden" / "good.txt").write_text("x")
    (folder / "dangling.cast").symlink_to(folder / "nowhere")
    return folder


def test_each_capture_gets_a_report_and_the_summary_counts_them(run: Run, tree: Path, tmp_path: Path) -> None:
    done = run("batch", tree, "--out", tmp_path / "out", "--jobs", "2")
    assert done.returncode == 1
    summary = json.loads((tmp_path / "out" / "summary.json").read_text())
    verdicts = {row["file"]: row["verdict"] for row in summary["rows"]}
    assert verdicts == {
        "binary.txt": "incomplete",
        "broken.cast": "incomplete",
        "dangling.cast": "incomplete",
        "good.txt": "pass",
        "monday/cut.txt": "incomplete",
        "monday/taer.txt": "fail",
    }
    assert summary["verdicts"] == {"pass": 1, "fail": 1, "incomplete": 4}
    for row in summary["rows"]:
        report = json.loads((tmp_path / "out" / row["report"]).read_text())
        assert report["verdict"] == row["verdict"]
        assert report["capture"]["file"] == Path(row["file"]).name
    assert "broken.cast, line 1" in " ".join(row["first"] for row in summary["rows"])
    assert "6 captures: 1 pass, 1 fail, 4 incomplete" in done.stdout
    assert "monday/taer.txt" in done.stdout
    assert "good.txt" not in done.stdout
    assert "Traceback" not in done.stdout + done.stderr


def test_a_report_that_cannot_be_written_is_said_in_words_and_is_no_fault_of_propsoff(
    run: Run, tmp_path: Path, sim_text: Callable[..., str]
) -> None:
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "one.txt").write_text(sim_text("ossel-hd53"), "utf-8")
    (tmp_path / "out" / "one.txt.json").mkdir(parents=True)
    done = run("batch", "in", "--out", "out", "--jobs", "1")
    assert done.returncode == 2
    assert "the report could not be written: Is a directory" in " ".join(done.stdout.split())
    assert "Errno" not in done.stdout


def test_a_process_pool_gives_what_one_process_gives(run: Run, tmp_path: Path, sim_text: Callable[..., str]) -> None:
    folder = tmp_path / "captures"
    folder.mkdir()
    for number, name in enumerate(["ossel-hd53", "brindle-analog+bad-baud", "corvane-hd53"] * 14):
        (folder / f"{number:02}.txt").write_text(sim_text(name))
    for jobs in ("1", "2"):
        assert run("batch", folder, "--out", tmp_path / jobs, "--jobs", jobs).returncode == 1
    one, two = (json.loads((tmp_path / jobs / "summary.json").read_text())["rows"] for jobs in ("1", "2"))
    assert one == two
    assert [row["verdict"] for row in one] == ["pass", "fail", "pass"] * 14
    for row in one:
        first, second = (json.loads((tmp_path / jobs / row["report"]).read_text()) for jobs in ("1", "2"))
        assert first["findings"] == second["findings"]


def test_an_empty_folder_is_a_usage_error(run: Run, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    done = run("batch", tmp_path / "empty", "--out", tmp_path / "out")
    assert done.returncode == 2
    assert "no capture" in done.stderr


@pytest.mark.parametrize(
    ("folder", "out", "told"),
    [
        ("captures", "captures", "lies in the tree that is read"),
        ("captures", "captures/monday/reports", "captures-reports"),
        ("captures", "captures/good.txt/out", "lies in the tree that is read"),
        ("captures", "file", "file: reports cannot be written there"),
        ("captures", "file/out", "file/out: reports cannot be written there"),
        ("captures/good.txt", "out", "propsoff inspect captures/good.txt"),
        ("absent", "out", "absent: there is no such folder"),
    ],
)
def test_folders_that_cannot_serve_are_one_line_and_nothing_is_touched(
    run: Run, tree: Path, tmp_path: Path, folder: str, out: str, told: str
) -> None:
    (tmp_path / "file").write_text("")
    before = sorted(tmp_path.rglob("*"))
    done = run("batch", folder, "--out", out)
    assert (done.returncode, done.stdout) == (2, "")
    assert told in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert sorted(tmp_path.rglob("*")) == before


def _dies(job: Job, paths: list[str]) -> list[Row]:
    """What a worker does when the system kills it over one file."""
    import os

    if any("killer" in path for path in paths):
        os._exit(9)
    return inspect_chunk(job, paths)


def test_a_worker_that_dies_costs_only_the_capture_that_killed_it(
    tmp_path: Path, sim_text: Callable[..., str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    monkeypatch.setattr("propsoff.bench.batch.inspect_chunk", _dies)
    monkeypatch.setattr("propsoff.bench.batch.CHUNK", 2)
    folder = tmp_path / "captures"
    folder.mkdir()
    for name in ("a", "b", "killer", "d", "e"):
        (folder / f"{name}.txt").write_text(sim_text("ossel-hd53"))
    job = Job(str(folder), str(tmp_path / "out"), Settings().model_dump_json(), sync=False)
    rows = list(
        run_batch(lambda: ProcessPoolExecutor(1, mp_context=get_context("fork")), job, find_captures(folder), width=2)
    )
    assert {row.file: row.verdict for row in rows} == {
        "a.txt": "pass",
        "b.txt": "pass",
        "killer.txt": "error",
        "d.txt": "pass",
        "e.txt": "pass",
    }
    assert "died" in next(row.first for row in rows if row.verdict == "error")


def test_what_to_look_at_first_is_a_cause_and_nothing_that_is_waived() -> None:
    worse = EFFECT.model_copy(update={"outcome": CAUSE.outcome})
    assert first_of(report_of(worse, LET_BE, CAUSE)) == CAUSE.summary
    assert first_of(report_of(LET_BE)) == ""
    assert first_of(report_of(CAUSE, complete=False, ended="It was unplugged.")) == "It was unplugged."
