"""The polled list: differences between two lists, and lists that break. (The real list: tests/integration.)"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Iterable
from contextlib import aclosing
from pathlib import Path

import pytest
from serial.tools.list_ports import comports
from serial.tools.list_ports_common import ListPortInfo

from propsoff.exceptions import PortError
from propsoff.ports.facts import Arrival, Departure, Port, UsbIdentity
from propsoff.ports.listing import FAILURES_BEFORE_GIVING_UP, ListingSource, identity_at
from propsoff.threads import in_thread

DEADLINE_S = 10.0


def info(device: str, serial_number: str = "1", vid: int | None = 0x0483) -> ListPortInfo:
    entry = ListPortInfo(device)
    entry.vid, entry.pid, entry.serial_number = vid, 0x5740, serial_number
    entry.product, entry.manufacturer, entry.location = "Ossel Flight Core", "", "1-4.2"
    return entry


class Lists:
    """Gives one list (or raises one error) after another; the last one for ever."""

    def __init__(self, *lists: list[ListPortInfo] | BaseException) -> None:
        self._lists = list(lists)

    def __call__(self) -> Iterable[ListPortInfo]:
        now = self._lists.pop(0) if len(self._lists) > 1 else self._lists[0]
        if isinstance(now, BaseException):
            raise now
        return now


def usb(serial_number: str = "1") -> UsbIdentity:
    return UsbIdentity(0x0483, 0x5740, serial_number, None, "Ossel Flight Core", "1-4.2")


async def test_what_is_there_arrives_and_what_goes_departs() -> None:
    lists = Lists(
        [info("/dev/ttyACM0")], [info("/dev/ttyACM0"), info("/dev/ttyACM1", "2")], [info("/dev/ttyACM1", "2")]
    )
    first = Port("/dev/ttyACM0", usb(), "listing")
    second = Port("/dev/ttyACM1", usb("2"), "listing")
    async with aclosing(ListingSource(0.001, lists).movements()) as movements, asyncio.timeout(DEADLINE_S):
        seen = [await anext(movements) for _ in range(3)]
    assert seen == [Arrival(first, 1), Arrival(second, 2), Departure(first, 3)]


async def test_another_board_under_the_same_name_departs_and_arrives() -> None:
    lists = Lists([info("/dev/ttyACM0", "1")], [info("/dev/ttyACM0", "2")])
    async with aclosing(ListingSource(0.001, lists).movements()) as movements, asyncio.timeout(DEADLINE_S):
        seen = [await anext(movements) for _ in range(3)]
    assert [type(movement) for movement in seen] == [Arrival, Departure, Arrival]
    assert [movement.port.usb.serial_number for movement in seen] == ["1", "1", "2"]


async def test_the_same_board_under_a_new_node_left_and_came_back(tmp_path: Path) -> None:
    node = tmp_path / "ttyACM0"
    node.touch()
    spare = tmp_path / "spare"
    spare.touch()  # so that the new node cannot get the old number
    async with (
        aclosing(ListingSource(0.001, Lists([info(str(node))])).movements()) as movements,
        asyncio.timeout(DEADLINE_S),
    ):
        assert isinstance(await anext(movements), Arrival)
        spare.replace(node)
        assert isinstance(await anext(movements), Departure)
        assert isinstance(await anext(movements), Arrival)


async def test_ports_that_are_not_usb_are_left_out() -> None:
    lists = Lists([info("/dev/ttyS0", vid=None), info("/dev/ttyACM0")])
    async with aclosing(ListingSource(0.001, lists).movements()) as movements, asyncio.timeout(DEADLINE_S):
        assert (await anext(movements)).port.device == "/dev/ttyACM0"


async def test_a_list_that_breaks_once_is_read_again_and_nothing_departs() -> None:
    lists = Lists(
        [info("/dev/ttyACM0")], TypeError("int() can't convert"), [info("/dev/ttyACM0"), info("/dev/ttyACM1", "2")]
    )
    async with aclosing(ListingSource(0.001, lists).movements()) as movements, asyncio.timeout(DEADLINE_S):
        seen = [await anext(movements) for _ in range(2)]
    assert [type(movement) for movement in seen] == [Arrival, Arrival]


async def test_a_list_that_breaks_now_and_then_is_never_an_error() -> None:
    broken = OSError(5, "Input/output error")
    half: list[list[ListPortInfo] | BaseException] = [broken, [info("/dev/ttyACM0")]]
    broken_half_the_time = half * (2 * FAILURES_BEFORE_GIVING_UP)
    lists = Lists(*broken_half_the_time, [])
    async with aclosing(ListingSource(0.001, lists).movements()) as movements, asyncio.timeout(DEADLINE_S):
        assert [type(await anext(movements)) for _ in range(2)] == [Arrival, Departure]


async def test_a_list_that_keeps_breaking_is_an_error() -> None:
    source = ListingSource(0.001, Lists(OSError(5, "Input/output error")))
    with pytest.raises(PortError, match=f"{FAILURES_BEFORE_GIVING_UP} times in a row"):
        async with asyncio.timeout(DEADLINE_S):
            await anext(source.movements())


async def test_the_real_list_of_this_machine_is_read_again_and_again() -> None:
    looked = threading.Semaphore(0)

    def real() -> Iterable[ListPortInfo]:
        entries = list(comports())
        looked.release()
        return entries

    async def read() -> None:
        async with aclosing(ListingSource(0.001, real).movements()) as movements:
            async for _ in movements:
                pass

    reading = asyncio.create_task(read())
    assert await in_thread(lambda: all(looked.acquire(timeout=DEADLINE_S) for _ in range(3)))
    reading.cancel()
    with pytest.raises(asyncio.CancelledError):
        await reading


def test_what_is_no_usb_port_has_no_identity(tmp_path: Path) -> None:
    assert identity_at("/dev/null") == UsbIdentity()
    assert identity_at(str(tmp_path / "missing")) == UsbIdentity()
