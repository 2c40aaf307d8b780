"""`propsoff watch --ask` on a real terminal: questions beside the rows, and beside others who answer."""

from __future__ import annotations

import json
import os
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pexpect
import pytest

from propsoff import load_notes
from propsoff.client import AskView, BenchClient
from tests_support.asked_benches import with_questions
from tests_support.processes import Run

STARTED_S = 20.0


class Watch:
    """The daemon on a terminal, with a sheet that asks two questions."""

    def __init__(self, home: dict[str, str], folder: Path, sockets: Path) -> None:
        self.folder, self.state = folder, folder / "st"
        words = ["watch", "--ask", "--source", "none", "--listen", "0.05", "--folder", str(sockets), "--out", "out"]
        sheets = json.dumps(with_questions(folder)["sheets"])
        settings = ["--set", f"bench.state={self.state}", "--set", f"checks.sheets={sheets}"]
        self.terminal = pexpect.spawn(
            sys.executable,
            ["-m", "propsoff", *settings, *words],
            env={**home, "TERM": "dumb"},
            cwd=str(folder),
            encoding="utf-8",
            codec_errors="replace",
            timeout=STARTED_S,
            dimensions=(50, 200),
        )
        self.sees("Watching.")

    def sees(self, *several: str) -> None:
        """Each of these texts, one after the other."""
        for text in several:
            self.terminal.expect_exact(text)

    def says(self, prompt: str, typed: str) -> None:
        """A line, at the prompt below this text."""
        self.sees(prompt, "> ")
        self.terminal.sendline(typed)

    def ask(self) -> AskView:
        """What waits for an answer, as a program sees it."""
        with BenchClient.find(self.state) as bench:
            for _ in bench.events():
                if waiting := bench.asks():
                    return waiting[0]
        raise AssertionError("the bench ended")

    def notes(self, count: int = 1) -> list[dict[str, Any]]:
        """The answers that were kept, by craft."""
        files = sorted((self.folder / "out").glob("*.notes.toml"))
        assert len(files) == count
        return [{name: note.value for name, note in load_notes(path).answers.items()} for path in files]

    def ends(self) -> int | None:
        self.terminal.sendintr()
        self.sees("Stopped.")
        self.terminal.expect(pexpect.EOF)
        self.terminal.close()
        status: int | None = self.terminal.exitstatus
        return status


@pytest.fixture
def watch(home: dict[str, str], tmp_path: Path, sim_bench: Any) -> Iterator[Watch]:
    watch = Watch(home, tmp_path, sim_bench.folder)
    yield watch
    watch.terminal.close(force=True)


def test_each_question_is_asked_in_its_turn_and_the_new_report_follows(watch: Watch, sim_bench: Any) -> None:
    sim_bench.plug("ossel-hd53", "a")
    watch.sees("unknown", "a  Teal Wren", ": 2 questions of the sheet ours.", "Propellers off.")
    watch.says("1/2  Are all propellers off? [y/n]", "maybe")
    watch.says("y or n, please", "Y")
    watch.sees("2/2  Which connector does the battery have?", "1  3", "2  1")
    watch.says("", "7")
    watch.says("a number from 1 to 2, please", "1")
    watch.sees("     3\r\n", "ready: every")
    assert watch.notes() == [{"propellers-off": True, "battery-connector": "3"}]
    assert watch.ends() == 0


def test_enter_keeps_what_was_answered_earlier_in_this_run(watch: Watch, sim_bench: Any) -> None:
    sim_bench.plug("ossel-hd53", "a")
    watch.says("1/2", "y")
    watch.says("2/2", "2")
    watch.sees("ready: every")
    sim_bench.unplug("a")
    watch.sees("unplugged")
    sim_bench.plug("ossel-hd53", "a")
    watch.says("(now: yes)", "")
    watch.says("(now: 1)", "")
    watch.sees("ready: every")
    assert watch.notes(2) == [{"propellers-off": True, "battery-connector": "1"}] * 2
    assert watch.ends() == 0


def test_the_end_of_input_puts_off_what_is_left(watch: Watch, sim_bench: Any) -> None:
    sim_bench.plug("ossel-hd53", "a")
    watch.sees("1/2", "> ")
    watch.terminal.sendeof()
    watch.sees("Nothing was answered; the report stays as it is.")
    sim_bench.plug("corvane-hd53", "b")
    watch.sees("b  ")
    watch.says("1/2", "y")
    watch.sees("2/2", "> ")
    watch.terminal.sendeof()
    watch.sees("unknown")  # the new report: one question is open still
    assert watch.notes() == [{"propellers-off": True}]
    assert watch.ends() == 0


def test_who_answers_elsewhere_first_has_answered(watch: Watch, sim_bench: Any) -> None:
    sim_bench.plug("ossel-hd53", "a")
    watch.says("1/2", "y")
    watch.sees("2/2", "> ")
    watch.terminal.send("2")
    ask = watch.ask()
    with BenchClient.find(watch.state) as bench:
        bench.answer(ask.id, {"propellers-off": False})
    watch.sees("Teal Wren", "answered or put off elsewhere meanwhile.")
    watch.sees("fail")
    sim_bench.plug("corvane-hd53", "b")
    watch.sees("b  ")
    watch.says("1/2", "y")  # the 2 that was half typed is of the other craft
    watch.says("2/2", "2")
    watch.sees("ready: every")
    assert watch.notes(2)[1] == {"propellers-off": True, "battery-connector": "1"}
    assert watch.ends() == 0


