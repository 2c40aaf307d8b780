"""Commands: real programs, well-behaved ones and others."""

from __future__ import annotations

import asyncio
import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from propsoff.outgoing.command import MOST_OUTPUT, Command, command_environment
from propsoff.outgoing.kept import KeptFiles
from propsoff.outgoing.lane import Later, Never, Outcome, Sent
from propsoff.outgoing.outbox import Entry
from propsoff.outgoing.section import CommandTable
from tests_support.hostile import PIECES
from tests_support.outgoing import Voice, an_entry, until


class Ran:
    """A command, and what was said of it."""

    def __init__(self, tmp_path: Path, *argv: str, deadline_s: float = 20, wait_s: float = 0.05) -> None:
        self.voice, self.folder = Voice(), tmp_path
        self.kept = KeptFiles(tmp_path / "reports", wait_s=wait_s)
        table = CommandTable(name="label", argv=argv, deadline_s=deadline_s)
        self.command = Command(table, kept=self.kept, folder=tmp_path, voice=self.voice)

    async def __call__(self, entry: Entry | None = None) -> Outcome:
        return await self.command.attempt(entry or an_entry(self.folder))

    @property
    def output(self) -> str:
        return str(self.voice.logged[-1][1]["output"])


def python(code: str) -> tuple[str, ...]:
    return (sys.executable, "-I", "-c", code)


def alive(pid: int) -> bool:
    """Whether a process runs; one that waits to be reaped does not."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except (FileNotFoundError, ProcessLookupError):
        return False


async def test_the_report_comes_on_standard_input_and_the_rest_in_a_small_environment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("AWFUL_TOKEN", "secret")
    monkeypatch.setenv("PYTHONPATH", "/nowhere")
    code = "import json, os, sys; r = json.load(sys.stdin); print(json.dumps({'r': r, 'e': dict(os.environ)}))"
    entry, out = an_entry(tmp_path), tmp_path / "out"
    ran = Ran(tmp_path, *python(f"{code[:-1]}, file=open({str(out)!r}, 'w'))"))
    assert await ran(entry) == Sent()
    got = json.loads(out.read_text())
    assert got["r"] == json.loads(entry.body)
    assert got["e"].pop("PATH") == os.environ["PATH"]
    ours = {key: value for key, value in got["e"].items() if key.startswith("PROPSOFF_")}
    assert ours == {
        "PROPSOFF_REPORT_ID": entry.head.report,
        "PROPSOFF_VERDICT": "fail",
        "PROPSOFF_PLACE": "left",
        "PROPSOFF_CRAFT": "Teal Wren",
    }
    assert set(got["e"]) - set(ours) <= {"HOME", "LANG", "LC_ALL", "TZ", "LC_CTYPE"}


async def test_no_shell_looks_at_the_arguments(tmp_path: Path) -> None:
    words = ("$HOME", "`id`", "; touch x", "*", "a b", "")
    ran = Ran(tmp_path, *python("import sys; print(sys.argv[1:])"), *words)
    assert await ran() == Sent()
    assert ran.output == f"{list(words)}\\n"


async def test_the_files_of_a_report_are_named_when_they_are_kept(tmp_path: Path) -> None:
    entry = an_entry(tmp_path)
    show = python("import os; print(os.environ.get('PROPSOFF_REPORT_FILE'), os.environ.get('PROPSOFF_CAPTURE_FILE'))")
    ran = Ran(tmp_path, *show)
    assert await ran(entry) == Sent()
    assert ran.output == "None None\\n"
    reports = tmp_path / "reports"
    reports.mkdir()
    (reports / "a.json").write_bytes(b'{"id": "another, which had the name first"}')
    (reports / "a-2.json").write_bytes(entry.body)
    await ran(entry)
    assert ran.output == f"{reports}/a-2.json None\\n"
    (reports / "a.cast").write_text("")
    await ran(entry)
    assert ran.output == f"{reports}/a-2.json {reports}/a.cast\\n"


async def test_a_report_that_is_about_to_be_written_is_waited_for(tmp_path: Path) -> None:
    entry = an_entry(tmp_path)
    fresh = Entry(entry.path, entry.head, entry.body, queued_s=time.monotonic())
    ran = Ran(tmp_path, *python("import os; print(os.environ.get('PROPSOFF_REPORT_FILE'))"), wait_s=20)
    running = asyncio.create_task(ran(fresh))
    put_aside = tmp_path / "put aside.json"
    put_aside.write_bytes(entry.body)
    await asyncio.sleep(0)
    ran.kept.note("another", tmp_path / "x")
    ran.kept.note(entry.head.report, put_aside)
    assert await running == Sent()
    assert ran.output == f"{put_aside}\\n"


@pytest.mark.parametrize("name", [*PIECES, "NUL\0inside", "\ud800 lone", "$(reboot)", "x" * 100_000])
async def test_hostile_names_come_as_harmless_text(tmp_path: Path, name: str) -> None:
    entry = an_entry(tmp_path)
    entry = Entry(entry.path, entry.head.model_copy(update={"craft": name, "place": name}), entry.body)
    environment = command_environment(entry, None)
    for key in ("PROPSOFF_CRAFT", "PROPSOFF_PLACE"):
        assert environment[key].isprintable()
        assert len(environment[key]) < 4000
    done = await asyncio.to_thread(
        subprocess.run, python("import os; print(ascii(os.environ['PROPSOFF_CRAFT']))"), env=environment, check=True,
        stdout=subprocess.PIPE, timeout=20,
    )  # fmt: skip
    assert done.stdout.decode().strip() == ascii(environment["PROPSOFF_CRAFT"])
    assert await Ran(tmp_path, *python("pass"))(entry) == Sent()


@pytest.mark.parametrize("code", [1, 2, 64, 75, 127, 255])
async def test_another_exit_code_is_tried_again_with_its_last_line(tmp_path: Path, code: int) -> None:
    ran = Ran(tmp_path, *python(f"import sys; print('first'); print('paper is \\x1b[5mout'); sys.exit({code})"))
    result = await ran()
    assert result == Later(f"it ended with exit code {code}: paper is \\e[5mout")


async def test_exit_code_65_is_a_refusal_for_good(tmp_path: Path) -> None:
    # sysexits.h (BSD): EX_DATAERR 65, "The input data was incorrect in some way".
    assert isinstance(await Ran(tmp_path, *python("import sys; sys.exit(65)"))(), Never)


async def test_one_that_a_signal_ends_is_tried_again(tmp_path: Path) -> None:
    result = await Ran(tmp_path, *python("import os; os.kill(os.getpid(), 11)"))()
    assert result == Later("it ended with exit code -11")


@pytest.mark.parametrize("how", ["absent", "no program", "not allowed", "folder"])
async def test_what_cannot_be_run_is_told_and_tried_again(tmp_path: Path, how: str) -> None:
    path = tmp_path / "program"
    if how == "folder":
        path.mkdir()
    elif how != "absent":
        path.write_bytes(b"\x00\x01\x02 nonsense")
        path.chmod(0o755 if how == "no program" else 0o644)
    result = await Ran(tmp_path, str(path))()
    assert isinstance(result, Later)
    assert f"{path} cannot be run" in result.why


async def test_one_that_hangs_is_killed_at_the_deadline_with_its_children(tmp_path: Path) -> None:
    pids = tmp_path / "pids"
    code = f"""
