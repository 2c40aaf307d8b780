"""The guide to learning is executed from its first command to its last, on the simulated board that nobody knows."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

import pexpect
import pytest

from propsoff_sim.wickerby import HARMFUL

GUIDE = Path(__file__).parents[2] / "contrib" / "guide" / "learning.md"
CODES = {
    "propsoff inspect bench/wickerby": [3, 1],  # a stranger first, a fault at the end
    "propsoff dialect check wickerby.toml --capture wickerby.cast": [1],
}
MOVES = 0.1
"""By how much a confidence may differ from the one that the guide shows: it shows what they look like."""


class Block(NamedTuple):
    """A code block of the guide: its language and its text."""

    language: str
    text: str


def blocks() -> list[Block]:
    found = re.findall(r"^```(\w[\w ]*)\n(.*?)^```$", GUIDE.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)
    return [Block(language, text) for language, text in found]


def missing(expected: str, output: str) -> list[str]:
    """The lines of the guide that do not stand in the output in this order; what stands around them is left out."""
    at, absent = 0, []
    for line in expected.splitlines():
        found = output.find(line.strip(), at)
        if line.strip() != "..." and found < 0:
            absent.append(line)
        elif line.strip() != "...":
            at = found + len(line.strip())
    return absent


class Walk:
    """A person who does what the guide says. `said` is what the last command printed."""

    def __init__(self, folder: Path, env: dict[str, str]) -> None:
        self.folder, self.env, self.said = folder, env, ""
        self.codes = {command: iter(codes) for command, codes in CODES.items()}
        self.done: list[str] = []

    def sh(self, text: str) -> None:
        command = text.strip()
        if command.startswith("propsoff sim "):
            return  # it runs already, see `simulated`
        if command.startswith("propsoff watch "):
            self.watch(command)
        else:
            ran = subprocess.run(
                ["bash", "-c", command], cwd=self.folder, env=self.env, stdin=subprocess.DEVNULL, text=True,
                stdout=subprocess.PIPE, stderr=None if "--json" in command else subprocess.STDOUT,
                timeout=40, check=False,
            )  # fmt: skip
            self.said = ran.stdout
            assert ran.returncode == next(self.codes.get(command, iter([0])), 0), (command, self.said)
        self.done.append(command)

    def watch(self, command: str) -> None:
        watching = subprocess.Popen(
            command.split(), cwd=self.folder, env=self.env, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        )
        assert watching.stdout is not None
        try:
            lines = []
            for line in watching.stdout:
                lines.append(line)
                if "all of it:" in line:
                    watching.send_signal(signal.SIGINT)
            self.said = "".join(lines)
            assert watching.wait(20) == 130 or watching.returncode == 0
        finally:
            watching.kill()
            watching.communicate()

    def text(self, text: str) -> None:
        assert missing(text, self.said) == [], self.said

    def text_file(self, text: str) -> None:
        (self.folder / "pasted.txt").write_text(text)

    def draft(self) -> str:
        return (self.folder / "wickerby.toml").read_text()

    def toml(self, text: str) -> None:
        (self.folder / "wickerby.toml").write_text(f"{self.draft()}\n{text}")

    def toml_excerpt(self, text: str) -> None:
        shape = re.compile(re.sub(r"0\\\.\d\d", r"[01]\\.\\d\\d", re.escape(text)))
        assert shape.search(self.draft())

    def diff(self, text: str) -> None:
        lines = text.splitlines()
        draft = self.draft()
        for old, new in zip(lines[::2], lines[1::2], strict=True):
            assert (old[0], new[0]) == ("-", "+")
            assert draft.count(f"{old[1:]}\n") == 1, old
            draft = draft.replace(f"{old[1:]}\n", f"{new[1:]}\n")
        (self.folder / "wickerby.toml").write_text(draft)

    def json(self, text: str) -> None:
        shown = json.loads(text)
        [fact] = [one for one in json.loads(self.said)["facts"] if one["fact"] == shown["fact"]]
        assert fact["confidence"] == pytest.approx(shown.pop("confidence"), abs=MOVES)
        assert {key: fact[key] for key in shown} == shown

    def console(self, text: str) -> None:
        command, question = text.splitlines()
        answer = question[-1]
        asked = question.removesuffix(answer).strip()
        terminal = pexpect.spawn(
            command.removeprefix("$ "), env=self.env, cwd=str(self.folder), encoding="utf-8", timeout=20,
            dimensions=(50, 400),
        )  # fmt: skip
        try:
            for _ in range(30):  # of the questions that come the guide shows one
                index = terminal.expect_exact([asked, "[y/N]: ", pexpect.EOF])
                assert index < 2, terminal.before
                terminal.sendline(answer if index == 0 else "n")
                if index == 0:
                    break
            else:
                raise AssertionError(f"{asked} was not asked")
            while terminal.expect_exact(["[y/N]: ", pexpect.EOF]) == 0:
                terminal.sendline("n")
            terminal.close()
            assert terminal.exitstatus in (0, 3)
        finally:
            terminal.close(force=True)


@contextmanager
def simulated(folder: Path, env: dict[str, str]) -> Iterator[None]:
    """The guide's first command, in another terminal."""
    [command] = [block.text for block in blocks() if block.text.startswith("propsoff sim ")]
    running = subprocess.Popen(
        command.split(), cwd=folder, env=env, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    try:
        assert running.stdout is not None
        assert running.stdout.readline() == "wickerby bench/wickerby\n"
        yield
    finally:
        running.communicate()
    assert running.returncode == 0


@pytest.fixture
def person(home: dict[str, str], tmp_path: Path) -> dict[str, str]:
    """The environment of somebody who types `propsoff` and has the usual folders in their home."""
    (tmp_path / "bin").mkdir()
    (tmp_path / "bin" / "propsoff").write_text(f'#!/bin/sh\nexec "{sys.executable}" -m propsoff "$@"\n')
    (tmp_path / "bin" / "propsoff").chmod(0o755)
    env = {name: value for name, value in home.items() if not re.fullmatch(r"XDG_\w+_HOME", name)}
    path = f"{tmp_path / 'bin'}{os.pathsep}{home['PATH']}"
    return {**env, "PATH": path, "PROPSOFF_TIMINGS__LISTEN_S": "0.05", "TERM": "dumb"}


def test_the_walk_from_a_stranger_to_a_right_report_goes_as_the_guide_says(
    person: dict[str, str], tmp_path: Path
) -> None:
    walk = Walk(tmp_path, person)
    with simulated(tmp_path, person):
        for block in blocks():
            step: Callable[[str], None] = getattr(walk, block.language.replace(" ", "_"))
            step(block.text)
    assert len(walk.done) >= 9
    recorded = (tmp_path / "wickerby.cast").read_text().splitlines()[1:]
    sent = [json.loads(line)[2].strip() for line in recorded if '"i"' in line]
    assert "about" in sent
    assert set(sent).isdisjoint({*HARMFUL, "refusals"})
    assert 'id = "teasel"' in (tmp_path / "teasel.toml").read_text()


def test_the_last_report_names_the_one_fault_of_the_board_and_leaves_nothing_unknown(
    person: dict[str, str], tmp_path: Path
) -> None:
    walk = Walk(tmp_path, person)
    with simulated(tmp_path, person):
        for block in blocks():
            if block.language in ("diff", "toml"):
                getattr(walk, block.language)(block.text)
            elif block.text.startswith("propsoff learn bench"):
                walk.sh(block.text)
        walk.codes = {}
        ran = subprocess.run(
            ["propsoff", "inspect", "--json", "--dialect", "wickerby.toml", "bench/wickerby"], cwd=tmp_path, env=person,
            capture_output=True, text=True, timeout=40, check=False,
        )  # fmt: skip
    report: dict[str, Any] = json.loads(ran.stdout)
    failed = {one["check"]: one["outcome"] for one in report["findings"] if one["outcome"] not in ("pass", "skipped")}
    assert failed == {"overlay-canvas": "fail"}


def test_learning_sends_the_board_none_of_its_harmful_words(
    person: dict[str, str], tmp_path: Path, sim_board: Any
) -> None:
    board = sim_board("wickerby")
    ran = subprocess.run(
        ["propsoff", "learn", str(board.path), "--no-input", "--threshold", "0.5"], cwd=tmp_path, env=person,
        capture_output=True, text=True, timeout=40, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    assert b"about\r" in board.received
    assert board.written == []
