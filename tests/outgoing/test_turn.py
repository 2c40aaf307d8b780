"""Two benches with one state folder: what waits there is sent by one of them."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from propsoff.outgoing.turn import Turn
from tests_support.outgoing import running, secret_file, settings, until
from tests_support.receivers import receiver, status

HOLD = """
import sys
from pathlib import Path
from propsoff.outgoing.turn import Turn
assert Turn(Path(sys.argv[1])).take()
subprocess = __import__("subprocess")
subprocess.Popen([sys.executable, "-c", "import sys; sys.stdin.read()"], close_fds=False, start_new_session=True)
print("held", flush=True)
sys.stdin.read()
"""


def test_one_has_the_turn_until_it_lets_go(tmp_path: Path) -> None:
    one, other = Turn(tmp_path / "outgoing"), Turn(tmp_path / "outgoing")
    assert one.take()
    assert one.take()
    assert not other.take()
    one.leave()
    assert other.take()
    other.leave()
    other.leave()


def test_a_process_that_is_killed_lets_go_though_what_it_started_lives_on(tmp_path: Path) -> None:
    words = [sys.executable, "-c", HOLD, str(tmp_path)]
    with subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == b"held\n"
        turn = Turn(tmp_path)
        assert not turn.take()
        process.kill()
        process.wait(20)
        assert turn.take()
        turn.leave()


def test_a_link_in_its_place_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "lock").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(OSError, match=r"."):
        Turn(tmp_path).take()
    assert not (tmp_path / "elsewhere").exists()


async def test_each_report_goes_out_once_where_two_benches_have_one_state_folder(tmp_path: Path) -> None:
    with receiver(status(503)) as server:
        call = {"name": "rig", "url": server.url, "secret_file": secret_file(tmp_path), "deadline_s": 10}
        options = settings(tmp_path, calls=[call])
        async with running(options) as first:
            ids = [(await first.report(name)).id for name in ("a", "b")]
            await until(lambda: server.came)
            async with running(options) as second:
                await until(lambda: second.troubles)
                assert "another bench at work with this state folder" in second.troubles[0]
                ids.append((await second.report("c")).id)
                server.answers[0] = status(204)
                seen = len(server.came)
                await until(lambda: first.outgoing.waiting == 0)
                await first.outgoing.close(5)
                await until(lambda: second.outgoing.waiting == 0)
                assert "sends now" in second.troubles[-1]
    sent = [each.headers["webhook-id"] for each in server.came[seen:]]
    assert sorted(sent) == sorted(ids)


async def test_a_bench_that_waits_for_its_turn_ends_at_once_and_keeps_its_reports(tmp_path: Path) -> None:
    with receiver(status(503)) as server:
        call = {"name": "rig", "url": server.url, "secret_file": secret_file(tmp_path), "deadline_s": 10}
        options = settings(tmp_path, calls=[call])
        async with running(options) as first:
            ids = [(await first.report("a")).id]
            await until(lambda: server.came)
            async with running(options) as second:
                await until(lambda: second.troubles)
                ids.append((await second.report("c")).id)
        server.answers[0] = status(204)
        seen = len(server.came)
        async with running(options) as third:
            await until(lambda: third.outgoing.waiting == 0)
        assert sorted(each.headers["webhook-id"] for each in server.came[seen:]) == sorted(ids)