def test_a_board_that_is_read_anew_is_asked_about_anew(watch: Watch, sim_bench: Any) -> None:
    sim_bench.plug("ossel-hd53", "a")
    watch.says("1/2", "n")
    watch.sees("2/2", "> ")
    ask = watch.ask()
    with BenchClient.find(watch.state) as bench:
        bench.inspect(ask.place)
    watch.sees("the board is read anew; these questions are out of date.")
    watch.says("1/2  Are all propellers off? [y/n]", "y")
    watch.says("2/2", "1")
    watch.sees("ready: every")
    assert watch.notes() == [{"propellers-off": True, "battery-connector": "3"}]
    assert watch.ends() == 0


def test_a_row_that_comes_while_somebody_types_stands_alone_and_the_question_below_it(
    watch: Watch, sim_bench: Any
) -> None:
    sim_bench.plug("ossel-hd53", "a")
    watch.says("1/2", "y")
    watch.sees("2/2", "> ")
    watch.terminal.send("2")
    watch.sees("2")
    sim_bench.plug("gps", "b")
    watch.sees("\r\n", "b  is being read\r\n", "2/2  Which connector does the battery have?\r\n", "     > ")
    watch.sees("was not recognised", "2/2  Which connector")
    # The half typed 2 is gone, as the prompt says: with it this would be 21, which is no choice.
    watch.says("", "1")
    watch.sees("     3\r\n", "ready: every")
    assert watch.notes() == [{"propellers-off": True, "battery-connector": "3"}]
    assert watch.ends() == 0


def test_events_that_show_nothing_leave_the_prompt_alone(watch: Watch, sim_bench: Any) -> None:
    """Questions of another place that are put off are such an event."""
    sim_bench.plug("ossel-hd53", "a")
    watch.says("1/2", "y")
    watch.sees("2/2", "> ")
    sim_bench.plug("corvane-hd53", "b")
    watch.sees("PLOVER 8", "all of it", "2/2", "> ")
    with BenchClient.find(watch.state) as bench:
        for _ in bench.events():
            if len(waiting := bench.asks()) == 2:
                break
        bench.capture(waiting[1].report)  # its files are written, so no row of them is to come
        watch.terminal.send("1")
        watch.sees("1")
        bench.put_off(waiting[1].id)
    watch.terminal.sendline("")
    watch.sees("     3\r\n", "ready: every")
    assert watch.ends() == 0


def test_bytes_that_are_no_text_are_asked_for_again(watch: Watch, sim_bench: Any) -> None:
    sim_bench.plug("ossel-hd53", "a")
    watch.sees("1/2", "> ")
    os.write(watch.terminal.fileno(), b"\xff\xfe\n")
    watch.says("letters that this terminal can show, please", "y")
    watch.sees("2/2")
    assert watch.ends() == 0


def test_what_is_typed_before_anything_is_asked_answers_nothing(watch: Watch, sim_bench: Any) -> None:
    watch.terminal.sendline("n")
    watch.sees("n\r\n")
    sim_bench.plug("ossel-hd53", "a")
    watch.says("1/2", "y")
    watch.says("2/2", "1")
    watch.sees("ready: every")
    assert watch.notes() == [{"propellers-off": True, "battery-connector": "3"}]
    assert watch.ends() == 0


def test_a_stop_while_a_question_stands_leaves_the_report_and_no_answer(watch: Watch, sim_bench: Any) -> None:
    sim_bench.plug("ossel-hd53", "a")
    watch.says("1/2", "n")
    watch.sees("2/2", "> ")
    assert watch.ends() == 0
    assert watch.notes(0) == []
    assert len(list((watch.folder / "out").glob("*.json"))) == 1


def test_without_a_terminal_nobody_can_be_asked(run: Run, tmp_path: Path) -> None:
    done = run("watch", "--ask", "--source", "none", "--folder", ".", "--out", "out")
    assert done.returncode == 2
    assert "standard input is no terminal, so nobody can be asked" in done.stderr


def test_where_the_loop_cannot_watch_a_terminal_a_thread_reads_it() -> None:
    import asyncio
    import pty

    from propsoff.cli.typed import Typed

    class Blind(asyncio.SelectorEventLoop):
        """A loop as that of Windows: it watches sockets alone."""

        def add_reader(self, fd: Any, callback: Any, *arguments: Any) -> None:  # type: ignore[override]  # any loop's
            if fd in ends:
                raise NotImplementedError
            super().add_reader(fd, callback, *arguments)

    ends = pty.openpty()

    async def two_lines() -> list[bytes | None]:
        typed = Typed(ends[1])
        os.write(ends[0], b"one\ntwo\n\x04")
        return [await asyncio.wait_for(typed.line(), 20) for _ in range(3)]

    with asyncio.Runner(loop_factory=Blind) as runner:
        assert runner.run(two_lines()) == [b"one", b"two", None]
    assert any(thread.name == "propsoff typing" and thread.daemon for thread in threading.enumerate())
    os.close(ends[0])
    os.close(ends[1])
