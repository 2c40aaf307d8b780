"""One web call against real receivers on loopback, good ones and others."""

from __future__ import annotations

import asyncio
import email.utils
import json
import ssl
import time
from pathlib import Path

import pytest
import trustme
from standardwebhooks.webhooks import Webhook

from propsoff.outgoing.call import WebCall
from propsoff.outgoing.lane import Later, Never, Outcome, Sent
from propsoff.outgoing.section import CallTable
from tests_support.outgoing import KEY, an_entry, secret_file
from tests_support.receivers import Answer, endless, hangs, raw, receiver, resets, status, trickles


def a_call(tmp_path: Path, url: str, **table: object) -> WebCall:
    values = {"name": "rig", "url": url, "secret_file": secret_file(tmp_path), "deadline_s": 10, **table}
    return WebCall(CallTable.model_validate(values))


async def outcome(tmp_path: Path, *answers: Answer, **table: object) -> tuple[Outcome, int]:
    """What comes of one call, and how many requests the receiver saw."""
    with receiver(*answers) as server:
        result = await a_call(tmp_path, server.url, **table).attempt(an_entry(tmp_path))
        return result, len(server.came)


async def test_a_call_posts_the_report_signed_and_each_attempt_has_the_same_id(tmp_path: Path) -> None:
    entry = an_entry(tmp_path, "teal wren")
    with receiver(status(500), status(200, b"ok")) as server:
        call = a_call(tmp_path, server.url)
        assert isinstance(await call.attempt(entry), Later)
        assert await call.attempt(entry) == Sent()
    first, second = server.came
    for came in (first, second):
        # standardwebhooks 1.1.0 from PyPI, the specification's reference library; it also checks the time.
        assert Webhook(KEY).verify(came.body, came.headers) == json.loads(entry.body)
        assert came.body == entry.body
        assert came.headers["content-type"] == "application/json"
        assert came.headers["webhook-id"] == entry.head.report
    assert (first.path, first.headers["webhook-id"]) == (second.path, second.headers["webhook-id"])


@pytest.mark.parametrize("code", [200, 201, 202, 204, 299])
async def test_2xx_is_success_whatever_the_body(tmp_path: Path, code: int) -> None:
    assert await outcome(tmp_path, status(code, b"" if code == 204 else b"\xff\x00 garbage")) == (Sent(), 1)


# RFC 9110 15.5: a 4xx is a fault of the request; 408 (15.5.9), 425 (RFC 8470 5.2) and 429 (RFC 6585 4) pass by, and who
# may ask (401, 403, 407) and where (404, 421) is put right by a person: it says nothing of the report.
@pytest.mark.parametrize("code", [400, 405, 410, 413, 415, 422, 451])
async def test_a_refusal_is_given_up_with_what_the_receiver_said(tmp_path: Path, code: int) -> None:
    result, _ = await outcome(tmp_path, status(code, b"no such \x1b[31mrig"))
    assert isinstance(result, Never)
    assert str(code) in result.why
    assert "no such \\e[31mrig" in result.why


@pytest.mark.parametrize("code", [401, 403, 404, 407, 408, 421, 425, 429, 500, 502, 503, 504, 599])
async def test_what_may_pass_by_is_tried_again(tmp_path: Path, code: int) -> None:
    result, _ = await outcome(tmp_path, status(code, b"later"))
    assert isinstance(result, Later)
    assert f"answered {code}: later" in result.why


@pytest.mark.parametrize("code", [300, 301, 302, 303, 307, 308])
@pytest.mark.parametrize("to", ["file:///etc/passwd", "/elsewhere", "http://169.254.169.254/", "\\\\host\\share"])
async def test_a_redirect_is_not_followed_wherever_it_leads(tmp_path: Path, code: int, to: str) -> None:
    result, came = await outcome(tmp_path, status(code, Location=to))
    assert isinstance(result, Later)
    assert "redirect" in result.why
    assert came == 1


@pytest.mark.parametrize(
    ("text", "least", "most"),
    [("7", 7, 7), ("0", 0, 0), ("86400", 3600, 3600), ("9" * 400, 3600, 3600)],
)
async def test_retry_after_in_seconds_counts_within_bounds(tmp_path: Path, text: str, least: int, most: int) -> None:
    result, _ = await outcome(tmp_path, status(503, Retry_After=text))
    assert isinstance(result, Later)
    assert result.after_s is not None
    assert least <= result.after_s <= most


async def test_retry_after_as_a_date_counts(tmp_path: Path) -> None:
    # RFC 9110 10.2.3 and 5.6.7: an IMF-fixdate.
    result, _ = await outcome(tmp_path, status(429, Retry_After=email.utils.formatdate(time.time() + 60, usegmt=True)))
    assert isinstance(result, Later)
    assert result.after_s is not None
    assert 50 <= result.after_s <= 60


@pytest.mark.parametrize("text", ["soon", "-5", "", "1e9", "٣", "Mon, 99 Foo 2027"])
async def test_a_retry_after_that_says_nothing_is_passed_over(tmp_path: Path, text: str) -> None:
    answer = f"HTTP/1.1 503 No\r\nRetry-After: {text}\r\nContent-Length: 0\r\n\r\n".encode()
    result, _ = await outcome(tmp_path, raw(answer))
    assert isinstance(result, Later)
    assert result.after_s is None


