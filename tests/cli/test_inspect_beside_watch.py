"""`propsoff inspect` on a port that a running bench watches: the bench does it, and the rest is as without one."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import IO, Any

import pytest

from propsoff.bench.setup import consent_store
from propsoff.client import BenchClient
from propsoff.ports.facts import Port, UsbIdentity
from propsoff_sim.threaded import ThreadedBench
from tests_support.asked_benches import AskedBench, asked_bench, service_json, with_questions
from tests_support.captures import SOUND
from tests_support.processes import Run

FAULTY = "brindle-hd53+order-taer"
STRICTER = """\
format = 1
name = "stricter"
extends = "house-default"

[match]
craft = "*"

[firmware]
version = { from = "99.0.0" }
"""


@pytest.fixture
def bench(tmp_path: Path, sim_bench: Any) -> Iterator[AskedBench]:
    with asked_bench(tmp_path, sim_bench.folder) as asked:
        yield asked


@pytest.fixture
def here(bench: AskedBench) -> dict[str, str]:
    """The settings of the bench's own user: the same state, reports and history."""
    return {
        "PROPSOFF_BENCH__STATE": str(bench.state),
        "PROPSOFF_OUTPUT__FOLDER": str(bench.reports),
        "PROPSOFF_STORE__URL": bench.tools.settings.store.url,
    }


def visits(run: Run, here: dict[str, str]) -> list[str]:
    """The ids in history, newest first."""
    return [visit["id"] for visit in json.loads(run("history", "--json", **here).stdout)]


