"""The client for asyncio: each method is that of `BenchClient`, awaited."""

from __future__ import annotations

import asyncio
import ssl
from collections.abc import AsyncGenerator, Mapping
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Self, TypeVar

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


class AsyncBenchClient:
    """As `BenchClient`, on an event loop. `find` reads a small file at once; it is made in `async with`."""

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
        transport = httpx.AsyncHTTPTransport(**address.transport_options())
        self._http = httpx.AsyncClient(transport=transport, **address.options())

    @classmethod
    def find(cls, state: Path | None = None, *, token: str | None = None, timeout_s: float = 10.0) -> Self:
        """As `BenchClient.find`. Raises NoBenchError."""
        return cls._at(Address.found(state, token, timeout_s))

    @classmethod
    def of(cls, service: Service, *, token: str | None = None, timeout_s: float = 10.0) -> Self:
        """As `BenchClient.of`."""
        return cls._at(Address.of(service, token, timeout_s))

    @classmethod
    def _at(cls, address: Address) -> Self:
        client = cls.__new__(cls)
        client._to(address)
        return client

    async def __aenter__(self) -> Self:
        return self

    async def __aexit__(self, *_: object) -> None:
        await self.close()

    async def close(self) -> None:
        """As `BenchClient.close`."""
        await self._http.aclose()

    @property
    def name(self) -> str:
        """As `BenchClient.name`."""
        return self._address.name

    async def bench(self) -> BenchNow:
        """As `BenchClient.bench`."""
        return await self._ask(calls.bench())

    async def places(self) -> tuple[PlaceNow, ...]:
        """As `BenchClient.places`."""
        return await self._ask(calls.places())

    async def place(self, name: str) -> PlaceNow:
        """As `BenchClient.place`."""
        return await self._ask(calls.place(name))

    async def find_place(self, word: str) -> PlaceNow:
        """As `BenchClient.find_place`."""
        return chosen(await self.places(), word, here=self._address.socket is not None)

    async def ready(self) -> Ready:
        """As `BenchClient.ready`."""
        return await self._ask(calls.ready())

    async def conversation(self, place: str, *, since: int = 0, began: int | None = None, wait_s: float = 0.0) -> Said:
        """As `BenchClient.conversation`."""
        return await self._ask(calls.conversation(place, since, began, wait_s))

    async def events(self, *, lost_s: float = 30.0) -> AsyncGenerator[Happening, None]:
        """As `BenchClient.events`; close it (`contextlib.aclosing`) where it is left early."""
        following = Following(self.name, lost_s)
        while not following.ended:
            error: httpx.TransportError | None = None
            try:
                request = self._address.stream(self._http)
                response = await self._http.send(request, stream=True)
                try:
                    if not response.is_success:
                        await response.aread()
                        self._address.read(calls.bench(), response)
                    async for event in EventSource(response).aiter_sse():
                        if (happening := following.take(event)) is not None:
                            yield happening
                        if following.ended:
                            return
                finally:
                    await response.aclose()
            except httpx.TransportError as broken:
                error = broken
            following.broke(None if error is None else self._address.failed(error))
            await asyncio.sleep(following.pause_s)

    async def inspect(self, place: str, *, device: str | None = None, named: bool = False, join: bool = False) -> Begun:
        """As `BenchClient.inspect`."""
        return await self._ask(calls.inspect(place, device, named=named, join=join))

    async def inspected(self, word: str, *, timeout_s: float = 60.0) -> Report | None:
        """As `BenchClient.inspected`."""
        place = (await self.find_place(word)).place
        begun = await self.inspect(place, named=True, join=True)
        return await self.wait(place, after=begun.before, timeout_s=timeout_s)

    async def wait(self, place: str, *, after: str | None = None, timeout_s: float = 60.0) -> Report | None:
        """As `BenchClient.wait`."""
        loop = asyncio.get_running_loop()
        waiting = calls.Waiting(place, after, timeout_s, loop.time())
        while (step := waiting.step(loop.time())) is not None:
            if isinstance(step, float):
                await asyncio.sleep(step)
            elif (report := waiting.saw(await self._ask(step))) is not None:
                return report
        return None

    async def judge(self, capture: bytes) -> Report:
        """As `BenchClient.judge`."""
        return await self._ask(calls.judge(capture))

    async def report(self, id: str) -> Report:  # noqa: A002  what it is
        """As `BenchClient.report`."""
        return await self._ask(calls.report(id))

    async def capture(self, id: str, *, wait_s: float = 5.0) -> bytes:  # noqa: A002  what it is
        """As `BenchClient.capture`."""
        for pause_s in calls.pauses(wait_s):
            try:
                return await self._ask(calls.capture(id))
            except NothingThereError:
                await asyncio.sleep(pause_s)
        return await self._ask(calls.capture(id))

    async def card(self, id: str) -> bytes:  # noqa: A002  what it is
        """As `BenchClient.card`."""
        return await self._ask(calls.card(id))

    async def changes(self, id: str, other: str | None = None) -> Changes:  # noqa: A002  what it is
        """As `BenchClient.changes`."""
        return await self._ask(calls.changes(id, other))

    async def reports(
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
        """As `BenchClient.reports`."""
        wanted = {"craft": craft, "verdict": verdict, "bench": bench, "board": board, "sheet": sheet}
        return await self._ask(calls.reports({**wanted, "since": since, "until": until, "limit": limit}))

    async def asks(self) -> tuple[AskView, ...]:
        """As `BenchClient.asks`."""
        return await self._ask(calls.asks())

    async def ask(self, id: str) -> AskView:  # noqa: A002  what it is
        """As `BenchClient.ask`."""
        return await self._ask(calls.ask(id))

    async def answer(self, id: str, answers: Mapping[str, Scalar]) -> Report:  # noqa: A002  what it is
        """As `BenchClient.answer`."""
        return await self._ask(calls.answer(id, answers))

    async def put_off(self, id: str) -> None:  # noqa: A002  what it is
        """As `BenchClient.put_off`."""
        await self._ask(calls.put_off(id))

    async def consents(self) -> tuple[Consent, ...]:
        """As `BenchClient.consents`."""
        return await self._ask(calls.consents())

    async def consent(
        self, place: str, scope: Scope, verdict: Verdict, *, device: str | None = None, note: str = ""
    ) -> Consent:
        """As `BenchClient.consent`."""
        return await self._ask(calls.consent(place, scope, verdict, device, note))

    async def revoke(self, id: str) -> Consent:  # noqa: A002  what it is
        """As `BenchClient.revoke`."""
        return await self._ask(calls.revoke(id))

    async def _ask(self, call: Call[T]) -> T:
        response = await self._sent(call)
        for _ in range(calls.COMES_AGAIN):
            pause_s = calls.asked_pause_s(response)
            if pause_s is None:
                break
            await asyncio.sleep(pause_s)
            response = await self._sent(call)
        return self._address.read(call, response)

    async def _sent(self, call: Call[T]) -> httpx.Response:
        try:
            response = await self._http.send(self._address.request(self._http, call))
        except (httpx.HTTPError, httpx.InvalidURL) as error:
            raise self._address.failed(error, spoke=self._spoke) from error
        self._spoke = True
        return response
