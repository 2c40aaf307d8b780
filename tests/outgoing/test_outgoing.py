"""What leaves a bench, as a whole: queues that outlive a stop or a kill, targets that cost nobody else anything."""

from __future__ import annotations

import asyncio
import json
import signal
import sys
import time
from pathlib import Path

import pytest

from propsoff.exceptions import SettingsError
from propsoff.outgoing.outbox import waiting_files
from propsoff.outgoing.outgoing import outgoing_of
from propsoff.outgoing.section import OutgoingSection
from propsoff_sim.bench import SimBench
from tests_support.benches import QuietLog
from tests_support.outgoing import running, secret_file, settings, until
from tests_support.outgoing_bench import bench_process, bench_with_outgoing
from tests_support.receivers import Receiver, hangs, receiver, resets, status


def a_call(folder: Path, server: Receiver | str, name: str = "rig", **table: object) -> dict[str, object]:
    url = server if isinstance(server, str) else server.url
    return {"name": name, "url": url, "secret_file": secret_file(folder), "deadline_s": 10, **table}


def a_command(name: str, code: str, **table: object) -> dict[str, object]:
    return {"name": name, "argv": [sys.executable, "-I", "-c", code], **table}


def came(server: Receiver) -> list[str]:
    """The ids that a receiver saw, in order."""
    return [each.headers["webhook-id"] for each in server.came]


async def test_a_report_goes_to_every_target_and_leaves_nothing_behind(tmp_path: Path) -> None:
    code = "import os, sys; open(os.environ['PROPSOFF_REPORT_ID'], 'w').write(os.environ['PROPSOFF_REPORT_FILE'])"
    with receiver() as one, receiver() as two:
        options = settings(
            tmp_path,
            calls=[a_call(tmp_path, one, "one"), a_call(tmp_path, two, "two")],
            commands=[a_command("note", code)],
        )
        async with running(options) as bench:
            report = await bench.report("teal wren")
            await until(lambda: one.came and two.came)
            await until(lambda: bench.outgoing.waiting == 0)
    assert came(one) == came(two) == [report.id]
    named = Path((tmp_path / "state/outgoing" / report.id).read_text())
    assert json.loads(named.read_text())["id"] == report.id
    assert bench.troubles == []
    assert list((tmp_path / "state/outgoing").rglob("*.outgoing")) == []


async def test_only_the_verdicts_that_are_wanted_are_queued(tmp_path: Path) -> None:
    with receiver() as failures, receiver() as others:
        options = settings(
            tmp_path,
            calls=[
                a_call(tmp_path, failures, "failures", verdicts=["fail", "error"]),
                a_call(tmp_path, others, "others", verdicts=["incomplete"]),
            ],
        )
        async with running(options) as bench:
            report = await bench.report("a")
            assert report.verdict == "incomplete"
            await until(lambda: others.came)
    assert failures.came == []
    assert waiting_files(tmp_path / "state/outgoing/call.failures") == []


async def test_what_a_stopped_bench_could_not_send_goes_out_in_order_when_it_runs_again(tmp_path: Path) -> None:
    with receiver(status(503)) as server:
        options = settings(tmp_path, calls=[a_call(tmp_path, server)])
        async with running(options) as bench:
            ids = [(await bench.report(f"{number}")).id for number in range(4)]
            await until(lambda: len(server.came) >= 3)
        assert set(came(server)) == {ids[0]}
        assert len(waiting_files(tmp_path / "state/outgoing/call.rig")) == 4
        assert "answered 503" in bench.troubles[0]
        server.answers[0] = status(204)
        seen = len(server.came)
        async with running(options) as bench:
            ids.append((await bench.report("later")).id)
            await until(lambda: bench.outgoing.waiting == 0)
        assert came(server)[seen:] == ids