@pytest.mark.parametrize(
    "answer",
    [
        raw(b""),
        raw(b"220 mail.example ready\r\n"),
        raw(b"HTTP/1.1 banana\r\n\r\n"),
        raw(b"\x16\x03\x01" + bytes(200)),
        endless(b"HTTP/1.1 200 OK\r\nX: "),
        endless(b""),
        resets,
    ],
    ids=["closes", "mail", "no number", "tls", "endless header", "endless nonsense", "resets"],
)
async def test_what_is_no_answer_is_tried_again(tmp_path: Path, answer: Answer) -> None:
    result, _ = await outcome(tmp_path, answer)
    assert isinstance(result, Later)
    assert result.why


@pytest.mark.parametrize(
    "answer",
    [hangs, trickles(b""), trickles(b"HTTP/1.1 200 OK\r\nX: ")],
    ids=["hangs", "trickles", "trickles a header"],
)
async def test_a_receiver_that_hangs_costs_the_deadline(tmp_path: Path, answer: Answer) -> None:
    before = time.monotonic()
    result, _ = await outcome(tmp_path, answer, deadline_s=0.3)
    assert result == Later("no answer within 0.3 s")
    assert time.monotonic() - before < 5


async def test_a_success_with_an_endless_body_is_a_success_and_its_body_is_not_waited_for(tmp_path: Path) -> None:
    for answer in (endless(b"HTTP/1.1 200 OK\r\n\r\n"), trickles(b"HTTP/1.1 200 OK\r\nContent-Length: 999\r\n\r\n")):
        before = time.monotonic()
        assert await outcome(tmp_path, answer, deadline_s=30) == (Sent(), 1)
        assert time.monotonic() - before < 10


async def test_of_an_endless_refusal_the_beginning_is_read_and_no_more(tmp_path: Path) -> None:
    before = time.monotonic()
    result, _ = await outcome(tmp_path, endless(b"HTTP/1.1 422 No\r\n\r\n"), deadline_s=30)
    assert isinstance(result, Never)
    assert len(result.why) < 600
    assert time.monotonic() - before < 10


async def test_a_refusal_whose_body_trickles_stays_that_refusal(tmp_path: Path) -> None:
    result, _ = await outcome(tmp_path, trickles(b"HTTP/1.1 422 No\r\n\r\n"), deadline_s=2)
    assert result == Never("the receiver answered 422")


async def test_nobody_there_and_no_such_host_are_tried_again(tmp_path: Path) -> None:
    with receiver() as server:
        url = server.url
    for address in (url, "http://no-such-host.invalid/"):  # RFC 6761 6.4: .invalid never resolves
        assert isinstance(await a_call(tmp_path, address).attempt(an_entry(tmp_path)), Later)


async def test_a_secret_that_cannot_be_read_is_told_tried_again_and_nothing_is_sent(tmp_path: Path) -> None:
    with receiver() as server:
        call = a_call(tmp_path, server.url)
        (tmp_path / "secret").unlink()
        result = await call.attempt(an_entry(tmp_path))
        assert isinstance(result, Later)
        assert "secret cannot be read" in result.why
        assert server.came == []
        secret_file(tmp_path)
        assert await call.attempt(an_entry(tmp_path)) == Sent()


def a_server_context(authority: trustme.CA, name: str) -> ssl.SSLContext:
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    authority.issue_cert(name).configure_cert(context)
    return context


async def test_certificates_are_verified_against_the_file_and_the_name(tmp_path: Path) -> None:
    ours, another = trustme.CA(), trustme.CA()
    ca_file = tmp_path / "ca.pem"
    ours.cert_pem.write_to_path(str(ca_file))

    async def called(context: ssl.SSLContext, **table: object) -> tuple[Outcome, int]:
        with receiver(tls=context) as server:
            url = server.url.replace("http:", "https:")
            return await a_call(tmp_path, url, **table).attempt(an_entry(tmp_path)), len(server.came)

    assert await called(a_server_context(ours, "127.0.0.1"), ca_file=ca_file) == (Sent(), 1)
    for context, table in (
        (a_server_context(another, "127.0.0.1"), {"ca_file": ca_file}),
        (a_server_context(ours, "127.0.0.2"), {"ca_file": ca_file}),
        (a_server_context(ours, "127.0.0.1"), {}),
    ):
        result, came = await called(context, **table)
        assert isinstance(result, Later)
        assert "CERTIFICATE_VERIFY_FAILED" in result.why
        assert came == 0


async def test_plain_http_behind_an_https_address_and_the_reverse_are_told(tmp_path: Path) -> None:
    with receiver() as server:
        result = await a_call(tmp_path, server.url.replace("http:", "https:")).attempt(an_entry(tmp_path))
    assert isinstance(result, Later)
    with receiver(tls=a_server_context(trustme.CA(), "127.0.0.1")) as server:
        result = await a_call(tmp_path, server.url, deadline_s=2).attempt(an_entry(tmp_path))
    assert isinstance(result, Later)
    assert server.came == []


async def test_a_proxy_of_the_environment_gets_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with receiver() as proxy, receiver() as server:
        for name in ("HTTP_PROXY", "http_proxy", "ALL_PROXY", "all_proxy"):
            monkeypatch.setenv(name, proxy.url)
        assert await a_call(tmp_path, server.url).attempt(an_entry(tmp_path)) == Sent()
        assert (len(proxy.came), len(server.came)) == (0, 1)


async def test_a_call_is_given_up_at_once_when_the_bench_stops(tmp_path: Path) -> None:
    with receiver(hangs) as server:
        task = asyncio.create_task(a_call(tmp_path, server.url, deadline_s=60).attempt(an_entry(tmp_path)))
        async with asyncio.timeout(10):
            while not server.came:
                await asyncio.sleep(0.005)
        task.cancel()
        with pytest.raises(asyncio.CancelledError):
            await asyncio.wait_for(task, 5)