import os, signal
signal.signal(signal.SIGTERM, signal.SIG_IGN)
os.fork()
with open({str(pids)!r}, "a") as file: file.write(f"{{os.getpid()}}\\n")
while True: signal.pause()
"""
    before = time.monotonic()
    result = await Ran(tmp_path, *python(code), deadline_s=1.5)()
    assert result == Later("it ran longer than 1.5 s and was killed")
    assert time.monotonic() - before < 10
    written = [int(line) for line in pids.read_text().split()]
    assert len(written) == 2
    await until(lambda: not any(alive(pid) for pid in written))


async def test_what_a_command_leaves_behind_is_ended_with_it_and_does_not_hold_it_up(tmp_path: Path) -> None:
    pid = tmp_path / "pid"
    code = f"""
import os, signal
reading, writing = os.pipe()
if (child := os.fork()) == 0:
    os.write(writing, b"here")
    while True: signal.pause()
os.read(reading, 4)
open({str(pid)!r}, "w").write(str(child))
print("done")
"""
    before = time.monotonic()
    ran = Ran(tmp_path, *python(code), deadline_s=30)
    assert await ran() == Sent()
    assert time.monotonic() - before < 15
    assert ran.output == "done\\n"
    child = int(pid.read_text())
    await until(lambda: not alive(child))


async def test_of_what_is_printed_for_ever_the_beginning_is_kept(tmp_path: Path) -> None:
    ran = Ran(tmp_path, *python("while True: print('x' * 1000)"), deadline_s=1)
    assert isinstance(await ran(), Later)
    values = ran.voice.logged[-1][1]
    assert values["left_out_bytes"] > 100_000
    assert str(values["output"]).count("x") <= MOST_OUTPUT


async def test_a_command_that_reads_nothing_of_a_long_report_is_no_failure(tmp_path: Path) -> None:
    entry = an_entry(tmp_path)
    long = Entry(entry.path, entry.head, entry.body + b" " * 5_000_000)
    assert await Ran(tmp_path, *python("pass"))(long) == Sent()


async def test_output_that_is_no_text_is_logged_escaped(tmp_path: Path) -> None:
    ran = Ran(tmp_path, *python("import sys; sys.stderr.buffer.write(b'\\xff\\x00\\x1b]0;evil\\x07\\r\\n')"))
    assert await ran() == Sent()
    assert ran.output.isprintable()
    assert "evil" in ran.output


async def test_a_stop_of_the_bench_ends_the_command_at_once(tmp_path: Path) -> None:
    pid = tmp_path / "pid"
    code = f"import os, signal\nopen({str(pid)!r}, 'w').write(str(os.getpid()))\nwhile True: signal.pause()"
    running = asyncio.create_task(Ran(tmp_path, *python(code), deadline_s=60)())
    await until(lambda: pid.exists() and pid.read_text())
    running.cancel()
    with pytest.raises(asyncio.CancelledError):
        await asyncio.wait_for(running, 5)
    assert not alive(int(pid.read_text()))
