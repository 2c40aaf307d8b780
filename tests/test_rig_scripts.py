"""The scripts in contrib/rig and the examples of the guide to rigs, against a real bench with simulated boards."""

from __future__ import annotations

import inspect
import json
import os
import re
import shlex
import subprocess
import sys
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from propsoff import BenchClient
from propsoff.bench.places import place_id
from propsoff.cli.main import EXIT_BUG, EXIT_FAILED, EXIT_STOPPED, EXIT_UNKNOWN, EXIT_USAGE
from propsoff.settings_sources import load_settings
from tests_support.asked_benches import TOKEN, AskedBench, asked_bench

ROOT = Path(__file__).parent.parent
RIG = ROOT / "contrib" / "rig"
GUIDE = ROOT / "contrib" / "guide" / "rigs.md"
FAULTY = "brindle-hd53+order-taer"
SCRIPTS = [["/bin/sh", str(RIG / "inspect.sh")], [sys.executable, str(RIG / "inspect_board.py")]]
Words = Callable[..., "subprocess.CompletedProcess[str]"]


@pytest.fixture
def bench(tmp_path: Path, sim_bench: Any) -> Iterator[AskedBench]:
    token = tmp_path / "token"
    token.write_text(f"{TOKEN}\n")
    token.chmod(0o600)
    page = {"enabled": True, "port": 0, "token_file": str(token)}
    with asked_bench(tmp_path, sim_bench.folder, page=page) as asked:
        yield asked


@pytest.fixture
def run(bench: AskedBench, tmp_path: Path) -> Words:
    """Run words to their end, as the user of that bench, where `propsoff` is a command."""
    programs = tmp_path / "programs"
    programs.mkdir()
    (programs / "propsoff").write_text(f'#!/bin/sh\nexec {shlex.quote(sys.executable)} -m propsoff "$@"\n')
    (programs / "python3").write_text(f'#!/bin/sh\nexec {shlex.quote(sys.executable)} "$@"\n')
    for program in programs.iterdir():
        program.chmod(0o755)
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("PROPSOFF_", "XDG_"))}
    home = {"HOME": str(tmp_path), "PROPSOFF_BENCH__STATE": str(bench.state)}
    path = {"PATH": f"{programs}:{os.environ['PATH']}"}

    def run(*words: str, **more: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            words,
            capture_output=True,
            text=True,
            timeout=50,
            check=False,
            cwd=tmp_path,
            stdin=subprocess.DEVNULL,
            env={**kept, **home, **path, **more},
        )

    return run


@pytest.mark.parametrize("script", SCRIPTS, ids=["curl", "python"])
@pytest.mark.parametrize(("board", "code"), [("ossel-hd53", 0), (FAULTY, 1), ("gps", 3)])
def test_a_board_is_inspected_anew_and_the_exit_code_is_its_verdict(
    run: Words, bench: AskedBench, sim_bench: Any, script: list[str], board: str, code: int
) -> None:
    sim_bench.plug(board, "a")
    known = bench.report_on("a")
    done = run(*script, "a")
    assert (done.returncode, done.stderr) == (code, "")
    assert done.stdout.splitlines()[0] == {0: "pass", 1: "fail", 3: "incomplete"}[code]
    assert ("throttle, elevator and aileron are rotated" in done.stdout) == (code == 1)
    assert bench.report_on("a") != known


@pytest.mark.parametrize("script", SCRIPTS, ids=["curl", "python"])
def test_what_the_bench_refuses_is_told(run: Words, bench: AskedBench, sim_bench: Any, script: list[str]) -> None:
    sim_bench.plug("ossel-hd53", "a")
    bench.report_on("a")
    done = run(*script, "b")
    assert (done.returncode, done.stdout) == (2, "")
    assert re.search(r"no place 'b'; there are: a", done.stderr)


@pytest.mark.parametrize("script", SCRIPTS, ids=["curl", "python"])
def test_a_place_is_named_by_its_name_or_by_what_is_plugged_in_too(
    run: Words, bench: AskedBench, sim_bench: Any, script: list[str]
) -> None:
    sim_bench.plug("ossel-hd53", "the left socket")
    place = place_id("the left socket")
    bench.report_on(place)
    for word in (place, "the left socket", str(sim_bench.folder / "the left socket")):
        done = run(*script, word)
        assert (done.returncode, done.stdout, done.stderr) == (0, "pass\n", ""), word


@pytest.mark.parametrize("script", SCRIPTS, ids=["curl", "python"])
def test_a_board_that_is_being_read_already_is_waited_for(
    run: Words, bench: AskedBench, sim_bench: Any, script: list[str]
) -> None:
    sim_bench.plug(FAULTY, "a", pace=20_000)
    with BenchClient.find(bench.state) as client:
        bench.until(lambda _: [now for now in client.places() if now.state == "reading"])
        done = run(*script, "a")
        assert (done.returncode, done.stdout.splitlines()[0]) == (1, "fail")
        assert len(client.places()[0].past) == 1, "it was read once"


