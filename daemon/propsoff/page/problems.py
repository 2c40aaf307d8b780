"""What went wrong, as the document that callers get: problem details. Source: RFC 9457."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from propsoff.bench.asks import AnswerError
from propsoff.exceptions import CaptureError, ConfigError, PropsoffError, RequestError, StoreError
from propsoff.outputs.escape import visible

MEDIA_TYPE = "application/problem+json"
_LONGEST = 2000


class Kind(NamedTuple):
    """A kind of problem: the status it is answered with, and its title."""

    status: int
    title: str


KINDS: Mapping[str, Kind] = {
    "bad-request": Kind(400, "The request cannot be understood"),
    "no-token": Kind(401, "The token is missing or wrong"),
    "not-allowed": Kind(403, "The port stays shut"),
    "wrong-origin": Kind(403, "The request comes from another site"),
    "nothing-there": Kind(404, "There is no such thing"),
    "wrong-method": Kind(405, "This cannot be done here"),
    "too-slow": Kind(408, "The request took too long to arrive"),
    "being-read": Kind(409, "The board is being read"),
    "settings": Kind(409, "It cannot be kept"),
    "stale": Kind(410, "The question is no longer asked"),
    "too-large": Kind(413, "The request is too large"),
    "wrong-type": Kind(415, "The body is of another type"),
    "wrong-host": Kind(421, "This bench has another name"),
    "bad-answer": Kind(422, "This cannot be the answer"),
    "too-many": Kind(429, "Too much at a time"),
    "fault": Kind(500, "A fault in propsoff itself"),
    "store": Kind(503, "History cannot be read"),
}


class ProblemError(Exception):
    """A request that is not done. `detail` says what, where, and what to do about it.

    `status` is another than the usual one of its kind, `errors` are pairs of where and what is wanted there.
    """

    def __init__(
        self,
        slug: str,
        detail: str,
        *,
        status: int | None = None,
        errors: Sequence[tuple[str, str]] = (),
        headers: Mapping[str, str] | None = None,
    ) -> None:
        self.slug, self.detail, self.errors = slug, detail, tuple(errors)
        self.status = KINDS[slug].status if status is None else status
        self.headers = dict(headers or {})
        super().__init__(f"{slug}: {detail}")

    def document(self, path: str) -> bytes:
        """The problem document of a request to `path`."""
        told: dict[str, object] = {
            "type": f"urn:propsoff:problem:{self.slug}",
            "title": KINDS[self.slug].title,
            "status": self.status,
            "detail": visible(self.detail, _LONGEST),
            "instance": visible(path, _LONGEST),
        }
        if self.errors:
            told["errors"] = [
                {"where": visible(where, 200), "wanted": visible(wanted, 600)} for where, wanted in self.errors
            ]
        return json.dumps(told).encode()


def problem_of(error: PropsoffError | AnswerError) -> ProblemError:
    """The problem that one of our own errors is to a caller."""
    match error:
        case AnswerError():
            return ProblemError("bad-answer", str(error), errors=[(error.question, error.wanted)])
        case RequestError():
            return ProblemError(error.slug if error.slug in KINDS else "bad-request", str(error))
        case StoreError():
            return ProblemError("store", str(error))
        case CaptureError():
            return ProblemError("bad-request", str(error), status=422)
        case ConfigError():
            return ProblemError("settings", str(error))
        case _:
            return fault()


def fault() -> ProblemError:
    """A fault of ours; what it was is in the log, not in the answer."""
    return ProblemError("fault", "this should not happen; what went wrong stands in the log of the bench")
