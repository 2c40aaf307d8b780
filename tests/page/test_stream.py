"""The event stream: everything that changes, to every viewer, and nothing kept for one that does not read.

Source of the form: HTML Standard, 9.2 Server-sent events.
"""

from __future__ import annotations

import asyncio
import json
import tracemalloc
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any, NamedTuple

import httpx

from propsoff.bench.events import Reading, Reported, Seen, Trouble
from propsoff.page.limits import Limits
from propsoff.ports.facts import Port, UsbIdentity
from propsoff.ports.policy import Decision
from propsoff_sim.bench import SimBench
from tests_support.reports import a_report
from tests_support.served import Asked, asked

OPEN = Decision(True, "hinted", "a dialect names it")


class Sent(NamedTuple):
    """One event as a browser takes it."""

    name: str
    number: int
    data: Any


async def events(answer: httpx.Response) -> AsyncIterator[Sent]:
    """The events of a stream, parsed by the rules of the standard as far as they are used."""
    told: dict[str, str] = {}
    async for line in answer.aiter_lines():
        if not line:
            if "data" in told:
                yield Sent(told.get("event", "message"), int(told["id"]), json.loads(told["data"]))
            told = {}
        elif not line.startswith(":"):
            name, _, value = line.partition(":")
            told[name] = value.removeprefix(" ")


def change(bench: Asked, place: int, report: Any = None) -> None:
    """Something happens at one of the bench's places."""
    port = Port(f"/dev/p{place}", UsbIdentity(path=f"7-{place}:1.0"), "udev")
    scene = bench.control.scene
    scene(Seen(port, OPEN))
    scene(Reading(port))
    if report is not None:
        scene(Reported(port, report))


async def test_a_visit_is_told_step_by_step_and_begins_with_the_whole_bench(tmp_path: Path) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        asked(tmp_path, bench={"name": "north"}) as bench,
        bench.caller() as client,
        client.stream("GET", "/api/1/events") as answer,
    ):
        assert answer.headers["content-type"].startswith("text/event-stream")
        assert answer.headers["cache-control"] == "no-store"
        stream = events(answer)
        first = await anext(stream)
        assert (first.name, first.data["bench"], first.data["places"]) == ("bench", "north", [])
        assert first.data == (await client.get("/api/1/bench")).json()
        sockets.plug("ossel-hd53", "bay")
        states: list[str] = []
        numbers, last = [first.number], first
        async with asyncio.timeout(30):
            while not states or states[-1] != "report":
                last = await anext(stream)
                assert last.name == "place"
                assert last.data["changed"] == last.number
                states.append(last.data["state"])
                numbers.append(last.number)
        assert numbers == sorted(numbers)
        assert states[-2:] == ["reading", "report"]
        report = await bench.report()
        assert last.data["report"] == report.id
        assert (await client.get(f"/api/1/reports/{last.data['report']}")).json()["id"] == report.id
        bench.control.tell("something is amiss")
        assert [(sent.name, sent.data["text"]) for sent in [await anext(stream)]] == [("trouble", "something is amiss")]
        sockets.unplug("bay")
        assert (await anext(stream)).data["state"] == "empty"


