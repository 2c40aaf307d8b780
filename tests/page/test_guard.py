"""Attacks on the door of a bench: every one over a real socket, against the real daemon."""

from __future__ import annotations

import asyncio
import json
import re
from pathlib import Path
from typing import Any

import httpx
import pytest

from propsoff.page.limits import Limits
from propsoff_sim.bench import SimBench
from tests_support.served import QUICK, asked

WORD = "not-a-real-token-of-anybody"
PROBLEM = "application/problem+json"


def slug(answer: httpx.Response) -> str:
    """The kind of a problem document, after a look at the rest of it (RFC 9457, 3)."""
    assert answer.headers["content-type"] == PROBLEM, answer.text
    told = answer.json()
    assert told["status"] == answer.status_code
    assert told["title"]
    assert told["detail"]
    kind: str = told["type"]
    return kind.removeprefix("urn:propsoff:problem:")


def token_file(folder: Path) -> str:
    path = folder / "token"
    path.write_text(WORD)
    path.chmod(0o600)
    return str(path)


def raw(url: str, request: bytes) -> Any:
    """What comes back for bytes of our own."""

    async def ask() -> bytes:
        host, port = url.removeprefix("http://").split(":")
        reader, writer = await asyncio.open_connection(host, int(port))
        writer.write(request)
        await writer.drain()
        async with asyncio.timeout(20):
            answer = await reader.read()
        writer.close()
        return answer

    return ask()


