"""The client for plain programs."""

from __future__ import annotations

import socket
import ssl
import time
from collections.abc import Generator, Mapping
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self, TypeVar

import httpx
from httpx_sse import EventSource

from propsoff.client import calls
from propsoff.client.address import Address
from propsoff.client.following import Following
from propsoff.client.places import chosen
from propsoff.exceptions import NothingThereError

if TYPE_CHECKING:
    from propsoff.bench.scene import PlaceNow
    from propsoff.client.calls import Call
    from propsoff.client.found import Service
    from propsoff.client.replies import AskView, Begun, BenchNow, Changes, Happening, Ready, Said, Visits
    from propsoff.craft.model import Scalar
    from propsoff.inspection.report import Report
    from propsoff.ports.consent import Consent, Scope, Verdict

T = TypeVar("T")


class _LocalTransport(httpx.HTTPTransport):
    """Over a Unix socket. Where nobody answers there, httpcore leaves its end open (asyncio does not); so that is tried
    out first.
    """

    def __init__(self, *, uds: str, **options: Any) -> None:
        super().__init__(uds=uds, **options)
        self._path = uds

    def handle_request(self, request: httpx.Request) -> httpx.Response:
        """Send a request. Raises httpx.ConnectError."""
        with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as probe:
            try:
                probe.connect(self._path)
            except OSError as error:
                raise httpx.ConnectError(str(error), request=request) from error
        return super().handle_request(request)


