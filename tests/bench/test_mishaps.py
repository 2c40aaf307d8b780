"""Boards change places, plug-ins and displays break, a stop does not wait: no report is lost."""

from __future__ import annotations

import asyncio
import functools
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from propsoff import check, hookimpl
from propsoff.bench import running, setup
from propsoff.bench.events import Kept, Left, Reported, Seen
from propsoff.inspection.finding import Verdict
from propsoff.ports.facts import Arrival, Port, UsbIdentity
from propsoff_sim.bench import SimBench
from tests_support.benches import Watched, tools_for, watched
from tests_support.holders import held


def lay(bench: Path, plugged: Path) -> None:
    """The board at `plugged` now stands in the one socket of the bench."""
    (bench / ".new").symlink_to(plugged.resolve())
    (bench / ".new").rename(bench / "socket")


async def test_a_board_that_left_while_it_was_waited_for_never_opens_the_next_one_there(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "real") as sockets, watched(tmp_path) as bench:
        first, second = sockets.plug("ossel-hd53", "a"), sockets.plug("brindle-hd53", "b")
        async with held(first.path):
            lay(tmp_path / "sockets", first.path)
            await bench.until(lambda: bool(bench.troubles))
            (tmp_path / "sockets" / "socket").unlink()
            gone = await bench.report(1)
            lay(tmp_path / "sockets", second.path)
            read = await bench.report(2)
    assert (gone.verdict, gone.conversation.bytes_sent) == (Verdict.INCOMPLETE, 0)
    assert "unplugged" in gone.ended
    assert read.firmware == "Brindle 2.6.1"
    assert len(bench.reports) == 2


async def test_a_board_replugged_under_the_same_name_at_once_is_opened_by_one_visit_only(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "real") as sockets, watched(tmp_path) as bench:
        first, second = sockets.plug("ossel-hd53", "a"), sockets.plug("brindle-hd53", "b")
        async with held(first.path):
            lay(tmp_path / "sockets", first.path)
            await bench.until(lambda: bool(bench.troubles))
            lay(tmp_path / "sockets", second.path)  # the rename takes the other link's place
            await bench.report(2)
    assert sorted(report.firmware or "nobody" for report in bench.reports) == ["Brindle 2.6.1", "nobody"]


class _UnusualError(BaseException):
    """Neither an error nor an end of anything."""


def cancels() -> None:
    raise asyncio.CancelledError


async def cancels_later() -> None:
    raise asyncio.CancelledError


def unusual() -> None:
    raise _UnusualError("by design")


@pytest.mark.parametrize("misbehave", [cancels, cancels_later, unusual])
async def test_a_moment_that_raises_what_is_no_error_costs_no_report_and_is_named(
    tmp_path: Path, misbehave: Callable[[], Any]
) -> None:
    class Bad:
        @hookimpl
        def propsoff_report_ready(self, report: Any) -> Any:
            return misbehave()

    tools = await asyncio.to_thread(tools_for, tmp_path, extra=[("bad", Bad())])
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path, tools) as bench:
        sockets.plug("ossel-hd53")
        [written] = await bench.files(1)
        await bench.until(lambda: bool(bench.troubles))
    assert written["verdict"] == "pass"
    assert bench.troubles[0].startswith("plug-in bad: propsoff_report_ready raised ")


def left(bench: Watched, count: int) -> bool:
    return sum(isinstance(event, Left) for event in bench.events) == count


async def test_a_watcher_that_raises_costs_no_report_and_is_logged(tmp_path: Path) -> None:
    tools = await asyncio.to_thread(tools_for, tmp_path)
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path, tools) as bench:
        bench.breaks_at = (Reported, Kept)
        for number in (1, 2):
            sockets.plug("ossel-hd53", "socket")
            await bench.files(number)
            sockets.unplug("socket")
            await bench.until(functools.partial(left, bench, number))
    told = [values["told"] for what, values in bench.log.said if what == "the display failed"]
    assert sorted(told) == ["Kept", "Kept", "Reported", "Reported"]


async def test_a_report_is_ready_before_it_is_written_and_told(tmp_path: Path) -> None:
    order: list[str] = []

    class Listens:
        name = "listens"

        @hookimpl
        def propsoff_report_ready(self, report: Any) -> None:
            order.append("ready")

        @hookimpl
        def propsoff_outputs(self, settings: Any) -> list[Any]:
            return [self]

        def write(self, report: Any) -> None:
            order.append("written")

    tools = await asyncio.to_thread(tools_for, tmp_path, extra=[("listens", Listens())])
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path, tools) as bench:
        sockets.plug("ossel-hd53")
        await bench.until(lambda: bool(bench.reports))
        assert order[0] == "ready"
        await bench.files(1)
    assert order == ["ready", "written"]


