"""`propsoff wait`: the next report on a place of a bench that runs, over its socket and over TCP."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import threading
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

from propsoff.client import BenchClient
from tests_support.asked_benches import TOKEN, AskedBench, asked_bench
from tests_support.processes import Run

FAULTY = "brindle-hd53+order-taer"


@pytest.fixture
def token(tmp_path: Path) -> Path:
    path = tmp_path / "token"
    path.write_text(f"{TOKEN}\n")
    path.chmod(0o600)
    return path


@pytest.fixture
def bench(tmp_path: Path, sim_bench: Any, token: Path) -> Iterator[AskedBench]:
    page = {"enabled": True, "port": 0, "token_file": str(token)}
    places = {"name": "bench two", "places": {"a": "left socket", "b": "right socket"}}
    with asked_bench(tmp_path, sim_bench.folder, page=page, bench={**places, "state": str(tmp_path / "st")}) as asked:
        yield asked


@pytest.fixture
def here(bench: AskedBench) -> dict[str, str]:
    """What makes the command line find this bench."""
    return {"PROPSOFF_BENCH__STATE": str(bench.state)}


@pytest.mark.parametrize(
    ("board", "options", "code"),
    [("ossel-hd53", (), 0), (FAULTY, (), 1), ("ossel-hd53+overlay-off", ("--strict",), 1), ("gps", (), 3)],
)
def test_what_is_printed_and_the_exit_code_are_those_of_inspect(
    run: Run, bench: AskedBench, here: dict[str, str], sim_bench: Any, board: str, options: tuple[str, ...], code: int
) -> None:
    sim_bench.plug(board, "a")
    waited = run("wait", "a", "--timeout", "40", *options, **here)
    assert (waited.returncode, waited.stderr) == (code, "")
    with BenchClient.find(bench.state) as client:
        kept = client.capture(client.place("a").report or "")
    (bench.state / "kept.cast").write_bytes(kept)
    inspected = run("inspect", "--no-history", bench.state / "kept.cast", *options)
    assert inspected.returncode == code
    assert told(waited.stdout) == told(inspected.stdout)


def told(printed: str) -> list[str]:
    """The lines without what says which file or port it was."""
    lines = [line.removesuffix("a").removesuffix("an unidentified board").rstrip(" ·") for line in printed.splitlines()]
    assert len(lines) > 3
    return [line for line in lines if "kept.cast" not in line]


@pytest.mark.parametrize("word", ["a", "left socket", "device"])
def test_a_place_is_named_by_id_name_or_device_and_json_is_the_report_alone(
    run: Run, bench: AskedBench, here: dict[str, str], sim_bench: Any, word: str
) -> None:
    board = sim_bench.plug(FAULTY, "a")
    name = bench.report_on("a")
    done = run("wait", board.path if word == "device" else word, "--json", **here)
    assert (done.returncode, done.stderr) == (1, "")
    report = json.loads(done.stdout)
    assert (report["id"], report["verdict"], report["bench"]) == (name, "fail", "bench two")


def test_with_the_report_that_is_known_it_waits_for_the_next(
    run: Run, bench: AskedBench, here: dict[str, str], sim_bench: Any
) -> None:
    sim_bench.plug(FAULTY, "a")
    known = bench.report_on("a")
    none = run("wait", "a", "--after", known, "--timeout", "0.2", "--json", **here)
    assert (none.returncode, none.stdout) == (3, "")
    assert none.stderr == "propsoff: left socket: no report came within 0.2 s; no newer one was made\n"
    with BenchClient.find(bench.state) as client:
        client.inspect("a")
    newer = run("wait", "a", "--after", known, "--json", **here)
    assert newer.returncode == 1
    assert json.loads(newer.stdout)["id"] != known


def test_without_a_report_in_time_the_reason_is_said(
    run: Run, bench: AskedBench, here: dict[str, str], sim_bench: Any
) -> None:
    empty = run("wait", "right socket", "--timeout", "0", **here)
    assert empty.returncode == 3
    assert empty.stderr == "propsoff: right socket: no report came within 0 s; nothing is plugged in there\n"
    sim_bench.plug("ossel-hd53", "b", pace=1200)
    bench.until(lambda client: client.place("b").state == "reading")
    reading = run("wait", "b", "--timeout", "0", **here)
    assert reading.returncode == 3
    assert reading.stderr == "propsoff: right socket: no report came within 0 s; it is still being read\n"


def test_without_a_bench_it_says_how_to_start_one(run: Run, tmp_path: Path) -> None:
    done = run("wait", "a")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("propsoff: no bench runs with the state folder ")
    assert done.stderr.endswith("; start one: propsoff watch\n")
    absent = run("wait", "a", "--url", "http://127.0.0.1:1")
    assert (absent.returncode, absent.stdout) == (2, "")
    assert "does not answer" in absent.stderr


def test_a_place_that_is_not_there_is_told_with_those_that_are(run: Run, here: dict[str, str]) -> None:
    done = run("wait", "leftt", **here)
    assert (done.returncode, done.stdout) == (2, "")
    assert "has no place 'leftt'; there are: a, b (the setting bench.places" in done.stderr


def test_another_bench_is_asked_with_its_token(
    run: Run, bench: AskedBench, token: Path, sim_bench: Any, tmp_path: Path
) -> None:
    sim_bench.plug("ossel-hd53", "a")
    url = bench.service.url
    assert url is not None
    done = run("wait", "left socket", "--timeout", "40", "--url", url, "--token-file", token, "--json")
    assert (done.returncode, json.loads(done.stdout)["verdict"]) == (0, "pass"), done.stderr
    by_setting = run("wait", "a", "--url", url, PROPSOFF_PAGE__TOKEN_FILE=str(token))
    assert by_setting.returncode == 0
    without = run("wait", "a", "--url", url)
    assert (without.returncode, without.stdout) == (2, "")
    assert len(without.stderr.splitlines()) == 1
    absent = run("wait", "a", "--url", url, "--token-file", tmp_path / "absent")
    assert absent.returncode == 2
    assert "the token cannot be read" in absent.stderr
    assert TOKEN not in without.stderr + absent.stderr


def test_documents_are_written_as_by_inspect(run: Run, here: dict[str, str], sim_bench: Any, tmp_path: Path) -> None:
    sim_bench.plug(FAULTY, "a")
    done = run("wait", "a", "--junit", "checks.xml", "--html", "card.html", "--output", "markdown=-", **here)
    assert done.returncode == 1, done.stderr
    suite = ET.parse(tmp_path / "checks.xml").getroot()
    assert suite.find(".//failure") is not None
    assert "channel-order" in (tmp_path / "card.html").read_text()
    assert done.stdout.startswith("#")


def test_a_bench_that_ends_meanwhile_is_told(
    home: dict[str, str], bench: AskedBench, here: dict[str, str], tmp_path: Path
) -> None:
    waiting = subprocess.Popen(
        [sys.executable, "-m", "propsoff", "wait", "a", "--timeout", "50"],
        env={**home, **here},
        cwd=tmp_path,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        somebody_waits(bench)
        bench.stop()
        out, errors = waiting.communicate(timeout=40)
    finally:
        waiting.kill()
        waiting.communicate()
    assert (waiting.returncode, out) == (3, "")
    assert "went away" in errors
    assert len(errors.splitlines()) == 1


def somebody_waits(bench: AskedBench) -> None:
    """Until somebody has looked at a place, which is what comes before waiting for its report (OpenMetrics text)."""
    transport = httpx.HTTPTransport(uds=str(bench.socket))
    asked = re.compile(r'^propsoff_requests_total\{.*route="[^"]*/\{place\}".*\} [1-9]', re.MULTILINE)
    pause = threading.Event()
    with httpx.Client(transport=transport, base_url="http://localhost") as http:
        for _ in range(400):
            if asked.search(http.get("/api/1/metrics").text):
                return
            pause.wait(0.1)
    raise AssertionError("nobody ever waited")
