"""The simulated bench: a folder of links, as the last section of CONSOLES.md says."""

from __future__ import annotations

import asyncio
import gc
import json
import os
import threading
import time
from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from propsoff_sim.bench import SimBench
from propsoff_sim.catalogue import UnknownNameError, board
from propsoff_sim.wire import UnknownFaultError
from sim.reader import Reader, eventually, names_in, target_of

USB = {
    "ossel": ("0483", "5740", "Ossel Flight Core", "4F2A00191C"),
    "brindle": ("2e3c", "5740", "Brindle Console", "B7-00421"),
    "corvane": ("2e8a", "000a", "Corvane Unit", "c0-77-1a-09"),
}


@pytest.fixture
async def bench(tmp_path: Path) -> AsyncIterator[SimBench]:
    """A bench whose boards reboot quickly."""
    async with SimBench(tmp_path / "bench", boot_s=0.05) as bench:
        yield bench


def facts(bench: SimBench, link_name: str) -> dict[str, str | None]:
    """The USB facts beside a link."""
    found: dict[str, str | None] = json.loads((bench.folder / f"{link_name}.usb.json").read_text(encoding="utf-8"))
    return found


@pytest.mark.parametrize("firmware", ["ossel", "brindle", "corvane"])
async def test_a_plugged_board_is_a_link_to_its_port_with_its_usb_facts_beside(bench: SimBench, firmware: str) -> None:
    plugged = bench.plug(f"{firmware}-hd53", "left", "1-4.2:1.0")
    assert plugged.path == bench.folder / "left"
    assert target_of(plugged.path) == plugged.tty
    assert (plugged.tty or "").startswith("/dev/pts/")
    vid, pid, product, serial = USB[firmware]
    assert facts(bench, "left") == {
        "vid": vid, "pid": pid, "product": product, "serial_number": serial, "manufacturer": "Invented Avionics",
        "path": "1-4.2:1.0",
    }  # fmt: skip


async def test_nothing_else_is_left_in_the_folder(bench: SimBench) -> None:
    bench.plug("ossel-hd53", "left")
    assert names_in(bench.folder) == ["left", "left.usb.json"]
    bench.unplug("left")
    assert names_in(bench.folder) == []


async def test_an_unplugged_board_ends_the_port_of_whoever_reads_it(bench: SimBench) -> None:
    plugged = bench.plug("ossel-hd53")
    async with Reader(plugged.path) as reader:
        bench.unplug(plugged.link_name)
        assert await reader.until_ended() == "eof"
    assert not plugged.present


async def test_names_and_sockets_are_found_for_boards_without(bench: SimBench) -> None:
    first, second = bench.plug("ossel-hd53"), bench.plug("ossel-hd53")
    assert [first.link_name, second.link_name] == ["ossel-hd53", "ossel-hd53-2"]
    assert first.socket != second.socket
    bench.unplug("ossel-hd53")
    assert bench.plug("ossel-hd53").socket not in (first.socket, second.socket)


@pytest.mark.parametrize("link_name", ["", ".hidden", "a/b", "..", "a\0b"])
async def test_a_name_that_cannot_be_a_link_is_refused(bench: SimBench, link_name: str) -> None:
    with pytest.raises(ValueError, match="cannot be a link"):
        bench.plug("ossel-hd53", link_name)
    assert bench.plugged == {}


async def test_a_taken_name_is_refused_and_says_what_is_plugged_in(bench: SimBench) -> None:
    bench.plug("ossel-hd53", "left")
    with pytest.raises(ValueError, match="'left' is plugged in already; there are: left"):
        bench.plug("corvane-hd53", "left")


async def test_unknown_boards_and_faults_are_refused(bench: SimBench) -> None:
    with pytest.raises(UnknownNameError, match="no board or stranger is called 'gpss'; nearest: gps"):
        bench.plug("gpss")
    with pytest.raises(UnknownFaultError):
        bench.plug("ossel-hd53", faults=["rain"])
    assert names_in(bench.folder) == []


async def test_a_board_of_one_s_own_can_be_plugged_in(bench: SimBench) -> None:
    plugged = bench.plug(board("corvane-hd50", serial="c0-00"), "mine")
    assert facts(bench, "mine")["serial_number"] == "c0-00"
    assert plugged.board.serial == "c0-00"


async def test_two_boards_may_have_one_serial_number(bench: SimBench) -> None:
    one, two = (bench.plug("ossel-hd53+serial-number-twin") for _ in range(2))
    assert one.tty != two.tty
    assert facts(bench, one.link_name)["serial_number"] == facts(bench, two.link_name)["serial_number"]
    assert facts(bench, one.link_name)["path"] != facts(bench, two.link_name)["path"]


