"""Every call that a bench takes, as data: what is sent, and how the answer is read. No I/O: both clients share it."""

from __future__ import annotations

import functools
import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any, Generic, Literal, TypeVar
from urllib.parse import quote

from pydantic import TypeAdapter

from propsoff.bench.scene import PlaceNow
from propsoff.client.replies import AskView, Begun, BenchNow, Changes, Ready, Said, Visits
from propsoff.exceptions import NothingThereError
from propsoff.inspection.report import Report
from propsoff.ports.consent import Consent, Scope, Verdict
from propsoff.store.model import KeptVisit

if TYPE_CHECKING:
    import httpx

    from propsoff.craft.model import Scalar

T_co = TypeVar("T_co", covariant=True)
ROOT = "/api/1"
LONGEST_WAIT_S = 30.0
"""How long one call waits at the most; a longer wait is several, so that a bench that died is noticed."""

COMES_AGAIN = 2
"""How often a call that was too many is made again."""

_PATIENCE_S = 5.0
_FIRST_PAUSE_S = 0.05
_LONGEST_PAUSE_S = 0.5
_EARLY_S = 0.5


@dataclass(frozen=True)
class Call(Generic[T_co]):
    """One call. `wait_s`: how long the bench may take on purpose; `fine`: statuses beside 2xx that `read` takes."""

    method: str
    path: str
    read: Callable[[httpx.Response], T_co]
    query: Mapping[str, str] = field(default_factory=dict)
    body: bytes | None = None
    content_type: str = "application/json"
    wait_s: float = 0.0
    fine: tuple[int, ...] = ()


def bench() -> Call[BenchNow]:
    """The whole bench."""
    return Call("GET", f"{ROOT}/bench", _as(BenchNow))


def places() -> Call[tuple[PlaceNow, ...]]:
    """Every place."""
    return Call("GET", f"{ROOT}/places", _as(tuple[PlaceNow, ...]))


def place(name: str) -> Call[PlaceNow]:
    """One place."""
    return Call("GET", _at("places", name), _as(PlaceNow))


def inspect(name: str, device: str | None, *, named: bool, join: bool) -> Call[Begun]:
    """Inspect what is plugged in once more."""
    body = {"named": named, "join": join} | ({} if device is None else {"device": device})
    return Call("POST", f"{_at('places', name)}/inspect", _as(Begun), body=_json(body))


def next_report(name: str, after: str | None, wait_s: float) -> Call[Report | None]:
    """The newest report of a place as soon as it is not `after`."""
    query = {"wait_s": f"{wait_s:g}"} | ({} if after is None else {"after": after})
    return Call("GET", f"{_at('places', name)}/report", _report_or_none, query=query, wait_s=wait_s)


def conversation(name: str, since: int, began: int | None, wait_s: float) -> Call[Said]:
    """What is said on a console."""
    query = {"since": str(since), "wait_s": f"{wait_s:g}"} | ({} if began is None else {"began": str(began)})
    return Call("GET", f"{_at('places', name)}/conversation", _as(Said), query=query, wait_s=wait_s)


def consent(name: str, scope: Scope, verdict: Verdict, device: str | None, note: str) -> Call[Consent]:
    """Keep the operator's word."""
    body = {"scope": scope, "verdict": verdict, "note": note} | ({} if device is None else {"device": device})
    return Call("POST", f"{_at('places', name)}/consent", _as(Consent), body=_json(body))


def consents() -> Call[tuple[Consent, ...]]:
    """Every word of the operator's."""
    return Call("GET", f"{ROOT}/consents", _as(tuple[Consent, ...]))


def revoke(id: str) -> Call[Consent]:  # noqa: A002  what it is
    """Take a word back."""
    return Call("DELETE", _at("consents", id), _as(Consent))


def asks() -> Call[tuple[AskView, ...]]:
    """The questions that wait."""
    return Call("GET", f"{ROOT}/asks", _as(tuple[AskView, ...]))


def ask(id: str) -> Call[AskView]:  # noqa: A002  what it is
    """One set of questions."""
    return Call("GET", _at("asks", id), _as(AskView))


def answer(id: str, answers: Mapping[str, Scalar]) -> Call[Report]:  # noqa: A002  what it is
    """Answer a set of questions."""
    told = {name: value if isinstance(value, bool | str) else str(value) for name, value in answers.items()}
    return Call("POST", _at("asks", id), _report, body=_json({"answers": told}))


def put_off(id: str) -> Call[None]:  # noqa: A002  what it is
    """Answer nothing."""
    return Call("DELETE", _at("asks", id), lambda _: None)


def reports(wanted: Mapping[str, str | int | datetime | None]) -> Call[Visits]:
    """Visits."""
    query = {
        name: value.isoformat() if isinstance(value, datetime) else str(value)
        for name, value in wanted.items()
        if value is not None
    }
    return Call("GET", f"{ROOT}/reports", _visits, query=query)


