"""Problem documents. Source: RFC 9457, 3 (members and media type) and 3.1.1 (type is a URI)."""

from __future__ import annotations

import json
from urllib.parse import urlsplit

import pytest

from propsoff.bench.asks import AnswerError
from propsoff.exceptions import (
    BeingReadError,
    CaptureError,
    ConfigError,
    NotAllowedError,
    NothingThereError,
    PortBusyError,
    PropsoffError,
    RequestError,
    SettingsError,
    StaleError,
    StoreError,
)
from propsoff.page.problems import KINDS, MEDIA_TYPE, ProblemError, problem_of


def test_a_document_has_the_members_of_the_standard() -> None:
    problem = ProblemError("bad-answer", "what, where, what to do", errors=[("box", "a text")])
    assert json.loads(problem.document("/api/1/asks/a")) == {
        "type": "urn:propsoff:problem:bad-answer",
        "title": KINDS["bad-answer"].title,
        "status": 422,
        "detail": "what, where, what to do",
        "instance": "/api/1/asks/a",
        "errors": [{"where": "box", "wanted": "a text"}],
    }
    assert MEDIA_TYPE == "application/problem+json"
    assert urlsplit("urn:propsoff:problem:bad-answer").scheme == "urn"


def test_texts_of_callers_and_boards_do_no_harm_in_a_document() -> None:
    told = json.loads(ProblemError("stale", "\x1b[2J\r\n" + "x" * 9000).document("/\x00\u202e"))
    assert told["detail"].startswith("\\e[2J\\r\\n")
    assert len(told["detail"]) < 2100
    assert told["instance"] == "/\\x00\\u202e"


@pytest.mark.parametrize(
    ("error", "slug", "status"),
    [
        (NothingThereError("x"), "nothing-there", 404),
        (BeingReadError("x"), "being-read", 409),
        (NotAllowedError("x"), "not-allowed", 403),
        (StaleError("x"), "stale", 410),
        (RequestError("x"), "bad-request", 400),
        (AnswerError("box", "a text"), "bad-answer", 422),
        (SettingsError("x"), "settings", 409),
        (ConfigError("x"), "settings", 409),
        (StoreError("x"), "store", 503),
        (CaptureError("x"), "bad-request", 422),
        (PortBusyError("/dev/a", "x"), "fault", 500),
        (PropsoffError("x"), "fault", 500),
    ],
)
def test_each_error_of_ours_is_a_kind_of_its_own(error: PropsoffError | AnswerError, slug: str, status: int) -> None:
    problem = problem_of(error)
    assert (problem.slug, problem.status) == (slug, status)
    assert problem.slug == "fault" or str(error) in problem.detail
