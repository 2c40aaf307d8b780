"""What a driver does with a device, a wire and a sink, on a sink that the test holds in its hand."""

from __future__ import annotations

import asyncio

import pytest

from propsoff_sim.catalogue import board
from propsoff_sim.driver import Driver
from propsoff_sim.personalities import console_for
from propsoff_sim.wire import Wire
from sim.reader import eventually

GREETING = b"\r\nOssel flight core. 'words' names the words.\r\nossel> "


class Hand:
    """A sink with so much room; it records what it took and what the driver told of leaving."""

    def __init__(self, room: int = 1 << 30, opened: bool = True) -> None:
        self.room, self.opened = room, opened
        self.took: list[bytes] = []
        self.left: list[str] = []

    def write(self, data: bytes) -> int:
        part = data[: self.room]
        self.room -= len(part)
        if part:
            self.took.append(part)
        return len(part)

    def opener_baud(self) -> int | None:
        return None

    def is_open(self) -> bool:
        return self.opened

    def has_unread(self) -> bool:
        return False

    @property
    def text(self) -> bytes:
        """All that it took."""
        return b"".join(self.took)


def driven(hand: Hand, *faults: str, pace: int | None = None) -> Driver:
    """A board's driver, started."""
    device = console_for(board("ossel-hd53"))
    driver = Driver(asyncio.get_running_loop(), device, Wire(faults, pace=pace), hand, hand.left.append)
    driver.start()
    return driver


async def test_an_answer_goes_out_in_one_piece() -> None:
    hand = Hand()
    driven(hand).received(b"\r")
    assert hand.took == [GREETING]


async def test_what_finds_no_room_goes_out_when_there_is_some() -> None:
    hand = Hand(room=5)
    driver = driven(hand)
    driver.received(b"\r")
    assert hand.text == GREETING[:5]
    for _ in range(3):
        hand.room = 10
        driver.writable()
    assert hand.text == GREETING[:35]
    assert driver.sent_bytes == 35


async def test_whoever_writes_before_the_port_seems_open_gets_the_chatter_first() -> None:
    hand = Hand(opened=False)
    driver = driven(hand, "chatter:boot")
    assert hand.took == []
    driver.received(b"\r")
    assert hand.text.startswith(b"\r\nboot 1.07")
    assert hand.text.endswith(GREETING)
    driver.close()


async def test_endless_output_leaves_the_loop_its_turns() -> None:
    hand = Hand()
    driver = driven(hand, "endless")
    driver.received(b"who\r")
    came = len(hand.took)
    assert came <= 64
    await eventually(lambda: len(hand.took) > came + 64)
    driver.close()


async def test_a_closed_driver_sends_nothing_more() -> None:
    hand = Hand()
    driver = driven(hand, "late-prompt:0.05")
    driver.received(b"\r")
    driver.close()
    taken = hand.text
    with pytest.raises(TimeoutError):
        await eventually(lambda: hand.text != taken, 0.15)


async def test_output_waits_for_its_pace_however_large_the_room() -> None:
    hand = Hand()
    driver = driven(hand, pace=9600)
    loop = asyncio.get_running_loop()
    began_s = loop.time()
    driver.received(b"\r")
    assert hand.took == []
    await eventually(lambda: hand.text == GREETING)
    assert loop.time() - began_s >= len(GREETING) / 960 * 0.98


async def test_a_board_leaves_once_when_it_is_told_to_restart() -> None:
    hand = Hand()
    driver = driven(hand)
    driver.received(b"again\r")
    await eventually(lambda: hand.left == ["reboot"])
    assert hand.text.endswith(b"; starting again\r\n")
    driver.close()
