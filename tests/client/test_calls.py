"""What is sent, how refusals read, and which place a word means; no sockets."""

from __future__ import annotations

import json
import pickle
from collections.abc import Callable
from pathlib import Path

import httpx
import pytest

from propsoff.bench.places import Past
from propsoff.bench.scene import PlaceNow, Plugged
from propsoff.client import calls, chosen
from propsoff.client.address import Address, token_of
from propsoff.client.problems import problem_of
from propsoff.exceptions import (
    BeingReadError,
    BenchReplyError,
    NotAllowedError,
    NothingThereError,
    PropsoffError,
    RefusedError,
    RequestError,
    SettingsError,
    StaleError,
)

R1, R2 = "20270115T080000Z-merrow-0123456789ab", "20270115T080100Z-merrow-0123456789ac"


def a_place(place: str, name: str = "", *, state: str = "report", devices: tuple[str, ...] = ()) -> PlaceNow:
    past = (Past(R1, "pass", "Merrow", "2027-01-15T08:00:00Z"),)
    plugged = tuple(Plugged(device) for device in devices)
    return PlaceNow(place, name or place, state, "2027-01-15T08:00:00Z", 1, plugged, past=past)  # type: ignore[arg-type]  # one of the states


def refusal(told: object, status: int = 409) -> httpx.Response:
    data = told if isinstance(told, bytes) else json.dumps(told).encode()
    return httpx.Response(status, content=data)


@pytest.mark.parametrize(
    ("slug", "kind"),
    [
        ("nothing-there", NothingThereError),
        ("being-read", BeingReadError),
        ("not-allowed", NotAllowedError),
        ("stale", StaleError),
        ("no-token", RefusedError),
        ("of-a-newer-bench", RefusedError),
    ],
)
def test_a_problem_document_becomes_the_error_of_its_slug(slug: str, kind: type[PropsoffError]) -> None:
    """The form of the document: RFC 9457."""
    told = {"type": f"urn:propsoff:problem:{slug}", "title": "t", "status": 409, "detail": "what to do"}
    error = problem_of(refusal(told), "bench at x")
    assert type(error) is kind
    assert isinstance(error, RequestError)
    assert (str(error), error.slug) == ("what to do", slug)


def test_what_was_not_taken_is_told_once_each_and_survives_pickling() -> None:
    told = {
        "type": "urn:propsoff:problem:bad-request",
        "detail": "the request does not fit: body.scope: one of three",
        "errors": [{"where": "body.scope", "wanted": "one of three"}, {"where": "body.note", "wanted": "text"}, 7],
    }
    error = problem_of(refusal(told, 422), "x")
    assert str(error) == "the request does not fit: body.scope: one of three (body.note: text)"
    again = pickle.loads(pickle.dumps(error))
    assert (str(again), again.slug, again.status, again.wanted) == (
        str(error),
        "bad-request",
        422,
        (("body.scope", "one of three"), ("body.note", "text")),
    )


@pytest.mark.parametrize("told", [b"", b"[1]", b"<html>", {"type": "about:blank"}, {}, b"[" * 100_000, {"type": 7}])
def test_a_refusal_of_another_server_is_no_refusal_of_a_bench(told: object) -> None:
    assert isinstance(problem_of(refusal(told, 502), "bench at x"), BenchReplyError)


def test_a_wait_goes_on_after_each_call_and_remembers_what_it_waits_beyond() -> None:
    waiting = calls.Waiting("a", None, 70.0, 100.0)
    look = waiting.step(100.0)
    assert isinstance(look, calls.Call)
    assert look.path == "/api/1/places/a"
    assert waiting.saw(a_place("a", state="reading")) is None
    sent = [waiting.step(now) for now in (100.0, 130.0, 160.0)]
    assert [dict(each.query) for each in sent if isinstance(each, calls.Call)] == [
        {"wait_s": "30", "after": R1},
        {"wait_s": "30", "after": R1},
        {"wait_s": "10", "after": R1},
    ]
    assert waiting.step(170.0) is None


