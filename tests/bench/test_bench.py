"""The daemon on a simulated bench: one report for each board, whatever boards, people and plug-ins do."""

from __future__ import annotations

import asyncio
import json
import threading
from pathlib import Path
from typing import Any

import asciinema.asciicast as player
import pytest

from propsoff import hookimpl
from propsoff.bench.events import Left, Seen
from propsoff.console.capture import load_capture
from propsoff.inspection.finding import Verdict
from propsoff_sim.bench import SimBench
from tests_support.benches import tools_for, watched
from tests_support.holders import held

BOARDS = ("ossel-hd53", "brindle-hd50+small-grid", "corvane-analog-spi")


@pytest.mark.parametrize("name", [*BOARDS, "ossel-analog-ntsc", "brindle-hd53", "corvane-hd53+order-taer"])
async def test_a_live_board_and_its_saved_capture_give_equal_findings(tmp_path: Path, name: str) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path) as bench:
        sockets.plug(name)
        live = await bench.report()
        written = (await bench.files(1))[0]
    saved = tmp_path / "reports" / written["capture"]["file"]
    again = bench.tools.inspect(load_capture(saved), file=saved.name)
    before = json.dumps(written["findings"]).encode()
    after = json.dumps(json.loads(again.to_json())["findings"]).encode()
    assert before == after
    assert again.capture.sha256 == live.capture.sha256 == written["capture"]["sha256"]
    assert again.facts == live.facts
    assert again.conversation == live.conversation
    assert len(live.findings) >= 4


async def test_boards_one_after_another_in_one_socket_each_get_a_report(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path) as bench:
        for number in range(8):
            sockets.plug(BOARDS[number % 3], "socket", socket="1-1:1.0")
            await bench.report(number + 1)
            sockets.unplug("socket")
        assert not bench.troubles
        files = await bench.files(8)
    assert {report["verdict"] for report in files} == {"pass", "fail"}


async def test_two_boards_with_one_serial_number_are_two_boards(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path) as bench:
        sockets.plug("ossel-hd53", "left")
        sockets.plug("ossel-hd53+order-taer", "right")
        await bench.report(2)
        files = await bench.files(2)
    assert len({report["port"]["serial_number"] for report in files}) == 1
    assert {report["port"]["device"].rpartition("/")[2] for report in files} == {"left", "right"}
    assert {report["verdict"] for report in files} == {"pass", "fail"}


@pytest.mark.parametrize("bytes_sent", [0, 1, 40, 200, 900, 1800])
async def test_a_board_pulled_at_any_moment_leaves_an_incomplete_report_and_a_playable_capture(
    tmp_path: Path, bytes_sent: int
) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path) as bench:
        if bytes_sent == 0:
            sockets.plug("ossel-hd53", "pulled")
            sockets.unplug("pulled")
        else:
            sockets.plug("ossel-hd53", "pulled", faults=[f"unplug:{bytes_sent}"])
        sockets.plug("corvane-hd53", "neighbour")
        count = 2 if bytes_sent else 1
        await bench.report(count)
        files = await bench.files(count)
    by_name = {report["port"]["device"].rpartition("/")[2]: report for report in files}
    assert by_name["neighbour"]["verdict"] == "pass"
    if "pulled" in by_name:
        pulled = by_name["pulled"]
        assert (pulled["verdict"], pulled["complete"]) == ("incomplete", False)
        with player.open_from_url(str(tmp_path / "reports" / pulled["capture"]["file"])) as recording:
            events = list(recording.events())
        assert events[-1][1] == "m"
        assert events[-1][2].startswith("end: ")
        assert events[-1][2] != "end: done"


async def test_a_stop_in_the_middle_leaves_a_report_of_what_there_was(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path) as bench:
        board = sockets.plug("ossel-hd53", pace=9600)
        await asyncio.wait_for(_sent(board, 300), 30)
        bench.stopping.set()
        report = await bench.report()
        assert (report.verdict, report.dialect and report.dialect.id) == (Verdict.INCOMPLETE, "ossel")
        assert "stopped" in report.ended
        await bench.files(1)


async def _sent(board: Any, count: int) -> None:
    while board.sent_bytes < count:
        await asyncio.sleep(0.005)


