"""Real udev events (faked by umockdev) to the unmodified pyudev and pyserial, in processes of their own.

Needs Debian's umockdev, gir1.2-umockdev-1.0 and python3-gi: without them these tests fail, they are not skipped.
"""

from __future__ import annotations

import asyncio
import json
import sys
from collections.abc import AsyncGenerator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.integration

HERE = Path(__file__).parent
DEADLINE_S = 30.0
OSSEL = {
    "vid": "0483",
    "pid": "5740",
    "serial": "4F2A00191C",
    "product": "Ossel Flight Core",
    "manufacturer": "Fenwick",
}
SOCKET = "pci-0000:00:14.0-usb-0:4.2"


class Bench:
    """The made-up USB bus and the listener on it."""

    def __init__(self, process: asyncio.subprocess.Process) -> None:
        assert process.stdin is not None
        assert process.stdout is not None
        self._to, self._from, self._process = process.stdin, process.stdout, process
        self._heard: list[dict[str, Any]] = []

    async def do(self, word: str, **arguments: Any) -> None:
        """Have the bus do something, and wait until it is done."""
        self._to.write(json.dumps({"do": word} | arguments).encode() + b"\n")
        await self._to.drain()
        while (line := await self._line()) != {"done": word}:
            self._heard.append(line)

    async def movement(self) -> dict[str, Any]:
        """The next line of the listener."""
        return self._heard.pop(0) if self._heard else await self._line()

    async def _line(self) -> dict[str, Any]:
        async with asyncio.timeout(DEADLINE_S):
            raw = await self._from.readline()
        assert raw, "the bus or the listener ended; its standard error is above"
        line: dict[str, Any] = json.loads(raw)
        return line


@asynccontextmanager
async def bench(*listener: str) -> AsyncGenerator[Bench, None]:
    command = [
        "/usr/bin/python3",
        str(HERE / "udev_testbed.py"),
        sys.executable,
        str(HERE / "udev_listener.py"),
        *listener,
    ]
    process = await asyncio.create_subprocess_exec(
        "umockdev-wrapper", *command, stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE
    )
    try:
        yield Bench(process)
        assert process.stdin is not None
        process.stdin.close()
        async with asyncio.timeout(DEADLINE_S):
            assert await process.wait() == 0
    finally:
        if process.returncode is None:
            process.kill()
            await process.wait()


def short(line: dict[str, Any]) -> tuple[str, str, int]:
    return line["movement"], line["device"], line["seq"]


@pytest.mark.parametrize("source", ["udev", "listing"])
async def test_a_board_that_is_there_arrives_with_its_whole_identity(source: str) -> None:
    async with bench(source) as bus:
        await bus.do("plug", tty="ttyACM0", socket="4.2", usb=OSSEL)
        await bus.do("start")
        arrival = await bus.movement()
    assert short(arrival) == ("arrival", "/dev/ttyACM0", 1)
    assert arrival["origin"] == source
    assert arrival["usb"] == {
        "vid": 0x0483,
        "pid": 0x5740,
        "serial_number": "4F2A00191C",
        "manufacturer": "Fenwick",
        "product": "Ossel Flight Core",
        "path": f"{SOCKET}:1.0" if source == "udev" else "1-4.2:1.0",
        "interface": 0,
        "classes": ["02/02", "0a/00"],
    }
    assert arrival["socket"] == (SOCKET if source == "udev" else "1-4.2")


@pytest.mark.parametrize("source", ["udev", "listing"])
async def test_boards_that_come_and_go_arrive_and_depart(source: str) -> None:
    async with bench(source) as bus:
        await bus.do("plug", tty="ttyACM0", socket="4.2", usb=OSSEL)
        await bus.do("start")
        first = await bus.movement()
        await bus.do("plug", tty="ttyACM1", socket="4.3", usb=OSSEL | {"serial": "OTHER"})
        second = await bus.movement()
        await bus.do("unplug", tty="ttyACM0")
        third = await bus.movement()
    assert short(second) == ("arrival", "/dev/ttyACM1", 2)
    assert second["usb"]["serial_number"] == "OTHER"
    assert short(third) == ("departure", "/dev/ttyACM0", 3)
    assert third["usb"] == first["usb"]


@pytest.mark.parametrize("source", ["udev", "listing"])
async def test_a_board_that_returns_as_another_tty_keeps_its_key(source: str) -> None:
    """As when an old descriptor pins the first number: same board, same socket, other name."""
    async with bench(source) as bus:
        await bus.do("plug", tty="ttyACM0", socket="4.2", usb=OSSEL)
        await bus.do("start")
        first = await bus.movement()
        await bus.do("unplug", tty="ttyACM0")
        assert short(await bus.movement()) == ("departure", "/dev/ttyACM0", 2)
        await bus.do("plug", tty="ttyACM1", socket="4.2", usb=OSSEL)
        again = await bus.movement()
    assert short(again) == ("arrival", "/dev/ttyACM1", 3)
    assert again["key"] == first["key"]


async def test_two_boards_with_one_serial_number_have_two_keys() -> None:
    async with bench("udev") as bus:
        await bus.do("plug", tty="ttyACM0", socket="4.2", usb=OSSEL)
        await bus.do("plug", tty="ttyACM1", socket="4.3", usb=OSSEL)
        await bus.do("start")
        keys = {(await bus.movement())["key"] for _ in range(2)}
    assert len(keys) == 2