class BenchClient:
    """A bench that runs: by its URL (with its token, where it wants one), by its Unix socket, or found on this machine.

    `timeout_s` is how long an answer may take that the bench gives at once; `verify` checks the certificate of an
    https URL. Close it, or use it in `with`; several threads may use it. Every method raises NoBenchError where nothing
    answers, BenchLostError where the bench goes away, BenchReplyError for what makes no sense, and RequestError for
    what the bench refuses (NothingThereError, BeingReadError, NotAllowedError, StaleError, RefusedError).
    """

    def __init__(
        self,
        url: str | None = None,
        *,
        socket: Path | None = None,
        token: str | None = None,
        timeout_s: float = 10.0,
        verify: ssl.SSLContext | None = None,
    ) -> None:
        """Raises SettingsError for an address that is none."""
        self._to(Address(url, socket, token, timeout_s, verify))

    def _to(self, address: Address) -> None:
        self._address, self._spoke = address, False
        transport = httpx.HTTPTransport if address.socket is None else _LocalTransport
        self._http = httpx.Client(transport=transport(**address.transport_options()), **address.options())

    @classmethod
    def find(cls, state: Path | None = None, *, token: str | None = None, timeout_s: float = 10.0) -> Self:
        """The bench that runs with a state folder, by default that of this user's settings.

        Raises NoBenchError when none does.
        """
        return cls._at(Address.found(state, token, timeout_s))

    @classmethod
    def of(cls, service: Service, *, token: str | None = None, timeout_s: float = 10.0) -> Self:
        """The bench that `running_bench` told of."""
        return cls._at(Address.of(service, token, timeout_s))

    @classmethod
    def _at(cls, address: Address) -> Self:
        client = cls.__new__(cls)
        client._to(address)
        return client

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the connections."""
        self._http.close()

    @property
    def name(self) -> str:
        """Where it is, for people."""
        return self._address.name

    # What is there

    def bench(self) -> BenchNow:
        """The whole bench: its places and what went wrong."""
        return self._ask(calls.bench())

    def places(self) -> tuple[PlaceNow, ...]:
        """Every place."""
        return self._ask(calls.places())

    def place(self, name: str) -> PlaceNow:
        """The place of that id."""
        return self._ask(calls.place(name))

    def find_place(self, word: str) -> PlaceNow:
        """The place of that id or that name, or where that device is plugged in."""
        return chosen(self.places(), word, here=self._address.socket is not None)

    def ready(self) -> Ready:
        """Whether the bench is at work, and why not."""
        return self._ask(calls.ready())

    def conversation(self, place: str, *, since: int = 0, began: int | None = None, wait_s: float = 0.0) -> Said:
        """What is said on the console of a place from piece `since` on; waits up to `wait_s` for the first of it.

        With `began` of an earlier answer, another conversation is told from its start.
        """
        return self._ask(calls.conversation(place, since, began, wait_s))

    def events(self, *, lost_s: float = 30.0) -> Generator[Happening, None, None]:
        """What happens, until the bench ends: first the whole bench, then each place and trouble as it changes.

        After a break it goes on, again with the whole bench first. Raises BenchLostError when the bench is away for
        more than `lost_s`.
        """
        following = Following(self.name, lost_s)
        while not following.ended:
            error: httpx.TransportError | None = None
            try:
                request = self._address.stream(self._http)
                response = self._http.send(request, stream=True)
                try:
                    if not response.is_success:
                        response.read()
                        self._address.read(calls.bench(), response)
                    for event in EventSource(response).iter_sse():
                        if (happening := following.take(event)) is not None:
                            yield happening
                        if following.ended:
                            return
                finally:
                    response.close()
            except httpx.TransportError as broken:
                error = broken
            following.broke(None if error is None else self._address.failed(error))
            time.sleep(following.pause_s)

    # Inspecting

    def inspect(self, place: str, *, device: str | None = None, named: bool = False, join: bool = False) -> Begun:
        """Have what is plugged in inspected once more; returns when that has begun. Propellers off first.

        `device` chooses where a place has several. `named`: this program names the very port, which is the consent to
        open it this once. `join`: where it is being read already, as after it was plugged in, that will do.
        """
        return self._ask(calls.inspect(place, device, named=named, join=join))

    def inspected(self, word: str, *, timeout_s: float = 60.0) -> Report | None:
        """The report of an inspection that this call begins, or joins; None when there is none in time.

        `word` is a place's id or name, or the device that is plugged in: naming it is the consent to open it this once.
        """
        place = self.find_place(word).place
        begun = self.inspect(place, named=True, join=True)
        return self.wait(place, after=begun.before, timeout_s=timeout_s)

    def wait(self, place: str, *, after: str | None = None, timeout_s: float = 60.0) -> Report | None:
        """The newest report of a place as soon as it is another than `after`; None when there is none in time.

        Without `after` it is that of what is plugged in now, or of what is next.
        """
        waiting = calls.Waiting(place, after, timeout_s, time.monotonic())
        while (step := waiting.step(time.monotonic())) is not None:
            if isinstance(step, float):
                time.sleep(step)
            elif (report := waiting.saw(self._ask(step))) is not None:
                return report
        return None

    def judge(self, capture: bytes) -> Report:
        """The report of a capture or of pasted text, inspected as the bench would; nothing of it is kept."""
        return self._ask(calls.judge(capture))

    # Reports

    def report(self, id: str) -> Report:  # noqa: A002  what it is
        """A report of this run or of history."""
        return self._ask(calls.report(id))

    def capture(self, id: str, *, wait_s: float = 5.0) -> bytes:  # noqa: A002  what it is
        """The recorded conversation that a report was read from.

        `wait_s` is how long one that was recorded just now may take to be written.
        """
        for pause_s in calls.pauses(wait_s):
            try:
                return self._ask(calls.capture(id))
            except NothingThereError:
                time.sleep(pause_s)
        return self._ask(calls.capture(id))

    def card(self, id: str) -> bytes:  # noqa: A002  what it is
        """The report as a page for people (HTML)."""
        return self._ask(calls.card(id))

    def changes(self, id: str, other: str | None = None) -> Changes:  # noqa: A002  what it is
        """What differs from another report, by default from the craft's visit before it."""
        return self._ask(calls.changes(id, other))

    def reports(
        self,
        *,
        craft: str | None = None,
        verdict: str | None = None,
        bench: str | None = None,
        board: str | None = None,
        sheet: str | None = None,
        since: datetime | str | None = None,
        until: datetime | str | None = None,
        limit: int | None = None,
    ) -> Visits:
        """The visits of history, or of this run where there is none, the newest first."""
        wanted = {"craft": craft, "verdict": verdict, "bench": bench, "board": board, "sheet": sheet}
        return self._ask(calls.reports({**wanted, "since": since, "until": until, "limit": limit}))

    # Questions for a person, and the operator's word

    def asks(self) -> tuple[AskView, ...]:
        """The questions that wait for a person."""
        return self._ask(calls.asks())

    def ask(self, id: str) -> AskView:  # noqa: A002  what it is
        """One set of questions."""
        return self._ask(calls.ask(id))

    def answer(self, id: str, answers: Mapping[str, Scalar]) -> Report:  # noqa: A002  what it is
        """Answer a set of questions: yes-no with a bool, all else with text; gives the craft's new report."""
        return self._ask(calls.answer(id, answers))

    def put_off(self, id: str) -> None:  # noqa: A002  what it is
        """Answer nothing; the report stays as it is."""
        self._ask(calls.put_off(id))

    def consents(self) -> tuple[Consent, ...]:
        """What the operator allowed and denied."""
        return self._ask(calls.consents())

    def consent(
        self, place: str, scope: Scope, verdict: Verdict, *, device: str | None = None, note: str = ""
    ) -> Consent:
        """Keep the operator's word on what is plugged in; the bench acts on it at once."""
        return self._ask(calls.consent(place, scope, verdict, device, note))

    def revoke(self, id: str) -> Consent:  # noqa: A002  what it is
        """Take a word back."""
        return self._ask(calls.revoke(id))

    def _ask(self, call: Call[T]) -> T:
        response = self._sent(call)
        for _ in range(calls.COMES_AGAIN):
            pause_s = calls.asked_pause_s(response)
            if pause_s is None:
                break
            time.sleep(pause_s)
            response = self._sent(call)
        return self._address.read(call, response)

    def _sent(self, call: Call[T]) -> httpx.Response:
        try:
            response = self._http.send(self._address.request(self._http, call))
        except (httpx.HTTPError, httpx.InvalidURL) as error:
            raise self._address.failed(error, spoke=self._spoke) from error
        self._spoke = True
        return response