@contextmanager
def process(home: dict[str, str], folder: Path, *words: str | Path) -> Iterator[subprocess.Popen[str]]:
    """`propsoff WORDS...` that goes on."""
    started = subprocess.Popen(
        [sys.executable, "-m", "propsoff", *map(str, words)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=home,
        cwd=folder,
    )
    try:
        yield started
    finally:
        started.kill()
        started.communicate()


def read_until(stream: IO[str] | None, words: str) -> str:
    """The line that has these words; the test's own time-out bounds it."""
    assert stream is not None
    lines = []
    for line in stream:
        lines.append(line)
        if words in line:
            return line
    raise AssertionError(f"{words!r} never came; there was: {''.join(lines)}")


def test_the_bench_at_work_inspects_it_and_its_report_is_given(
    run: Run, home: dict[str, str], sim_bench: Any, tmp_path: Path
) -> None:
    with process(
        home, tmp_path, "watch", "--source", "none", "--listen", "0.05", "--folder", sim_bench.folder
    ) as watch:
        read_until(watch.stdout, "Watching")
        board = sim_bench.plug(FAULTY, "a")
        read_until(watch.stdout, "all of it")
        once = run("inspect", "--json", board.path)
        read_until(watch.stdout, "all of it")
        shown = run("inspect", board.path, "--junit", "checks.xml")
        watch.send_signal(signal.SIGTERM)
        watch.communicate(timeout=30)
    told = f"propsoff: {board.path}: the bench bench watches it and inspects it (place a)\n"
    report = json.loads(once.stdout)
    assert (once.returncode, report["verdict"], once.stderr) == (1, "fail", told)
    assert (shown.returncode, "fail" in shown.stdout) == (1, True)
    said, _, kept = shown.stderr.partition("report: ")
    assert said == told
    reports = tmp_path / "data" / "propsoff" / "reports"
    assert sorted(path.suffix for path in reports.iterdir()) == [".cast"] * 3 + [".json"] * 3, "each visit is kept once"
    written = {path: json.loads(path.read_text()) for path in reports.glob("*.json")}
    assert report in written.values()
    assert Path(kept.strip()) in written
    assert "<failure" in (tmp_path / "checks.xml").read_text()
    assert visits(run, {})[0] == written[Path(kept.strip())]["id"]
    assert len(visits(run, {})) == 3


def test_without_a_bench_the_findings_and_the_exit_code_are_the_same(
    run: Run, bench: AskedBench, here: dict[str, str], sim_bench: Any
) -> None:
    board = sim_bench.plug(FAULTY, "a")
    bench.report_on("a")
    beside = run("inspect", "--json", board.path, **here)
    bench.stop()
    alone = run("inspect", "--json", board.path, **here)
    theirs, ours = json.loads(beside.stdout), json.loads(alone.stdout)
    assert beside.returncode == alone.returncode == 1
    assert "bench" in beside.stderr
    assert alone.stderr == ""
    assert theirs["findings"] == ours["findings"]
    assert theirs["facts"] == ours["facts"]
    assert theirs["sheet"] == ours["sheet"]


def test_a_board_that_is_being_read_is_read_once(
    run: Run, bench: AskedBench, here: dict[str, str], sim_bench: Any
) -> None:
    board = sim_bench.plug("ossel-hd53", "a", pace=2400)
    bench.until(lambda client: [now for now in client.places() if now.state == "reading"])
    done = run("inspect", "--json", board.path, **here)
    assert done.returncode == 0
    assert "the bench bench is reading it already; its report is taken (place a)" in done.stderr
    assert visits(run, here) == [json.loads(done.stdout)["id"]]
    assert board.received.count(b"recite") == 1


def test_a_sheet_of_this_command_judges_what_the_bench_read(
    run: Run, bench: AskedBench, here: dict[str, str], sim_bench: Any, tmp_path: Path
) -> None:
    (tmp_path / "stricter.toml").write_text(STRICTER)
    board = sim_bench.plug("ossel-hd53", "a")
    bench.report_on("a")
    done = run("inspect", "--json", "--sheet", "stricter.toml", "--out", "own", board.path, **here)
    ours = json.loads(done.stdout)
    assert (done.returncode, ours["verdict"], ours["sheet"]["name"]) == (1, "fail", "stricter"), done.stderr
    assert "judged with this command's own settings; by the bench's it is pass" in done.stderr
    with BenchClient.find(bench.state) as client:
        theirs = client.wait("a", timeout_s=0)
    assert theirs is not None
    assert (theirs.verdict, theirs.capture.sha256) == ("pass", ours["capture"]["sha256"])
    [kept] = (tmp_path / "own").glob("*.json")
    assert json.loads(kept.read_text()) == ours
    assert kept.with_suffix(".cast").exists()


def test_hand_notes_of_this_command_are_in_its_report(run: Run, tmp_path: Path, sim_bench: Any) -> None:
    (tmp_path / "box.toml").write_text('format = 1\n[answers]\npropellers-off = true\nbattery-connector = "1"\n')
    checks = with_questions(tmp_path)
    with asked_bench(tmp_path, sim_bench.folder, checks=checks) as bench:
        board = sim_bench.plug("ossel-hd53", "a")
        bench.report_on("a")
        here = {"PROPSOFF_BENCH__STATE": str(bench.state), "PROPSOFF_CHECKS__SHEETS": json.dumps(checks["sheets"])}
        without = run("inspect", "--json", board.path, **here)
        noted = run("inspect", "--json", "--notes", "box.toml", board.path, **here)
    assert (json.loads(without.stdout)["verdict"], without.returncode) == ("unknown", 3)
    report = json.loads(noted.stdout)
    assert (report["verdict"], noted.returncode) == ("pass", 0), noted.stderr
    assert {fact["name"] for fact in report["facts"] if fact["origin"] == "hand"} == {
        "hand.propellers-off",
        "hand.battery-connector",
    }


@pytest.mark.parametrize("option", ["--listen", "--dialect"])
def test_how_a_board_is_asked_is_this_commands_own_affair(
    run: Run, bench: AskedBench, here: dict[str, str], sim_bench: Any, tmp_path: Path, option: str
) -> None:
    board = sim_bench.plug("ossel-hd53", "a")
    bench.report_on("a")
    built_in = Path(sys.modules["propsoff"].__file__ or "").parent / "dialects" / "builtin" / "ossel.toml"
    value = "0.05" if option == "--listen" else str(tmp_path / "ossel.toml")
    (tmp_path / "ossel.toml").write_text(built_in.read_text())
    done = run("inspect", "--json", option, value, board.path, **here)
    assert done.returncode == 0, done.stderr
    assert f"the bench bench watches it too; because of {option} it is opened here" in done.stderr
    assert json.loads(done.stdout)["port"]["origin"] == "named"


def test_a_port_that_the_bench_does_not_know_is_opened_without_a_word(
    run: Run, bench: AskedBench, here: dict[str, str], sim_bench: Any, tmp_path: Path
) -> None:
    known = sim_bench.plug("ossel-hd53", "a")
    bench.report_on("a")
    by_other_path = run("inspect", "--json", Path(known.path).resolve(), **here)
    assert "(place a)" in by_other_path.stderr, "another path of a port that it knows"
    with ThreadedBench(tmp_path / "elsewhere") as elsewhere:
        unknown = elsewhere.plug("ossel-hd53", "a")
        done = run("inspect", "--json", unknown.path, **here)
        assert (done.returncode, done.stderr) == (0, "")
        assert json.loads(done.stdout)["port"]["device"] == str(unknown.path)
        both = run("inspect", "--json", unknown.path, known.path, **here)
    assert [each["port"]["origin"] for each in json.loads(both.stdout)] == ["named", "folder"]


def test_several_targets_keep_their_order_and_the_worst_decides(
    run: Run, bench: AskedBench, here: dict[str, str], sim_bench: Any
) -> None:
    sound, faulty = sim_bench.plug("corvane-hd53", "a"), sim_bench.plug(FAULTY, "b")
    bench.report_on("a")
    bench.report_on("b")
    done = run("inspect", "--json", faulty.path, SOUND, sound.path, faulty.path, **here)
    reports = json.loads(done.stdout)
    assert done.returncode == 1
    assert [each["verdict"] for each in reports] == ["fail", "pass", "pass", "fail"]
    assert reports[0]["id"] == reports[3]["id"], "a port that is named twice is inspected once by a bench"
    assert done.stderr.count("watches it and inspects it") == 2


def test_what_the_operator_denied_stays_shut_in_the_same_words(
    run: Run, bench: AskedBench, here: dict[str, str], sim_bench: Any
) -> None:
    board = sim_bench.plug("ossel-hd53", "a", socket="1-7:1.0")
    bench.until(lambda client: [now for now in client.places() if now.state == "report"])
    port = Port(str(board.path), UsbIdentity(path="1-7:1.0"), "folder")
    consent_store(bench.tools.settings).add(port, "socket", "deny", lambda: datetime.now(UTC))
    done = run("inspect", "--json", board.path, **here)
    assert (done.returncode, done.stdout) == (3, "")
    assert len(done.stderr.splitlines()) == 1
    assert done.stderr.startswith(f"propsoff: {board.path}: ")
    assert done.stderr.count(str(board.path)) == 1
    assert "den" in done.stderr


def test_what_a_killed_bench_left_behind_costs_nothing(run: Run, sim_board: Any, tmp_path: Path) -> None:
    service_json(tmp_path / "left", pid=os.getpid(), socket=str(tmp_path / "left" / "bench.sock"))
    done = run("inspect", "--json", sim_board("ossel-hd53").path, PROPSOFF_BENCH__STATE=str(tmp_path / "left"))
    assert (done.returncode, done.stderr) == (0, "")


def test_a_bench_that_dies_in_the_middle_is_told(home: dict[str, str], sim_bench: Any, tmp_path: Path) -> None:
    with process(
        home, tmp_path, "watch", "--source", "none", "--listen", "0.05", "--folder", sim_bench.folder
    ) as watch:
        read_until(watch.stdout, "Watching")
        board = sim_bench.plug("ossel-hd53", "a", pace=1200)
        read_until(watch.stdout, "is being read")
        with process(home, tmp_path, "inspect", board.path) as inspect:
            read_until(inspect.stderr, "is reading it already")
            watch.kill()
            out, errors = inspect.communicate(timeout=40)
    assert (inspect.returncode, out) == (3, "")
    assert "went away" in errors
    assert len(errors.splitlines()) == 1


def test_of_several_targets_the_others_are_told_when_a_bench_dies(
    home: dict[str, str], sim_bench: Any, tmp_path: Path
) -> None:
    with process(
        home, tmp_path, "watch", "--source", "none", "--listen", "0.05", "--folder", sim_bench.folder
    ) as watch:
        read_until(watch.stdout, "Watching")
        board = sim_bench.plug("ossel-hd53", "a", pace=1200)
        read_until(watch.stdout, "is being read")
        with process(home, tmp_path, "inspect", "--json", board.path, SOUND) as inspect:
            read_until(inspect.stderr, "is reading it already")
            watch.kill()
            out, errors = inspect.communicate(timeout=40)
    assert (inspect.returncode, json.loads(out)["verdict"]) == (3, "pass")
    assert "went away" in errors


def test_ctrl_c_leaves_the_bench_at_its_work(
    run: Run, home: dict[str, str], bench: AskedBench, here: dict[str, str], sim_bench: Any, tmp_path: Path
) -> None:
    board = sim_bench.plug("ossel-hd53", "a", pace=1200)
    bench.until(lambda client: [now for now in client.places() if now.state == "reading"])
    with process({**home, **here}, tmp_path, "inspect", "--json", board.path) as inspect:
        read_until(inspect.stderr, "is reading it already")
        inspect.send_signal(signal.SIGINT)
        out, errors = inspect.communicate(timeout=40)
    assert inspect.returncode == 130
    assert out in ("", "[]\n")
    assert "stopped" in errors or "the bench goes on; its report comes there" in errors
    with BenchClient.find(bench.state) as client:
        assert client.place("a").state == "reading"
