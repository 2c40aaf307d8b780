"""Several sources as one stream."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncGenerator, AsyncIterator
from contextlib import aclosing
from pathlib import Path
from typing import cast

import pytest

from propsoff.exceptions import PortError
from propsoff.ports.facts import Arrival, Departure, Movement, Origin, Port
from propsoff.ports.folder import FolderSource
from propsoff.ports.merging import SourceTrouble, merged
from propsoff.ports.named import NamedSource

DEADLINE_S = 10.0


class Script:
    """A source that yields what it is told to, then waits, or raises."""

    def __init__(self, name: str, *movements: Movement, then: BaseException | None = None, ends: bool = False) -> None:
        self.name = name
        self.closed = asyncio.Event()
        self.more: asyncio.Queue[Movement | BaseException] = asyncio.Queue()
        for movement in movements:
            self.more.put_nowait(movement)
        if then is not None:
            self.more.put_nowait(then)
        self._ends = ends

    async def movements(self) -> AsyncGenerator[Movement, None]:
        try:
            while not (self._ends and self.more.empty()):
                item = await self.more.get()
                if isinstance(item, BaseException):
                    raise item
                yield item
        finally:
            self.closed.set()


def port(device: str, origin: Origin = "udev") -> Port:
    return Port(device, origin=origin)


async def taken(movements: AsyncGenerator[Movement, None], count: int) -> list[Movement]:
    async with asyncio.timeout(DEADLINE_S):
        return [await anext(movements) for _ in range(count)]


async def rest(movements: AsyncGenerator[Movement, None]) -> list[Movement]:
    async with asyncio.timeout(DEADLINE_S):
        return [movement async for movement in movements]


async def test_the_numbers_rise_by_one_over_all_sources() -> None:
    one = Script("one", Arrival(port("/dev/a"), 1), Departure(port("/dev/a"), 2))
    two = Script("two", Arrival(port("/dev/b"), 1), Arrival(port("/dev/c"), 2))
    async with aclosing(merged([one, two])) as movements:
        seen = await taken(movements, 4)
    assert [movement.seq for movement in seen] == [1, 2, 3, 4]
    assert {movement.port.device for movement in seen} == {"/dev/a", "/dev/b", "/dev/c"}


async def test_a_source_that_fails_is_reported_and_the_others_go_on() -> None:
    troubles: list[SourceTrouble] = []
    broken = Script("broken", Arrival(port("/dev/a")), then=OSError(28, "No space left on device"))
    sound = Script("sound")
    async with aclosing(merged([broken, sound], troubles.append)) as movements:
        await taken(movements, 1)
        async with asyncio.timeout(DEADLINE_S):
            await broken.closed.wait()
        sound.more.put_nowait(Arrival(port("/dev/b")))
        assert (await taken(movements, 1))[0].port.device == "/dev/b"
    assert [str(trouble) for trouble in troubles] == [
        "source of ports broken: [Errno 28] No space left on device (no longer watched: /dev/a)"
    ]


async def test_a_source_that_yields_nonsense_is_reported_and_closed() -> None:
    silly = Script("silly", cast(Movement, "ttyACM0"))
    sound = Script("sound", Arrival(port("/dev/b")))
    told: list[tuple[str, bool]] = []
    reported = asyncio.Event()

    def on_trouble(trouble: SourceTrouble) -> None:
        told.append((trouble.problem, silly.closed.is_set()))
        reported.set()
        sound.more.put_nowait(Departure(port("/dev/b")))

    async with aclosing(merged([silly, sound], on_trouble)) as movements:
        assert [move.port.device for move in await taken(movements, 2)] == ["/dev/b", "/dev/b"]
    assert told == [("yielded 'ttyACM0', which is no movement", True)]


async def test_a_source_that_cannot_be_closed_is_reported() -> None:
    class Stuck(Script):
        async def movements(self) -> AsyncGenerator[Movement, None]:
            try:
                yield cast(Movement, "ttyACM0")
            finally:
                raise OSError(5, "Input/output error")

    troubles: list[SourceTrouble] = []
    sound = Script("sound", Arrival(port("/dev/b")), ends=True)
    assert len(await rest(merged([Stuck("stuck"), sound], troubles.append))) == 1
    assert "could not be closed" in troubles[0].problem


async def test_a_source_that_is_no_generator_at_all_is_reported() -> None:
    class Odd:
        name = "odd"

        def movements(self) -> AsyncIterator[Movement]:
            return cast(AsyncIterator[Movement], [1, 2])

    troubles: list[SourceTrouble] = []
    sound = Script("sound", Arrival(port("/dev/b")), ends=True)
    assert len(await rest(merged([Odd(), sound], troubles.append))) == 1
    assert troubles[0].source == "odd"


async def test_when_every_source_has_failed_the_stream_is_an_error() -> None:
    sources = [Script("one", then=ValueError("first")), Script("two", then=RuntimeError("second"))]
    with pytest.raises(PortError, match=r"none is left: .*first.*second|none is left: .*second.*first"):
        await rest(merged(sources, lambda _: None))


async def test_when_every_source_has_ended_the_stream_ends() -> None:
    sources = [Script(name, Arrival(port(f"/dev/{name}")), ends=True) for name in ("a", "b")]
    assert len(await rest(merged(sources))) == 2
    assert await rest(merged([])) == []


async def test_closing_the_stream_closes_every_source() -> None:
    sources = [Script("one", Arrival(port("/dev/a"))), Script("two")]
    movements = merged(sources)
    await taken(movements, 1)
    await movements.aclose()
    assert all(source.closed.is_set() for source in sources)


async def test_cancelling_the_reader_closes_every_source() -> None:
    sources = [Script("one", Arrival(port("/dev/a"))), Script("two")]
    reached = asyncio.Event()

    async def read() -> None:
        async with aclosing(merged(sources)) as movements:
            async for _ in movements:
                reached.set()

    reading = asyncio.create_task(read())
    async with asyncio.timeout(DEADLINE_S):
        await reached.wait()
        reading.cancel()
        with pytest.raises(asyncio.CancelledError):
            await reading
    assert all(source.closed.is_set() for source in sources)


async def test_a_source_is_held_up_while_nobody_reads() -> None:
    flood = Script("flood", *(Arrival(port(f"/dev/{n}")) for n in range(1000)))
    async with aclosing(merged([flood])) as movements:
        await taken(movements, 1)
        for _ in range(100):
            await asyncio.sleep(0)
        assert flood.more.qsize() > 900


async def test_a_device_that_two_sources_see_is_the_earlier_ones() -> None:
    named = Script("named", Arrival(port("/dev/a", "named")))
    async with aclosing(merged([named, udev := Script("udev")])) as movements:
        assert (await taken(movements, 1))[0].port.origin == "named"
        udev.more.put_nowait(Arrival(port("/dev/a")))
        udev.more.put_nowait(Arrival(port("/dev/b")))
        assert (await taken(movements, 1))[0].port.device == "/dev/b"


async def test_a_later_word_of_an_earlier_source_takes_the_device_over_and_gives_it_back() -> None:
    udev, named = Script("udev", Arrival(port("/dev/a"))), Script("named")
    async with aclosing(merged([named, udev])) as movements:
        assert await taken(movements, 1) == [Arrival(port("/dev/a"), 1)]
        named.more.put_nowait(Arrival(port("/dev/a", "named")))
        assert await taken(movements, 2) == [Departure(port("/dev/a"), 2), Arrival(port("/dev/a", "named"), 3)]
        named.more.put_nowait(Departure(port("/dev/a", "named")))
        assert await taken(movements, 2) == [Departure(port("/dev/a", "named"), 4), Arrival(port("/dev/a"), 5)]


async def test_a_departure_without_arrival_is_not_passed_on() -> None:
    odd = Script("odd", Departure(port("/dev/a")), Arrival(port("/dev/b")), ends=True)
    assert await rest(merged([odd])) == [Arrival(port("/dev/b"), 1)]


async def test_a_real_link_and_the_device_it_leads_to_are_one(tmp_path: Path, terminal: str) -> None:
    """The folder has two links to the device that is also named: it is there once, until all of them are gone."""
    (tmp_path / "one").symlink_to(terminal)
    (tmp_path / "two").symlink_to(terminal)
    folder, named = FolderSource(tmp_path, rescan_ms=50), NamedSource([terminal])
    async with aclosing(merged([folder, named])) as movements:
        first = (await taken(movements, 1))[0]
        while first.port.origin == "named":  # it may have been quicker
            first = (await taken(movements, 1))[0]
        assert first.port.device == str(tmp_path / "one")
        (tmp_path / "one").unlink()
        assert [move.port.device for move in await taken(movements, 2)] == [str(tmp_path / n) for n in ("one", "two")]
        (tmp_path / "two").unlink()
        assert [move.port.device for move in await taken(movements, 2)] == [str(tmp_path / "two"), terminal]


class _UnusualError(BaseException):
    """Neither an error nor an end of anything."""


@pytest.mark.parametrize(
    ("raised", "words"),
    [
        (asyncio.CancelledError(), "CancelledError"),
        (_UnusualError("by design"), "_UnusualError: by design"),
        (SystemExit(3), "tried to end the program with SystemExit"),
        (GeneratorExit(), "GeneratorExit"),
    ],
    ids=lambda value: type(value).__name__,
)
async def test_a_source_that_raises_what_is_no_error_is_reported_and_the_others_go_on(
    raised: BaseException, words: str
) -> None:
    troubles: list[SourceTrouble] = []
    odd, sound = Script("odd", then=raised), Script("sound")

    def on_trouble(trouble: SourceTrouble) -> None:
        troubles.append(trouble)
        sound.more.put_nowait(Arrival(port("/dev/b")))

    async with aclosing(merged([odd, sound], on_trouble)) as movements:
        assert [move.port.device for move in await taken(movements, 1)] == ["/dev/b"]
    assert [words in trouble.problem for trouble in troubles] == [True]


async def test_closing_the_stream_still_ends_the_sources() -> None:
    troubles: list[SourceTrouble] = []
    script = Script("script", Arrival(port("/dev/a")))
    async with aclosing(merged([script], troubles.append)) as movements:
        await taken(movements, 1)
    assert script.closed.is_set()
    assert not troubles