def test_what_is_plugged_in_and_inspected_already_is_not_waited_beyond() -> None:
    waiting = calls.Waiting("a", None, 0.0, 100.0)
    waiting.step(100.0)
    waiting.saw(a_place("a", state="report"))
    step = waiting.step(100.0)
    assert isinstance(step, calls.Call)
    assert dict(step.query) == {"wait_s": "0"}
    waiting.saw(None)
    assert isinstance(waiting.step(100.0), calls.Call), "the craft may be another by now"


def test_a_bench_that_sends_the_waiting_away_early_is_not_asked_without_a_pause() -> None:
    waiting = calls.Waiting("a", R2, 60.0, 100.0)
    assert isinstance(waiting.step(100.0), calls.Call)
    waiting.saw(None)
    assert waiting.step(100.01) == 0.5
    assert isinstance(waiting.step(100.51), calls.Call)


def test_the_pauses_between_attempts_last_as_long_as_was_said() -> None:
    assert list(calls.pauses(0)) == []
    assert sum(calls.pauses(5.0)) == pytest.approx(5.0)
    assert list(calls.pauses(0.2)) == pytest.approx([0.05, 0.1, 0.05])


@pytest.mark.parametrize("make", [calls.place, calls.report, calls.capture, calls.ask, calls.revoke])
def test_a_name_cannot_lead_elsewhere(make: Callable[[str], calls.Call[object]]) -> None:
    assert make("a/../b?c#d").path.removesuffix("/capture").endswith("/a%2F..%2Fb%3Fc%23d")
    for name in ("", ".", ".."):
        with pytest.raises(NothingThereError):
            make(name)


def test_a_place_is_chosen_by_id_then_device_then_name() -> None:
    places = [a_place("b", "a"), a_place("a", "left"), a_place("c", "both"), a_place("d", "both", devices=("/dev/x",))]
    assert chosen(places, "a").place == "a"
    assert chosen(places, "left").place == "a"
    assert chosen(places, "/dev/x").place == "d"
    with pytest.raises(RequestError, match="several places are called that; name one by its id: c, d"):
        chosen(places, "both")
    with pytest.raises(NothingThereError, match=r"there are: b, a, c, d"):
        chosen(places, "nowhere")
    with pytest.raises(NothingThereError, match="none so far"):
        chosen([], "a")


def test_a_device_is_the_same_by_another_path_on_this_machine_alone(tmp_path: Path) -> None:
    (tmp_path / "port").touch()
    (tmp_path / "link").symlink_to("port")
    places = [a_place("a", devices=(str(tmp_path / "port"),)), a_place("b", devices=("socket://x:1",))]
    assert chosen(places, str(tmp_path / "link"), here=True).place == "a"
    assert chosen(places, "socket://x:1", here=True).place == "b"
    with pytest.raises(NothingThereError):
        chosen(places, str(tmp_path / "link"))


@pytest.mark.parametrize(
    ("data", "told"),
    [(None, "cannot be read"), (b"", "holds no token"), (b"two words", "holds no token"), (b"\xff", "is no text")],
)
def test_a_token_that_cannot_be_one_is_refused_with_its_file(tmp_path: Path, data: bytes | None, told: str) -> None:
    path = tmp_path / "token"
    if data is not None:
        path.write_bytes(data)
    with pytest.raises(SettingsError, match=told) as refused:
        token_of(path)
    assert refused.value.source == path


def test_a_token_is_taken_without_its_line_end_and_never_shown(tmp_path: Path) -> None:
    path = tmp_path / "token"
    path.write_text("s3cret-of-the-bench\r\n")
    assert token_of(path) == "s3cret-of-the-bench"
    assert "s3cret" not in repr(Address("http://x", token=token_of(path)))
