"""A reader of the output that goes away (`| true`, `| head`) changes no exit code of a verdict, and costs no visit."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests_support.asked_benches import asked_bench
from tests_support.captures import CAPTURES, SOUND
from tests_support.processes import Run

EXIT_NO_READER = 128 + 13
"""As a shell has it of what SIGPIPE ended (common practice)."""
FAULTY = CAPTURES / "ossel-hd53-old-firmware.cast"
Unread = Callable[..., "subprocess.CompletedProcess[str]"]


@pytest.fixture
def unread(home: dict[str, str], tmp_path: Path) -> Unread:
    """Run `propsoff WORDS...` into a pipe that nobody reads (any more); with `errors_too` standard error as well."""

    def unread(*words: str | Path, errors_too: bool = False, **more: str) -> subprocess.CompletedProcess[str]:
        ours, theirs = os.pipe()
        os.close(ours)
        try:
            return subprocess.run(
                [sys.executable, "-m", "propsoff", *map(str, words)],
                stdout=theirs,
                stderr=theirs if errors_too else subprocess.PIPE,
                stdin=subprocess.DEVNULL,
                text=True,
                timeout=50,
                check=False,
                cwd=tmp_path,
                env={**home, **more},
            )
        finally:
            os.close(theirs)

    return unread


@pytest.mark.parametrize(("capture", "code"), [(SOUND, 0), (FAULTY, 1)])
@pytest.mark.parametrize("options", [("--json",), (), ("--json", "--markdown", "ticket.md")])
def test_inspect_keeps_its_code_and_its_visit(
    run: Run, unread: Unread, capture: Path, code: int, options: tuple[str, ...]
) -> None:
    done = unread("inspect", *options, capture)
    assert (done.returncode, done.stderr) == (code, "")
    assert [each["complete"] for each in json.loads(run("history", "--json").stdout)] == [True]


def test_json_of_several_targets_too(run: Run, unread: Unread) -> None:
    done = unread("inspect", "--json", SOUND, FAULTY)
    assert (done.returncode, done.stderr) == (1, "")
    assert len(json.loads(run("history", "--json").stdout)) == 2


def test_the_visit_is_kept_also_where_standard_error_is_not_read(run: Run, unread: Unread, tmp_path: Path) -> None:
    assert unread("inspect", SOUND, "--out", tmp_path / "out", errors_too=True).returncode == 0
    assert len(json.loads(run("history", "--json").stdout)) == 1


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("show", "--json", "{newest}"), 1),
        (("show", "{newest}"), 1),
        (("history", "--json"), 0),
        (("history", "--csv"), 0),
        (("history",), 0),
        (("compare", "--json", "{oldest}", "{newest}"), 1),
        (("siblings", "--json", "{board}"), 0),
        (("recheck", "--json"), 0),
        (("checks", "--json"), 0),
        (("settings", "--json"), 0),
        (("export", "-"), EXIT_NO_READER),
        (("--help",), EXIT_NO_READER),
        (("inspect", "--help"), EXIT_NO_READER),
    ],
)
def test_what_looks_back_keeps_its_code_and_complains_of_nothing(
    run: Run, unread: Unread, sim_text: Callable[..., str], tmp_path: Path, words: tuple[str, ...], code: int
) -> None:
    (tmp_path / "other.txt").write_text(sim_text("ossel-hd53+order-eatr").replace("4F2A00191C", "4F2A001999"))
    run("inspect", SOUND)
    run("inspect", tmp_path / "other.txt")
    newest, oldest = json.loads(run("history", "--json").stdout)
    names = {"newest": newest["id"], "oldest": oldest["id"], "board": newest["board"]}
    done = unread(*(word.format(**names) for word in words))
    assert (done.returncode, done.stderr) == (code, "")


def test_wait_keeps_its_code(unread: Unread, tmp_path: Path, sim_bench: Any) -> None:
    bench = {"places": {"a": "left"}, "state": str(tmp_path / "st")}
    with asked_bench(tmp_path, sim_bench.folder, page={"enabled": True, "port": 0}, bench={**bench}) as asked:
        sim_bench.plug("brindle-hd53+order-taer", "a")
        words = ("wait", "left", "--json", "--timeout", "40")
        done = unread(*words, PROPSOFF_BENCH__STATE=str(asked.state))
    assert (done.returncode, done.stderr) == (1, "")


@pytest.mark.parametrize("words", [("inspect", "--json", str(SOUND)), ("settings", "--json")])
def test_a_full_disk_is_said_and_is_no_fault_of_propsoff(
    run: Run, home: dict[str, str], tmp_path: Path, words: tuple[str, ...]
) -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "propsoff", *words],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            timeout=50,
            check=False,
            cwd=tmp_path,
            env=home,
        )
    assert done.returncode == 2
    assert done.stderr == "propsoff: standard output: could not be written: No space left on device\n"
    assert len(json.loads(run("history", "--json").stdout)) == (words[0] == "inspect")