@pytest.mark.parametrize("fault", ["serial-missing", "bare-usb"])
async def test_a_missing_serial_number_is_null(bench: SimBench, fault: str) -> None:
    bench.plug(f"ossel-hd53+{fault}", "left")
    assert facts(bench, "left")["serial_number"] is None


async def test_what_was_sent_is_on_record(bench: SimBench) -> None:
    plugged = bench.plug("ossel-hd53")
    async with Reader(plugged.path) as reader:
        reader.write(b"\rlet glass.cols := 50\r")
        await reader.until_ends_with(b"glass.cols := 50\r\nossel> ")
    assert plugged.received == b"\rlet glass.cols := 50\r"
    assert plugged.written == ["let glass.cols := 50"]
    assert plugged.board.overlay.columns == 50
    assert plugged.sent_bytes > 50


async def test_what_was_sent_is_on_record_even_when_a_fault_keeps_it_from_the_board(bench: SimBench) -> None:
    plugged = bench.plug("ossel-hd53", faults=["sleepy"])
    async with Reader(plugged.path) as reader:
        reader.write(b"keep\rwho\r")
        await reader.until_ends_with(b"191C\r\nossel> ")
    assert plugged.received == b"keep\rwho\r"
    assert plugged.device.received == b"who\r"
    assert plugged.written == []


async def test_a_board_that_is_told_to_restart_leaves_and_comes_back_with_what_it_kept(bench: SimBench) -> None:
    plugged = bench.plug("ossel-hd53+small-grid", "left")
    before = plugged.tty
    async with Reader(plugged.path) as reader:
        reader.write(b"\rlet glass.cols := 53\rkeep\ragain\r")
        assert await reader.until_ended() == "eof"
        assert reader.data.endswith(b"; starting again\r\n")
        assert not plugged.present
        assert names_in(bench.folder) == []
    await eventually(lambda: plugged.present)
    assert plugged.tty != before
    assert target_of(plugged.path) == plugged.tty
    async with Reader(plugged.path) as reader:
        reader.write(b"\r")
        assert b"Ossel flight core." in await reader.until_ends_with(b"ossel> ")
        reader.write(b"recite\r")
        assert b"glass.cols := 53\r\n" in await reader.until_ends_with(b"entries\r\nossel> ")
    assert plugged.written == ["let glass.cols := 53", "keep", "again"]


async def test_a_board_that_reboots_in_a_reply_comes_back_once_on_a_new_path(bench: SimBench) -> None:
    plugged = bench.plug("ossel-hd53", "left", faults=["reboot:300"])
    before = plugged.tty
    async with Reader(plugged.path) as reader:
        reader.write(b"\rrecite\r")
        assert await reader.until_ended() == "eof"
        assert len(reader.data) == 300
    await eventually(lambda: plugged.present)
    assert plugged.tty != before
    async with Reader(plugged.path) as reader:
        reader.write(b"\rrecite\r")
        await reader.until_ends_with(b"entries\r\nossel> ")


async def test_a_board_with_a_bad_contact_comes_and_goes(bench: SimBench) -> None:
    plugged = bench.plug("ossel-hd53", "left", faults=["flap:0.05"])
    seen = set()
    for _ in range(3):
        await eventually(lambda: plugged.present)
        seen.add(plugged.tty)
        await eventually(lambda: not plugged.present)
    assert len(seen) >= 2


async def test_a_board_may_be_unplugged_while_it_reboots(bench: SimBench) -> None:
    troubles: list[object] = []
    asyncio.get_running_loop().set_exception_handler(lambda _, context: troubles.append(context))
    plugged = bench.plug("ossel-hd53", "left")
    bench.reboot("left")
    bench.reboot("left")
    bench.unplug("left")
    assert not plugged.present
    again = bench.plug("ossel-hd53", "left")
    clock = bench.plug("ossel-hd53", "clock")
    bench.reboot("clock")
    await eventually(lambda: clock.present)  # and so the first board's time is over as well
    assert target_of(again.path) == again.tty
    assert troubles == []


async def test_an_unplugged_board_is_no_longer_on_the_bench(bench: SimBench) -> None:
    plugged = bench.plug("ossel-hd53", "left", faults=["unplug:20"])
    async with Reader(plugged.path) as reader:
        reader.write(b"\r")
        assert await reader.until_ended() == "eof"
    assert bench.plugged == {}
    assert names_in(bench.folder) == []
    with pytest.raises(KeyError):
        bench.unplug("left")