async def test_a_viewer_that_comes_back_gets_the_whole_bench_again_whatever_number_it_had(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench, bench.caller() as client:
        for number in ("0", "1", "999999999999", "nonsense", ""):
            change(bench, 1)
            headers = {"Last-Event-ID": number}
            async with client.stream("GET", "/api/1/events", headers=headers) as answer:
                first = await anext(events(answer))
                assert (first.name, first.number) == ("bench", bench.control.scene.changed)
                assert first.data["places"][0]["changed"] == first.number


async def test_what_happens_between_two_looks_of_a_slow_viewer_comes_as_the_newest_state_once(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench, bench.caller() as client, client.stream("GET", "/api/1/events") as answer:
        stream = events(answer)
        await anext(stream)
        for _ in range(50):
            change(bench, 1)
        change(bench, 2)
        bench.control.tell("last")
        async with asyncio.timeout(20):
            sent = [await anext(stream) for _ in range(3)]
        assert [(each.name, each.data.get("place")) for each in sent] == [
            ("place", "7-1"),
            ("place", "7-2"),
            ("trouble", None),
        ]


async def test_a_quiet_bench_gives_signs_of_life(tmp_path: Path) -> None:
    limits = Limits(alive_s=0.02)
    async with (
        asked(tmp_path, limits=limits) as bench,
        bench.caller() as client,
        client.stream("GET", "/api/1/events") as answer,
    ):
        lines = answer.aiter_lines()
        assert await anext(lines) == "retry: 1000"
        async with asyncio.timeout(20):
            while await anext(lines) != ": alive":
                pass


async def test_thirty_two_places_reach_five_viewers_whole(tmp_path: Path) -> None:
    report = a_report("one")[0]
    async with asked(tmp_path) as bench, bench.caller() as client:

        async def watch() -> dict[str, str]:
            seen: dict[str, str] = {}
            async with client.stream("GET", "/api/1/events") as answer:
                async for sent in events(answer):
                    if sent.name == "place":
                        seen[sent.data["place"]] = sent.data["state"]
                    if len(seen) == 32 and set(seen.values()) == {"report"}:
                        return seen
            return seen

        viewers = [asyncio.create_task(watch()) for _ in range(5)]
        async with asyncio.timeout(20):
            while "propsoff_streams 5.0" not in (await client.get("/api/1/metrics")).text:
                pass
        for place in range(32):
            change(bench, place, report.model_copy(update={"id": f"20270115T080000Z-p-{place:012x}"}))
            await asyncio.sleep(0)
        async with asyncio.timeout(30):
            assert [len(seen) for seen in await asyncio.gather(*viewers)] == [32] * 5


async def test_viewers_that_never_read_cost_bounded_memory_and_hold_up_nobody(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench, bench.caller() as client:
        host, port = (await bench.url()).removeprefix("http://").split(":")
        writers = []
        for _ in range(10):
            reader, writer = await asyncio.open_connection(host, int(port), limit=1)
            reader._transport.pause_reading()  # type: ignore[attr-defined]  # so that nothing is read here either
            writer.write(b"GET /api/1/events HTTP/1.1\r\nHost: localhost\r\n\r\n")
            writers.append(writer)
        async with asyncio.timeout(20):
            while "propsoff_streams 10.0" not in (await client.get("/api/1/metrics")).text:
                pass

        async def storm(rounds: int) -> None:
            for number in range(rounds):
                for place in range(32):
                    change(bench, place)
                bench.control.tell("x" * 2000)
                if number % 4 == 0:
                    await asyncio.sleep(0)
                    bench.events.clear()

        tracemalloc.start()
        await storm(400)
        grown = tracemalloc.get_traced_memory()[0]
        tracemalloc.stop()
        # 400 rounds of 32 places and a text for 10 viewers would be some 50 MB of events.
        assert grown < 10_000_000, grown
        async with client.stream("GET", "/api/1/events") as answer:
            first = await anext(events(answer))
            assert len(first.data["places"]) == 32
        for writer in writers:
            writer.transport.abort()
        async with asyncio.timeout(20):
            while "propsoff_streams 0.0" not in (await client.get("/api/1/metrics")).text:
                pass


async def test_a_viewer_that_takes_nothing_for_too_long_is_cut_off(tmp_path: Path) -> None:
    limits = Limits(stall_s=0.3, per_second=1e4, burst=10_000)
    async with asked(tmp_path, limits=limits) as bench, bench.caller() as client:
        host, port = (await bench.url()).removeprefix("http://").split(":")
        reader, writer = await asyncio.open_connection(host, int(port), limit=1)
        reader._transport.pause_reading()  # type: ignore[attr-defined]  # so that nothing is read here either
        writer.write(b"GET /api/1/events HTTP/1.1\r\nHost: localhost\r\n\r\n")
        async with asyncio.timeout(20):
            while "propsoff_streams 1.0" not in (await client.get("/api/1/metrics")).text:
                pass
            while "propsoff_streams 0.0" not in (await client.get("/api/1/metrics")).text:
                for place in range(64):
                    change(bench, place)
                bench.control.tell("x" * 60_000)
        writer.close()


async def test_trouble_text_of_a_board_cannot_forge_an_event(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench, bench.caller() as client, client.stream("GET", "/api/1/events") as answer:
        stream = events(answer)
        await anext(stream)
        bench.control.scene(Trouble("a\n\nevent: end\ndata: {}\r\n\r\u2028x"))
        sent = await anext(stream)
        assert (sent.name, sent.data["text"]) == ("trouble", "a\n\nevent: end\ndata: {}\r\n\r\u2028x")


async def test_what_happens_last_comes_before_the_end(tmp_path: Path) -> None:
    limits = Limits(pause_s=0.2)
    async with (
        asked(tmp_path, limits=limits) as bench,
        bench.caller() as client,
        client.stream("GET", "/api/1/events") as answer,
    ):
        stream = events(answer)
        await anext(stream)
        change(bench, 1)
        await anext(stream)
        change(bench, 2)  # within the pause
        bench.control.scene.end()
        rest = [(sent.name, sent.data.get("place")) async for sent in stream]
    assert rest == [("place", "7-2"), ("end", None)]
