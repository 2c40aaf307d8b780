"""Opening the doors of a bench, telling where they are, and closing them: real sockets, real processes."""

from __future__ import annotations

import asyncio
import json
import os
import socket
import stat
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from propsoff.exceptions import SettingsError
from propsoff.page.service import service
from propsoff.page.sockets import local_socket
from propsoff.settings import Settings
from propsoff_sim.bench import SimBench
from tests_support.served import asked


def quiet(event: str, **values: object) -> None:
    """A log that nobody reads."""


def settings_of(folder: Path, **page: object) -> Settings:
    return Settings.model_validate({"bench": {"state": str(folder / "state")}, "page": page})


async def test_both_doors_answer_and_are_told_in_a_file_that_goes_with_the_bench(tmp_path: Path) -> None:
    async with asked(tmp_path, bench={"name": "north"}) as bench:
        told = await bench.service_file()
        async with bench.caller() as over_tcp, bench.neighbour() as beside:
            answers = [(await client.get("/api/1/ready")).json() for client in (over_tcp, beside)]
    assert answers == [{"ready": True, "bench": "north", "why": ""}] * 2
    assert told == {
        "format": 1,
        "pid": os.getpid(),
        "bench": "north",
        "socket": str(tmp_path / "state" / "bench.sock"),
        "url": told["url"],
    }
    assert told["url"].startswith("http://127.0.0.1:")
    assert not (tmp_path / "state" / "service.json").exists()
    assert not (tmp_path / "state" / "bench.sock").exists()


async def test_only_its_user_can_reach_the_socket(tmp_path: Path) -> None:
    async with asked(tmp_path, page={"enabled": False}) as bench:
        told = await bench.service_file()
        assert told["url"] is None
        about = Path(told["socket"]).stat()
        assert stat.S_ISSOCK(about.st_mode)
        assert stat.S_IMODE(about.st_mode) == 0o600
        assert stat.S_IMODE((tmp_path / "state").stat().st_mode) == 0o700


async def test_a_folder_that_others_can_write_is_not_trusted_with_the_socket(tmp_path: Path) -> None:
    (tmp_path / "state").mkdir()
    (tmp_path / "state").chmod(0o777)
    async with asked(tmp_path) as bench:
        path = Path((await bench.service_file())["socket"])
        assert path.parent != tmp_path / "state"
        assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700


async def test_a_state_folder_with_a_long_name_has_its_socket_elsewhere(tmp_path: Path) -> None:
    long = tmp_path / ("n" * 120)
    async with asked(tmp_path, bench={"state": str(long)}) as bench:
        path = Path((await bench.service_file())["socket"])
        async with bench.neighbour() as client:
            assert (await client.get("/api/1/health")).json() == {"status": "alive"}
        assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert not path.parent.exists()


async def test_a_socket_that_a_dead_bench_left_behind_is_taken_over(tmp_path: Path) -> None:
    (tmp_path / "state").mkdir(mode=0o700)
    left = socket.socket(socket.AF_UNIX)
    left.bind(str(tmp_path / "state" / "bench.sock"))
    left.close()
    async with asked(tmp_path) as bench, bench.neighbour() as client:
        assert (await client.get("/api/1/health")).status_code == 200


async def test_a_bench_with_its_last_words_leaves_the_socket_to_the_one_that_began_meanwhile(tmp_path: Path) -> None:
    state = tmp_path / "state"
    first = local_socket(state)
    assert first is not None
    first.listener.close()  # as the server does, before answers under way have come to their end
    second = local_socket(state)
    assert second is not None
    first.remove()
    with socket.socket(socket.AF_UNIX) as caller:
        caller.connect(str(state / "bench.sock"))
    second.remove()
    assert not (state / "bench.sock").exists()


async def test_a_second_bench_on_the_same_state_folder_leaves_the_first_its_socket(tmp_path: Path) -> None:
    async with asked(tmp_path) as first:
        await first.service_file()
        (tmp_path / "second").mkdir()
        async with asked(tmp_path / "second", bench={"state": str(tmp_path / "state")}) as second:
            await second.until(lambda: bool(second.troubles))
            assert "another bench is at work with this state folder" in second.troubles[0]
        async with first.neighbour() as client:
            assert (await client.get("/api/1/health")).status_code == 200


async def test_a_port_that_is_taken_is_told_and_boards_are_inspected_all_the_same(tmp_path: Path) -> None:
    with socket.socket() as holder:
        holder.bind(("127.0.0.1", 0))
        holder.listen()
        port = holder.getsockname()[1]
        async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path, page={"port": port}) as bench:
            sockets.plug("ossel-hd53")
            assert (await bench.report()).verdict.value == "pass"
            assert (await bench.service_file())["url"] is None
            assert any(f"port {port}" in text and "another process has it" in text for text in bench.troubles)
            async with bench.neighbour() as client:
                told = (await client.get("/api/1/bench")).json()["troubles"]
            assert any("another process has it" in each["text"] for each in told)


@pytest.mark.parametrize("address", ["0.0.0.0", "::", "192.0.2.7", "bench-2.example"])
def test_an_address_that_others_can_reach_is_refused_without_a_token(tmp_path: Path, address: str) -> None:
    with pytest.raises(SettingsError, match=r"needs a token \(set page.token_file"):
        service(settings_of(tmp_path, enabled=True, address=address), quiet)
    service(settings_of(tmp_path, enabled=False, address=address), quiet)