async def test_a_board_without_texts_arrives_with_its_numbers_and_its_socket() -> None:
    async with bench("udev") as bus:
        await bus.do("plug", tty="ttyACM0", socket="4.2", usb={"vid": "2e3c", "pid": "5740", "serial": " "})
        await bus.do("start")
        usb = (await bus.movement())["usb"]
    assert (usb["vid"], usb["serial_number"], usb["product"], usb["path"]) == (0x2E3C, None, None, f"{SOCKET}:1.0")


async def test_a_bridge_has_the_path_of_its_by_path_link() -> None:
    async with bench("udev") as bus:
        await bus.do("plug", tty="ttyUSB0", socket="4.2", usb={"vid": "10c4", "pid": "ea60"}, bridge=True)
        await bus.do("start")
        arrival = await bus.movement()
    assert arrival["usb"]["path"] == f"{SOCKET}:1.0-port0"
    assert arrival["socket"] == SOCKET


async def test_an_interface_for_firmware_upgrade_is_seen() -> None:
    async with bench("udev") as bus:
        await bus.do("plug", tty="ttyACM0", socket="4.2", usb=OSSEL, dfu=True)
        await bus.do("start")
        assert (await bus.movement())["usb"]["classes"] == ["02/02", "fe/01"]


async def test_ports_that_are_not_usb_and_repeated_events_are_no_movements() -> None:
    async with bench("udev") as bus:
        await bus.do("plain", tty="ttyS0")
        await bus.do("plug", tty="ttyACM0", socket="4.2", usb=OSSEL)
        await bus.do("start")
        assert short(await bus.movement()) == ("arrival", "/dev/ttyACM0", 1)
        await bus.do("event", tty="ttyACM0", action="change")
        await bus.do("event", tty="ttyACM0", action="add")
        await bus.do("event", tty="ttyACM0", action="bind")
        await bus.do("plain", tty="ttyS1")
        await bus.do("plug", tty="ttyACM1", socket="4.3", usb=OSSEL)
        assert short(await bus.movement()) == ("arrival", "/dev/ttyACM1", 2)


async def test_a_port_that_udev_is_not_done_with_arrives_only_when_it_is() -> None:
    """Before that it may not be opened yet, and its physical path is not known."""
    async with bench("udev") as bus:
        await bus.do("plug", tty="ttyACM0", socket="4.2", usb=OSSEL, unfinished=True)
        await bus.do("start")
        await bus.do("plug", tty="ttyACM1", socket="4.3", usb=OSSEL)
        assert short(await bus.movement()) == ("arrival", "/dev/ttyACM1", 1)
        await bus.do("finish", tty="ttyACM0", socket="4.2")
        arrival = await bus.movement()
    assert short(arrival) == ("arrival", "/dev/ttyACM0", 2)
    assert arrival["socket"] == SOCKET


async def test_a_board_that_is_pulled_and_put_back_between_two_looks_left_and_came_back() -> None:
    """All events at once, same name, same identity: still a departure and an arrival."""
    async with bench("udev") as bus:
        await bus.do("plug", tty="ttyACM0", socket="4.2", usb=OSSEL)
        await bus.do("start")
        await bus.movement()
        await bus.do("unplug", tty="ttyACM0")
        await bus.do("plug", tty="ttyACM0", socket="4.2", usb=OSSEL)
        assert [short(await bus.movement()) for _ in range(2)] == [
            ("departure", "/dev/ttyACM0", 2),
            ("arrival", "/dev/ttyACM0", 3),
        ]


async def test_after_lost_events_the_ports_are_counted_again() -> None:
    """One board left unseen, one left and returned unseen, one came unseen."""
    async with bench("overrun") as bus:
        for number in (0, 1, 2):
            await bus.do("plug", tty=f"ttyACM{number}", socket=f"4.{number + 1}", usb=OSSEL)
        await bus.do("start")
        start = [await bus.movement() for _ in range(3)]
        await bus.do("unplug", tty="ttyACM1", silently=True)
        await bus.do("unplug", tty="ttyACM2", silently=True)
        await bus.do("plug", tty="ttyACM2", socket="4.3", usb=OSSEL)
        assert await bus.movement() == {"lost": "ttyACM2"}
        seen = sorted([short(await bus.movement())[:2] for _ in range(3)])
        await bus.do("plug", tty="ttyACM3", socket="4.4", usb=OSSEL)
        later = await bus.movement()
    assert {line["movement"] for line in start} == {"arrival"}
    assert seen == [("arrival", "/dev/ttyACM2"), ("departure", "/dev/ttyACM1"), ("departure", "/dev/ttyACM2")]
    assert short(later) == ("arrival", "/dev/ttyACM3", 7)


async def test_the_identity_of_a_named_path_is_found_both_ways() -> None:
    async with bench("identity", "/dev/ttyACM0") as bus:
        await bus.do("plug", tty="ttyACM0", socket="4.2", usb=OSSEL)
        await bus.do("start")
        by_udev, by_listing = [(await bus.movement())["identity"] for _ in range(2)]
    assert by_udev["serial_number"] == by_listing["serial_number"] == "4F2A00191C"
    assert by_udev["classes"] == by_listing["classes"] == ["02/02", "0a/00"]