@pytest.mark.parametrize("stranger", ["gps", "printer", "modem", "silence", "binary", "echo-only"])
async def test_what_is_no_flight_controller_is_told_within_the_budget(tmp_path: Path, stranger: str) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path) as bench:
        plugged = sockets.plug(stranger)
        report = await bench.report()
        assert len(plugged.received) <= 32
    assert report.verdict == Verdict.INCOMPLETE
    assert report.conversation.bytes_before_identification == len(plugged.received)
    assert report.conversation.writes_before_identification is not None
    assert report.conversation.writes_before_identification <= 2
    assert report.next_steps


async def test_a_board_in_its_bootloader_is_never_opened(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path) as bench:
        plugged = sockets.plug("bootloader")
        await bench.until(lambda: bool(bench.decisions))
        sockets.plug("corvane-hd53")
        await bench.report()
        assert plugged.received == b""
    decision = bench.decisions[0].decision
    assert (decision.open, decision.rule) == (False, "bootloader")
    assert "bootloader" in decision.reason


async def test_a_known_board_is_asked_without_listening_first(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path, timings={"listen_s": 0.5}) as bench:
        for count in (1, 2):
            sockets.plug("corvane-hd53", "socket")
            await bench.report(count)
            sockets.unplug("socket")
    first, second = (sum(phase.seconds for phase in report.conversation.phases) for report in bench.reports)
    assert first >= 0.5
    assert second < 0.5


class Rude:
    """A plug-in that misbehaves at every moment, and one output that never works."""

    name = "rude"

    @hookimpl
    def propsoff_arrived(self, arrival: Any) -> None:
        raise RuntimeError(f"no {arrival.port.device}")

    @hookimpl
    async def propsoff_report_ready(self, report: Any) -> None:
        await asyncio.Event().wait()

    @hookimpl
    def propsoff_departed(self, departure: Any) -> None:
        raise SystemExit(departure.seq)

    @hookimpl
    def propsoff_port_sources(self, settings: Any) -> list[Any]:
        return [settings.bench.name, self]

    @hookimpl
    def propsoff_outputs(self, settings: Any) -> Any:
        return [self, None]

    async def movements(self) -> Any:
        yield "no movement"

    def write(self, report: Any) -> None:
        raise OSError(28, "No space left on device")


async def test_a_rude_plugin_is_named_and_costs_nobody_a_report(tmp_path: Path) -> None:
    tools = await asyncio.to_thread(
        tools_for, tmp_path, extra=[("rude", Rude())], plugins={"deadline_s": 0.2}, bench={"grace_s": 0.5}
    )
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path, tools) as bench:
        sockets.plug("ossel-hd53", "socket")
        await bench.files(1)
        sockets.unplug("socket")
        await bench.until(lambda: any("propsoff_departed" in text for text in bench.troubles))
    told = "\n".join(bench.troubles)
    assert "plug-in rude: propsoff_arrived raised RuntimeError" in told
    assert "plug-in rude: propsoff_report_ready did not come back" in told
    assert "plug-in rude: propsoff_departed raised" in told
    assert "source of ports rude: yielded 'no movement'" in told
    assert any("rude" in str(failure) and "no output" in str(failure) for failure in tools.failures)
    assert any("could not be written" in what for what, _ in bench.log.said)


async def test_a_folder_that_cannot_be_written_loses_no_report(tmp_path: Path) -> None:
    (tmp_path / "reports").write_text("a file in the way")
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path) as bench:
        sockets.plug("ossel-hd53")
        await bench.report()
        async with asyncio.timeout(20):
            while not any("kept in memory" in what for what, _ in bench.log.said):
                await asyncio.sleep(0.01)
        (tmp_path / "reports").unlink()
        files = await bench.files(1)
    assert files[0]["verdict"] == "pass"