async def test_an_address_that_is_not_of_this_machine_is_told(tmp_path: Path) -> None:
    token = tmp_path / "token"
    token.write_text("not-a-real-token-of-anybody")
    token.chmod(0o600)
    async with asked(tmp_path, page={"address": "192.0.2.7", "token_file": str(token)}) as bench:
        await bench.until(lambda: bool(bench.troubles))
    assert "192.0.2.7 port 0: cannot be served there" in bench.troubles[0]


@pytest.mark.parametrize("plugged", [False, True])
async def test_the_end_of_the_bench_is_told_on_open_streams_and_waits_for_no_caller(
    tmp_path: Path, plugged: bool
) -> None:
    places: dict[str, object] = {"places": {"bay": "the bay"}}
    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path, bench=places) as bench:
        known = ""
        if plugged:
            sockets.plug("ossel-hd53", "bay")
            known = f"&after={(await bench.report()).id}"
        async with bench.caller() as client, client.stream("GET", "/api/1/events") as stream:
            lines = stream.aiter_lines()
            while not (await anext(lines)).startswith("data:"):
                pass
            waits = asyncio.create_task(client.get(f"/api/1/places/bay/report?wait_s=600{known}"))
            async with asyncio.timeout(20):
                while "propsoff_waits 1.0" not in (await client.get("/api/1/metrics")).text:
                    pass
            bench.stopping.set()
            async with asyncio.timeout(15):
                rest = [line async for line in lines]
                assert (await waits).status_code == 204
            assert "event: end" in rest


async def test_a_connection_that_says_nothing_does_not_hold_up_the_end(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench:
        async with bench.caller() as client:
            await client.get("/api/1/health")
        host, port = (await bench.url()).removeprefix("http://").split(":")
        _, writer = await asyncio.open_connection(host, int(port))
        loop = asyncio.get_running_loop()
        began = loop.time()
    assert loop.time() - began < 12
    writer.close()


async def test_nobody_is_told_of_doors_that_are_about_to_be_shut(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench:
        host, port = (await bench.url()).removeprefix("http://").split(":")
        reader, writer = await asyncio.open_connection(host, int(port))
        writer.write(
            b"POST /api/1/captures HTTP/1.1\r\nHost: localhost\r\nContent-Type: text/plain\r\n"
            b"Expect: 100-continue\r\nContent-Length: 100\r\n\r\n"
        )
        async with asyncio.timeout(20):
            await reader.readuntil(b"100 Continue\r\n\r\n")
            under_way = asyncio.create_task(reader.read())
            bench.stopping.set()
            while (tmp_path / "state/service.json").exists() or (tmp_path / "state/bench.sock").exists():
                await asyncio.sleep(0.005)
            assert not under_way.done(), "its last words are still to come"
            await asyncio.wait({under_way})
        writer.close()


PROBE = """
    import asyncio, http.client, json, socket, sys
    from pathlib import Path
    sys.path.insert(0, {tests!r})
    HEAVY = ("fastapi", "uvicorn", "starlette", "prometheus_client")

    async def main():
        from propsoff.bench.running import run_bench
        from propsoff.page.service import service
        from tests_support.benches import QuietLog, tools_for
        folder = Path({folder!r})
        tools = await asyncio.to_thread(tools_for, folder, store={{"enabled": False}})
        stopping, served = asyncio.Event(), asyncio.Event()
        def say(event, **values):
            served.set()
        run = asyncio.create_task(run_bench(tools, watcher=lambda event: None, log=QuietLog(), stopping=stopping,
                                            serve=[service(tools.settings, say)]))
        await served.wait()
        before = [name for name in HEAVY if name in sys.modules]
        told = json.loads((folder / "state/service.json").read_text())
        reader, writer = await asyncio.open_unix_connection(told["socket"])
        writer.write(b"GET /api/1/health HTTP/1.1\\r\\nHost: bench\\r\\nConnection: close\\r\\n\\r\\n")
        answer = await reader.read()
        writer.close()
        after = [name for name in HEAVY if name in sys.modules]
        stopping.set()
        await run
        print(json.dumps([before, after, answer.decode().splitlines()[0]]))

    asyncio.run(main())
"""


def test_what_serves_is_loaded_when_somebody_comes_and_not_before(tmp_path: Path) -> None:
    code = textwrap.dedent(PROBE).format(tests=str(Path(__file__).parent.parent), folder=str(tmp_path))
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=50, check=True)
    before, after, answer = json.loads(done.stdout)
    assert before == []
    assert after == ["fastapi", "uvicorn", "starlette", "prometheus_client"]
    assert answer == "HTTP/1.1 200 OK"
    assert done.stderr == ""


def test_the_socket_of_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "state").write_text("a file in the way")
    with pytest.raises(NotADirectoryError):
        local_socket(tmp_path / "state" / "deeper")


async def test_a_bench_without_doors_tells_nothing(tmp_path: Path) -> None:
    async with asked(tmp_path, page={"enabled": False, "socket": False}) as bench:
        await bench.control.consents()
    assert not (tmp_path / "state" / "service.json").exists()
    assert bench.said == []
