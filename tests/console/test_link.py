"""A link over a real pseudo-terminal: reading, writing, losing and closing it."""

from __future__ import annotations

import asyncio
import contextlib
from dataclasses import replace
from pathlib import Path

import pytest

from console.conftest import MakeBoard, eventually
from console.toys import QUICK, Faults, plain
from propsoff.console.link import Link
from propsoff.exceptions import DeadlineError, LinkLostError

DEAF = Faults(deaf=True)
MORE_THAN_A_TERMINAL_HOLDS = b"x" * 40_000


def open_descriptors() -> int:
    return len(list(Path("/proc/self/fd").iterdir()))


async def heard(link: Link, end: bytes) -> bytes:
    """Everything read until it ends so; fails after five seconds."""
    data = b""
    async with asyncio.timeout(5):
        while not data.endswith(end):
            data += await link.read()
    return data


async def test_bytes_go_both_ways(board: MakeBoard) -> None:
    toy = board(plain())
    async with await Link.open(toy.device, timings=QUICK) as link:
        await link.write(b"what\r")
        assert await heard(link, b"toy> ") == b"what\r\nToy one, serial A1\r\ntoy> "
    assert toy.received == b"what\r"


async def test_every_value_of_a_byte_passes_unchanged(board: MakeBoard) -> None:
    silent = board()
    async with await Link.open(silent.device, timings=QUICK) as link:
        silent.say(bytes(range(256)))
        assert await heard(link, b"\xff") == bytes(range(256))
        await link.write(bytes(range(256)))
        await eventually(lambda: bytes(silent.received) == bytes(range(256)))


async def test_a_read_that_waits_in_vain_gives_nothing(board: MakeBoard) -> None:
    async with await Link.open(board().device, timings=QUICK) as link:
        assert await link.read(0.01) == b""
        assert await link.read(0) == b""


async def test_a_cancelled_read_loses_nothing(board: MakeBoard) -> None:
    silent = board()
    async with await Link.open(silent.device, timings=QUICK) as link:
        reading = asyncio.create_task(link.read())
        await asyncio.sleep(0)
        reading.cancel()
        with pytest.raises(asyncio.CancelledError):
            await reading
        silent.say(b"abc")
        assert await heard(link, b"c") == b"abc"


async def test_two_readers_are_a_mistake_of_ours_and_said_so(board: MakeBoard) -> None:
    async with await Link.open(board().device, timings=QUICK) as link:
        first = asyncio.create_task(link.read())
        await asyncio.sleep(0)
        with pytest.raises(RuntimeError, match="two tasks"):
            await link.read()
        first.cancel()


async def test_unplugging_fails_a_pending_read_at_once_with_its_reason(board: MakeBoard) -> None:
    silent = board()
    link = await Link.open(silent.device, timings=QUICK)
    reading = asyncio.create_task(link.read())
    await asyncio.sleep(0)
    silent.unplug()
    with pytest.raises(LinkLostError, match=rf"{silent.device}: .*unplugged"):
        async with asyncio.timeout(2):
            await reading
    assert "unplugged" in str(link.lost)


async def test_unplugging_fails_a_pending_write_at_once_with_its_reason(board: MakeBoard) -> None:
    deaf = board(None, DEAF)
    link = await Link.open(deaf.device, timings=replace(QUICK, write_s=20.0))
    writing = asyncio.create_task(link.write(MORE_THAN_A_TERMINAL_HOLDS))
    reading = asyncio.create_task(link.read())
    await asyncio.sleep(0)
    deaf.unplug()
    for pending in (writing, reading):
        with pytest.raises(LinkLostError, match="unplugged"):
            async with asyncio.timeout(2):
                await pending


async def test_after_a_loss_every_call_says_so_and_closing_is_harmless(board: MakeBoard) -> None:
    silent = board()
    link = await Link.open(silent.device, timings=QUICK)
    silent.unplug()
    with pytest.raises(LinkLostError):
        await link.read(5)
    for _ in range(2):
        with pytest.raises(LinkLostError, match="unplugged"):
            await link.read(5)
        with pytest.raises(LinkLostError, match="unplugged"):
            await link.write(b"x")
        assert await link.close()