async def test_a_bench_that_is_killed_loses_nothing_and_sends_nothing_twice_under_another_id(tmp_path: Path) -> None:
    with receiver(hangs) as server:
        section = settings(tmp_path, calls=[a_call(tmp_path, server)]).outgoing
        queue = tmp_path / "state/outgoing/call.rig"
        async with SimBench(tmp_path / "sockets") as sockets:
            with bench_process(tmp_path, section) as process:
                for number in (1, 2, 3):
                    sockets.plug("ossel-hd53", f"socket-{number}")
                await until(lambda: len(waiting_files(queue)) == 3 and server.came, 50)
                process.kill()
                process.wait(20)
        waited = [path.stem.partition("_")[2] for path in waiting_files(queue)]
        assert set(came(server)) <= {waited[0]}
        first_body = server.came[0].body
        server.answers[0] = status(204)
        seen = len(server.came)
        with bench_process(tmp_path, section) as process:
            await until(lambda: not waiting_files(queue), 50)
            process.send_signal(signal.SIGTERM)
            assert await asyncio.to_thread(process.wait, 30) == 0
        assert came(server)[seen:] == waited
        assert server.came[seen].body == first_body


async def test_a_target_that_hangs_holds_up_neither_the_others_nor_the_bench(tmp_path: Path) -> None:
    with receiver(hangs) as bad, receiver(resets) as worse, receiver() as good:
        section = settings(
            tmp_path,
            calls=[
                a_call(tmp_path, bad, "bad", deadline_s=60),
                a_call(tmp_path, worse, "worse"),
                a_call(tmp_path, good, "good"),
            ],
            commands=[a_command("stuck", "import signal\nwhile True: signal.pause()", deadline_s=60)],
        ).outgoing
        async with SimBench(tmp_path / "sockets") as sockets:
            async with bench_with_outgoing(tmp_path, section) as (bench, outgoing):
                for number in (1, 2, 3):
                    sockets.plug("ossel-hd53", f"socket-{number}")
                await bench.files(3)
                await until(lambda: len(good.came) == 3)
                await until(lambda: bad.came and worse.came)
                before = time.monotonic()
            # The bench's grace is 5 s; what hangs is then cut off, and stays on disk.
            assert time.monotonic() - before < 15
        for queue in ("call.bad", "call.worse", "command.stuck"):
            assert len(waiting_files(tmp_path / "state/outgoing" / queue)) == 3, queue
        assert outgoing.waiting == 9
        assert bench.lost == 0


async def test_a_command_is_run_once_also_where_the_bench_was_started_to_ignore_its_children(tmp_path: Path) -> None:
    before = signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # as a supervisor may leave it
    try:
        options = settings(tmp_path, commands=[a_command("note", "open('ran', 'a').write('x')")])
        async with SimBench(tmp_path / "sockets") as sockets:
            async with bench_with_outgoing(tmp_path, options.outgoing) as (bench, outgoing):
                sockets.plug("ossel-hd53", "socket-1")
                await bench.files(1)
                await until(lambda: (tmp_path / "state/outgoing/ran").exists() and outgoing.waiting == 0)
            assert (tmp_path / "state/outgoing/ran").read_text() == "x"
        assert signal.getsignal(signal.SIGCHLD) is signal.SIG_IGN
    finally:
        signal.signal(signal.SIGCHLD, before)


async def test_a_stop_lets_what_just_came_out_within_its_grace(tmp_path: Path) -> None:
    with receiver() as server:
        async with running(settings(tmp_path, calls=[a_call(tmp_path, server)])) as bench:
            await until(lambda: bench.outgoing._loop is not None)
            report = await bench.report("a")
        assert came(server) == [report.id]


async def test_a_stop_does_not_wait_for_a_target_that_is_away(tmp_path: Path) -> None:
    with receiver() as server:
        url = server.url
    options = settings(tmp_path, calls=[a_call(tmp_path, url)], back_off_s=60, back_off_most_s=60)
    async with running(options, grace_s=30) as bench:
        await bench.report("a")
        await until(lambda: bench.troubles)
        before = time.monotonic()
    assert time.monotonic() - before < 10
    assert len(waiting_files(tmp_path / "state/outgoing/call.rig")) == 1


async def test_a_close_before_or_just_after_the_start_ends_it(tmp_path: Path) -> None:
    options = settings(tmp_path, calls=[a_call(tmp_path, "http://127.0.0.1:9/")])
    for yields in range(3):
        made = outgoing_of(options, QuietLog(), lambda event: None)
        assert made is not None
        await made.close(0.1)
        task = asyncio.create_task(made.run())
        for _ in range(yields):
            await asyncio.sleep(0)
        await made.close(0.1)
        await asyncio.wait_for(task, 10)