async def test_an_output_that_cancels_is_tried_again_like_any_other_that_fails(tmp_path: Path) -> None:
    tries: list[str] = []

    class Cancels:
        name = "cancels"

        @hookimpl
        def propsoff_outputs(self, settings: Any) -> list[Any]:
            return [self]

        async def write(self, report: Any) -> None:
            tries.append(report.id)
            if len(tries) < 3:
                raise asyncio.CancelledError

    tools = await asyncio.to_thread(tools_for, tmp_path, extra=[("cancels", Cancels())])
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path, tools) as bench:
        sockets.plug("ossel-hd53")
        async with asyncio.timeout(20):
            while len(tries) < 3:
                await asyncio.sleep(0.01)
    problems = [
        values["problem"] for what, values in bench.log.said if what.startswith("a report could not be written")
    ]
    assert problems == ["RuntimeError: CancelledError"] * 2


async def test_a_stop_that_does_not_wait_for_the_checks_keeps_the_capture_and_says_so(tmp_path: Path) -> None:
    begun, end = threading.Event(), threading.Event()

    @check("slow", title="slow", why="by design", reads=("board.name",))
    def slow(case: Any) -> list[Any]:
        begun.set()
        end.wait(30)
        return []

    class Brings:
        @hookimpl
        def propsoff_checks(self) -> list[Any]:
            return [slow]

    tools = await asyncio.to_thread(
        tools_for, tmp_path, extra=[("brings", Brings())], bench={"grace_s": 0.1}, checks={"deadline_s": 30.0}
    )
    try:
        async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path, tools) as bench:
            sockets.plug("ossel-hd53")
            async with asyncio.timeout(20):
                await asyncio.to_thread(begun.wait, 20)
    finally:
        end.set()
    [written] = await bench.files(1)
    assert (written["verdict"], written["complete"]) == ("incomplete", False)
    assert "the bench was stopped before the inspection had ended" in written["ended"].lower()
    assert (tmp_path / "reports" / written["capture"]["file"]).is_file()
    assert [text for text in bench.troubles if "was not examined" in text]
    assert bench.lost == 0


async def test_a_moment_that_outlasts_the_stop_costs_no_report(tmp_path: Path) -> None:
    begun = threading.Event()

    class Hangs:
        @hookimpl
        async def propsoff_report_ready(self, report: Any) -> None:
            begun.set()
            await asyncio.Event().wait()

    tools = await asyncio.to_thread(
        tools_for, tmp_path, extra=[("hangs", Hangs())], bench={"grace_s": 0.1}, plugins={"deadline_s": 20.0}
    )
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path, tools) as bench:
        sockets.plug("ossel-hd53")
        await asyncio.to_thread(begun.wait, 20)
    assert [report["verdict"] for report in await bench.files(1)] == ["pass"]


class OnePort:
    """A plug-in whose source of ports has one, which nobody has allowed."""

    name = "one port"

    @hookimpl
    def propsoff_port_sources(self) -> list[Any]:
        return [self]

    async def movements(self) -> Any:
        yield Arrival(Port("/dev/nobody", UsbIdentity(0x0403, 0x6001, "B1", product="Serial Bridge"), "listing"))
        await asyncio.Event().wait()


async def test_damaged_consents_are_told_once_and_on_the_loop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plain, reads = setup.policy_of, [0]

    def counted(tools: Any) -> Any:
        reads[0] += 1
        return plain(tools)

    async def read_again(times: int) -> None:
        until = reads[0] + times
        async with asyncio.timeout(20):
            while reads[0] < until:
                await asyncio.sleep(0.01)

    monkeypatch.setattr(running, "policy_of", counted)
    monkeypatch.setattr("propsoff.bench.bench._CONSENT_POLL_S", 0.01)
    tools = await asyncio.to_thread(tools_for, tmp_path, extra=[("one", OnePort())])
    async with watched(tmp_path, tools) as bench:
        await bench.until(lambda: bool(bench.decisions))
        (tmp_path / "state").mkdir()
        (tmp_path / "state" / "consents.json").write_text("{")
        await bench.until(lambda: bool(bench.troubles))
        await read_again(5)
        (tmp_path / "state" / "consents.json").unlink()
        await read_again(5)
        (tmp_path / "state" / "consents.json").write_text("{")
        await bench.until(lambda: len(bench.troubles) == 2)
        await read_again(5)
    assert ["consents.json" in text for text in bench.troubles] == [True, True]
    assert bench.threads == {threading.get_ident()}


async def test_the_arrival_is_told_before_the_policy_is_asked_and_holds_up_no_other_port(tmp_path: Path) -> None:
    let_go = threading.Event()

    class Slow:
        @hookimpl
        def propsoff_arrived(self, arrival: Any) -> None:
            if arrival.port.device.endswith("slow"):
                let_go.wait(20)

    tools = await asyncio.to_thread(tools_for, tmp_path, extra=[("slow", Slow())], plugins={"deadline_s": 20.0})
    try:
        async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path, tools) as bench:
            slow = sockets.plug("ossel-hd53", "slow")
            sockets.plug("corvane-hd53", "swift")
            await bench.report(1)
            assert [Path(seen.port.device).name for seen in bench.decisions] == ["swift"]
            assert slow.received == b""
            let_go.set()
            await bench.report(2)
    finally:
        let_go.set()
    assert [type(event) for event in bench.events].count(Seen) == 2


async def test_a_report_tells_the_name_of_its_bench(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path, bench={"name": "the left bench"}) as bench:
        sockets.plug("ossel-hd53")
        [written] = await bench.files(1)
    assert written["bench"] == "the left bench"