async def test_a_board_that_cannot_be_shown_is_not_plugged_in(bench: SimBench) -> None:
    before = open_files()
    (bench.folder / "left").mkdir()
    with pytest.raises(OSError, match="directory"):
        bench.plug("ossel-hd53", "left")
    assert bench.plugged == {}
    assert len(open_files()) <= len(before) + 1  # what notices openings serves the whole bench
    assert names_in(bench.folder) == ["left"]


async def test_a_folder_that_somebody_emptied_does_no_harm(bench: SimBench) -> None:
    plugged = bench.plug("ossel-hd53", "left")
    for path in bench.folder.iterdir():
        path.unlink()
    bench.unplug("left")
    assert not plugged.present


def open_files() -> set[str]:
    """What this process has open: `number target`."""
    found = set()
    for path in Path("/proc/self/fd").iterdir():
        try:
            found.add(f"{path.name} {target_of(path)}")
        except FileNotFoundError:  # the descriptor of this very look
            continue
    return found


async def test_a_closed_bench_leaves_no_open_file(tmp_path: Path) -> None:
    gc.collect()
    before = open_files()
    async with SimBench(tmp_path) as bench:
        for _ in range(8):
            bench.plug("ossel-hd53")
        bench.reboot("ossel-hd53-3")
    assert open_files() == before
    assert names_in(tmp_path) == []


class Watcher(threading.Thread):
    """Looks at a folder over and over: a link that stays has a whole JSON file beside it and leads to a device."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder, self.looks, self.troubles, self.over = folder, 0, list[str](), threading.Event()

    def run(self) -> None:
        while not self.over.is_set():
            for name in names_in(self.folder) or []:
                if not name.startswith(".") and not name.endswith(".usb.json"):
                    self.look(self.folder / name)

    def look(self, link: Path) -> None:
        try:
            before = link.lstat()
            text = Path(f"{link}.usb.json").read_text(encoding="utf-8")
            target = target_of(link)
            there = Path(target).is_char_device()
            after = link.lstat()
        except FileNotFoundError:
            try:
                same = link.lstat().st_ctime_ns == before.st_ctime_ns
            except (FileNotFoundError, UnboundLocalError):
                return
            if same:
                self.troubles.append(f"{link.name} without its JSON file")
            return
        if before.st_ctime_ns == after.st_ctime_ns:
            self.looks += 1
            if not there:
                self.troubles.append(f"{link.name} leads to {target}, which is no device")
            if json.loads(text)["vid"] != "0483":
                self.troubles.append(f"{link.name} has {text}")


async def test_a_link_appears_whole_and_never_before_its_facts(bench: SimBench) -> None:
    watcher = Watcher(bench.folder)
    watcher.start()
    end_s = time.monotonic() + 20
    while watcher.looks < 300 and not watcher.troubles and time.monotonic() < end_s:
        for name in ("a", "b", "c"):
            bench.plug("ossel-hd53", name)
        looks = watcher.looks
        while watcher.looks == looks and not watcher.troubles and time.monotonic() < end_s:
            os.sched_yield()
        for name in ("a", "b", "c"):
            bench.unplug(name)
    watcher.over.set()
    await asyncio.to_thread(watcher.join)
    assert watcher.troubles == []
    assert watcher.looks >= 300


async def test_32_boards_answer_from_one_loop(bench: SimBench) -> None:
    names = [f"{firmware}-hd53" for firmware in ("ossel", "corvane")] * 16
    plugged = [bench.plug(name) for name in names]
    readers = [Reader(each.path) for each in plugged]
    for each, reader in zip(names, readers, strict=True):
        reader.write(b"\rrecite\r" if each.startswith("ossel") else b"\ntell setup\n")
    await asyncio.gather(
        *(
            reader.until_ends_with(b"entries\r\nossel> " if each.startswith("ossel") else b"@done setup\n:: ")
            for each, reader in zip(names, readers, strict=True)
        )
    )
    for reader in readers:
        async with reader:
            pass


async def test_idle_boards_cost_next_to_nothing(bench: SimBench) -> None:
    for _ in range(32):
        bench.plug("ossel-hd53")
    never = asyncio.Event()
    began_s = time.process_time()
    with pytest.raises(TimeoutError):
        await asyncio.wait_for(never.wait(), 0.5)
    assert time.process_time() - began_s < 0.05