async def test_consent_given_while_a_port_waits_opens_it(tmp_path: Path) -> None:
    """The port is seen by a source whose ports are not the operator's own choice, so it needs a word first."""
    from datetime import UTC, datetime

    from propsoff.bench.setup import consent_store
    from propsoff.ports.facts import Arrival, Port, UsbIdentity

    async with SimBench(tmp_path / "real") as sockets:
        plugged = sockets.plug("ossel-hd53", socket="1-9:1.0")
        usb = UsbIdentity(0x0403, 0x6001, "B1", product="Serial Bridge", path="1-9:1.0")
        port = Port(str(plugged.path), usb, "listing")

        class Source:
            name = "one port"

            async def movements(self) -> Any:
                yield Arrival(port)
                await asyncio.Event().wait()

        class Brings:
            @hookimpl
            def propsoff_port_sources(self) -> list[Any]:
                return [Source()]

        tools = await asyncio.to_thread(tools_for, tmp_path, extra=[("brings", Brings())])
        async with watched(tmp_path, tools) as bench:
            await bench.until(lambda: bool(bench.decisions))
            assert not bench.decisions[0].decision.open
            assert "propsoff allow" in bench.decisions[0].decision.reason
            store = consent_store(tools.settings)
            await asyncio.to_thread(store.add, port, "socket", "allow", lambda: datetime.now(UTC))
            report = await bench.report()
    assert report.verdict == Verdict.PASS
    assert bench.decisions[-1].decision.rule == "consented"


async def test_consents_are_read_off_the_event_loop_and_what_is_told_keeps_its_order(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from propsoff.ports.consent_store import ConsentStore
    from propsoff.ports.facts import Arrival, Departure, Port, UsbIdentity

    threads, read, go_on = list[int](), ConsentStore.all, threading.Event()

    def slow(store: ConsentStore) -> Any:
        threads.append(threading.get_ident())
        if len(threads) == 1:
            assert go_on.wait(20)
        return read(store)

    monkeypatch.setattr(ConsentStore, "all", slow)
    usb = UsbIdentity(0x0403, 0x6001, "B1", path="1-9:1.0")
    first, second = (Port(f"/dev/absent-{number}", usb, "listing") for number in (1, 2))

    class Source:
        name = "two ports"

        async def movements(self) -> Any:
            for move in (Arrival(first, 1), Arrival(second, 2), Departure(first, 3), Arrival(first, 4)):
                yield move
            await asyncio.Event().wait()

    class Brings:
        @hookimpl
        def propsoff_port_sources(self) -> list[Any]:
            return [Source()]

    tools = await asyncio.to_thread(tools_for, tmp_path, extra=[("brings", Brings())])
    async with watched(tmp_path, tools) as bench:
        async with asyncio.timeout(20):
            while not threads:
                await asyncio.sleep(0.005)  # the loop goes on while the file is read
        assert bench.events == []
        go_on.set()
        await bench.until(lambda: len(bench.decisions) >= 3)
    told = [(type(event), event.port.device) for event in bench.events if isinstance(event, Seen | Left)]
    assert told[:4] == [(Seen, first.device), (Seen, second.device), (Left, first.device), (Seen, first.device)]
    assert threading.get_ident() not in threads


async def test_thirty_two_boards_at_once_each_get_their_own_report(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path) as bench:
        for number in range(32):
            sockets.plug(BOARDS[number % 3], f"socket-{number}")
        await bench.report(32)
        files = await bench.files(32)
    assert len({report["port"]["device"] for report in files}) == 32
    assert {report["verdict"] for report in files} == {"pass", "fail"}
    assert all(report["complete"] for report in files)


async def test_a_port_that_another_program_holds_is_named_waited_for_and_then_read(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "real") as sockets, watched(tmp_path) as bench:
        plugged = sockets.plug("ossel-hd53")
        async with held(plugged.path) as holder:
            (tmp_path / "sockets" / "board").symlink_to(plugged.path.resolve())
            await bench.until(lambda: bool(bench.troubles))
            assert f"(pid {holder.pid})" in bench.troubles[0]
        report = await bench.report()
    assert report.verdict == Verdict.PASS


async def test_a_port_that_stays_held_gives_a_report_that_names_the_holder(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "real") as sockets, watched(tmp_path, timings={"busy_s": 0.2}) as bench:
        plugged = sockets.plug("ossel-hd53")
        async with held(plugged.path) as holder:
            (tmp_path / "sockets" / "board").symlink_to(plugged.path.resolve())
            report = await bench.report()
    assert report.verdict == Verdict.INCOMPLETE
    assert f"(pid {holder.pid})" in report.ended
    assert report.conversation.bytes_sent == 0
