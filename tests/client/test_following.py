"""Server-sent events: what is taken of a stream, and going on after a break."""

from __future__ import annotations

import pytest
from httpx_sse import ServerSentEvent

from propsoff.bench.scene import PlaceNow
from propsoff.client import AsyncBenchClient, BenchClient, BenchNow
from propsoff.client.following import Following
from propsoff.exceptions import BenchLostError, BenchReplyError, NoBenchError, RefusedError
from tests_support.asked_benches import stranger

HEAD = b"HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\nConnection: close\r\n\r\nretry: 1\n\n"
BENCH = b'event: bench\nid: 3\ndata: {"bench": "two", "version": "9", "started": "x", "changed": 3, "more": 1}\n\n'
PLACE = (
    b'event: place\nid: 4\ndata: {"place": "a", "name": "a\xe2\x80\xa8b", "state": "empty",\n'
    b'data: "since": "x", "changed": 4}\n\n'
)
"""An event of two data lines, joined by a line end; U+2028 in it is no line end (HTML Standard, 9.2.5)."""
END = b"event: end\ndata: {}\n\n"
REFUSED = (
    b"HTTP/1.1 429 Too Many Requests\r\nContent-Type: application/problem+json\r\nConnection: close\r\n\r\n"
    b'{"type": "urn:propsoff:problem:too-many", "title": "x", "status": 429, "detail": "come back later"}'
)


def test_after_a_break_the_stream_goes_on_until_the_bench_ends() -> None:
    second = HEAD + BENCH + PLACE + b": alive\n\nevent: new-kind\ndata: 1\n\n" + END
    with stranger(HEAD + BENCH, second) as url, BenchClient(url) as client:
        seen = list(client.events())
    assert [type(each) for each in seen] == [BenchNow, BenchNow, PlaceNow]
    assert seen[0] == BenchNow("two", "9", "x", 3)
    assert seen[2] == PlaceNow("a", "a\u2028b", "empty", "x", 4)


async def test_the_asynchronous_stream_goes_on_too() -> None:
    with stranger(HEAD + BENCH, HEAD + BENCH + PLACE + END) as url:
        async with AsyncBenchClient(url) as client:
            seen = [each async for each in client.events()]
    assert [type(each) for each in seen] == [BenchNow, BenchNow, PlaceNow]


def test_a_bench_that_does_not_come_back_is_lost_after_a_while() -> None:
    with stranger(HEAD + BENCH, b"") as url, BenchClient(url) as client:
        stream = client.events(lost_s=0.05)
        assert isinstance(next(stream), BenchNow)
        with pytest.raises(BenchLostError, match=r"did not come back within 0\.05 s"):
            next(stream)


def test_a_stream_that_never_began_is_not_tried_again() -> None:
    with BenchClient("http://127.0.0.1:1") as client, pytest.raises(NoBenchError):
        next(client.events())
    with stranger(b"") as url, BenchClient(url) as client, pytest.raises(BenchLostError, match="went away before"):
        next(client.events())


def test_a_refusal_ends_the_stream() -> None:
    with stranger(HEAD + BENCH, REFUSED) as url, BenchClient(url) as client:
        stream = client.events()
        next(stream)
        with pytest.raises(RefusedError, match="come back later") as refused:
            next(stream)
    assert (refused.value.slug, refused.value.status) == ("too-many", 429)


def test_what_is_no_stream_is_told() -> None:
    told = [
        (b"HTTP/1.1 200 OK\r\nContent-Length: 2\r\n\r\n{}", "no stream of events"),
        (HEAD + b"event: place\ndata: {}\n\n", "event place is not understood"),
    ]
    for answer, words in told:
        with stranger(answer) as url, BenchClient(url) as client, pytest.raises(BenchReplyError, match=words):
            next(client.events())


def test_the_time_that_a_bench_is_away_begins_anew_with_each_event() -> None:
    now = 0.0
    following = Following("x", 10.0, lambda: now)
    following.take(ServerSentEvent(event="new-kind", data="1", id="7", retry=120_000))
    assert following.pause_s == 30.0
    following.broke(None)
    now = 9.0
    following.broke(NoBenchError("it was there before, so this is a break"))
    following.take(ServerSentEvent(event="new-kind", data="1"))
    following.broke(None)
    now = 18.9
    following.broke(None)
    now = 19.1
    with pytest.raises(BenchLostError):
        following.broke(None)