def report(id: str) -> Call[Report]:  # noqa: A002  what it is
    """One report."""
    return Call("GET", _at("reports", id), _report)


def capture(id: str) -> Call[bytes]:  # noqa: A002  what it is
    """The capture of a report."""
    return Call("GET", f"{_at('reports', id)}/capture", lambda response: response.content)


def card(id: str) -> Call[bytes]:  # noqa: A002  what it is
    """The card of a report."""
    return Call("GET", f"{_at('reports', id)}/card", lambda response: response.content)


def changes(id: str, other: str | None) -> Call[Changes]:  # noqa: A002  what it is
    """What differs from another report."""
    query = {} if other is None else {"with": other}
    return Call("GET", f"{_at('reports', id)}/changes", _changes, query=query)


def judge(data: bytes) -> Call[Report]:
    """Inspect a capture that the bench did not record."""
    kind = "application/x-asciicast" if data.lstrip()[:1] == b"{" else "text/plain"
    return Call("POST", f"{ROOT}/captures", _report, body=data, content_type=kind)


def ready() -> Call[Ready]:
    """Whether the bench is at work; one that is not says so with 503."""
    return Call("GET", f"{ROOT}/ready", _as(Ready), fine=(503,))


def _at(kind: str, name: str) -> str:
    """Raises NothingThereError for a name that cannot stand in an address."""
    if name in ("", ".", ".."):
        raise NothingThereError(f"there is nothing called {name!r} among the {kind}")
    return f"{ROOT}/{kind}/{quote(name, safe='')}"


def _json(value: object) -> bytes:
    return json.dumps(value).encode()


@functools.cache
def adapter(kind: Any) -> TypeAdapter[Any]:
    """What reads a type from JSON; made once, when it is first needed."""
    return TypeAdapter(kind)


def _as(kind: Any) -> Callable[[httpx.Response], Any]:
    return lambda response: adapter(kind).validate_json(response.content)


def _report(response: httpx.Response) -> Report:
    return Report.from_json(response.content)


def _report_or_none(response: httpx.Response) -> Report | None:
    return None if response.status_code == 204 else _report(response)  # 204 (RFC 9110): no content


def _visits(response: httpx.Response) -> Visits:
    told = adapter(dict[str, Any]).validate_json(response.content)
    kept = adapter(tuple[KeptVisit, ...]).validate_python(told.get("visits"))
    return Visits(kept, adapter(Literal["history", "this run"]).validate_python(told.get("from")))


def _changes(response: httpx.Response) -> Changes:
    told = adapter(dict[str, Any]).validate_json(response.content)
    read: Changes = adapter(Changes).validate_python({**told, "other": told.get("with")})
    return read


def asked_pause_s(response: httpx.Response) -> float | None:
    """The seconds after which a call is to be made again that was too many (RFC 6585 4); None when it is not to be.

    All programs of a user share what a bench answers in a second, so one that asks much would fail the others.
    """
    told = response.headers.get("retry-after", "")
    if response.status_code != 429 or not (told.isascii() and told.isdecimal()):
        return None
    asked_s = float(told[:6])
    return asked_s if asked_s <= _PATIENCE_S else None


def pauses(wait_s: float) -> Iterator[float]:
    """The pauses between attempts, in seconds: short ones first, `wait_s` in all."""
    pause_s = _FIRST_PAUSE_S
    while wait_s > 0:
        pause_s = min(pause_s, wait_s)
        yield pause_s
        wait_s -= pause_s
        pause_s = min(2 * pause_s, _LONGEST_PAUSE_S)


class Waiting:
    """Waiting for a report in several calls, so that none is missed between two. Times are in seconds of one clock."""

    def __init__(self, name: str, after: str | None, timeout_s: float, now: float) -> None:
        self._name, self._after, self._until = name, after, now + timeout_s
        self._looked = after is not None
        self._back_at: float | None = None
        """When the last call comes back if there is no report."""

    def step(self, now: float) -> Call[PlaceNow | Report | None] | float | None:
        """What to ask next: the place, or its report. A number: seconds to pause first. None when the time is over."""
        if self._back_at is not None and now < self._back_at - _EARLY_S:  # the bench is about to end
            self._back_at = None
            return _LONGEST_PAUSE_S
        if not self._looked:
            return place(self._name)
        left = self._until - now
        if self._back_at is not None and left <= 0:
            return None
        wait_s = max(0.0, min(left, LONGEST_WAIT_S))
        self._looked, self._back_at = self._after is not None, now + wait_s
        return next_report(self._name, self._after, wait_s)

    def saw(self, answer: PlaceNow | Report | None) -> Report | None:
        """Take an answer; the report that was waited for, if it is that.

        A report of a craft that left, or that is read again, is not what is waited for.
        """
        if not isinstance(answer, PlaceNow):
            return answer
        self._looked = True
        if answer.state != "report" and answer.past:
            self._after = answer.past[-1].report
        return None
