"""`propsoff learn`: what is written where, what is never written over, and how it is stopped."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import pexpect
import pytest

from tests_support.captures import SOUND
from tests_support.processes import Run


def test_a_draft_that_cannot_be_written_is_printed_and_that_is_said(run: Run, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    done = run("learn", SOUND, "--no-input", "--out", tmp_path / "file" / "draft.toml")
    assert done.returncode == 2
    assert "draft.toml: the draft could not be written: " in done.stderr
    assert "fault" not in done.stderr
    assert done.stdout == run("learn", SOUND, "--no-input").stdout != ""


@pytest.mark.parametrize("name", ["there.toml", f"{'x' * 300}.toml"])
def test_a_draft_is_written_over_nothing_and_not_where_nothing_can_be(run: Run, tmp_path: Path, name: str) -> None:
    (tmp_path / "there.toml").write_text("mine")
    done = run("learn", SOUND, "--no-input", "--out", name)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(f"propsoff: {name}: ")
    assert (tmp_path / "there.toml").read_text() == "mine"


def test_the_conversation_is_kept_beside_the_draft_in_the_place_of_no_other(
    run: Run, tmp_path: Path, sim_board: Any
) -> None:
    (tmp_path / "draft.cast").write_text("an earlier one")
    board = sim_board("wickerby")
    done = run("--set", "timings.listen_s=0.05", "learn", board.path, "--no-input", "--out", "draft.toml")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "draft.cast").read_text() == "an earlier one"
    assert '"recorded"' in (tmp_path / "draft-2.cast").read_text()
    assert (tmp_path / "draft.toml").exists()


def test_a_draft_is_not_called_what_its_conversation_will_be_called(run: Run, sim_board: Any) -> None:
    done = run("learn", sim_board("ossel-hd53").path, "--no-input", "--out", "draft.cast")
    assert done.returncode == 2
    assert "name the draft draft.toml" in done.stderr


def test_ctrl_c_at_the_question_ends_it_at_once_and_keeps_what_was_said(
    home: dict[str, str], tmp_path: Path, sim_board: Any
) -> None:
    board = sim_board("ossel-hd53")
    words = ["-m", "propsoff", "--set", "timings.listen_s=0.05", "learn", str(board.path), "--out", "draft.toml"]
    terminal = pexpect.spawn(
        sys.executable, words, env={**home, "TERM": "dumb"}, cwd=str(tmp_path), encoding="utf-8", timeout=20
    )
    try:
        terminal.expect_exact("Send these?")
        terminal.sendintr()
        terminal.expect_exact("nothing was learned: it was stopped")
        terminal.expect(pexpect.EOF)
        terminal.close()
        assert terminal.exitstatus == 130
    finally:
        terminal.close(force=True)
    assert "end: it was stopped" in (tmp_path / "draft.cast").read_text()


@pytest.mark.parametrize(("answer", "listed"), [("yes", True), ("n", False), ("", False)])
def test_words_are_sent_only_when_somebody_says_yes(
    home: dict[str, str], tmp_path: Path, sim_board: Any, answer: str, listed: bool
) -> None:
    board = sim_board("ossel-hd53")
    words = ["-m", "propsoff", "--set", "timings.listen_s=0.05", "learn", str(board.path), "--out", "draft.toml"]
    done = subprocess.run(
        [sys.executable, *words, "--json"],
        input=f"{answer}\n",
        capture_output=True,
        text=True,
        timeout=50,
        check=False,
        cwd=tmp_path,
        env=home,
    )
    assert "Send these? [y/N]: " in done.stderr
    assert (b"recite" in board.received) is listed
    assert (tmp_path / "draft.cast").exists() is listed
