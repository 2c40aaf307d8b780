"""Both clients against a real bench with simulated boards, over its Unix socket and over TCP."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from propsoff import Report, load_capture
from propsoff.bench.scene import PlaceNow, Told
from propsoff.client import AsyncBenchClient, BenchClient, BenchNow
from propsoff.exceptions import (
    BenchLostError,
    BenchReplyError,
    NoBenchError,
    NotAllowedError,
    NothingThereError,
    RefusedError,
    SettingsError,
    StaleError,
)
from tests_support.asked_benches import TOKEN, AskedBench, stranger
from tests_support.captures import CAPTURES

WAIT_S = 40.0


@pytest.fixture(params=["socket", "tcp", "found"])
def client(request: pytest.FixtureRequest, bench: AskedBench) -> Iterator[BenchClient]:
    made = {
        "socket": lambda: BenchClient(socket=bench.socket),
        "tcp": lambda: BenchClient(bench.service.url, token=TOKEN),
        "found": lambda: BenchClient.find(bench.state),
    }
    with made[request.param]() as client:
        yield client


def first(client: BenchClient, place: str = "a") -> Report:
    """The report on a place, waited for."""
    report = client.wait(place, timeout_s=WAIT_S)
    assert report is not None
    return report


def test_a_board_is_waited_for_inspected_again_and_its_files_are_had(
    client: BenchClient, bench: AskedBench, sim_bench: Any, tmp_path: Path
) -> None:
    assert client.bench().bench == "bench"
    sim_bench.plug("brindle-hd53+order-taer", "a")
    bench.report_on("a")
    report = first(client)
    assert (report.verdict, report.craft) == ("fail", client.place("a").past[-1].craft)
    begun = client.inspect("a")
    assert (begun.place, begun.before) == ("a", report.id)
    again = client.wait("a", after=begun.before, timeout_s=WAIT_S)
    assert again is not None
    assert again.id != report.id
    assert again.findings == report.findings
    assert client.wait("a", after=again.id, timeout_s=0) is None
    assert client.report(report.id) == report
    data = client.capture(again.id)
    (tmp_path / "again.cast").write_bytes(data)
    assert load_capture(tmp_path / "again.cast").sha256 == again.capture.sha256
    judged = client.judge(data)
    assert (judged.findings, judged.capture.sha256) == (again.findings, again.capture.sha256)
    assert b"<!doctype html>" in client.card(again.id)[:200].lower()
    assert client.changes(again.id, report.id).same
    assert client.changes(again.id, report.id).other == report.id
    said = client.conversation("a")
    assert said.next == len(said.pieces) > 10
    assert client.conversation("a", since=said.next, began=said.began).pieces == ()


def test_visits_are_those_of_history_and_each_filter_is_sent(
    client: BenchClient, bench: AskedBench, sim_bench: Any
) -> None:
    sim_bench.plug("ossel-hd53", "a")
    bench.report_on("a")
    report = first(client)
    client.capture(report.id)
    [found] = bench.until(lambda one: one.reports().visits)
    assert (found.verdict, found.board_serial) == (report.verdict.value, report.board_serial)
    assert client.reports(craft=report.board_serial, bench="bench", board=report.board, limit=1).visits == (found,)
    assert client.reports(verdict="fail").visits == ()
    assert client.reports(since=report.created, until="2999-01-01").visits == (found,)
    assert client.reports(until="2001-01-01").visits == ()


def test_questions_are_answered_put_off_and_refused_once_they_are_stale(
    client: BenchClient, bench: AskedBench, sim_bench: Any
) -> None:
    sim_bench.plug("ossel-hd53", "a")
    asked = bench.until(lambda one: one.asks())[0]
    assert [(one.id, one.kind, one.choices) for one in asked.questions] == [
        ("propellers-off", "yes-no", ()),
        ("battery-connector", "choice", ("3", "1")),
    ]
    assert client.ask(asked.id) == asked
    with pytest.raises(RefusedError, match="battery-connector: a number from 1 to 2") as refused:
        client.answer(asked.id, {"battery-connector": "7"})
    assert (refused.value.slug, refused.value.status) == ("bad-answer", 422)
    assert refused.value.wanted == (("battery-connector", "a number from 1 to 2"),)
    report = client.answer(asked.id, {"propellers-off": True, "battery-connector": "1"})
    told = {fact.name: fact.value for fact in report.facts if fact.origin == "hand"}
    assert told == {"hand.propellers-off": True, "hand.battery-connector": "3"}
    with pytest.raises(StaleError):
        client.answer(asked.id, {"propellers-off": False})
    client.inspect("a")
    anew = bench.until(lambda one: one.asks())[0]
    assert (anew.id != asked.id, anew.questions[0].before) == (True, True)
    client.put_off(anew.id)
    with pytest.raises(StaleError):
        client.ask(anew.id)


def test_a_word_of_the_operators_comes_back_as_it_was_given_until_it_is_revoked(
    bench: AskedBench, sim_bench: Any
) -> None:
    with BenchClient(socket=bench.socket) as client:
        with pytest.raises(NothingThereError, match="no place 'a'"):
            client.consent("a", "socket", "allow")
        sim_bench.plug("ossel-hd53", "a", socket="1-7:1.0")
        bench.report_on("a")
        place = client.places()[0].place
        first(client, place)
        allowed = client.consent(place, "socket", "deny", note="a bad lead")
        assert (allowed.verdict, allowed.scope, allowed.note) == ("deny", "socket", "a bad lead")
        assert client.consents() == (allowed,)
        with pytest.raises(NotAllowedError, match=place):
            client.inspect(place, named=True)
        assert client.revoke(allowed.id) == allowed
        assert client.consents() == ()
        with pytest.raises(NothingThereError, match="no consent"):
            client.revoke(allowed.id)


def test_what_is_not_there_is_told_with_what_is(client: BenchClient, bench: AskedBench, sim_bench: Any) -> None:
    sim_bench.plug("ossel-hd53", "left")
    bench.report_on("left")
    for call in (client.place, client.inspect, client.conversation):
        with pytest.raises(NothingThereError, match="left"):
            call("right")
    with pytest.raises(NothingThereError, match=r"right.*left"):
        client.find_place("right")
    for name in ("..", ".", ""):
        with pytest.raises(NothingThereError):
            client.report(name)
    with pytest.raises(NothingThereError):
        client.report("20260101T000000Z-nobody-0123456789ab")
    with pytest.raises(NothingThereError, match="no report"):
        client.capture("20260101T000000Z-nobody-0123456789ab", wait_s=0.1)
    with pytest.raises(RefusedError, match=r"query\.verdict"):
        client.reports(verdict="no-such")
    with pytest.raises(RefusedError):
        client.judge(b"{ no cast")


def test_a_place_is_found_by_its_id_and_by_the_device_that_is_plugged_in(bench: AskedBench, sim_bench: Any) -> None:
    board = sim_bench.plug("ossel-hd53", "left")
    with BenchClient(socket=bench.socket) as near, BenchClient(bench.service.url, token=TOKEN) as far:
        bench.report_on("left")
        link = Path(board.path)
        assert near.find_place("left").place == near.find_place(str(link)).place == "left"
        assert near.find_place(str(link.resolve())).place == "left"
        assert far.find_place(str(link)).place == "left"
        with pytest.raises(NothingThereError):  # a path of this machine says nothing of another's
            far.find_place(str(link.resolve()))


def test_the_stream_begins_with_the_bench_tells_each_change_and_ends_with_it(bench: AskedBench, sim_bench: Any) -> None:
    with BenchClient(socket=bench.socket) as client:
        stream = client.events()
        begin = next(stream)
        assert isinstance(begin, BenchNow)
        sim_bench.plug("ossel-hd53", "a")
        states: list[str] = []
        for happening in stream:
            if isinstance(happening, PlaceNow):
                states.append(happening.state)
            if states[-1:] == ["report"]:
                break
        assert states[-1] == "report"
        bench.stop()
        assert all(isinstance(each, PlaceNow | Told) for each in stream)


def test_without_the_token_only_the_reason_is_given(bench: AskedBench) -> None:
    for token in (None, "another-token-0123456789"):
        with (
            BenchClient(bench.service.url, token=token) as client,
            pytest.raises(RefusedError) as refused,
        ):
            client.bench()
        assert (refused.value.slug, refused.value.status) == ("no-token", 401)
        assert TOKEN not in repr(client.__dict__)
    with BenchClient(bench.service.url, token=None) as client, pytest.raises(RefusedError):
        next(client.events())


def test_a_bench_that_ends_is_lost_to_those_who_wait_and_absent_to_those_who_come(
    bench: AskedBench, sim_bench: Any
) -> None:
    service = bench.service
    with BenchClient.of(service) as client:
        assert client.ready().ready
        bench.stop()
        with pytest.raises(BenchLostError, match="went away"):
            client.wait("a", timeout_s=WAIT_S)
    with BenchClient.of(service) as client, pytest.raises(NoBenchError, match="propsoff watch"):
        client.bench()
    with pytest.raises(NoBenchError, match="start one: propsoff watch"):
        BenchClient.find(bench.state)


@pytest.mark.parametrize("url", ["127.0.0.1:8423", "ftp://x", "http://", "http://[::1", ""])
def test_an_address_that_is_none_is_refused_at_once(url: str) -> None:
    with pytest.raises(SettingsError, match="no address of a bench"):
        BenchClient(url)


def test_either_a_url_or_a_socket_is_given() -> None:
    with pytest.raises(SettingsError, match="one of them"):
        BenchClient()
    with pytest.raises(SettingsError, match="one of them"):
        BenchClient("http://127.0.0.1:1", socket=Path("x"))


async def test_the_asynchronous_client_does_the_same(bench: AskedBench, sim_bench: Any) -> None:
    async with AsyncBenchClient.find(bench.state) as client:
        sim_bench.plug("brindle-hd53+order-taer", "a")
        seen: list[object] = []
        async for happening in client.events():
            seen.append(happening)
            if isinstance(happening, PlaceNow) and happening.state == "report":
                break
        assert isinstance(seen[0], BenchNow)
        report = await client.wait("a", timeout_s=WAIT_S)
        assert report is not None
        assert report.verdict == "fail"
        begun = await client.inspect("a", named=True)
        again = await client.wait("a", after=begun.before, timeout_s=WAIT_S)
        assert again is not None
        assert again.id != report.id
        assert (await client.judge(await client.capture(again.id))).findings == again.findings
        assert (await client.bench()).places == await client.places()
        assert (await client.find_place("a")) == await client.place("a")
        assert (await client.ready()).ready
        assert await client.report(report.id) == report
        assert (await client.changes(again.id, report.id)).same
        assert (await client.conversation("a")).pieces
        assert b"<svg" in await client.card(report.id)
        [ask] = [await client.ask(each.id) for each in await client.asks()]
        assert (await client.answer(ask.id, {"propellers-off": "y"})).facts
        with pytest.raises(StaleError):
            await client.put_off(ask.id)
        assert await client.consents() == ()
        with pytest.raises(NothingThereError):
            await client.revoke("0123456789")
        assert (await client.reports(limit=5)).source == "history"
        with pytest.raises(SettingsError, match="one of them"):
            AsyncBenchClient()
        bench.stop()
        with pytest.raises(BenchLostError):
            await client.wait("a", after=again.id, timeout_s=WAIT_S)
        with pytest.raises(NoBenchError):
            await anext(client.events())


def test_both_clients_have_the_same_methods_with_the_same_arguments() -> None:
    def methods(kind: type) -> dict[str, list[Any]]:
        return {
            name: list(inspect.signature(method).parameters.values())
            for name, method in inspect.getmembers(kind, callable)
            if not name.startswith("_")
        }

    assert methods(BenchClient) == methods(AsyncBenchClient)
    assert {"bench", "places", "place", "inspect", "wait", "report", "capture", "events"} < set(methods(BenchClient))


def test_pasted_text_is_judged_too(bench: AskedBench) -> None:
    with BenchClient(socket=bench.socket) as client:
        report = client.judge((CAPTURES / "pasted-ossel-hd53-sound.txt").read_bytes())
    assert (report.verdict, report.capture.origin) == ("unknown", "pasted"), "the sheet's questions are not answered"


def test_an_answer_that_is_none_of_a_bench_is_told() -> None:
    told = [
        (b"HTTP/1.1 200 OK\r\nContent-Length: 2\r\n\r\n{}", "not understood"),
        (b"HTTP/1.1 404 Not Found\r\nContent-Length: 2\r\n\r\nno", "404 Not Found; is that a bench of propsoff"),
    ]
    for answer, words in told:
        with stranger(answer) as url, BenchClient(url) as client, pytest.raises(BenchReplyError, match=words):
            client.bench()
    with stranger(b"SSH-2.0-x\r\n") as url, BenchClient(url) as client, pytest.raises(BenchLostError):
        client.bench()
    with stranger(b"") as url, BenchClient(url) as client, pytest.raises(BenchLostError, match="went away"):
        client.bench()


def test_a_program_that_asks_without_end_is_slowed_and_not_failed(bench: AskedBench) -> None:
    with BenchClient(socket=bench.socket) as client:
        assert all(client.ready().ready for _ in range(280))  # more than one caller may ask at once


async def test_what_was_too_many_is_asked_again_as_soon_as_the_bench_says_but_not_for_ever() -> None:
    def refused(after: str) -> bytes:
        head = f"HTTP/1.1 429 Too Many Requests\r\nRetry-After: {after}\r\nConnection: close\r\n\r\n"
        return head.encode() + b'{"type": "urn:propsoff:problem:too-many", "title": "x", "detail": "later"}'

    fine = b'HTTP/1.1 200 OK\r\nConnection: close\r\n\r\n{"ready": true, "bench": "two", "why": ""}'
    with stranger(refused("0"), refused("0"), fine) as url, BenchClient(url) as client:
        assert client.ready().ready
    with stranger(refused("0"), refused("0"), fine) as url:
        async with AsyncBenchClient(url) as other:
            assert (await other.ready()).ready
    for after in ("60", "soon", ""):
        with stranger(refused(after), fine) as url, BenchClient(url) as client, pytest.raises(RefusedError):
            client.ready()
    with stranger(*[refused("0")] * 3, fine) as url, BenchClient(url) as client, pytest.raises(RefusedError):
        client.ready()