async def test_what_came_before_the_loss_can_still_be_read(board: MakeBoard) -> None:
    silent = board()
    link = await Link.open(silent.device, timings=QUICK)
    silent.say(b"last words")
    await eventually(lambda: len(link._inbox) == 10)
    silent.unplug()
    await eventually(lambda: link.lost is not None)
    assert await link.read() == b"last words"
    with pytest.raises(LinkLostError):
        await link.read()


async def test_a_board_that_takes_no_bytes_ends_the_write_at_its_deadline(board: MakeBoard) -> None:
    async with await Link.open(board(None, DEAF).device, timings=replace(QUICK, write_s=0.1)) as link:
        with pytest.raises(DeadlineError, match=r"did not take 40000 bytes within 0\.1 s"):
            await link.write(MORE_THAN_A_TERMINAL_HOLDS)


async def test_a_cancelled_write_leaves_nothing_behind_in_the_buffer(board: MakeBoard) -> None:
    async with await Link.open(board(None, DEAF).device, timings=QUICK) as link:
        writing = asyncio.create_task(link.write(MORE_THAN_A_TERMINAL_HOLDS))
        await asyncio.sleep(0)
        writing.cancel()
        with pytest.raises(asyncio.CancelledError):
            await writing
        assert link._transport.get_write_buffer_size() == 0  # type: ignore[attr-defined]  # a serial link's


async def test_the_inbox_is_bounded_and_nothing_is_lost_by_it(board: MakeBoard) -> None:
    silent, data = board(), bytes(range(256)) * 400
    async with await Link.open(silent.device, timings=replace(QUICK, inbox_bytes=2000)) as link:
        silent.say(data)
        await eventually(lambda: link._paused)
        assert len(link._inbox) <= 2000 + 1024  # one read of the transport's may come on top
        received = b""
        async with asyncio.timeout(10):
            while len(received) < len(data):
                received += await link.read()
        assert received == data


async def test_closing_ends_a_pending_read_and_frees_every_descriptor(board: MakeBoard) -> None:
    silent = board()
    before = open_descriptors()
    link = await Link.open(silent.device, timings=QUICK)
    reading = asyncio.create_task(link.read())
    await asyncio.sleep(0)
    assert await link.close()
    with pytest.raises(LinkLostError, match="closed"):
        await reading
    assert link.closed
    assert link.lost is None
    assert open_descriptors() == before


async def test_it_is_closed_when_the_block_is_left_by_an_error_or_a_cancellation(board: MakeBoard) -> None:
    silent = board()
    with contextlib.suppress(ZeroDivisionError):
        async with await Link.open(silent.device, timings=QUICK) as link:
            _ = 1 // 0
    assert link.closed

    opened = asyncio.Event()
    links: list[Link] = []

    async def hold() -> None:
        async with await Link.open(silent.device, timings=QUICK) as held:
            links.append(held)
            opened.set()
            await held.read()

    holding = asyncio.create_task(hold())
    await opened.wait()
    holding.cancel()
    with pytest.raises(asyncio.CancelledError):
        await holding
    assert links[0].closed


async def test_the_same_board_is_opened_again_and_again_without_leaking(board: MakeBoard) -> None:
    silent = board()
    before = open_descriptors()
    for _ in range(30):
        async with await Link.open(silent.device, timings=QUICK):
            pass
    assert open_descriptors() == before


@pytest.mark.parametrize("device", ["/dev/serial/none-such", "/dev/null", "/"])
async def test_what_is_no_port_gives_the_systems_error(device: str) -> None:
    with pytest.raises(OSError):
        await Link.open(device, timings=QUICK)


async def test_an_unknown_kind_of_url_is_a_value_error() -> None:
    with pytest.raises(ValueError, match="teapot"):
        await Link.open("teapot://kitchen", timings=QUICK)