@pytest.mark.parametrize("script", SCRIPTS, ids=["curl", "python"])
def test_the_bench_is_found_where_the_system_keeps_state(
    run: Words, bench: AskedBench, sim_bench: Any, tmp_path: Path, script: list[str]
) -> None:
    sim_bench.plug(FAULTY, "a")
    bench.report_on("a")
    (tmp_path / "kept").mkdir()
    (tmp_path / "kept" / "propsoff").symlink_to(bench.state)
    done = run("/usr/bin/env", "-u", "PROPSOFF_BENCH__STATE", f"XDG_STATE_HOME={tmp_path / 'kept'}", *script, "a")
    assert (done.returncode, done.stderr) == (1, "")


@pytest.mark.parametrize("script", SCRIPTS, ids=["curl", "python"])
def test_a_script_that_is_called_wrongly_never_ends_as_if_a_check_had_failed(
    run: Words, tmp_path: Path, script: list[str]
) -> None:
    done = run(*script)
    assert (done.returncode, done.stdout) == (2, "")
    assert "PLACE" in done.stderr
    (tmp_path / "propsoff.toml").write_text("no settings")
    done = run("/usr/bin/env", "-u", "PROPSOFF_BENCH__STATE", *script, "a")
    assert (done.returncode, done.stdout) == (2, "")


@pytest.mark.parametrize("script", SCRIPTS, ids=["curl", "python"])
def test_without_a_bench_they_end_with_2(run: Words, tmp_path: Path, script: list[str]) -> None:
    done = run(*script, "a", PROPSOFF_BENCH__STATE=str(tmp_path / "none"))
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr


def test_the_curl_script_asks_another_bench_as_its_comment_says(
    run: Words, bench: AskedBench, sim_bench: Any, tmp_path: Path
) -> None:
    text = (RIG / "inspect.sh").read_text()
    url = bench.service.url
    assert url is not None
    for old, new in [('--unix-socket "$socket"', '--oauth2-bearer "$(cat token)"'), ("http://bench/", f"{url}/")]:
        assert text.count(old) == 1 + (old in text.partition("# A bench on another host")[2])
        text = text.replace(old, new, 1)
    (tmp_path / "far.sh").write_text(text)
    sim_bench.plug(FAULTY, "a")
    bench.report_on("a")
    done = run("/bin/sh", "far.sh", "a")
    assert (done.returncode, done.stdout.splitlines()[0], done.stderr) == (1, "fail", "")


def test_the_scripts_are_short() -> None:
    for name in ("inspect.sh", "inspect_board.py"):
        lines = (RIG / name).read_text().splitlines()
        code = [line for line in lines if line.strip() and not line.startswith(("#", '"""', "Propellers"))]
        assert len(code) <= 10, name


def blocks(language: str) -> list[str]:
    """The examples of the guide in a language."""
    return re.findall(rf"```{language}\n(.*?)```", GUIDE.read_text(), re.DOTALL)


def test_every_command_of_the_guide_ends_as_it_says(
    run: Words, bench: AskedBench, sim_bench: Any, tmp_path: Path
) -> None:
    board = sim_bench.plug(FAULTY, "a")
    bench.report_on("a")
    [block] = blocks("sh")
    lines = block.splitlines()
    assert len(lines) == 5
    for line in lines:
        command, _, code = line.partition("# exit code ")
        done = run("/bin/sh", "-c", command.replace("/dev/ttyACM0", str(board.path)))
        assert done.returncode == int(code), (line, done.stderr)
    report, again = (json.loads((tmp_path / name).read_text()) for name in ("report.json", "again.json"))
    assert (report["verdict"], again["verdict"]) == ("fail", "fail")
    assert report["id"] != again["id"]
    cases = ET.parse(tmp_path / "checks.xml").getroot().findall(".//testcase")
    assert len(cases) > 5
    assert any(case.find("failure") is not None for case in cases)


def test_the_python_of_the_guide_runs(run: Words, bench: AskedBench, sim_bench: Any, tmp_path: Path) -> None:
    sim_bench.plug(FAULTY, "a")
    bench.report_on("a")
    plain, asynchronous = blocks("python")
    (tmp_path / "plain.py").write_text(plain)
    (tmp_path / "follow.py").write_text(asynchronous)
    done = run("python3", "plain.py")
    assert (done.returncode, done.stderr) == (0, "")
    assert "throttle, elevator and aileron are rotated" in done.stdout
    assert (tmp_path / "evidence.cast").read_bytes().startswith(b'{"version": 2')
    followed = run("python3", "follow.py")
    assert (followed.returncode, followed.stderr) == (0, "")
    assert "PlaceNow(place='a'" in followed.stdout


def test_the_settings_of_the_guide_are_settings(tmp_path: Path) -> None:
    [block] = blocks("toml")
    (tmp_path / "propsoff.toml").write_text(block)
    bench = load_settings({}, folder=tmp_path).settings.bench
    assert (bench.name, bench.places) == ("rig 2", {"1-7": "left socket", "1-8": "right socket"})


def test_the_guide_names_every_exit_code_and_method() -> None:
    text = GUIDE.read_text()
    for code in (0, EXIT_FAILED, EXIT_USAGE, EXIT_UNKNOWN, EXIT_BUG, EXIT_STOPPED):
        assert f"\n| {code} | " in text
    for name, method in inspect.getmembers(BenchClient, callable):
        if not name.startswith("_") and name not in ("close", "find", "of", "ask"):
            assert re.search(rf"\b{name}\(", text), method