async def test_every_answer_leaves_with_what_keeps_a_browser_safe(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench, bench.caller() as client:
        answers = [
            await client.get(path)
            for path in (
                "/",
                "/history",
                "/static/api.js",
                "/nowhere",
                "/api/1/bench",
                "/api/1/nowhere",
                "/api/1/metrics",
            )
        ]
        answers.append(await client.post("/api/1/asks/none", json={"answers": {}}))
    for answer in answers:
        headers = answer.headers
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert headers["cross-origin-resource-policy"] == "same-origin"
        policy = headers["content-security-policy"]
        assert policy.startswith("default-src 'none'")
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert "access-control-allow-origin" not in headers
        assert "server" not in headers
        api = answer.url.path.startswith("/api/")
        assert headers["cache-control"] == ("no-store" if api else "no-cache")
        assert ("script-src 'self'" in policy) is not api


async def test_a_name_bound_to_our_address_and_another_site_get_nothing(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path) as bench, bench.caller() as client:
        sockets.plug("ossel-hd53", "bay")
        await bench.until_place("bay", lambda now: now.state == "report")
        foreign = {"host": "evil.example"}
        assert slug(await client.get("/api/1/bench", headers=foreign)) == "wrong-host"
        for headers in (
            {"origin": "http://evil.example"},
            {"origin": "null"},
            {"sec-fetch-site": "cross-site"},
            {"sec-fetch-site": "same-site"},
        ):
            assert slug(await client.get("/api/1/bench", headers=headers)) == "wrong-origin"
            assert slug(await client.post("/api/1/places/bay/inspect", headers=headers)) == "wrong-origin"
        assert len(bench.reports) == 1
        own = {"origin": await bench.url(), "sec-fetch-site": "same-origin"}
        assert (await client.post("/api/1/places/bay/inspect", headers=own)).status_code == 202


async def test_a_form_of_another_site_cannot_be_taken_for_a_request(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path) as bench, bench.caller() as client:
        sockets.plug("ossel-hd53", "bay")
        await bench.until_place("bay", lambda now: now.state == "report")
        body = json.dumps({"scope": "socket", "verdict": "allow"})
        for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", ""):
            answer = await client.post("/api/1/places/bay/consent", content=body, headers={"content-type": kind})
            assert slug(answer) == "wrong-type"
        assert await bench.control.consents() == ()


NOT_FITTING = [
    {"scope": "socket", "verdict": "allow", "note": 0},
    {"scope": "socket", "verdict": 1},
    {"scope": "socket"},
    {"scope": "socket", "verdict": "allow", "extra": True},
    {"scope": "socket", "verdict": "allow", "note": "line\nline"},
    {"scope": "socket", "verdict": "allow", "note": "\x1b[2J"},
    {"scope": "socket", "verdict": "allow", "note": "x" * 401},
    {"scope": ["socket"], "verdict": "allow"},
    [],
    None,
    0,
    "allow",
]


async def test_a_body_that_does_not_fit_is_told_where_and_gives_no_consent(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path) as bench, bench.caller() as client:
        sockets.plug("ossel-hd53", "bay")
        await bench.until_place("bay", lambda now: bool(now.plugged))
        for body in NOT_FITTING:
            answer = await client.post("/api/1/places/bay/consent", json=body)
            assert (slug(answer), answer.status_code) == ("bad-request", 422), body
            assert all(each["where"].startswith("body") and each["wanted"] for each in answer.json()["errors"])
        assert await bench.control.consents() == ()


NOT_TRUE = [0, 1, "true", "yes", None, [], {}]


async def test_only_true_is_true(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path) as bench, bench.caller() as client:
        sockets.plug("ossel-hd53", "bay")
        await bench.until_place("bay", lambda now: now.state == "report")
        for named in NOT_TRUE:
            answer = await client.post("/api/1/places/bay/inspect", json={"named": named})
            assert slug(answer) == "bad-request", named
        assert len(bench.reports) == 1


NO_JSON = [b"", b"{", b"\xff\xfe", b"[" * 30_000, b'{"a":' * 9000, b'{"answers": {"a": 1e999}}', b'{"answers": NaN}']


async def test_json_that_is_none_is_a_problem_and_no_traceback(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench, bench.caller() as client:
        for body in NO_JSON:
            json_type = {"content-type": "application/json"}
            answer = await client.post("/api/1/asks/none", content=body, headers=json_type)
            assert slug(answer) == "bad-request", body[:40]
        assert not any(what == "fault" for what, _ in bench.said)


async def test_a_body_that_is_too_large_is_refused_before_it_is_here_and_while_it_comes(tmp_path: Path) -> None:
    limits = Limits(per_second=1e4, burst=10_000, body_bytes=1000, capture_bytes=5000)
    async with asked(tmp_path, limits=limits) as bench, bench.caller() as client:
        big = {"content-type": "application/json"}
        answer = await client.post("/api/1/asks/none", content=b"x" * 1001, headers=big)
        assert slug(answer) == "too-large"

        async def pieces() -> Any:
            for _ in range(20):
                yield b"x" * 100

        answer = await client.post("/api/1/asks/none", content=pieces(), headers=big)
        assert slug(answer) == "too-large"
        answer = await client.post("/api/1/captures", content=b"x" * 5001, headers={"content-type": "text/plain"})
        assert slug(answer) == "too-large"
        assert (await client.get("/api/1/health")).status_code == 200
        lying = (
            b"POST /api/1/asks/none HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
            b"Content-Length: 99999999999999999999999\r\nConnection: close\r\n\r\n"
        )
        assert b" 400 " in (await raw(await bench.url(), lying)).split(b"\r\n")[0]


async def test_a_body_that_never_comes_is_not_waited_for(tmp_path: Path) -> None:
    limits = Limits(body_s=0.2)
    async with asked(tmp_path, limits=limits) as bench:
        half = (
            b"POST /api/1/asks/none HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
            b"Content-Length: 100\r\n\r\n{"
        )
        answer = await raw(await bench.url(), half)
    assert b" 408 " in answer.split(b"\r\n")[0]
    assert b"urn:propsoff:problem:too-slow" in answer


async def test_a_caller_that_asks_without_end_is_slowed_and_told_for_how_long(tmp_path: Path) -> None:
    limits = Limits(per_second=1.0, burst=5)
    async with asked(tmp_path, limits=limits) as bench, bench.caller() as client, bench.neighbour() as beside:
        answers = [await client.get("/api/1/health") for _ in range(7)]
        assert [answer.status_code for answer in answers[:5]] == [200] * 5
        assert slug(answers[6]) == "too-many"
        assert int(answers[6].headers["retry-after"]) >= 1
        assert (await beside.get("/api/1/health")).status_code == 200
        # A page is some 25 files, and several screens may stand behind one address.
        assert {(await client.get("/static/api.js")).status_code for _ in range(60)} == {200}


async def test_without_the_token_nothing_is_told_but_that_it_lives(tmp_path: Path) -> None:
    async with asked(tmp_path, page={"token_file": token_file(tmp_path)}) as bench, bench.caller() as client:
        described = await client.get("/api/1/openapi.json", headers={"authorization": f"Bearer {WORD}"})
        for path, methods in described.json()["paths"].items():
            for method in methods:
                asked_for = re.sub(r"{[a-z]+}", "20270115T080000Z-a-0123456789ab", path)
                if path in ("/api/1/health", "/api/1/session"):
                    continue
                answer = await client.request(method, asked_for)
                assert slug(answer) == "no-token", (method, path)
                assert answer.headers["www-authenticate"].startswith("Bearer")
        assert (await client.get("/api/1/health")).json() == {"status": "alive"}
        assert (await client.get("/static/api.js")).status_code == 200
        assert (await client.get("/sign-in")).status_code == 200
        for path in ("/", "/history", "/reports/20270115T080000Z-a-0123456789ab", "/nowhere", "//evil.example/"):
            answer = await client.get(path)
            assert answer.status_code == 303
            assert re.match(r"/sign-in\?next=/(?!/)", answer.headers["location"])
            assert "content-type" not in answer.headers


WRONG = [
    "",
    "Bearer",
    f"Basic {WORD}",
    f"Bearer {WORD[:-1]}",
    f"Bearer {WORD}x",
    f"bearer{WORD}",
    "Bearer \xff",
]


async def test_a_wrong_token_is_none(tmp_path: Path) -> None:
    async with asked(tmp_path, page={"token_file": token_file(tmp_path)}) as bench, bench.caller() as client:
        for shown in WRONG:
            headers = {b"authorization": shown.encode("latin-1")}
            answer = await client.get("/api/1/bench", headers=list(headers.items()))
            assert slug(answer) == "no-token", shown


async def test_tokens_cannot_be_tried_without_end(tmp_path: Path) -> None:
    limits = Limits(per_second=1e4, burst=10_000, wrong_tokens_per_minute=3)
    async with (
        asked(tmp_path, limits=limits, page={"token_file": token_file(tmp_path)}) as bench,
        bench.caller() as signed_in,
        bench.caller() as client,
    ):
        assert (await signed_in.post("/api/1/session", json={"token": WORD})).status_code == 204
        tried = []
        for number in range(4):
            wrong = {"authorization": f"Bearer wrong-{number}"}
            tried.append(slug(await client.get("/api/1/bench", headers=wrong)))
        assert tried == ["no-token", "no-token", "no-token", "too-many"]
        last = await client.post("/api/1/session", json={"token": "wrong"})
        assert slug(last) == "too-many"
        assert int(last.headers["retry-after"]) > 1
        assert (await signed_in.get("/api/1/bench")).status_code == 200


async def test_a_neighbour_with_wrong_tokens_does_not_shut_out_who_has_the_right_one(tmp_path: Path) -> None:
    limits = Limits(per_second=0.01, burst=20, files_per_second=0.01, files_burst=5, wrong_tokens_per_minute=3)
    right = {"authorization": f"Bearer {WORD}"}
    async with (
        asked(tmp_path, limits=limits, page={"token_file": token_file(tmp_path)}) as bench,
        bench.caller() as client,
        bench.caller() as browser,
    ):
        wrong = {"authorization": "Bearer wrong"}
        tried = [slug(await client.get("/api/1/bench", headers=wrong)) for _ in range(5)]
        assert tried == ["no-token"] * 3 + ["too-many"] * 2
        assert (await client.get("/api/1/bench", headers=right)).status_code == 200
        assert (await browser.post("/api/1/session", json={"token": WORD})).status_code == 204
        while (await client.get("/api/1/health")).status_code != 429:
            pass
        assert slug(await client.get("/api/1/bench", headers=wrong)) == "too-many"
        assert (await client.get("/api/1/bench", headers=right)).status_code == 200
        assert (await browser.get("/api/1/bench")).status_code == 200
        while (await client.get("/")).status_code != 429:
            pass
        assert (await browser.get("/")).status_code == 200


async def test_a_session_is_a_cookie_that_scripts_cannot_read_and_that_ends(tmp_path: Path) -> None:
    limits = Limits(session_s=3600.0)
    async with (
        asked(tmp_path, limits=limits, page={"token_file": token_file(tmp_path)}) as bench,
        bench.caller() as client,
    ):
        assert slug(await client.post("/api/1/session", json={"token": "wrong" * 5})) == "no-token"
        answer = await client.post("/api/1/session", json={"token": WORD})
        cookie = answer.headers["set-cookie"]
        assert re.fullmatch(r"propsoff-\d+=[A-Za-z0-9_-]{43}; Max-Age=3600; HttpOnly; SameSite=Strict; Path=/", cookie)
        name, value = cookie.split(";")[0].split("=")
        shown = {"cookie": f"{name}={value}"}
        assert (await client.get("/", headers=shown)).status_code == 200
        assert (await client.get("/api/1/bench", headers=shown)).status_code == 200
        among = {"cookie": f'theirs={{"a": [1, "{name}=no"]}}; bad cookie; {name}={value}; last=1'}
        async with bench.caller() as again:
            assert (await again.get("/api/1/bench", headers=among)).status_code == 200
        for other in ("", "x" * 43, value[:-1], f"{value}x"):
            headers = {"cookie": f"{name}={other}"}
            async with bench.caller() as stranger:
                assert slug(await stranger.get("/api/1/bench", headers=headers)) == "no-token"
        left = await client.delete("/api/1/session", headers=shown)
        assert (left.status_code, "Max-Age=0" in left.headers["set-cookie"]) == (204, True)
        async with bench.caller() as stranger:
            assert slug(await stranger.get("/api/1/bench", headers=shown)) == "no-token"


async def test_a_cookie_does_not_help_a_page_of_another_site(tmp_path: Path) -> None:
    async with asked(tmp_path, page={"token_file": token_file(tmp_path)}) as bench, bench.caller() as client:
        await client.post("/api/1/session", json={"token": WORD})
        assert (await client.get("/api/1/bench")).status_code == 200
        answer = await client.get("/api/1/bench", headers={"origin": "http://evil.example"})
        assert slug(answer) == "wrong-origin"


async def test_the_token_stands_in_no_log_no_problem_and_no_report(tmp_path: Path) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        asked(tmp_path, page={"token_file": token_file(tmp_path)}) as bench,
        bench.caller() as client,
    ):
        sockets.plug("ossel-hd53", "bay")
        right = {"authorization": f"Bearer {WORD}"}
        answers = [
            await client.post("/api/1/session", json={"token": WORD, "extra": WORD}),
            await client.post("/api/1/session", json={"token": [WORD]}),
            await client.post("/api/1/session", json={WORD: WORD[:3]}),
            await client.post(f"/api/1/asks/{'x' * 70}", json={"answers": {}}, headers=right),
            await client.get("/api/1/bench", headers=right),
            await client.get("/api/1/metrics", headers=right),
            await client.get("/api/1/openapi.json", headers=right),
        ]
        await bench.files(1)
        written = [path.read_bytes() for path in tmp_path.rglob("*") if path.is_file() and path.name != "token"]
        told = repr([bench.said, bench.log.said, bench.troubles])
    assert all(WORD not in answer.text for answer in (*answers[:2], *answers[3:]))
    assert WORD not in told
    assert all(WORD.encode() not in data for data in written)


async def test_no_token_is_needed_over_the_socket_of_this_user(tmp_path: Path) -> None:
    async with asked(tmp_path, page={"token_file": token_file(tmp_path)}) as bench, bench.neighbour() as beside:
        assert (await beside.get("/api/1/bench")).status_code == 200


async def test_where_there_is_no_token_nobody_signs_in(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench, bench.caller() as client:
        assert slug(await client.post("/api/1/session", json={"token": "x"})) == "nothing-there"
        assert slug(await client.delete("/api/1/session")) == "nothing-there"
        answer = await client.get("/sign-in")
        assert (answer.status_code, answer.headers["location"]) == (303, "/")


ELSEWHERE = [
    "/static/../app.py",
    "/static/..%2fapp.py",
    "/static/%2e%2e/app.py",
    "/static/..%5capp.py",
    "/static//etc/passwd",
    "/static/%00api.js",
    "/static/api.js%00",
    "/static/.hidden.js",
    "/static/",
    "/static/api",
    "/static/api.py",
    "/static/nowhere.js",
    "/reports/../../state/consents.json",
    "/api/1/reports/..%2f..%2fstate%2fconsents.json",
    "/api/1/reports/..%2f..%2fstate%2fconsents.json/capture",
    "/api/1/reports/20270115T080000Z-..%2f..-0123456789ab",
    "/api/1/places/..%2f..",
    "/api/1/places/%2e%2e/report",
    "/api/1/consents/..%2f..",
    "/api/1/%ff%fe",
    "/%F0%9F%9A%80",
]


async def test_a_path_that_leads_elsewhere_leads_nowhere(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench, bench.caller() as client:
        for path in ELSEWHERE:
            request = f"GET {path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n".encode()
            answer: bytes = await raw(await bench.url(), request)
            head, _, body = answer.partition(b"\r\n\r\n")
            assert int(head.split(b" ")[1]) in (404, 405, 422), answer
            assert json.loads(body)["type"].startswith("urn:propsoff:problem:")
        assert not any(what == "fault" for what, _ in bench.said)
        assert (await client.get("/api/1/health")).status_code == 200


NO_REQUESTS = [
    b"GET / HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\nX-Long: " + b"x" * 40_000 + b"\r\n\r\n",
    b"GET /" + b"x" * 40_000 + b" HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n",
    b"GET / HTTP/1.1\r\nHost: localhost\r\nHost: evil.example\r\n\r\n",
    b"GET / HTTP/1.1\r\nConnection: close\r\n\r\n",
    b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
    b"nonsense\r\n\r\n",
    b"GET / HTTP/1.1\r\nHost:a\r\nContent-Length:1\r\nTransfer-Encoding: chunked\r\nConnection: close\r\n\r\n0\r\n\r\n",
    b"POST /api/1/asks/x HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n",
]


async def test_what_is_no_request_is_refused_and_costs_nobody_anything(tmp_path: Path) -> None:
    async with asked(tmp_path, limits=Limits(head_s=1.0)) as bench, bench.caller() as client:
        url = await bench.url()
        answers = await asyncio.gather(*(raw(url, each) for each in NO_REQUESTS))
        assert not [answer for answer in answers if b" 200 " in answer.split(b"\r\n")[0]]
        assert b" 431 " in answers[0].split(b"\r\n")[0]
        assert (await client.get("/api/1/health")).status_code == 200
        assert not any(what == "fault" for what, _ in bench.said)


async def test_a_request_to_switch_to_another_protocol_changes_nothing(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench:
        wanted = (
            b"GET /api/1/health HTTP/1.1\r\nHost: localhost\r\nConnection: upgrade, close\r\nUpgrade: websocket\r\n\r\n"
        )
        answer = await raw(await bench.url(), wanted)
        assert answer.startswith(b"HTTP/1.1 200 ")


async def test_log_lines_have_no_control_characters_of_a_caller(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench, bench.caller() as client:
        await client.post("/api/1/places/%0a%1b%5b2J%e2%80%ae/inspect")
        await client.delete("/api/1/consents/%0d%0aforged")
        lines = [values for what, values in bench.said if what == "asked"]
    assert len(lines) == 2
    for values in lines:
        assert all(str(value).isprintable() for value in values.values()), values
    assert lines[0]["caller"] == "127.0.0.1"


async def test_refusals_do_not_fill_the_log_and_what_was_done_always_stands_there(tmp_path: Path) -> None:
    limits = Limits(per_second=1e4, burst=10_000, refusals_per_minute=5)
    async with asked(tmp_path, limits=limits) as bench, bench.caller() as client:
        for _ in range(20):
            assert slug(await client.post("/api/1/captures", headers={"host": "evil.example"})) == "wrong-host"
        assert (await client.post("/api/1/captures", content=b"x", headers={"content-type": "text/plain"})).is_success
        lines = [values["status"] for what, values in bench.said if what == "asked"]
    assert lines == [421] * 5 + [200]


async def test_a_fault_of_ours_is_a_problem_too_and_stands_in_the_log(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with asked(tmp_path) as bench, bench.caller() as client:
        await client.get("/api/1/health")

        def broken(*_: object) -> None:
            raise ZeroDivisionError("the secret of the house")

        monkeypatch.setattr(bench.control, "consents", broken)
        answer = await client.get("/api/1/consents")
        assert (slug(answer), answer.status_code) == ("fault", 500)
        assert "secret" not in answer.text
        assert answer.headers["x-content-type-options"] == "nosniff"
        faults = [values for what, values in bench.said if what == "fault"]
        assert isinstance(faults[0]["exc_info"], ZeroDivisionError)
        assert "as /api/1/consents was asked: ZeroDivisionError" in bench.troubles[-1]
        assert "secret" not in bench.troubles[-1]


async def test_event_streams_and_waiting_calls_are_counted(tmp_path: Path) -> None:
    limits = Limits(per_second=1e4, burst=10_000, streams=2, waits=1)
    places: dict[str, object] = {"places": {"bay": "the bay"}}
    async with asked(tmp_path, limits=limits, bench=places) as bench, bench.caller() as client:
        async with client.stream("GET", "/api/1/events") as one, client.stream("GET", "/api/1/events") as two:
            assert (one.status_code, two.status_code) == (200, 200)
            refused = await client.get("/api/1/events")
            assert slug(refused) == "too-many"
            assert int(refused.headers["retry-after"]) >= 1
            waits = asyncio.create_task(client.get("/api/1/places/bay/report?wait_s=600"))
            async with asyncio.timeout(20):
                while "propsoff_waits 1.0" not in (await client.get("/api/1/metrics")).text:
                    pass
            assert slug(await client.get("/api/1/places/bay/report?wait_s=600")) == "too-many"
            waits.cancel()
            # A caller that hangs up leaves its seat.
            async with asyncio.timeout(20):
                while "propsoff_waits 0.0" not in (await client.get("/api/1/metrics")).text:
                    pass
        async with asyncio.timeout(20):
            while "propsoff_streams 0.0" not in (await client.get("/api/1/metrics")).text:
                pass
        async with client.stream("GET", "/api/1/events") as again:
            assert again.status_code == 200


async def test_captures_are_taken_so_many_at_a_time(tmp_path: Path) -> None:
    limits = Limits(per_second=1e4, burst=10_000, captures_at_once=2, body_s=20.0)
    async with asked(tmp_path, limits=limits) as bench, bench.caller() as client:
        go_on = asyncio.Event()

        async def slowly() -> Any:
            yield b"some text"
            await go_on.wait()

        text = {"content-type": "text/plain"}
        held = [asyncio.create_task(client.post("/api/1/captures", content=slowly(), headers=text)) for _ in range(2)]
        async with asyncio.timeout(20):
            while "propsoff_captures 2.0" not in (await client.get("/api/1/metrics")).text:
                pass
        assert slug(await client.post("/api/1/captures", content=b"x", headers=text)) == "too-many"
        go_on.set()
        assert [(await each).status_code for each in held] == [200, 200]
        assert (await client.post("/api/1/captures", content=b"x", headers=text)).status_code == 200


def test_the_bounds_of_a_test_are_not_those_of_a_bench() -> None:
    assert Limits() != QUICK
    assert Limits().per_second <= 100
