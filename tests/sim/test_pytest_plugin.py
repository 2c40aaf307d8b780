"""The fixtures that third-party authors use, in this very run and in runs of their own."""

from __future__ import annotations

import asyncio
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import serial

from propsoff_sim.pytest_plugin import PlugIn
from propsoff_sim.threaded import ThreadedBench
from sim.reader import Reader

THEIR_TEST = """
import asyncio, os, tty
{marker}

def read_until(path, sends, tail):
    port = os.open(path, os.O_RDWR | os.O_NOCTTY)
    tty.setraw(port)
    os.write(port, sends)
    text = b""
    while not text.endswith(tail):
        text += os.read(port, 4096)
    os.close(port)
    return text

def test_plain(sim_board):
    plugged = sim_board("ossel-hd53+small-grid")
    assert b"glass.cols := 50" in read_until(plugged.path, b"\\rrecite\\r", b"entries\\r\\nossel> ")
    assert plugged.received == b"\\rrecite\\r"
    assert plugged.board.overlay.columns == 50

{mark}
async def test_asynchronous(sim_board, sim_text):
    plugged = sim_board("corvane-hd53")
    text = await asyncio.to_thread(read_until, plugged.path, b"\\ntell unit\\n", b"@done unit\\n:: ")
    assert text.decode().lstrip() == sim_text("corvane-hd53", "tell unit")
"""


def test_a_plain_test_gets_a_bench_with_boards(sim_bench: ThreadedBench, sim_board: PlugIn) -> None:
    plugged = sim_board("ossel-hd53", "left", "1-4.2:1.0")
    assert plugged.path == sim_bench.folder / "left"
    assert list(sim_bench.plugged) == ["left"]
    with serial.Serial(str(plugged.path), 115200, timeout=5) as port:
        port.write(b"\rwho\r")
        assert port.read_until(b"191C\r\nossel> ").endswith(b"ossel> ")
    assert plugged.received == b"\rwho\r"
    sim_bench.unplug("left")
    assert sim_bench.plugged == {}


async def test_an_asynchronous_test_gets_the_same(sim_bench: ThreadedBench, sim_board: PlugIn) -> None:
    async with Reader(sim_board("brindle-hd53").path) as reader:
        reader.write(b"\r")
        await reader.until_ends_with(b"\x1b[36m[brindle]\x1b[0m % ")
        sim_bench.reboot("brindle-hd53")
        assert await reader.until_ended() == "eof"


def test_an_unknown_board_is_an_error_in_the_test_itself(sim_board: PlugIn) -> None:
    with pytest.raises(LookupError, match="nearest: ossel-hd53"):
        sim_board("osel-hd53")


def test_a_text_is_what_a_person_would_paste(sim_text: Callable[..., str]) -> None:
    assert sim_text("ossel-hd53", "who") == (
        "Ossel flight core. 'words' names the words.\nossel> who\nfirmware := Ossel\nrelease := 4.2.0\n"
        "built := 2026-03-14\nboard := FENWICK F7\nserial := 4F2A00191C\nossel> "
    )
    assert sim_text("corvane-hd53", "tell moon") == "Corvane ready\n:: \n@sorry unknown request tell moon\n:: "
    paged = sim_text("brindle-hd53")
    assert "\x1b" not in paged
    assert "press a key" not in paged
    assert paged.startswith("[brindle] % badge\nBrindle 2.6.1 ")
    assert paged.endswith("(15 tables)\n[brindle] % ")


@pytest.mark.parametrize(
    ("mode", "marker", "mark"),
    [("auto", "", ""), ("strict", "import pytest", "@pytest.mark.asyncio")],
)
def test_the_fixtures_work_in_a_run_of_somebody_else_s(tmp_path: Path, mode: str, marker: str, mark: str) -> None:
    (tmp_path / "test_theirs.py").write_text(THEIR_TEST.format(marker=marker, mark=mark))
    (tmp_path / "pytest.ini").write_text(
        f"[pytest]\nasyncio_mode = {mode}\nasyncio_default_fixture_loop_scope = function\nfilterwarnings = error\n"
    )
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", str(tmp_path)],
        capture_output=True, text=True, cwd=tmp_path, timeout=50, check=False,
    )  # fmt: skip
    assert "2 passed" in done.stdout, done.stdout + done.stderr


def modules_after(code: str) -> set[str]:
    """The modules that are loaded after some code has run in a fresh interpreter."""
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys\nprint(*sorted(sys.modules))"],
        capture_output=True, text=True, timeout=50, check=True,
    )  # fmt: skip
    return set(done.stdout.split())


def test_nothing_of_the_simulator_is_loaded_before_a_test_asks_for_it() -> None:
    loaded = {name for name in modules_after("import propsoff_sim.pytest_plugin") if name.startswith("propsoff")}
    assert loaded == {"propsoff_sim", "propsoff_sim.pytest_plugin"}


def test_the_whole_simulator_runs_without_the_reader() -> None:
    code = "import propsoff_sim.run, propsoff_sim.tcp, propsoff_sim.threaded, propsoff_sim.text, propsoff_sim.__main__"
    assert not {name for name in modules_after(code) if name == "propsoff" or name.startswith("propsoff.")}


def test_the_simulator_shares_no_file_with_the_reader() -> None:
    import propsoff_sim

    folder = Path(propsoff_sim.__file__).parent
    for path in folder.rglob("*.py"):
        source = path.read_text(encoding="utf-8")
        assert "import propsoff\n" not in source, path
        assert "from propsoff " not in source, path
        assert "from propsoff." not in source, path
        assert ".toml" not in source, path
    assert {path.suffix for path in folder.rglob("*") if path.is_file() and "__pycache__" not in path.parts} == {
        ".py", ".md",
    }  # fmt: skip


async def test_a_bench_in_a_thread_gives_back_its_errors_and_its_files(tmp_path: Path) -> None:
    def use() -> Any:
        with ThreadedBench(tmp_path / "b") as bench:
            bench.plug("ossel-hd53", "left")
            with pytest.raises(ValueError, match="plugged in already"):
                bench.plug("ossel-hd53", "left")
            with pytest.raises(KeyError):
                bench.unplug("right")
        return list((tmp_path / "b").iterdir())

    assert await asyncio.to_thread(use) == []
