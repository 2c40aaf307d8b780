"""The command: boards on the bench until it is told to end."""

from __future__ import annotations

import asyncio
import io
import signal
import sys
from collections.abc import AsyncIterator, Awaitable, Callable
from pathlib import Path

import pytest

from propsoff_sim.board_faults import BOARD_FAULTS
from propsoff_sim.catalogue import board_names
from propsoff_sim.run import listing, run
from propsoff_sim.strangers import STRANGERS
from propsoff_sim.unknown_boards import UNKNOWN_BOARDS
from propsoff_sim.wire_faults import WIRE_FAULTS
from sim.reader import Reader, eventually, names_in

Begin = Callable[..., Awaitable[asyncio.subprocess.Process]]


@pytest.fixture
async def begun() -> AsyncIterator[Begin]:
    """Begins the command as a process of its own; none outlives the test."""
    processes: list[asyncio.subprocess.Process] = []

    async def begin(*arguments: str) -> asyncio.subprocess.Process:
        process = await asyncio.create_subprocess_exec(
            sys.executable, "-m", "propsoff_sim", *arguments,
            stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE, stderr=asyncio.subprocess.PIPE,
        )  # fmt: skip
        processes.append(process)
        return process

    yield begin
    for process in processes:
        if process.returncode is None:
            process.kill()
            await process.communicate()


async def first_lines(process: asyncio.subprocess.Process, count: int) -> list[tuple[str, str]]:
    """The first lines that it prints, each a name and a path."""
    assert process.stdout is not None
    lines = [(await asyncio.wait_for(process.stdout.readline(), 20)).decode() for _ in range(count)]
    return [(name, path) for name, path in (line.split() for line in lines)]


async def ended(process: asyncio.subprocess.Process) -> tuple[int | None, str]:
    """Its exit code and what it said on stderr, after the end of its input."""
    assert process.stdin is not None
    process.stdin.close()
    _, errors = await asyncio.wait_for(process.communicate(), 20)
    return process.returncode, errors.decode()


async def test_each_board_is_named_with_its_path_as_soon_as_it_is_there(tmp_path: Path) -> None:
    out, stop = io.StringIO(), asyncio.Event()
    task = asyncio.create_task(run(["ossel-hd53", "gps"], folder=tmp_path / "b", out=out, stop=stop))
    await eventually(lambda: out.getvalue().count("\n") == 2)
    assert out.getvalue() == f"ossel-hd53 {tmp_path / 'b' / 'ossel-hd53'}\ngps {tmp_path / 'b' / 'gps'}\n"
    async with Reader(tmp_path / "b" / "ossel-hd53") as reader:
        reader.write(b"\r")
        await reader.until_ends_with(b"ossel> ")
    stop.set()
    assert await task == 0
    assert names_in(tmp_path / "b") == []


async def test_it_ends_with_its_input_and_removes_its_own_folder(begun: Begin) -> None:
    process = await begun("ossel-hd53", "ossel-hd53+small-grid")
    (_, first), (name, second) = await first_lines(process, 2)
    assert name == "ossel-hd53+small-grid"
    assert names_in(first.rpartition("/")[0]) == [
        "ossel-hd53", "ossel-hd53+small-grid", "ossel-hd53+small-grid.usb.json", "ossel-hd53.usb.json",
    ]  # fmt: skip
    assert second.endswith("/ossel-hd53+small-grid")
    code, errors = await ended(process)
    assert (code, errors) == (0, "")
    assert names_in(first.rpartition("/")[0]) is None


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
async def test_it_ends_with_a_signal_and_clears_a_folder_that_it_was_given(
    begun: Begin, tmp_path: Path, number: signal.Signals
) -> None:
    process = await begun("--folder", str(tmp_path), "corvane-hd53")
    await first_lines(process, 1)
    assert names_in(tmp_path) == ["corvane-hd53", "corvane-hd53.usb.json"]
    process.send_signal(number)
    await asyncio.wait_for(process.wait(), 20)
    assert await ended(process) == (0, "")
    assert names_in(tmp_path) == []


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("osel-hd53",), "no board or stranger is called 'osel-hd53'; nearest: ossel-hd53"),
        (("ossel-hd53+smal-grid",), "no fault is called 'smal-grid'; nearest: small-grid"),
        (("ossel-analog+small-grid",), "does not apply to this board"),
        (("gps+small-grid",), "no board or stranger is called 'gps+small-grid'; nearest: gps"),
        (("ossel-hd53", "--fault", "rain"), "no fault is called 'rain'; there are: pace"),
        (("ossel-hd53", "--pace", "0"), "a rate is more than 0 baud"),
        ((), "name at least one board"),
    ],
)
async def test_what_does_not_exist_ends_it_with_2_and_a_line_that_helps(
    begun: Begin, arguments: tuple[str, ...], says: str
) -> None:
    code, errors = await ended(await begun(*arguments))
    assert code == 2
    assert says in errors
    assert "--list" in errors
    assert errors.count("\n") == 1


async def test_a_folder_that_cannot_be_had_ends_it_with_2_and_says_so(begun: Begin, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file")
    code, errors = await ended(await begun("--folder", str(tmp_path / "taken"), "ossel-hd53"))
    assert code == 2
    assert errors.startswith("the bench cannot be set up: ")
    assert str(tmp_path / "taken") in errors
    assert errors.count("\n") == 1


async def test_faults_pace_and_seed_reach_the_line(begun: Begin, tmp_path: Path) -> None:
    said = []
    for seed in ("1", "1", "2"):
        process = await begun("--folder", str(tmp_path), "--fault", "flip:0.05", "--seed", seed, "ossel-hd53")
        ((_, path),) = await first_lines(process, 1)
        async with Reader(path) as reader:
            reader.write(b"\rwho\r")
            await reader.until(lambda reader=reader: len(reader.data) >= 150)  # type: ignore[misc]  # binds the reader
            said.append(reader.data[:150])
        await ended(process)
    assert said[0] == said[1] != said[2]


def test_the_list_names_all_boards_strangers_and_faults_with_titles() -> None:
    lines = {line.split()[0].split("[")[0]: line for line in listing().splitlines() if line.startswith("  ")}
    assert set(lines) == {*board_names(), *UNKNOWN_BOARDS, *STRANGERS, *BOARD_FAULTS, *WIRE_FAULTS}
    assert all(len(line.split()) > 2 for line in lines.values())


async def test_the_list_is_printed_without_any_board(begun: Begin) -> None:
    process = await begun("--list")
    out, _ = await asyncio.wait_for(process.communicate(), 20)
    assert process.returncode == 0
    assert out.decode() == listing()