async def test_the_start_says_what_is_wrong_with_secrets_and_what_nobody_asks_for(tmp_path: Path) -> None:
    with receiver(status(500)) as server:
        async with running(settings(tmp_path, calls=[a_call(tmp_path, server, "old")])) as bench:
            await bench.report("a")
        table = a_call(tmp_path, server)
        (tmp_path / "secret").chmod(0o644)
        lost = {**a_call(tmp_path, server, "lost"), "secret_file": tmp_path / "absent"}
        (tmp_path / "secret").chmod(0o644)
        async with running(settings(tmp_path, calls=[table, lost])) as bench:
            await until(lambda: len(bench.troubles) == 3)
    told = "\n".join(bench.troubles)
    assert f"{tmp_path / 'secret'}: everybody on this computer may read" in told
    assert f"{tmp_path / 'absent'}: the secret cannot be read" in told
    assert f"{tmp_path}/state/outgoing/call.old: 1 reports wait" in told


async def test_too_many_waiting_reports_drop_the_oldest_aloud(tmp_path: Path) -> None:
    with receiver(status(503)) as server:
        options = settings(tmp_path, calls=[a_call(tmp_path, server)], keep=3)
        async with running(options) as bench:
            ids = [(await bench.report(f"{number}")).id for number in range(6)]
            await until(lambda: sum("dropped" in text for text in bench.troubles) >= 3)
            server.answers[0] = status(204)
            await until(lambda: bench.outgoing.waiting == 0)
        assert came(server)[-2:] == ids[-2:]


async def test_given_up_sent_and_retried_are_told(tmp_path: Path) -> None:
    with receiver(status(503), status(422, b"no"), status(204)) as server:
        async with running(settings(tmp_path, calls=[a_call(tmp_path, server)])) as bench:
            first, second = (await bench.report("a")).id, (await bench.report("b")).id
            await until(lambda: bench.said("an outgoing report is out"))
            await until(lambda: len(bench.troubles) == 3)
    assert "tried again" in bench.troubles[0]
    assert f"report {first} is given up: the receiver answered 422: no" in bench.troubles[1]
    assert second in bench.troubles[2]
    assert bench.said("an outgoing report is out")[0]["report"] == second


async def test_a_name_server_that_does_not_answer_takes_no_thread_of_the_bench(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import socket
    import threading

    asked, ending = list[str](), threading.Event()
    real = socket.getaddrinfo

    def slow(host: object, *rest: object, **more: object) -> object:
        if host in ("slow.invalid", b"slow.invalid"):
            asked.append(threading.current_thread().name)
            ending.wait(30)
        return real(host, *rest, **more)  # type: ignore[arg-type]  # passed on as it came

    monkeypatch.setattr(socket, "getaddrinfo", slow)
    calls = [a_call(tmp_path, "http://slow.invalid/", f"n{at}", deadline_s=0.3) for at in range(8)]
    async with running(settings(tmp_path, calls=calls), grace_s=0.1) as bench:
        await bench.report("a")
        await until(lambda: len(asked) > 16)
        # The loop's own pool of threads is free.
        async with asyncio.timeout(5):
            await asyncio.gather(*(asyncio.to_thread(int) for _ in range(64)))
        before = time.monotonic()
    assert time.monotonic() - before < 5
    assert all(name.startswith("propsoff") for name in asked)
    ending.set()


def test_without_targets_there_is_nothing(tmp_path: Path) -> None:
    assert outgoing_of(settings(tmp_path), QuietLog(), lambda event: None) is None
    assert OutgoingSection().anything is False


def test_without_its_library_mqtt_is_a_mistake_in_the_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, "propsoff.outgoing.broker", raising=False)
    monkeypatch.delitem(sys.modules, "propsoff.outgoing.reports", raising=False)
    monkeypatch.setitem(sys.modules, "aiomqtt", None)
    with pytest.raises(SettingsError, match=r"outgoing\.mqtt: needs the library aiomqtt .*propsoff\[mqtt\]"):
        outgoing_of(settings(tmp_path, mqtt={"host": "localhost"}), QuietLog(), lambda event: None)
